"""What a step says: what to do, and why so or why now."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from fieldvoice.records.board import Surface
from fieldvoice.records.length import Unit
from fieldvoice.records.meaning import Edge, Neighbor
from fieldvoice.records.plan import Does, Heed, HoleMarks, Mark, Offset, Reason, Shape, StandOff, Step, Tool, Where
from fieldvoice.wording.forms import Form, as_taped, first_large, hook, joined


def text(step: Step, unit: Unit) -> str:
    """The step for the eye, with figures."""
    return _SAYS[step.does](step, unit)


def why(step: Step) -> str | None:
    """Reason it is done so, or now."""
    return _WHY[step.why] if step.why is not None else None


def heed(step: Step) -> str | None:
    """What the cutting room asks to heed right there."""
    return _HEED[step.heed].format(name=step.opening) if step.heed is not None else None


def _lean(step: Step, unit: Unit) -> str:
    assert step.sheet is not None
    assert step.lies is not None
    sheet = step.sheet
    width, length, thickness = (side.text_with_unit(unit) for side in (sheet.width, sheet.length, sheet.thickness))
    size = f"{width} x {length}, {thickness}"
    source = "a sheet" if step.offcut is None else f"the offcut “{step.offcut}”,"
    said = f"Lean {source} {size}, {sheet.kind}, {step.lies.value}, face out."
    if step.offcut is not None:
        said += f" {_as_it_came(step.edges)}"
    if step.surface is Surface.CEILING:
        said += " Seen from below, with the side called top ahead of you: left is left."
    return said


def _as_it_came(cut: Sequence[Edge]) -> str:
    """Which edges of an offcut are cut already, as it hangs."""
    factory = [edge.value for edge in Edge if edge not in cut]
    if not cut:
        return "All four of its edges are factory edges."
    if not factory:
        return "All four of its edges are cut."
    edges = "its factory edge is" if len(factory) == 1 else "its factory edges are"
    cuts = "is cut" if len(cut) == 1 else "are cut"
    return f"Turn it so that {edges} {joined(factory)}; {joined([edge.value for edge in cut])} {cuts}."


def _mark(step: Step, unit: Unit) -> str:
    assert step.edge is not None
    assert step.origin is not None
    places = [f"{mark.distance.text_with_unit(unit)} {place(mark, unit)}" for mark in step.marks]
    first = step.marks[0].distance
    ends = all(not mark.along for mark in step.marks)
    if ends and all(mark.distance == first for mark in step.marks):
        places = [f"{first.text_with_unit(unit)} at both ends"]
    return f"{first_large(step.edge.value)} edge: from {hook(step.origin)} mark {', '.join(places)}."


def place(mark: Mark, unit: Unit) -> str:
    """Where along the cut a mark goes: at an end of the sheet as it is then, or so far from one."""
    if mark.start is None:
        return Form(unit).at(mark.at)
    if not mark.along:
        return f"at the {mark.start.value}"
    return f"at {mark.along.text_with_unit(unit)} {_FROM[mark.start]} edge"


_FROM = {
    Edge.TOP: "down from the top",
    Edge.BOTTOM: "up from the bottom",
    Edge.LEFT: "over from the left",
    Edge.RIGHT: "over from the right",
}


def _cut(step: Step, _: Unit) -> str:
    assert step.edge is not None
    edge = f"the {step.edge.value} edge"
    if step.shape is Shape.BROKEN:
        return (
            f"Join the marks of {edge} with straight lines, from each to the next. What lies on the sheet's own edge "
            "is not cut. Saw all other lines but the longest to where they meet, then score and snap that one."
        )
    if step.shape is Shape.SCRIBE:
        return f"Join the marks of {edge} with a bent strip and saw along the line, outside it; rasp to the line."
    if step.tool is Tool.SAW:
        return f"Snap a line through the marks of {edge} and saw along it: the strip is too thin to snap off."
    return (
        f"Snap a line through the marks, score {edge} along a straightedge, snap away from the score, cut the back "
        "paper."
    )


def _dress(step: Step, _: Unit) -> str:
    return f"Rasp the cut edges ({joined(edge.value for edge in step.edges)}) until the paper lies flat."


def _bevel(step: Step, _: Unit) -> str:
    edges = joined(edge.value for edge in step.edges)
    return f"Bevel the back of the {edges} end{'s' if len(step.edges) > 1 else ''}; leave the face as it is."


def _mark_opening(step: Step, unit: Unit) -> str:
    assert step.hole is not None
    return f"Mark {step.opening} ({step.kind}): {hole(step.hole, unit)}."


def hole(marks: HoleMarks, unit: Unit) -> str:
    """An opening's marks, each with the edge that it counts from."""
    parts = []
    if marks.center is not None:
        parts.append("center " + ", ".join(_offset(one, unit) for one in marks.center))
    if marks.radius is not None:
        parts.append(f"circle of radius {marks.radius.text_with_unit(unit)}")
    else:
        for pair, name in (((Edge.LEFT, Edge.RIGHT), "sides"), ((Edge.TOP, Edge.BOTTOM), "top and bottom")):
            said = [offset for edge, offset in marks.sides if edge in pair]
            if said:
                parts.append(f"{name} {_offsets(said, unit)}")
            marked = {edge for edge, _ in marks.sides}
            parts += [f"out over the {edge.value} edge" for edge in pair if edge not in marked and marks.sides]
    return "; ".join(parts)


def _offsets(said: list[Offset], unit: Unit) -> str:
    if len({one.hook for one in said}) == 1:
        figures = " and ".join(one.distance.text(unit) for one in said)
        return f"{figures} {unit.value} from {hook(said[0].hook)}"
    return " and ".join(_offset(one, unit) for one in said)


def _offset(one: Offset, unit: Unit) -> str:
    return f"{one.distance.text_with_unit(unit)} from {hook(one.hook)}"


def _make(step: Step, _: Unit) -> str:
    name = f"{step.opening} ({step.kind})"
    if step.tool is Tool.ROUTER:
        return (
            f"Rout {step.opening}: bit in at the center, out to the box's edge, over it, then counterclockwise around "
            "the outside; depth just past the board."
        )
    if step.tool is Tool.CIRCLE_CUTTER:
        return f"Cut {name} out now with a compass or a circle cutter, on the inside of the line; dress it to the line."
    if step.where is Where.WALL:
        return f"Cut {name} out along its framing: saw up the sides, score across, snap it out, cut the back paper."
    if step.tool is Tool.SAW:
        return f"Saw {name} out now: at an edge the short sides first, then score and snap the long one."
    return f"Cut {step.opening} by hand before hanging, on the inside of the lines, and dress it to the lines."


def _wait(step: Step, _: Unit) -> str:
    return f"Don't mark or cut {step.opening} yet, and don't hang the board over it: measure it again first."


def _hang(step: Step, unit: Unit) -> str:
    where = joined(_put(one, unit) for one in step.stand_offs) if step.stand_offs else ""
    lift = next((one for one in step.leaves if one.neighbor is Neighbor.FLOOR), None)
    parts = [f"Hang the board{': ' if where else ''}{where}."]
    if lift is not None:
        parts.append(
            f"The foot lift holds it: {as_taped(lift.off, unit).text_with_unit(unit)} stays open at the floor."
        )
    parts.append("Only a few screws, well away from the openings." if step.few else "Fasten it.")
    return " ".join(parts)


def _put(one: StandOff, unit: Unit) -> str:
    stands = _STANDS[one.neighbor]
    if not one.off:
        return f"the {one.edge.value} edge tight to {stands}"
    return f"the {one.edge.value} edge {as_taped(one.off, unit).text_with_unit(unit)} off {stands}"


_STANDS: Mapping[Neighbor, str] = {
    Neighbor.WALL: "the wall",
    Neighbor.CEILING: "the ceiling",
    Neighbor.FLOOR: "the floor",
    Neighbor.BOARD: "the board there",
    Neighbor.TRIM: "the trim",
    Neighbor.JAMB: "the jamb",
    Neighbor.MASONRY: "the masonry",
    Neighbor.OUTSIDE_CORNER: "the corner of the framing",
    Neighbor.OPEN: "the line where it ends",
}


def _fasten(_: Step, __: Unit) -> str:
    return "Put the rest of the screws in."


_SAYS: Mapping[Does, Callable[[Step, Unit], str]] = {
    Does.LEAN: _lean,
    Does.MARK: _mark,
    Does.CUT: _cut,
    Does.DRESS: _dress,
    Does.BEVEL: _bevel,
    Does.MARK_OPENING: _mark_opening,
    Does.MAKE_OPENING: _make,
    Does.WAIT: _wait,
    Does.HANG: _hang,
    Does.FASTEN: _fasten,
}

_WHY: Mapping[Reason, str] = {
    Reason.CORNERS: "On the face left stays left. Look at the corners: if one is broken, keep it on the waste side.",
    Reason.ENDS_FIRST: "The ends are cut to length first, so that the marks go on the finished corners.",
    Reason.STILL_LONG: "The sheet is still long: the marks go where the board's corners will be.",
    Reason.CHALK: "Blue chalk: red and black stain through paint.",
    Reason.SAW_FIRST: "A score can't be snapped around a corner: the saw goes first.",
    Reason.FOLLOWS: "The edge follows the bow: there is nothing straight to snap.",
    Reason.RAGGED: "A ragged edge keeps the board from seating.",
    Reason.HOOK: "Hook the tape on the edges that are named, and hold it level and plumb: other edges may slant.",
    Reason.INSIDE_CORNER: "A score runs past an inside corner; a saw cut stops it.",
    Reason.RATHER_SMALL: "Better too small than too big: the plate won't hide a big hole.",
    Reason.PRESSED: "A board pressed against a box breaks out there; the other screws go in once the openings are cut.",
    Reason.FRAMING_GUIDES: "The framing guides the saw, and the board is carried whole.",
    Reason.BEVELED: "Butted ends lie flush only where their backs don't touch first.",
}

_HEED: Mapping[Heed, str] = {
    Heed.TREAT_AS_LIVE: (
        "Treat the circuit at {name} as live: no tool goes into the box or near it, power stays off until a qualified "
        "person has tested it, and what can't be switched off is a job for the licensed electrician."
    ),
    Heed.DEVICE: "A device sits in {name}: no bit goes in there. Test again before anything touches it.",
    Heed.OPENING_BEHIND: (
        "The layout has an opening behind it that nobody called: once the board hangs, cut it out along its framing."
    ),
    Heed.ONLY_WHILE_OFF: "Only while the circuit at {name} is off.",
}
