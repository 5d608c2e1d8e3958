"""What a plan still needs, in the trade's words: what, what for, and the question that asks for it."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Neighbor
from fieldvoice.records.plan import Missing, Need
from fieldvoice.wording.forms import AS_A_PEAK, Form, first_large


def what(missing: Missing, form: Form) -> str:
    """What is needed, as a noun: `the width at the bottom`."""
    return _WHAT[missing.need](missing, form)


def why(missing: Missing, form: Form) -> str:
    """What it is needed for."""
    return _WHY[missing.need](missing, form)


def ask(missing: Missing, form: Form) -> str:
    """The question that asks for it, with the words that answer it where they aren't plain."""
    words = _ASK.get(missing.need)
    return words(missing, form) if words is not None else f"{first_large(what(missing, form))}?"


def said(missing: Missing, form: Form) -> str:
    """What is needed and why, in one breath."""
    return f"{what(missing, form)} ({why(missing, form)})"


def _place(missing: Missing, form: Form, name: str, article: str) -> str:
    return f"{article} {name}" if missing.at is None else f"the {name} {form.at(missing.at)}"


def _edge(missing: Missing) -> str:
    return missing.edge.value if missing.edge is not None else "other edge"


def _fixed(missing: Missing) -> str:
    one, other = missing.neighbors or (Neighbor.WALL, Neighbor.WALL)
    return f"two {one.value}s" if one is other else f"a {one.value} and a {other.value}"


_WHAT: Mapping[Need, Callable[[Missing, Form], str]] = {
    Need.WIDTH: lambda one, form: _place(one, form, "width", "a"),
    Need.HEIGHT: lambda one, form: _height(one, form),
    Need.SIDE: lambda _, __: "which side to cut, or how far each side is out of plumb",
    Need.END: lambda _, __: "which end to cut, top or bottom",
    Need.SIZE: lambda one, form: f"the {one.dimension} of {form.words(one.about)}",
    Need.MIDDLE: lambda _, __: "the width at the middle",
    Need.CIRCUIT: lambda one, form: f"whether {form.words(one.about)} is dead and tested",
    Need.COURSE: lambda _, __: "which course this is, upper or lower",
    Need.FLOOR_HEIGHT: lambda one, form: (
        f"how high the board's bottom edge is above the floor, for {form.words(one.about)}"
    ),
    Need.PLUMBS: lambda one, form: f"the slopes or the {one.dimension}s again: they differ by {_first(one, form)}",
    Need.MEASURE_AGAIN: lambda one, form: f"{form.words(one.about)} from the {_edge(one)}",
    Need.KIND: lambda one, form: f"what kind of box it is, for {form.words(one.about)}",
}


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


_WHY: Mapping[Need, Callable[[Missing, Form], str]] = {
    Need.WIDTH: lambda _, __: "the board is cut there, and nobody measured it",
    Need.HEIGHT: lambda one, form: _why_a_height(one, form),
    Need.SIDE: lambda one, _: f"the width tapers between {_fixed(one)}, and cut on the wrong side the board would lean",
    Need.END: lambda one, _: f"the height tapers between {_fixed(one)}, and cut on the wrong end the board would lean",
    Need.SIZE: lambda _, __: "its hole can't be marked without it",
    Need.MIDDLE: lambda _, __: "two places miss a bow",
    Need.CIRCUIT: lambda _, __: "until it is, the hole is cut beforehand by hand and no tool goes into the box",
    Need.COURSE: lambda _, __: "the lower course stays off the floor, and the upper one doesn't stand on it",
    Need.FLOOR_HEIGHT: lambda _, __: "it was measured from the floor, and this board doesn't stand on it",
    Need.PLUMBS: lambda _, __: "one of them is wrong, and the board would be cut by it",
    Need.MEASURE_AGAIN: lambda _, __: "measured from there, its place is open by more than its plate covers",
    Need.KIND: lambda _, __: "its hole can't be marked without it",
}

_ASK: Mapping[Need, Callable[[Missing, Form], str]] = {
    Need.HEIGHT: lambda one, form: (
        f"{first_large(what(one, form))}?" + (f" Say it {AS_A_PEAK}" if _breaks(one) else "")
    ),
    Need.SIDE: lambda one, _: (
        f"The width tapers between {_fixed(one)}. Which side is out? Say “cut the left”, “cut the right”, or how far "
        "each wall leans."
    ),
    Need.END: lambda one, _: (
        f"The height tapers between {_fixed(one)}. Which end is out? Say “cut the top” or “cut the bottom”."
    ),
    Need.COURSE: lambda _, __: "Which course is this? Say “upper course” or “lower course”.",
    Need.FLOOR_HEIGHT: lambda one, form: (
        f"{first_large(form.words(one.about or 'that'))} was measured from the floor. How high is this board's bottom "
        "edge above it? Or call it down from the top."
    ),
    Need.CIRCUIT: lambda one, form: f"Is {form.words(one.about)} dead and tested?",
    Need.KIND: lambda one, form: f"What kind of box is {form.words(one.about)}: single gang, double gang, round?",
}
