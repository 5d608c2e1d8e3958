"""The sketch beside the marks: the board in its sheet, with the tape's hooks and the pencil's places of one cut."""

from __future__ import annotations

from fractions import Fraction

from rich.text import Text

from fieldvoice.dialogue.view import View
from fieldvoice.output.marks import Marks
from fieldvoice.output.screen.parts import Lines, Medium
from fieldvoice.output.sketch import Corner, Ink, Outline, Sketched, sketch
from fieldvoice.records.meaning import Edge
from fieldvoice.records.plan import CutLine, CutPlan, Point2

FEWEST_ROWS = 9
"""In fewer a board can't be made out."""

_HOOKS = {
    Edge.LEFT: Ink.HOOK_LEFT,
    Edge.RIGHT: Ink.HOOK_RIGHT,
    Edge.TOP: Ink.HOOK_TOP,
    Edge.BOTTOM: Ink.HOOK_BOTTOM,
}
_LEVEL = frozenset({Edge.TOP, Edge.BOTTOM})


def board_sketch(view: View, marks: Marks, columns: int, rows: int, medium: Medium) -> Lines:
    """The board of the view's plan, or nothing where there is no plan or no room."""
    if view.plan is None or rows < FEWEST_ROWS:
        return ()
    return tuple(Text(line) for line in sketch(sketched(view.plan, marks.cut), columns, rows, medium.inks))


def sketched(plan: CutPlan, cut: CutLine | None) -> Sketched:
    """The sheet with the board in it; for one cut the hooks and the marks too."""
    board = _outline(plan.outline)
    xs, ys = zip(*board, *(corner for piece in plan.offcut for corner in _outline(piece)), strict=True)
    left, right, top, bottom = min(xs), max(xs), min(ys), max(ys)
    whole = ((left, top), (right, top), (right, bottom), (left, bottom))
    openings = tuple(_outline(each.corners) for each in plan.openings if each.corners)
    if cut is None:
        return Sketched(whole, board, openings)
    ends = {Edge.LEFT: left, Edge.RIGHT: right, Edge.TOP: top, Edge.BOTTOM: bottom}
    along = (left, right) if cut.edge in _LEVEL else (top, bottom)
    places = (along[0], along[1])
    hooks = tuple((_corner(cut, ends[cut.origin], place), _HOOKS[cut.origin]) for place in places)
    first, last = _measured(cut, ends[cut.origin], 0), _measured(cut, ends[cut.origin], -1)
    marked = (_corner(cut, first, places[0]), _corner(cut, last, places[1]))
    return Sketched(whole, board, openings, hooks, marked)


def _measured(cut: CutLine, origin: Fraction, number: int) -> Fraction:
    """Where the mark lies, going from the hooked edge into the sheet."""
    distance = cut.marks[number].distance.inches
    return origin + distance if cut.origin in {Edge.LEFT, Edge.TOP} else origin - distance


def _corner(cut: CutLine, across: Fraction, along: Fraction) -> Corner:
    return (along, across) if cut.edge in _LEVEL else (across, along)


def _outline(points: tuple[Point2, ...]) -> Outline:
    return tuple((point.x.inches, point.y.inches) for point in points)
