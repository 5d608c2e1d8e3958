"""A wall or ceiling of a plan as DXF, to scale: outline, openings, boards, joints and framing, each on a layer."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import count

from fieldvoice.output.dxf import dxf_file
from fieldvoice.output.text import printable
from fieldvoice.records.length import ZERO, Length, Unit
from fieldvoice.records.meaning import Dimension
from fieldvoice.records.room import RoughOpening, name_of
from fieldvoice.records.room_plan import JointKind, Piece, SurfacePlan
from fieldvoice.wording.captions import opening_figures, opening_names
from fieldvoice.wording.forms import piece_size

OUTLINE, OPENINGS, FRAMING, NOTES = "OUTLINE", "OPENINGS", "FRAMING", "NOTES"
BOARDS, TAPERED, BUTT = "BOARDS", "TAPERED_JOINTS", "BUTT_JOINTS"
COLORS = {OUTLINE: 7, OPENINGS: 1, FRAMING: 4, NOTES: 2, BOARDS: 8, TAPERED: 3, BUTT: 6}
"""Layers with their color numbers."""
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
    colors = {_of(name, layer): color for layer in layers for name, color in COLORS.items()}
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
