"""A wall or ceiling of a plan as DXF, to scale: outline, openings, boards, joints and framing, each on a layer."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from fieldvoice.output.dxf import dxf_file
from fieldvoice.output.text import printable
from fieldvoice.records.length import ZERO, Length, Unit
from fieldvoice.records.meaning import Dimension
from fieldvoice.records.room import RoughOpening, name_of
from fieldvoice.records.room_plan import JointKind, Piece, SurfacePlan
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

        def noted(text: str, x: Length, y: Length, layer: str) -> None:
            high = _figure(LETTERS[unit], unit)
            entity = space.add_text(" ".join(printable(text).split()), height=high, dxfattribs={"layer": layer})
            entity.set_placement((_figure(x, unit), _figure(y, unit)))

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
            inset = LETTERS[unit] / 2
            text = f"{piece.name.number}: {piece_size(piece, unit)}"
            up = inset + LETTERS[unit] * Fraction(3, 2) * (piece.layer - 1)  # over those of the layer below
            noted(text, piece.x + inset, piece.y + up, _of(NOTES, piece.layer))
        for joint in plan.joints:
            lined(joint.start, joint.end, _of(BUTT if joint.kind is JointKind.BUTT else TAPERED, joint.layer))
        noted(str(name_of(surface)), ZERO, surface.highest + LETTERS[unit], NOTES)
        return content()


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
