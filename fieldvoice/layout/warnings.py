"""What a plan can't cure: framing too wide for the board, a wish that could not be kept, a cut edge in a joint."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from fieldvoice.layout.frame import Frame
from fieldvoice.layout.pools import Pool
from fieldvoice.layout.rules import LIMITS
from fieldvoice.layout.solving import Solved
from fieldvoice.records.board import Surface
from fieldvoice.records.laying import HangThem, LayoutWish, StartFrom
from fieldvoice.records.length import ZERO, Length
from fieldvoice.records.meaning import Dimension, Edge
from fieldvoice.records.room import House, RoomSurface, name_of
from fieldvoice.records.room_plan import RoomWarning, RoomWarningCode


def warnings(
    house: House, wishes: Sequence[LayoutWish], ready: Sequence[Pool], solved: Sequence[Solved]
) -> tuple[RoomWarning, ...]:
    """All of them, surface by surface."""
    found: list[RoomWarning] = []
    for pool, one in zip(ready, solved, strict=True):
        for frame, chosen in zip(pool.frames, one.chosen, strict=True):
            found += _framing(house, frame)
            if chosen.arrangement.cut_joints:
                length = pool.grid.length(chosen.arrangement.cut_joints)
                found.append(RoomWarning(RoomWarningCode.CUT_EDGE_IN_JOINT, name_of(frame.surface), (length,)))
            found += _wishes(frame, wishes)
    return tuple(found)


def _framing(house: House, frame: Frame) -> list[RoomWarning]:
    surface, limits = frame.surface, LIMITS[house.unit]
    widest = _widest(surface)
    if widest > limits.widest_framing:
        return [RoomWarning(RoomWarningCode.FRAMING_TOO_WIDE, name_of(surface), (widest, limits.widest_framing))]
    if surface.kind is Surface.CEILING and not frame.across and widest > limits.widest_along_joists:
        return [RoomWarning(RoomWarningCode.SAG, name_of(surface), (widest, limits.widest_along_joists))]
    return []


def _widest(surface: RoomSurface) -> Length:
    """The widest stretch between members, the ends being framing."""
    extent = surface.width if surface.members.along is Dimension.WIDTH else surface.height
    places = (ZERO, *surface.members.centers(extent), extent)
    return max(far - near for near, far in pairwise(places))


def _wishes(frame: Frame, wishes: Sequence[LayoutWish]) -> list[RoomWarning]:
    """A wall can't be begun at its floor, and sheets can't stand under a slope."""
    name = name_of(frame.surface)
    for wish in wishes:
        if isinstance(wish, StartFrom) and wish.surface in (None, name) and frame.wall and wish.edge is Edge.BOTTOM:
            return [RoomWarning(RoomWarningCode.WISH_NOT_KEPT, name)]
        if isinstance(wish, HangThem) and wish.surface in (None, name) and wish.lies is not frame.lies:
            return [RoomWarning(RoomWarningCode.WISH_NOT_KEPT, name)]
    return []
