"""The pieces of a planned room as panels on their framing."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

from fieldvoice.fastening.panels import STEPS, Hole, Panel
from fieldvoice.fastening.rows import Choice
from fieldvoice.records.board import Lies, Surface
from fieldvoice.records.fastening import Direction, Location, Situation
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Dimension, Neighbor
from fieldvoice.records.room import RoomSurface, RoughOpening
from fieldvoice.records.room_plan import Piece

ALONE = Length(16)
"""The spacing that the rules are asked with where a surface has one member or none in it: its ends are framing."""


def panel_of_piece(piece: Piece, surface: RoomSurface, unit: Unit, choice: Choice) -> Panel:
    """A piece of a surface's plan, from its left and top."""
    high = piece.height.inches
    outline = (
        (Fraction(0), high - piece.left_height.inches),
        (piece.width.inches, high - piece.right_height.inches),
        (piece.width.inches, high),
        (Fraction(0), high),
    )
    return Panel(
        outline=outline,
        holes=tuple(hole for opening in surface.openings if (hole := _hole(piece, opening)) is not None),
        members=_members(piece, surface),
        across=surface.members.along is Dimension.HEIGHT,
        joints=frozenset(edge for edge, stands in piece.edges.items() if stands.neighbor is Neighbor.BOARD),
        called=True,
        case=_case(piece, surface, choice),
        sheet=piece.sheet,
        step=STEPS[unit],
        hangs_at=piece.y if surface.kind is Surface.WALL else Length(0),
    )


def _hole(piece: Piece, opening: RoughOpening) -> Hole | None:
    """What of an opening lies on the piece; it is cut out once the piece hangs unless it runs out over its edge."""
    left, right = (opening.left - piece.x).inches, (opening.right - piece.x).inches
    top, bottom = (piece.top - opening.top).inches, (piece.top - opening.bottom).inches
    wide, high = piece.width.inches, piece.height.inches
    if left >= wide or right <= 0 or top >= high or bottom <= 0:
        return None
    inside = left > 0 and right < wide and top > 0 and bottom < high
    return Hole(left, right, top, bottom, framed=True, beforehand=not inside)


def _members(piece: Piece, surface: RoomSurface) -> tuple[Fraction, ...]:
    """Centers on the piece, from its left, or from its top where members run across."""
    if surface.members.along is Dimension.WIDTH:
        return tuple((center - piece.x).inches for center in surface.members.centers(surface.width))
    return tuple((piece.top - center).inches for center in reversed(surface.members.centers(surface.highest)))


def _case(piece: Piece, surface: RoomSurface, choice: Choice) -> Situation:
    across = (piece.lies is Lies.LYING) is (surface.members.along is Dimension.WIDTH)
    return Situation(
        location=Location.CEILING if surface.kind is Surface.CEILING else Location.WALL,
        thickness=surface.thickness,
        kind=surface.board,
        layers=piece.layer,
        framing=surface.members.material.value,
        spacing=_spacing(surface),
        direction=Direction.ACROSS if across else Direction.ALONG,
        fastener=choice.fastener,
        grip=choice.grip,
        adhesive=choice.adhesive,
    )


def _spacing(surface: RoomSurface) -> Length:
    """Center to center; where the places were called one by one, the widest of them."""
    members = surface.members
    if members.spacing is not None:
        return members.spacing
    extent = surface.width if members.along is Dimension.WIDTH else surface.highest
    centers = members.centers(extent)
    apart = [b - a for a, b in pairwise(centers)]
    return max(apart, default=ALONE)
