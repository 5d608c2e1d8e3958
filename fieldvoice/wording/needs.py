"""What a plan still needs, in the trade's words: what, what for, and the question that asks for it. Why there is none:
what is wrong, and what to do now.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from fieldvoice.records.facts import Fact
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Box, Diagonal, Dimension, Edge, Neighbor, Opening, Plumb, Reading, Slot
from fieldvoice.records.plan import Failure, Flaw, Missing, Need, No, NoPlan
from fieldvoice.wording.forms import AS_A_PEAK, Form, InWords, as_planned, first_large

_Worded = Callable[[Missing, Form], str]


def what(missing: Missing, form: Form) -> str:
    """What is needed, as a noun: `the width at the bottom`."""
    return _told(_WHAT[missing.need], missing, form)


def why(missing: Missing, form: Form) -> str:
    """What it is needed for."""
    return _told(_WHY[missing.need], missing, form)


def ask(missing: Missing, form: Form) -> str:
    """The question that asks for it, with the words that answer it where they aren't plain."""
    words = _ASK.get(missing.need)
    return _told(words, missing, form) if words is not None else f"{first_large(what(missing, form))}?"


def said(missing: Missing, form: Form) -> str:
    """What is needed and why, in one breath."""
    return f"{what(missing, form)} ({why(missing, form)})"


def _told(says: str | _Worded, missing: Missing, form: Form) -> str:
    """A sentence with its places filled; or what words it."""
    if callable(says):
        return says(missing, form)
    return says.format(
        *map(form.with_unit, missing.values),
        about=form.words(missing.about),
        begins=first_large(form.words(missing.about or "that")),
        edge=missing.edge.value if missing.edge is not None else "other edge",
        dimension=missing.dimension,
        fixed=_fixed(missing),
    )


def _place(missing: Missing, form: Form, name: str, article: str) -> str:
    return f"{article} {name}" if missing.at is None else f"the {name} {form.at(missing.at)}"


def _fixed(missing: Missing) -> str:
    one, other = missing.neighbors or (Neighbor.WALL, Neighbor.WALL)
    return f"two {one.value}s" if one is other else f"a {one.value} and a {other.value}"


def _height(missing: Missing, form: Form) -> str:
    if _breaks(missing):
        return _at_break(missing, form)
    return "the height of this board alone" if missing.values else _place(missing, form, "height", "a")


def _breaks(missing: Missing) -> bool:
    """Whether it is the height at a break of the top, which stands at a distance."""
    return isinstance(missing.at, Length)


def _at_break(missing: Missing, form: Form) -> str:
    assert isinstance(missing.at, Length)
    return f"the height where its top breaks, about {form.length(as_planned(missing.at, form.unit))} from the left"


def _first(missing: Missing, form: Form) -> str:
    return form.with_unit(missing.values[0])


def _why_a_height(missing: Missing, form: Form) -> str:
    if missing.values:
        return f"{_first(missing, form)} is from floor to ceiling, and this is one course of it"
    return "the board is cut to it" if missing.required else "one height misses a slope"


_WHAT: Mapping[Need, str | _Worded] = {
    Need.WIDTH: lambda one, form: _place(one, form, "width", "a"),
    Need.HEIGHT: _height,
    Need.SIDE: "which side to cut, or how far each side is out of plumb",
    Need.END: "which end to cut, top or bottom",
    Need.SIZE: "the {dimension} of {about}",
    Need.MIDDLE: "the width at the middle",
    Need.CIRCUIT: "whether {about} is dead and tested",
    Need.COURSE: "which course this is, upper or lower",
    Need.FLOOR_HEIGHT: "how high the board's bottom edge is above the floor, for {about}",
    Need.PLUMBS: "the slopes or the {dimension}s again: they differ by {0}",
    Need.MEASURE_AGAIN: "{about} from the {edge}",
    Need.KIND: "what kind of box it is, for {about}",
}

_WHY: Mapping[Need, str | _Worded] = {
    Need.WIDTH: "the board is cut there, and nobody measured it",
    Need.HEIGHT: _why_a_height,
    Need.SIDE: "the width tapers between {fixed}, and cut on the wrong side the board would lean",
    Need.END: "the height tapers between {fixed}, and cut on the wrong end the board would lean",
    Need.SIZE: "its hole can't be marked without it",
    Need.MIDDLE: "two places miss a bow",
    Need.CIRCUIT: "until it is, the hole is cut beforehand by hand and no tool goes into the box",
    Need.COURSE: "the lower course stays off the floor, and the upper one doesn't stand on it",
    Need.FLOOR_HEIGHT: "it was measured from the floor, and this board doesn't stand on it",
    Need.PLUMBS: "one of them is wrong, and the board would be cut by it",
    Need.MEASURE_AGAIN: "measured from there, its place is open by more than its plate covers",
    Need.KIND: "its hole can't be marked without it",
}

_ASK: Mapping[Need, str | _Worded] = {
    Need.HEIGHT: lambda one, form: (
        f"{first_large(what(one, form))}?" + (f" Say it {AS_A_PEAK}" if _breaks(one) else "")
    ),
    Need.SIDE: "The width tapers between {fixed}. Which side is out? Say “cut the left”, “cut the right”, or how far "
    "each wall leans.",
    Need.END: "The height tapers between {fixed}. Which end is out? Say “cut the top” or “cut the bottom”.",
    Need.COURSE: "Which course is this? Say “upper course” or “lower course”.",
    Need.FLOOR_HEIGHT: "{begins} was measured from the floor. How high is this board's bottom edge above it? Or call "
    "it down from the top.",
    Need.CIRCUIT: "Is {about} dead and tested?",
    Need.KIND: "What kind of box is {about}: single gang, double gang, round?",
}


def no_plan(no: NoPlan, form: Form) -> str:
    """Why there is none: the whole answer."""
    says = _SAYS[no.no]
    if callable(says):
        return first_large(says(no, form))
    size = _size(no, form) if len(no.values) > 1 else ""
    edge = no.edge.value if no.edge is not None else "same edge"
    told = {"dimension": no.dimension, "size": size, "lies": _lies(no), "name": form.words(no.about), "edge": edge}
    return first_large(says.format(*map(form.with_unit, no.values), **told))


def failure(one: Failure, form: Form) -> str:
    """What the proof found, as half a sentence."""
    there = f"the {one.edge.value} edge" if one.edge is not None else "the board"
    name = form.words(one.about) if one.about else there
    place = f" {form.at(one.at)}" if one.at is not None else ""
    return f"{name}{place} {_FLAWS[one.flaw]}"


def _needs(no: NoPlan, form: Form) -> str:
    wanted = "; ".join(said(one, form) for one in no.missing)
    return f"The board can't be cut yet. Still needed: {wanted}."


def _proof(no: NoPlan, form: Form) -> str:
    wrong = "; ".join(dict.fromkeys(failure(one, form) for one in no.failures))
    again = "; ".join(_measured(fact, form) for fact in no.rests_on)
    return f"The plan failed its own check and is not shown: {wrong}. Measure again: {again}."


def _measured(fact: Fact, form: Form) -> str:
    """What was called, as it is to be measured again: by its name, a length by its place and what it was."""
    match fact:
        case Reading(dimension=Dimension() as dimension, at=Slot() | Length() as at):
            return f"{form.reading(dimension, at)}, called {form.with_unit(fact.value)}"
        case Diagonal():
            return f"the {'rising' if fact.rising else 'falling'} diagonal, called {form.with_unit(fact.value)}"
        case Plumb(edge=Edge() as edge):
            return f"how far the {edge.value} runs off, called {form.with_unit(abs(fact.value))}"
        case Box() | Opening():
            return form.words(fact.name)
    return "what was called"


def _no_such_place(no: NoPlan, form: Form) -> str:
    start, end = _ENDS[no.dimension or Dimension.WIDTH]
    place = form.at(no.at) if no.at is not None else "there"
    return (
        f"A {no.dimension} can't be taken {place}: say it at the {start.value}, the middle or the {end.value}, or at a "
        f"distance from the {start.value}."
    )


def _place_beyond(no: NoPlan, form: Form) -> str:
    start, _ = _ENDS[no.dimension or Dimension.WIDTH]
    place, reach = (form.with_unit(one) for one in no.values)
    return (
        f"A {no.dimension} was called at {place} from the {start.value}, but the board reaches only {reach}: that "
        "place is not on this board. Call the place again."
    )


def _size(no: NoPlan, form: Form) -> str:
    return f"{form.length(no.values[0])} by {form.with_unit(no.values[1])}"


def _lies(no: NoPlan) -> str:
    return no.lies.value if no.lies is not None else "that way"


def _too_wide(no: NoPlan, form: Form) -> str:
    start = f"No listed sheet {_lies(no)} holds {_size(no, form)}."
    if len(no.values) > 2:
        stud = form.with_unit(no.values[2])
        return f"{start} Split it on the stud centered {stud} from the left, and measure each piece by itself."
    return (
        f"{start} No stud is known within one sheet: say where the studs are, or turn the sheet, and measure each "
        "piece by itself."
    )


def _too_big_for_offcut(no: NoPlan, form: Form) -> str:
    across, down = no.values[2:]
    if isinstance(form, InWords):
        return f"The offcut {_written(no, form)} is too small."
    hangs = f"{form.length(across)} by {form.with_unit(down)} as it hangs {_lies(no)}"
    return f"The piece is {_size(no, form)}, and the offcut {_written(no, form)} is {hangs}: too small.{_else(form)}"


def _no_offcut(no: NoPlan, form: Form) -> str:
    there = ", ".join(f"“{one}”" for one in no.others) or "nothing"
    rack = "" if isinstance(form, InWords) else f" On the rack: {there}."
    return f"There is no offcut {_written(no, form)}.{rack}{_else(form)}"


def _offcut_taken(no: NoPlan, form: Form) -> str:
    return f"The offcut {_written(no, form)} is for board {form.words(no.others[0])} already.{_else(form)}"


def _offcut_of_its_own(no: NoPlan, form: Form) -> str:
    return f"The offcut {_written(no, form)} is what this very board leaves, or comes from that.{_else(form)}"


def _offcut_unlike(no: NoPlan, form: Form) -> str:
    its, wanted = (f"{form.with_unit(thick)} {kind}" for thick, kind in zip(no.values, no.others, strict=True))
    return f"The offcut {_written(no, form)} is {its}, and this board is {wanted}.{_else(form)}"


def _else(form: Form) -> str:
    return "" if isinstance(form, InWords) else " Name another offcut, or say “from a new sheet”."


def _written(no: NoPlan, form: Form) -> str:
    return f"“{form.words(no.about or '')}”"


_ENDS = {Dimension.WIDTH: (Edge.TOP, Edge.BOTTOM), Dimension.HEIGHT: (Edge.LEFT, Edge.RIGHT)}

_SAYS: Mapping[No, str | Callable[[NoPlan, Form], str]] = {
    No.NEEDS: _needs,
    No.PROOF: _proof,
    No.NO_SUCH_PLACE: _no_such_place,
    No.PLACE_BEYOND: _place_beyond,
    No.NOTHING_LEFT: "The {dimension}s leave nothing once the clearances are off, so there is no board to cut. "
    "Measure the {dimension} again.",
    No.TOO_BIG_FOR_NAMED: "The piece is {size} and can't be cut from the sheet you named, {lies}. Name a larger "
    "sheet, turn it, or measure again.",
    No.TOO_WIDE: _too_wide,
    No.TOO_HIGH: "No listed sheet {lies} holds {size}. The tallest holds {2} that way: turn the sheet, or split the "
    "height with the joint on blocking, and measure each piece by itself.",
    No.OPPOSITE_EDGES: "The two sides of {name} were called from opposite edges, so its size isn't sure. Call both "
    "from the {edge}.",
    No.NOT_ON_BOARD: "{name} is not on this board as it was called, so no hole can be marked. Measure it again, or "
    "call it with the board it is on.",
    No.TOO_BIG_FOR_OFFCUT: _too_big_for_offcut,
    No.NO_OFFCUT: _no_offcut,
    No.OFFCUT_TAKEN: _offcut_taken,
    No.OFFCUT_OF_ITS_OWN: _offcut_of_its_own,
    No.OFFCUT_UNLIKE: _offcut_unlike,
}

_FLAWS: Mapping[Flaw, str] = {
    Flaw.SHEET: "can't be cut from the sheet",
    Flaw.MARK: "has a mark that isn't on the sheet, or not where the cut runs",
    Flaw.ORIGIN: "is marked from an edge that isn't there",
    Flaw.TIGHT: "would be too tight",
    Flaw.WIDE: "would be held off farther than was said",
    Flaw.CLAIM: "would have another gap than was said",
    Flaw.OPENINGS: "has other openings than were called",
    Flaw.TOOL: "would have a tool in it, and isn't dead and tested",
    Flaw.PLACE: "has no place on the board",
    Flaw.EDGE: "would be cut to the board's edge without need",
    Flaw.GAP: "would sit with the wrong gap",
    Flaw.CENTER: "has a center that isn't between its sides",
    Flaw.PLATE: "would have a hole that its plate doesn't cover",
    Flaw.UNTOLD: "would sit off, since what it was measured from bows, and nobody was told",
    Flaw.WAY: "has a second set of marks that lands elsewhere",
    Flaw.INSTEAD: "has another cut offered that doesn't fit",
    Flaw.ORDER: "has a step that can't be done then",
    Flaw.OUTLINE: "comes out different from the drawing",
    Flaw.LEFT: "leaves other offcuts than are listed",
    Flaw.FACTORY: "would be taped on an edge that was cut",
}
