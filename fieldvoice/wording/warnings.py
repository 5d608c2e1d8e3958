"""What a warning says."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from fieldvoice.records.ledger import Value
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Neighbor
from fieldvoice.records.plan import Code, Warning
from fieldvoice.wording.forms import Both, Form, InWords, across_and_along, first_large
from fieldvoice.wording.values import figures, label


def text(warning: Warning, unit: Unit) -> str:
    """The warning for the eye, with figures."""
    says = _SAYS[warning.code]
    if callable(says):
        return first_large(says(warning, unit))
    told = {"name": _name(warning), "edge": _edge(warning), "other": warning.other}
    stands = (warning.neighbor or Neighbor.WALL).value
    return first_large(says.format(*(each.text_with_unit(unit) for each in warning.values), **told, stands=stands))


def uncalled(values: Sequence[Value], ear: InWords) -> Both:
    """An opening of the layout that nobody called on its board."""
    kind, *sides = values
    warning = Warning(Code.UNCALLED, str(kind), values=tuple(each for each in sides if isinstance(each, Length)))
    return text(warning, ear.eye.unit), f"The layout has {_one(kind)} here that wasn't called. It isn't in the plan."


def _one(kind: object) -> str:
    return "an opening" if kind == "other" else f"a {kind}"


def _name(warning: Warning) -> str:
    return warning.about or "the board"


def _edge(warning: Warning) -> str:
    return warning.edge.value if warning.edge is not None else "cut"


def _value(warning: Warning, index: int, unit: Unit) -> str:
    return warning.values[index].text_with_unit(unit)


def _cut_since(warning: Warning, unit: Unit) -> str:
    assert warning.before is not None
    before = warning.before
    value = f"{label(before.key, Form(unit))} at {figures(before.value, Form(unit))}"
    return f"Step {before.step} was done with {value} (ticked by {before.by}); that has changed since."


def _from_offcut(warning: Warning, unit: Unit) -> str:
    along, across = warning.values
    size = across_and_along(across, along, unit)
    square = "Square its cut edges first: every mark is from a square edge."
    return f"Cut it from the offcut “{warning.about}”, {size}. {square}"


def _wide(warning: Warning, unit: Unit) -> str:
    instead = f"; a {warning.shape.value} cut comes closer" if warning.shape is not None else ""
    return (
        f"The {_edge(warning)} edge leaves up to {_value(warning, 0, unit)} over its clearance, more than tape and "
        f"compound will bridge ({_value(warning, 1, unit)}){instead}."
    )


def _by_default(warning: Warning, _: Unit) -> str:
    other = warning.other or "left"
    return (
        f"Both sides are joints and the width tapers: the {_edge(warning)} side is cut. If it should be the other "
        f"one, say “cut the {other}”."
    )


def _from_floor(warning: Warning, _: Unit) -> str:
    known = "floor to ceiling" if warning.other else "the height there"
    return f"{_name(warning)} was measured up from below; it is converted with {known}."


def _web(warning: Warning, unit: Unit) -> str:
    beside = warning.other or f"the {_edge(warning)} edge"
    return (
        f"Only {_value(warning, 0, unit)} of board stays between {_name(warning)} and {beside}: it breaks easily. Saw, "
        "don't snap, and carry the board by the other side."
    )


def _off_framing(warning: Warning, unit: Unit) -> str:
    stud = _value(warning, 0, unit)
    said = f"The {_edge(warning)} end misses the framing: the nearest stud is centered {stud} from the left."
    if len(warning.values) > 1:
        return f"{said} Cut that end at {_value(warning, 1, unit)} from the left edge, or put blocking behind it."
    return f"{said} Put blocking behind it, or a piece of framing."


def _uncalled(warning: Warning, unit: Unit) -> str:
    where = f"from about {_value(warning, 0, unit)} to {_value(warning, 1, unit)} from the left"
    return (
        f"The layout has {_one(warning.about)} on this board, {where}, and it wasn't called here: call it, or cut it "
        "out along its framing once the board hangs, with every circuit there dead and tested."
    )


_SAYS: Mapping[Code, str | Callable[[Warning, Unit], str]] = {
    Code.BOWED_REFERENCE: "{name} was measured from the {edge}, where the {stands} bows {0} away from the cut at that "
    "place. It is marked by the readings, {1} from the {other}: check that with the tape.",
    Code.HELD: "{name} waits: it was measured from the {edge}, where the readings leave its place open by {0}, more "
    "than its plate covers. Measure it from the {other}, the edge that isn't cut, and call it again. Cut nothing for "
    "it until then.",
    Code.CUT_SINCE: _cut_since,
    Code.MAYBE_LEFT_OUT: "Entries of this job were lost: look along the wall for a box or an opening that isn't in "
    "this plan before cutting.",
    Code.UNCALLED: _uncalled,
    Code.FROM_OFFCUT: _from_offcut,
    Code.WIDE_GAP: _wide,
    Code.UNMEASURED_MIDDLE: "No width was taken in the middle: a bow would not show. Take one before cutting.",
    Code.SIDE_BY_DEFAULT: _by_default,
    Code.FROM_FLOOR: _from_floor,
    Code.OVER_EDGE: "{name} runs over the {edge} edge: what is beyond it belongs to the next board; mark it on both.",
    Code.WEB: _web,
    Code.STRIP: "The strip off the {edge} edge is only {0} at its narrowest: it won't snap clean. Score both faces and "
    "break it off bit by bit, or saw.",
    Code.SHORT_SHEET: "The piece takes the sheet's whole width, and a sheet may be {0} narrower than its nominal size: "
    "measure the sheet first.",
    Code.CUT_JOINT: "The {edge} edge is a joint and is cut: it has no tapered edge for the tape, so it takes a wider "
    "finish.",
    Code.NO_ROOM: "There is no room to turn the board in between {edge} and {other}: give one of the two edges a "
    "clearance.",
    Code.OFF_FRAMING: _off_framing,
    Code.CARRY: "Only {0} of board stays beside {name}: it can't be carried whole. Screw a strip across it until it "
    "hangs, or cut it in two.",
    Code.ACROSS_BOARDS: "{name} goes on past the {edge} edge: cut the next board along the same framing. Keep joints "
    "out of line with its corner.",
    Code.LAYERS: "Layer {other}: keep its joints at least {0} away from those of the layer below; its screws are "
    "longer by the layers under it.",
}
"""What each says, with places for its values, its name, its edges and what stands there; or what words it."""
