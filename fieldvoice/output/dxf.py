"""Boards as DXF, to scale, for those with a cutting table: outlines on layers, and each mark as text with its line; and
a wall or a ceiling of a plan: outline, openings, boards, joints and framing.

A dimension style of the format made 4462.5 of 44.625 without an error, so dimensions are plain lines and plain text.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from fractions import Fraction
from functools import partial
from itertools import count
from textwrap import wrap
from typing import TYPE_CHECKING

from fieldvoice.errors import NoRule, NotHere
from fieldvoice.output.drawing.board import drawn_board, member_rows
from fieldvoice.output.drawing.marks import is_round, polygon, sheet, waste
from fieldvoice.output.drawing.picture import Anchor, Area, Circle, Label, Mark, Stroke
from fieldvoice.output.drawing.placing import Scale
from fieldvoice.output.fastening import plan_fastening
from fieldvoice.output.text import printable
from fieldvoice.records.length import MM_PER_INCH, ZERO, Length, Unit
from fieldvoice.records.meaning import Dimension
from fieldvoice.records.plan import CutPlan
from fieldvoice.records.room import RoughOpening, name_of
from fieldvoice.records.room_plan import JointKind, Piece, SurfacePlan
from fieldvoice.records.trouble import Trouble, Wrong
from fieldvoice.wording.captions import opening_figures, opening_names
from fieldvoice.wording.forms import piece_size

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


OUTLINE, BOARDS, TAPERED, BUTT = "OUTLINE", "BOARDS", "TAPERED_JOINTS", "BUTT_JOINTS"
OF_SURFACES = {OUTLINE: 7, OPENINGS: 1, FRAMING: 4, NOTES: 2, BOARDS: 8, TAPERED: 3, BUTT: 6}
"""Those of a wall or a ceiling."""
LETTERS = {Unit.INCH: Length(3), Unit.MM: Length.of(75, Unit.MM)}
"""How high letters are on the surface."""

Places = Sequence[tuple[Length, Length]]


def surface_dxf(plan: SurfacePlan, unit: Unit) -> bytes:
    """A DXF (R2010) of one surface in the job's unit, seen from the room, from its lower left corner, y up. What is of
    a second layer of board stands on layers of its own. The same bytes each time. Raises `NotHere` where the library
    isn't installed.
    """
    surface = plan.surface
    layers = range(1, surface.layers + 1)
    colors = {_of(name, layer): color for layer in layers for name, color in OF_SURFACES.items()}
    with dxf_file(unit, colors) as (document, content):
        space = document.modelspace()

        def outlined(corners: Places, layer: str) -> None:
            points = [(_figure(x, unit), _figure(y, unit)) for x, y in corners]
            space.add_lwpolyline(points, close=True, dxfattribs={"layer": layer})

        def lined(start: tuple[Length, Length], end: tuple[Length, Length], layer: str) -> None:
            first, last = ((_figure(x, unit), _figure(y, unit)) for x, y in (start, end))
            space.add_line(first, last, dxfattribs={"layer": layer})

        def noted(note: Note, layer: str) -> None:
            text, high = " ".join(printable(note.text).split()), _figure(note.high, unit)
            entity = space.add_text(text, height=high, dxfattribs={"layer": layer})
            entity.set_placement((_figure(note.x, unit), _figure(note.y, unit)))

        line = surface.top_line
        ends = [(surface.width, ZERO), (ZERO, ZERO)]
        outlined([*((point.across, point.height) for point in line), *ends], OUTLINE)
        for opening in surface.openings:
            outlined(_corners(opening), OPENINGS)
        upright = surface.members.along is Dimension.WIDTH
        for center in surface.members.centers(surface.width if upright else surface.height):
            if upright:
                lined((center, ZERO), (center, surface.top_at(center)), FRAMING)
            else:
                lined((ZERO, center), (surface.width, center), FRAMING)
        for piece in plan.pieces:
            outlined(_shape(piece), _of(BOARDS, piece.layer))
            noted(_of_piece(piece, unit), _of(NOTES, piece.layer))
        for note in _of_openings(plan, unit):
            noted(note, NOTES)
        for joint in plan.joints:
            lined(joint.start, joint.end, _of(BUTT if joint.kind is JointKind.BUTT else TAPERED, joint.layer))
        noted(Note(str(name_of(surface)), ZERO, surface.highest + LETTERS[unit], LETTERS[unit]), NOTES)
        return content()


@dataclass(frozen=True, slots=True)
class Note:
    """A line of text from its lower left corner on, in letters so high."""

    text: str
    x: Length
    y: Length
    high: Length

    @property
    def right(self) -> Length:
        """Where it ends at most: no letter is wider than it is high."""
        return self.x + self.high * len(self.text)

    def meets(self, other: Note) -> bool:
        """Whether one lies on the other, with what hangs below a line."""
        level = self.x < other.right and other.x < self.right
        below, under = self.y - self.high / 3, other.y - other.high / 3
        return level and below < other.y + other.high and under < self.y + self.high


def _of_piece(piece: Piece, unit: Unit) -> Note:
    """Its number and its size, in its lower left corner and no wider than it, over those of the layer below."""
    text = f"{piece.name.number}: {piece_size(piece, unit)}"
    high = min(LETTERS[unit], piece.width / (len(text) + 1))
    up = high / 2 + LETTERS[unit] * Fraction(3, 2) * (piece.layer - 1)
    return Note(text, piece.x + high / 2, piece.y + up, high)


def _of_openings(plan: SurfacePlan, unit: Unit) -> Iterator[Note]:
    """What each opening is, how large and where, a line each: in it or right of it, as high up in it as they lie on no
    other note; in smaller letters where they must.
    """
    openings, taken = plan.surface.openings, [_of_piece(piece, unit) for piece in plan.pieces]
    for name, one in zip(opening_names(openings), openings, strict=True):
        lines = (name, *opening_figures(one, plan.surface.kind, unit))
        block = next(notes for notes in _blocks(lines, one, unit) if not any(a.meets(b) for a in notes for b in taken))
        taken += block
        yield from block


def _blocks(lines: Sequence[str], one: RoughOpening, unit: Unit) -> Iterator[list[Note]]:
    """Places for these lines, one below the other, the best first; each has some that are free, far enough down."""
    for part in (1, 2, 4):
        high = LETTERS[unit] / part
        pitch = high * Fraction(3, 2)
        rooms = max(int((one.height.inches - len(lines) * pitch.inches) / pitch.inches), 0) + 1
        for x in (one.left + high / 2, one.right + high / 2):
            for down in range(rooms * 2):
                top = one.top - pitch * (Fraction(down, 2) + 1)
                yield [Note(line, x, top - pitch * number, high) for number, line in enumerate(lines)]
    for number in count(1):
        yield [Note(line, one.left, -high * 2 * (number + row), high) for row, line in enumerate(lines)]


def _of(name: str, layer: int) -> str:
    """A layer of the drawing for a layer of board."""
    return name if layer == 1 else f"{name}_{layer}"


def _figure(length: Length, unit: Unit) -> float:
    return float(length.in_unit(unit))


def _corners(opening: RoughOpening) -> Places:
    sides = opening.left, opening.right
    return [(sides[0], opening.bottom), (sides[1], opening.bottom), (sides[1], opening.top), (sides[0], opening.top)]


def _shape(piece: Piece) -> Places:
    tops = [(piece.x + one.across, piece.y + one.height) for one in piece.top_corners]
    return [*tops, (piece.right, piece.y), (piece.x, piece.y)]
