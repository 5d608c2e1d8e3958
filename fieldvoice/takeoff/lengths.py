"""Feet of joints, corners and edges: each once, whichever boards meet there."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from math import ceil, isqrt

from fieldvoice.records.board import Surface
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Edge, Neighbor
from fieldvoice.records.plan import CutPlan
from fieldvoice.records.room import RoomSurface
from fieldvoice.records.room_plan import Piece, RoomPlan, SurfacePlan

CORNER = (Neighbor.WALL, Neighbor.CEILING)
SIXTEENTH = Fraction(1, 16)
CLOSED = 3
"""So many walls go all the way round a room."""


def face(surface: SurfacePlan) -> tuple[Piece, ...]:
    """The pieces that are seen: those of the last layer."""
    return tuple(piece for piece in surface.pieces if piece.layer == surface.surface.layers)


def joint_inches(surface: SurfacePlan) -> Fraction:
    """Inches of joint between the boards of a surface's face, openings left out."""
    last = surface.surface.layers
    return sum((joint.length.inches for joint in surface.joints if joint.layer == last), Fraction(0))


def corner_inches(plan: RoomPlan) -> Fraction:
    """Inches of inside corner, each once: wall to wall, and wall to ceiling.

    Walls stand in the order in which one goes round their room: of three or more the last meets the first, so that two
    ends make a corner; of fewer, the ends that meet no wall of the plan meet one that is there already. Where a room's
    ceiling is planned its own edges are the corner to the walls, else the tops of the walls are.
    """
    return sum((_room_corners(surfaces) for surfaces in _rooms(plan).values()), Fraction(0))


def _rooms(plan: RoomPlan) -> dict[str, list[SurfacePlan]]:
    rooms: dict[str, list[SurfacePlan]] = {}
    for surface in plan.surfaces:
        rooms.setdefault(surface.surface.room, []).append(surface)
    return rooms


def _room_corners(surfaces: list[SurfacePlan]) -> Fraction:
    walls = [one for one in surfaces if one.surface.kind is Surface.WALL]
    ceilings = [one for one in surfaces if one.surface.kind is Surface.CEILING]
    ends = [end for wall in walls for end in (_edge_inches(wall, Edge.LEFT), _edge_inches(wall, Edge.RIGHT))]
    upright = _upright(ends, closed=len(walls) >= CLOSED)
    if ceilings:
        return upright + sum((_edge_inches(one, edge) for one in ceilings for edge in Edge), Fraction(0))
    return upright + sum((_edge_inches(wall, Edge.TOP) for wall in walls), Fraction(0))


def _upright(ends: list[Fraction], *, closed: bool) -> Fraction:
    """`ends` are left, right, left, right …: a right end and the next left one are one corner; the higher counts."""
    if not ends:
        return Fraction(0)
    pairs = [max(a, b) for a, b in zip(ends[1:-1:2], ends[2::2], strict=True)]
    outer = max(ends[0], ends[-1]) if closed else ends[0] + ends[-1]
    return sum(pairs, outer)


def _edge_inches(surface: SurfacePlan, edge: Edge) -> Fraction:
    """Inches of a surface's side where its face meets a wall or a ceiling."""
    return sum((side(piece, edge) for piece in face(surface) if piece.edges[edge].neighbor in CORNER), Fraction(0))


def outside_corner_inches(plan: RoomPlan) -> Fraction:
    """Inches of edges at outside corners on the face, both boards of a corner counted."""
    return sum(
        (
            side(piece, edge)
            for surface in plan.surfaces
            for piece in face(surface)
            for edge, stands in piece.edges.items()
            if stands.neighbor is Neighbor.OUTSIDE_CORNER
        ),
        Fraction(0),
    )


def side(piece: Piece, edge: Edge) -> Fraction:
    """How long a piece's side is; under a slope rounded up to a sixteenth."""
    if edge is Edge.LEFT:
        return piece.left_height.inches
    if edge is Edge.RIGHT:
        return piece.right_height.inches
    if edge is Edge.BOTTOM:
        return piece.width.inches
    return slant(piece.width.inches, piece.right_height.inches - piece.left_height.inches)


def slant(across: Fraction, down: Fraction) -> Fraction:
    """The length of a line, exactly where it is level or upright, else up to the next sixteenth."""
    if not across or not down:
        return abs(across) + abs(down)
    squared = ceil((across * across + down * down) / SIXTEENTH**2)
    return (isqrt(squared - 1) + 1) * SIXTEENTH


def net_area(surface: RoomSurface) -> Fraction:
    """Square inches of a surface less its openings."""
    sides = surface.top_at(Length(0)).inches + surface.top_at(surface.width).inches
    holes = sum((one.width.inches * one.height.inches for one in surface.openings), Fraction(0))
    return surface.width.inches * sides / 2 - holes


def edges_at(plans: Iterable[CutPlan], stands: frozenset[Neighbor]) -> Fraction:
    """Inches of the boards' edges at those neighbors, each board's by itself."""
    return sum((length for plan in plans for length in _edges(plan, stands)), Fraction(0))


def _edges(plan: CutPlan, stands: frozenset[Neighbor]) -> Iterator[Fraction]:
    """The outline's sides at those neighbors; a side belongs to the edge that it is turned to."""
    points = [(point.x.inches, point.y.inches) for point in plan.outline]
    ends = list(zip(points, points[1:] + points[:1], strict=True))
    clockwise = sum(a[0] * b[1] - b[0] * a[1] for a, b in ends) > 0
    for (ax, ay), (bx, by) in ends:
        dx, dy = (bx - ax, by - ay) if clockwise else (ax - bx, ay - by)
        edge = (Edge.TOP if dx > 0 else Edge.BOTTOM) if abs(dx) >= abs(dy) else (Edge.RIGHT if dy > 0 else Edge.LEFT)
        if plan.board.edges[edge].neighbor in stands:
            yield slant(dx, dy)
