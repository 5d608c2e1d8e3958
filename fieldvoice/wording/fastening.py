"""How a board is fastened and lifted, in words."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil

from fieldvoice.records.fastening import (
    Authority,
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
from fieldvoice.wording.form import Form, told

LOCAL_CODE = "Local code decides: where it asks for something else, put that into your own table."

FASTENERS_DRAWN = "Drawn: filled ones go in first, the rest as rings, dashed lines are framing."

OWN_TABLE_UNUSED = (
    "Your own table has mistakes in it, so none of it is in force and these are the shipped figures. Run `fieldvoice "
    "fastening` to see which."
)

_WHO = {Authority.OWN: "your table", Authority.CODE: "the code", Authority.PRACTICE: "the trade"}

_NUMBERS = ("nobody", "one person", "two people", "three people", "four people", "five people", "six people")


def fasteners_title(board: str) -> str:
    """What a drawing of fasteners is called."""
    return f"Board {board}, fasteners"


def ruled(ruling: Ruling, unit: Unit, form: Form) -> str:
    """The figure in force, who asks for it, and what the others ask where it differs."""
    first, *others = ruling.requirements
    differ = [one for one in others if one.value != first.value]
    rest = "".join(f"; {_who(one)}: {told(one.value, unit, form)}" for one in differ)
    return f"{told(first.value, unit, form)} ({_who(first)}{rest})"


def _who(one: Requirement) -> str:
    return _WHO[one.authority]


def fastening_lines(plan: FasteningPlan, unit: Unit, form: Form) -> tuple[str, ...]:
    """What to fasten with, how far apart, what is first, and what the rules don't bear out."""
    asked = plan.schedule
    count = f"{plan.count} {asked.fastener.value}s, {asked.grip.value}."
    return (count, *rule_lines(plan, unit, form), *_doubts(plan, unit, form))


def rule_lines(plan: FasteningPlan, unit: Unit, form: Form) -> tuple[str, ...]:
    """How long, how far apart, how far from edges, and which go in first."""
    asked = plan.schedule
    several = len(asked.lengths) > 1
    lengths = (
        f"{'Layer ' + str(layer) + ', ' if several else ''}{ruled(ruling, unit, form)} long"
        for layer, ruling in enumerate(asked.lengths, 1)
    )
    edge, field = ruled(asked.edge, unit, form), ruled(asked.field, unit, form)
    return (
        f"{_capital('; '.join(lengths))}, and not longer: wires and pipes lie in the framing.",
        f"Apart at most: along edges on framing {edge}, elsewhere {field}.",
        f"From every edge and opening at least {ruled(asked.edge_distance, unit, form)}{_most(asked, unit, form)}.",
        *_first(plan),
    )


def _most(asked: Schedule, unit: Unit, form: Form) -> str:
    most = asked.edge_distance_most
    return "" if most is None else f", from edges at most {ruled(most, unit, form)}"


def _first(plan: FasteningPlan) -> Iterator[str]:
    few = sum(spot.stage is Stage.FIRST for spot in plan.spots)
    if few < plan.count:
        held = f"First {few} hold it, away from openings" if few else "Hold it by hand: none is away from openings"
        yield f"{held}. Once these are cut, the rest, from the middle outwards."


def _doubts(plan: FasteningPlan, unit: Unit, form: Form) -> Iterator[str]:
    for concern in plan.schedule.concerns:
        yield doubt_text(concern, plan.schedule.situation.spacing, unit, form)
    for edge in plan.off_framing:
        yield (
            f"No framing was called behind the joint at the {edge.value}: its fasteners would hold in nothing. Put in "
            "blocking or measure the framing again before it is hung."
        )
    if not plan.framing_called:
        yield "Only the spacing of the framing is known: find each member and mark it before the first fastener."


def doubt_text(concern: FramingConcern, spacing: Length, unit: Unit, form: Form) -> str:
    """What about a board on its framing the rules don't bear out, and what to do."""
    if concern.doubt is FramingDoubt.NOT_LISTED or concern.allowed is None:
        return "No rule here is for this board on bare framing: ask the maker or the local code before it is hung."
    return (
        f"The framing is {told(spacing, unit, form)} apart, and this board hung so may span "
        f"{ruled(concern.allowed, unit, form)}. Take thicker or stiffer board, turn it, or add framing."
    )


def handling_text(carrying: Handling, hanging: Handling) -> str | None:
    """Who carries the sheet and who lifts the board; None where one person does both and nothing is overhead."""
    crews = {carrying.crew, hanging.crew}
    if crews == {Crew.ONE}:
        return None
    best = f" The lifting equation recommends {int(carrying.limit)} lb for one at best." if carrying.limit else ""
    sheet = f"The sheet weighs up to {pounds(carrying)} lb{_by(carrying, 'carry it with', 'a cart')}."
    return f"{sheet} The board weighs up to {pounds(hanging)} lb{_by(hanging, 'hang it with', 'a sheet lift')}.{best}"


def load_text(hanging: Handling) -> str:
    """A board's weight with who hangs it, in short."""
    return f"Up to {pounds(hanging)} lb{_by(hanging, 'hung by', 'a sheet lift')}."


def _by(handling: Handling, does: str, machine: str) -> str:
    """Who does it; nothing where one person may."""
    if handling.crew is Crew.ONE:
        return ""
    people = _NUMBERS[handling.people] if handling.people < len(_NUMBERS) else f"{handling.people} people"
    return f": {does} {people if handling.crew is Crew.TWO else f'{machine}, or {people}'}"


def pounds(handling: Handling) -> int:
    """Whole pounds, never fewer than it weighs."""
    return ceil(handling.pounds)


def mark_lines(marks: tuple[FramingMark, ...], unit: Unit, form: Form) -> tuple[str, ...]:
    """A line an edge: where the framing is marked on it."""
    if not marks:
        return ()
    ends = marks[0].edges
    start = Edge.LEFT if ends[0] is Edge.TOP else Edge.TOP
    lines = []
    for number, edge in enumerate(ends):
        places = [mark.distances[number] for mark in marks]
        shown = ", ".join(told(place, unit, form) for place in places if place is not None)
        if shown:
            lines.append(f"Framing at the {edge.value} edge, from the {start.value}: {shown}.")
    return tuple(lines)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
