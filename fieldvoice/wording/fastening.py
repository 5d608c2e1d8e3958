"""How a board is fastened and lifted, in words."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from math import ceil, floor

from fieldvoice.records.fastening import (
    Authority,
    Bend,
    Bending,
    Crew,
    FasteningPlan,
    FramingConcern,
    FramingDoubt,
    FramingMark,
    Handling,
    Requirement,
    Ruling,
    Schedule,
    Stage,
)
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Edge
from fieldvoice.records.takeoff import KILOGRAMS
from fieldvoice.wording.forms import Form, InWords, first_large
from fieldvoice.wording.takeoff import sources_text

LOCAL_CODE = "Local code decides: where it asks for something else, put that in your own table."

ADHESIVE = "Adhesive: a bead of 3/8 in on every member, two where boards meet (NAVEDTRA 14044, page 164)."

FASTENERS_DRAWN = "Drawn: filled ones go in first, the rest as rings, dashed lines are framing."

OWN_TABLE_UNUSED = (
    "Your own table has mistakes in it, so none of it counts and these are the shipped figures. Run `fieldvoice "
    "fastening` to see which."
)

_WHO = {Authority.OWN: "your table", Authority.CODE: "the code", Authority.PRACTICE: "the trade"}

_NUMBERS = ("nobody", "one person", "two people", "three people", "four people", "five people", "six people")


def fasteners_title(board: str) -> str:
    """What a drawing of fasteners is called."""
    return f"Board {board}, fasteners"


def at_least(ruling: Ruling, form: Form) -> str:
    """The figure in force, who asks for it, and what the others ask where it differs. In a job in millimeters whole
    ones are told, rounded to the side that still keeps the rule.
    """
    return _ruled(ruling, lambda value: _shown_least(value, form))


def _shown_least(value: Length, form: Form) -> str:
    return form.with_unit(value.rounded_up(_WHOLE) if form.unit is Unit.MM else value)


def at_most(ruling: Ruling, form: Form) -> str:
    """The same of a figure that is not to be passed."""
    return _ruled(ruling, lambda value: _shown_most(value, form))


def _shown_most(value: Length, form: Form) -> str:
    return form.with_unit(value.rounded_down(_WHOLE) if form.unit is Unit.MM else value)


_WHOLE = Length.of(1, Unit.MM)


def _ruled(ruling: Ruling, shown: Callable[[Length], str]) -> str:
    first, *others = ruling.requirements
    differ = [one for one in others if one.value != first.value]
    rest = "".join(f"; {_who(one)}: {shown(one.value)}" for one in differ)
    return f"{shown(first.value)} ({_who(first)}{rest})"


def _who(one: Requirement) -> str:
    return _WHO[one.authority]


def fastening_lines(plan: FasteningPlan, form: Form) -> tuple[str, ...]:
    """What to fasten with, how far apart, what is first, and what the rules don't bear out."""
    asked = plan.schedule
    count = f"{plan.count} {asked.fastener.value}s, {asked.grip.value}."
    return (count, *rule_lines(plan, form), *_doubts(plan, form))


def common_doubts(plans: Sequence[FasteningPlan], form: Form) -> tuple[str, ...]:
    """What the rules don't bear out on every one of several boards: said once, above them all."""
    first, *rest = [tuple(_doubts(plan, form)) for plan in plans]
    return tuple(line for line in first if all(line in lines for lines in rest))


def rule_lines(plan: FasteningPlan, form: Form) -> tuple[str, ...]:
    """How long, how far apart, how far from edges, and which go in first."""
    asked = plan.schedule
    several = len(asked.lengths) > 1
    lengths = (
        f"{'layer ' + str(layer) + ', ' if several else ''}{at_least(ruling, form)} long"
        for layer, ruling in enumerate(asked.lengths, 1)
    )
    edge, field = at_most(asked.edge, form), at_most(asked.field, form)
    return (
        f"{first_large('; '.join(lengths))}, and no longer: wires and pipes run in the framing.",
        f"Spacing at most: along edges on framing {edge}, elsewhere {field}.",
        f"From every edge and opening at least {at_least(asked.edge_distance, form)}{_most(asked, form)}.",
        *_doubled(asked, form),
        *([ADHESIVE] if asked.situation.adhesive else []),
        *_first(plan),
    )


def _doubled(asked: Schedule, form: Form) -> Iterator[str]:
    if asked.pair is not None:
        most = "" if asked.pair_most is None else f" to {at_most(asked.pair_most, form)}"
        yield (
            f"Nails in the field are doubled: once all are in, a second one {at_least(asked.pair, form)}{most} "
            "from each, then the first ones once more. The rim keeps single nails."
        )
    elif asked.situation.double_nailing:
        yield "No rule here is for doubled nails with adhesive: single ones are counted."


def _most(asked: Schedule, form: Form) -> str:
    most = asked.edge_distance_most
    return "" if most is None else f", from edges at most {at_most(most, form)}"


def _first(plan: FasteningPlan) -> Iterator[str]:
    few = sum(spot.stage is Stage.FIRST for spot in plan.spots)
    if few < plan.count:
        alone = "Hold it by hand: no screw is away from the openings"
        held = f"The first {few} hold it, away from the openings" if few else alone
        yield f"{held}. Once those are cut, drive the rest, from the middle out."


def _doubts(plan: FasteningPlan, form: Form) -> Iterator[str]:
    for concern in plan.schedule.concerns:
        yield doubt_text(concern, plan.schedule.situation.spacing, form)
    for edge in plan.off_framing:
        yield (
            f"No framing was called behind the joint at the {edge.value}: its fasteners would have nothing to hold "
            "in. Put in blocking, or measure the framing again, before it is hung."
        )
    if not plan.framing_called:
        yield "Only the spacing of the framing is known: find each member and mark it before the first fastener."


def doubt_text(concern: FramingConcern, spacing: Length, form: Form) -> str:
    """What about a board on its framing the rules don't bear out, and what to do."""
    if concern.by is not None:
        return (
            f"No rule here is written for board this thick: it goes by those for {concern.by.text()} in, the next "
            "thinner. Where the maker or the local code says otherwise, put that in your own table."
        )
    if concern.doubt is FramingDoubt.NOT_LISTED or concern.allowed is None:
        return "No rule here covers this board on bare framing: ask the maker or the local code before it is hung."
    if concern.doubt is FramingDoubt.FIRE:
        where = "under rooms that are lived in" if concern.kind else "toward the house"
        kind = f" of {concern.kind}" if concern.kind else ""
        return (
            f"In a garage at least {at_least(concern.allowed, form)}{kind} is usual {where}, against fire, and "
            "this board is less. Local code decides: ask before it is hung."
        )
    return (
        f"The framing is {form.with_unit(spacing)} apart, and hung this way this board may span "
        f"{at_most(concern.allowed, form)}. Take thicker or stiffer board, turn it, or add framing."
    )


def handling_text(carrying: Handling, hanging: Handling, unit: Unit) -> str | None:
    """Who carries the sheet and who lifts the board; None where one person does both and nothing is overhead. In
    kilograms where the job is in millimeters.
    """
    crews = {carrying.crew, hanging.crew}
    if crews == {Crew.ONE}:
        return None
    limit = "" if carrying.limit is None else weight_text(carrying.limit, unit, up=False)
    best = f" The lifting equation recommends {limit} for one at best." if limit else ""
    sheet = f"The sheet weighs up to {weight_text(carrying.pounds, unit)}{_by(carrying, 'carry it with', 'a cart')}."
    board = f"The board weighs up to {weight_text(hanging.pounds, unit)}{_by(hanging, 'hang it with', 'a sheet lift')}."
    return f"{sheet} {board}{best}"


def load_text(hanging: Handling, unit: Unit) -> str:
    """A board's weight with who hangs it, in short."""
    return f"Up to {weight_text(hanging.pounds, unit)}{_by(hanging, 'hung by', 'a sheet lift')}."


def weight_text(pounds: Fraction, unit: Unit, *, up: bool = True) -> str:
    """A weight in whole pounds or kilograms: never fewer than it is, a limit never more."""
    value = _weight(pounds, unit)
    return f"{ceil(value) if up else floor(value)} {'kg' if unit is Unit.MM else 'lb'}"


def _weight(pounds: Fraction, unit: Unit) -> Fraction:
    return pounds * KILOGRAMS if unit is Unit.MM else pounds


def _by(handling: Handling, does: str, machine: str) -> str:
    """Who does it; nothing where one person may."""
    who = _who_lifts(handling.people, handling.crew, machine)
    return f": {does} {who}" if who else ""


def _who_lifts(people: int, crew: Crew, machine: str) -> str:
    if crew is Crew.ONE:
        return ""
    told_as = _NUMBERS[people] if people < len(_NUMBERS) else f"{people} people"
    return told_as if crew is Crew.TWO else f"{machine}, or {told_as}"


def told_fasteners(values: Sequence[object], form: Form) -> str:
    """How many fasteners, how long, how far apart."""
    count, kind, grip, length, edge, field = values
    assert isinstance(count, int)
    assert isinstance(length, Length)
    assert isinstance(edge, Length)
    assert isinstance(field, Length)
    return (
        f"{form.number(count)} {kind}s, {grip}, {_shown_least(length, form)} long; at most {_shown_most(edge, form)} "
        f"apart along edges on framing, {_shown_most(field, form)} elsewhere. Local code decides."
    )


def told_weight(values: Sequence[object], ear: InWords) -> tuple[str, str]:
    """What a board weighs and who lifts it: to be read, and to be heard."""
    pounds, people, crew = values
    assert isinstance(pounds, int)
    assert isinstance(people, int)
    who = _who_lifts(people, Crew(str(crew)), "a sheet lift")
    by = f": hung by {who}" if who else ""
    weight, named = _weight(Fraction(pounds), ear.unit), "kilograms" if ear.unit is Unit.MM else "pounds"
    return (
        f"Up to {weight_text(Fraction(pounds), ear.unit)}{by}.",
        f"Up to {ear.number(ceil(weight))} {named}{by}.",
    )


def mark_lines(marks: tuple[FramingMark, ...], form: Form) -> tuple[str, ...]:
    """A line an edge: where the framing is marked on it."""
    if not marks:
        return ()
    ends = marks[0].edges
    start = Edge.LEFT if ends[0] is Edge.TOP else Edge.TOP
    lines = []
    for number, edge in enumerate(ends):
        places = [mark.distances[number] for mark in marks]
        shown = ", ".join(form.with_unit(place) for place in places if place is not None)
        if shown:
            lines.append(f"Framing along the {edge.value} edge, from its {start.value} corner: {shown}.")
    return tuple(lines)


_WAY = {Bending.LENGTHWISE: "along its length", Bending.WIDTHWISE: "along its width"}


def bend_lines(radius: Length, found: Sequence[Bend], unit: Unit) -> tuple[str, ...]:
    """Which boards go round a curve, each way with its least radius and who says so."""
    shown = Form(unit).with_unit(radius)
    first = next((one for one in found if one.bends), None)
    if first is None:
        head = f"No board listed bends dry to a radius of {shown}: ask its maker, or build it up another way."
    else:
        head = f"Radius {shown}: the thickest that goes round it dry is {_bent(first, unit)}."
    return (
        head,
        f"Framing no more than {_shown_most(CURVED_FRAMING, Form(unit))} apart. Try a piece first.",
        *(f"  {'yes' if one.bends else 'no '} {_bent(one, unit)}, {_least(one, unit)}" for one in found),
        LOCAL_CODE,
    )


def _bent(one: Bend, unit: Unit) -> str:
    layers = f"{one.layers} layers of " if one.layers > 1 else ""
    kind = "" if one.kind == "regular" else f" {one.kind}"
    return f"{layers}{Form(unit).with_unit(one.thickness)}{kind} {_WAY[one.way]}"


def _least(one: Bend, unit: Unit) -> str:
    return f"to {at_least(one.least, Form(unit))}: {sources_text((one.least.requirements[0].source,))}"


CURVED_FRAMING = Length(6)
"""How close framing stands behind bent board, at most: two trade articles."""
