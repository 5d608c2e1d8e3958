"""What a plan still needs, in the trade's words: what, what for, and the question that asks for it."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Neighbor
from fieldvoice.records.plan import Missing, Need
from fieldvoice.wording.forms import AS_A_PEAK, Form, first_large

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
    return f"the height where its top breaks, about {form.length(missing.at)} from the left"


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
