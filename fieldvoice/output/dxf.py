"""Boards as DXF, to scale, for those with a cutting table: outlines on layers, and each mark as text with its line.

A dimension style of the format made 4462.5 of 44.625 without an error, so dimensions are plain lines and plain text.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from fractions import Fraction
from functools import partial
from textwrap import wrap
from typing import TYPE_CHECKING

from fieldvoice.errors import NoRule, NotHere
from fieldvoice.output.drawing.board import drawn_board, member_rows
from fieldvoice.output.drawing.marks import is_round, polygon, sheet, waste
from fieldvoice.output.drawing.picture import Anchor, Area, Circle, Label, Mark, Stroke
from fieldvoice.output.drawing.placing import Scale
from fieldvoice.output.fastening import plan_fastening
from fieldvoice.output.text import printable
from fieldvoice.records.length import MM_PER_INCH, Unit
from fieldvoice.records.plan import CutPlan
from fieldvoice.records.trouble import Trouble, Wrong

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from ezdxf.layouts.layout import Modelspace

BOARD, SHEET, WASTE, OPENINGS, MARKS = "BOARD", "SHEET", "WASTE", "OPENINGS", "MARKS"
FASTENERS, FRAMING, NOTES = "FASTENERS", "FRAMING", "NOTES"
COLORS = {BOARD: 7, SHEET: 8, WASTE: 9, OPENINGS: 1, MARKS: 5, FASTENERS: 3, FRAMING: 4, NOTES: 2}
"""Layers with their color numbers. What is fastened is to look at and not to cut: it stands on layers of its own."""
HEAD = Fraction(1, 8)
"""The radius of a fastener in the drawing, in inches."""
LINE, OVER, LONGEST = Fraction(4), 6, 90
"""Inches from line to line of what is written over the boards; so many lines over the highest of them; and the letters
of a line.
"""
_UNITS = {Unit.INCH: 1, Unit.MM: 4}
_BETWEEN = Fraction(24)
"""Inches from board to board where there are several."""


def dxf(plans: Sequence[CutPlan], notes: Sequence[str] = ()) -> bytes:
    """A DXF (R2010) with the boards side by side, each from its top left, y up, in the unit of the first one's job, and
    over them `notes`, a line each. The same bytes each time. Raises `NotHere` where the library isn't installed.
    """
    unit = plans[0].board.unit
    with dxf_file(unit, COLORS) as (document, content):
        _write_over(document, notes, unit)
        left = Fraction(0)
        for plan in plans:
            extent = sheet(plan)
            _BoardPlace(document, unit, left - extent.left).draw(plan)
            left += extent.right - extent.left + _BETWEEN
        return content()


@contextmanager
def dxf_file(unit: Unit, colors: Mapping[str, int]) -> Iterator[tuple[Drawing, Callable[[], bytes]]]:
    """A new drawing with its layers, and what gives its bytes: the same ones for the same drawing. Raises `NotHere`
    where the library isn't installed.
    """
    try:
        from ezdxf._options import options
        from ezdxf.filemanagement import new
    except ImportError as trouble:
        raise NotHere(Trouble(Wrong.NO_DXF_LIBRARY)) from trouble
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True  # no time and no random name in the file
    try:
        document = new("R2010", setup=False, units=_UNITS[unit])
        for name, color in colors.items():
            document.layers.add(name, color=color)
        yield document, partial(_bytes, document)
    finally:
        options.write_fixed_meta_data_for_testing = before


def _write_over(document: Drawing, notes: Sequence[str], unit: Unit) -> None:
    """Lines of text over everything that is drawn, the first one highest, none longer than a few boards are wide: what
    opens a drawing shows all of it, boards and all.
    """
    step = float(LINE if unit is Unit.INCH else LINE * MM_PER_INCH)
    lines = [line for note in notes for line in wrap(" ".join(printable(note).splitlines()), LONGEST)]
    for number, line in enumerate(lines):
        entity = document.modelspace().add_text(line, height=step / 2, dxfattribs={"layer": NOTES})
        entity.set_placement((0.0, step * (len(lines) + OVER - number)))


def _bytes(document: Drawing) -> bytes:
    for name in sorted(document.entitydb.dxf_types_in_use()):  # else in the order of a set, another one each time
        document.classes.add_class(name)
    out = io.StringIO()
    document.write(out)
    return out.getvalue().encode("utf-8")


class _BoardPlace:
    """Where one board goes in the drawing: `right` inches from its left."""

    def __init__(self, document: Drawing, unit: Unit, right: Fraction) -> None:
        self._space: Modelspace = document.modelspace()
        self._right = right
        self._unit = Fraction(1) if unit is Unit.INCH else MM_PER_INCH

    def draw(self, plan: CutPlan) -> None:
        """Everything of one board."""
        extent = sheet(plan)
        corners = ((extent.left, extent.top), (extent.right, extent.top), (extent.right, extent.bottom))
        self._outline((*corners, (extent.left, extent.bottom)), SHEET)
        for piece in waste(plan):
            self._outline(piece, WASTE)
        self._outline(polygon(plan), BOARD)
        for opening in (one for one in plan.openings if not one.held):  # a table would cut what it finds there
            around = tuple((point.x.inches, point.y.inches) for point in opening.corners)
            if is_round(opening):
                self._circle(around)
            else:
                self._outline(around, OPENINGS)
        self._fastened(plan)
        high = float(extent.bottom - extent.top)
        wide = float(extent.right - extent.left)
        picture, scale = drawn_board(plan, 6 * wide + 100, 6 * high + 100)
        for mark in picture.marks:
            self._mark(mark, scale)

    def _fastened(self, plan: CutPlan) -> None:
        """A circle a fastener, and a line along each member between the board's edges."""
        found = plan_fastening(plan)
        if isinstance(found, NoRule):
            return
        for spot in found.spots:
            center = self._at(spot.x.inches, spot.y.inches)
            self._space.add_circle(center, float(HEAD * self._unit), dxfattribs={"layer": FASTENERS})
        for x, ys in member_rows(found):
            self._space.add_line(self._at(x, min(ys)), self._at(x, max(ys)), dxfattribs={"layer": FRAMING})

    def _at(self, x: Fraction, y: Fraction) -> tuple[float, float]:
        return float((x + self._right) * self._unit), float(-y * self._unit)

    def _outline(self, corners: tuple[tuple[Fraction, Fraction], ...], layer: str) -> None:
        points = [self._at(x, y) for x, y in corners]
        self._space.add_lwpolyline(points, close=True, dxfattribs={"layer": layer})

    def _circle(self, around: tuple[tuple[Fraction, Fraction], ...]) -> None:
        xs, ys = [x for x, _ in around], [y for _, y in around]
        middle = self._at((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
        radius = float((max(xs) - min(xs)) / 2 * self._unit)
        self._space.add_circle(middle, radius, dxfattribs={"layer": OPENINGS})

    def _paper(self, at: tuple[float, float], scale: Scale) -> tuple[float, float]:
        """A place of the picture, back on the sheet."""
        x, y = (at[0] - scale.left) / scale.factor, (at[1] - scale.top) / scale.factor
        return (x + float(self._right)) * float(self._unit), -y * float(self._unit)

    def _mark(self, mark: Mark, scale: Scale) -> None:
        """Dimension lines, arrows, rings and every text; the outlines are drawn exactly elsewhere."""
        match mark:
            case Stroke() if not mark.closed and not mark.dash and len(mark.points) == 2:
                start, end = (self._paper(point, scale) for point in mark.points)
                self._space.add_line(start, end, dxfattribs={"layer": MARKS})
            case Area() if mark.gray == 0:
                first, second, third = (self._paper(point, scale) for point in mark.points)
                self._space.add_solid([first, second, third], dxfattribs={"layer": MARKS})
            case Circle():
                radius = mark.radius / scale.factor * float(self._unit)
                self._space.add_circle(self._paper(mark.center, scale), radius, dxfattribs={"layer": MARKS})
            case Label():
                self._text(mark, scale)
            case _:
                return

    def _text(self, label: Label, scale: Scale) -> None:
        from ezdxf.enums import TextEntityAlignment as Align

        aligned = {Anchor.START: Align.LEFT, Anchor.MIDDLE: Align.CENTER, Anchor.END: Align.RIGHT}
        entity = self._space.add_text(
            " ".join(printable(label.text).splitlines()),
            height=label.height / scale.factor * float(self._unit),
            rotation=90 if label.turned else 0,
            dxfattribs={"layer": MARKS},
        )
        entity.set_placement(self._paper((label.x, label.y), scale), align=aligned[label.anchor])
