"""Surfaces that share sheets, made ready to be solved: one board of one thickness, on one grid, with its stocks."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import IntEnum
from fractions import Fraction
from itertools import chain
from math import gcd, lcm

from fieldvoice.errors import CannotCut
from fieldvoice.layout.courses import MOST_SHIFTED, below_hung, four_sided, in_two, layered, parted_at_breaks
from fieldvoice.layout.frame import Frame, Grid, Steps, frame_of, lying_of, steps_of
from fieldvoice.layout.rows import Arrangement, InPlace, arrangement
from fieldvoice.layout.rules import LIMITS
from fieldvoice.records.board import Lies, Offcut, Sheet, Surface
from fieldvoice.records.laying import HangThem, OnlyLengths, PlannersWish, StartFrom
from fieldvoice.records.length import ZERO, Length, Unit
from fieldvoice.records.meaning import Edge
from fieldvoice.records.room import House, RoomSurface, SurfaceName, level_top, name_of
from fieldvoice.records.room_plan import Piece
from fieldvoice.records.trouble import Hinders, Hindrance
from fieldvoice.stock.needs import Stock

COUNTED_WIDTH = {Unit.INCH: Length(48), Unit.MM: Length.of(1200, Unit.MM)}
"""A foot of sheet of this width counts as one foot."""


class Relaxed(IntEnum):
    """What is asked of a surface no more, where its joints would come too near each other else."""

    NOTHING = 0
    BREAKS = 1
    """That a joint is where the slope of its top changes."""
    OPENINGS = 2
    """Nor that no piece ends at both sides over an opening that a sheet reaches past."""


@dataclass(frozen=True, slots=True)
class Pool:
    """Surfaces that are cut from the same board, with the ways in which each can be divided. `module` is the cost of
    one unit of a stock's cost, in feet.
    """

    surfaces: tuple[RoomSurface, ...]
    frames: tuple[Frame, ...]
    options: tuple[tuple[Arrangement, ...], ...]
    grid: Grid
    stocks: tuple[Stock, ...]
    sheets: tuple[Sheet, ...]
    rack: tuple[Offcut, ...]
    module: Fraction


def feet_of(sheet: Sheet, unit: Unit) -> Fraction:
    """What a sheet counts: its feet of length, times its width over that of a common one."""
    return sheet.length.inches / 12 * (sheet.width / COUNTED_WIDTH[unit])


def pools(
    house: House,
    wishes: Sequence[PlannersWish],
    done: Sequence[Piece],
    rack: Sequence[Offcut],
    relaxed: Mapping[SurfaceName, Relaxed] | None = None,
) -> tuple[Pool, ...]:
    """The house by board and thickness, in the order in which they come up, what is asked of the surfaces of `relaxed`
    being less.
    """
    kinds = dict.fromkeys((surface.thickness, surface.board) for surface in house.surfaces)
    return tuple(_pool(house, wishes, done, rack, relaxed or {}, *kind) for kind in kinds)


def _pool(
    house: House,
    wishes: Sequence[PlannersWish],
    done: Sequence[Piece],
    rack: Sequence[Offcut],
    relaxed: Mapping[SurfaceName, Relaxed],
    thickness: Length,
    board: str,
) -> Pool:
    surfaces = tuple(one for one in house.surfaces if (one.thickness, one.board) == (thickness, board))
    sheets = tuple(Sheet(one.width, one.length, thickness, board) for one in _allowed(house, wishes))
    offcuts = tuple(one for one in rack if (one.thickness, one.board) == (thickness, board))
    limits = LIMITS[house.unit]
    grid = _grid(house, surfaces, sheets, done)
    steps = steps_of(limits, grid)
    module, stocks = priced(sheets, offcuts, grid, house.unit)
    frames, options = [], []
    for one in surfaces:
        here = [piece for piece in done if piece.name.surface == name_of(one)]
        ways = [frame_of(one, grid, lies, _start(one, wishes)) for lies in _ways_to_lie(one, wishes, here)]
        frame, found = _options(ways, stocks, steps, here, relaxed.get(name_of(one), Relaxed.NOTHING))
        frames.append(frame)
        options.append(found)
    return Pool(surfaces, tuple(frames), tuple(options), grid, stocks, sheets, offcuts, module)


def _allowed(house: House, wishes: Sequence[PlannersWish]) -> tuple[Sheet, ...]:
    """The sheets to be had, of the lengths that are wished for."""
    sheets = house.sheets
    for wish in wishes:
        if isinstance(wish, OnlyLengths):
            sheets = tuple(sheet for sheet in sheets if sheet.length in wish.lengths)
    if not sheets:
        raise CannotCut(Hindrance(Hinders.NO_SHEET_OF_LENGTH))
    return sheets


def lies_as_wished(surface: RoomSurface, wishes: Sequence[PlannersWish]) -> Lies:
    """How its sheets lie: as wished last, else as the surface has it."""
    lies = _lies_asked(surface, wishes)
    return lying_of(surface) if lies is None else lies


def _lies_asked(surface: RoomSurface, wishes: Sequence[PlannersWish]) -> Lies | None:
    lies = surface.lies
    for wish in wishes:
        if isinstance(wish, HangThem) and _meant(wish.surface, surface):
            lies = wish.lies
    return lies


def _ways_to_lie(surface: RoomSurface, wishes: Sequence[PlannersWish], done: Sequence[Piece]) -> tuple[Lies, ...]:
    """How its sheets may lie, what is liked best first: under a slope, where nobody said and nothing hangs, they may
    stand.
    """
    if level_top(surface) or _lies_asked(surface, wishes) is not None:
        return (lies_as_wished(surface, wishes),)
    return tuple(dict.fromkeys(piece.lies for piece in done)) or (Lies.LYING, Lies.STANDING)


def _start(surface: RoomSurface, wishes: Sequence[PlannersWish]) -> Edge | None:
    start = None
    for wish in wishes:
        if isinstance(wish, StartFrom) and _meant(wish.surface, surface):
            start = wish.edge
    at_floor = surface.kind is Surface.WALL and start is Edge.BOTTOM
    return None if at_floor else start


def _meant(named: object, surface: RoomSurface) -> bool:
    """Where none is named every wall is meant: a ceiling's sheets lie by its joists."""
    return surface.kind is Surface.WALL if named is None else named == name_of(surface)


def _grid(house: House, surfaces: Iterable[RoomSurface], sheets: Iterable[Sheet], done: Sequence[Piece]) -> Grid:
    limits = LIMITS[house.unit]
    lengths = [getattr(limits, name) for name in Steps.__slots__]
    for sheet in sheets:
        lengths += [sheet.width, sheet.length, sheet.width / 2, sheet.width / 3]
    for surface in surfaces:
        lengths += [surface.width, surface.height, surface.highest]
        lengths += [length for point in surface.top_line[1:-1] for length in (point.across, point.height)]
        lengths += surface.members.centers(surface.width) + surface.members.centers(surface.height)
        for opening in surface.openings:
            lengths += [opening.left, opening.bottom, opening.width, opening.height]
    for piece in done:
        lengths += [piece.x, piece.y, piece.width, piece.height if not piece.slopes else ZERO]
    return Grid.of(lengths)


def priced(
    sheets: Sequence[Sheet], rack: Sequence[Offcut], grid: Grid, unit: Unit
) -> tuple[Fraction, tuple[Stock, ...]]:
    """Sheets at what they count, offcuts for nothing; the costs in whole modules."""
    feet = [feet_of(sheet, unit) for sheet in sheets]
    denominator = lcm(*(one.denominator for one in feet))
    module = Fraction(gcd(*(int(one * denominator) for one in feet)), denominator)
    stocks = [
        Stock(grid.count(sheet.length), grid.count(sheet.width), int(cost / module))
        for sheet, cost in zip(sheets, feet, strict=True)
    ]
    for offcut in rack:
        long, wide = (int(size.inches // grid.unit) for size in (offcut.length, offcut.width))
        stocks.append(Stock(long, wide, 0, offcut.tapered, 1))
    return module, tuple(stocks)


def _options(
    frames: Sequence[Frame], stocks: Sequence[Stock], steps: Steps, done: Sequence[Piece], relaxed: Relaxed
) -> tuple[Frame, tuple[Arrangement, ...]]:
    """The first frame in which the fewest layers of a surface have pieces that aren't four-sided, with every
    arrangement of it that can be carried out. Raises `CannotCut` where there is none.
    """
    surface = frames[0].surface
    if frames[0].wall and frames[0].grid.count(surface.highest) <= steps.gap_most:
        raise CannotCut(Hindrance(Hinders.WALL_IN_FLOOR_GAP, surface=name_of(surface)))
    tried = []
    for frame in frames:
        found = _carried_out(frame, stocks, steps, done, relaxed)
        least = min(found, default=None)
        if least is not None:
            tried.append((least, frame, tuple(found[least])))
        if least == (0, 0, 0):
            break
    if not tried:
        raise CannotCut(Hindrance(Hinders.NO_JOINT_PLACES, surface=name_of(surface), layers=surface.layers))
    _, frame, arrangements = min(tried, key=lambda each: each[0])
    if frame.sloped and surface.layers > 1:
        arrangements = tuple(sorted(arrangements, key=lambda one: len(one.rows))[:MOST_SHIFTED])
    return frame, arrangements


def _carried_out(
    frame: Frame, stocks: Sequence[Stock], steps: Steps, done: Sequence[Piece], relaxed: Relaxed
) -> dict[tuple[int, int, int], list[Arrangement]]:
    """Every arrangement that can be carried out, by how many of its layers have pieces in two parts, how many such that
    aren't four-sided since the slope ends on them or runs out, and how many since it changes on them.
    """
    widths = {stock.width for stock in stocks if stock.available is None}
    hung = [_hung(frame, piece) for piece in done]
    begin = frame.flip_u or frame.flip_v
    found: dict[tuple[int, int, int], list[Arrangement]] = {}
    over, at = relaxed is not Relaxed.OPENINGS, relaxed is Relaxed.NOTHING
    offered = layered(frame, sorted(widths), steps)
    if hung and frame.across and not frame.sloped and frame.surface.layers == 1:
        below = below_hung(frame, sorted(widths), steps, [(piece.v0, piece.v1) for piece in hung])
        offered = chain(offered, ((way,) for way in below))
    for layers in dict.fromkeys(offered):
        one = arrangement(frame, layers, stocks, steps, hung, begin=begin, past_openings=over, at_breaks=at)
        if one is not None:
            bent = {row.layer for row in one.rows if row.bent}
            bent |= {layer for layer, way in enumerate(layers, 1) if not parted_at_breaks(frame, way)}
            odd = sum(not four_sided(frame, way, steps) for way in layers)
            apart = sum(in_two(frame, way, steps) for way in layers)
            found.setdefault((apart, odd, len(bent)), []).append(one)
    return found


def _hung(frame: Frame, piece: Piece) -> InPlace:
    """A piece that hangs, in the frame's coordinates; its highest corner under a slope is at the next step up."""
    grid = frame.grid
    x0, x1 = grid.count(piece.x), grid.count(piece.right)
    high = grid.count(frame.surface.highest)
    y0, y1 = high - grid.up(piece.top), high - grid.count(piece.y)
    (u0, u1), (v0, v1) = ((x0, x1), (y0, y1)) if frame.lies is Lies.LYING else ((y0, y1), (x0, x1))
    if frame.flip_u:
        u0, u1 = frame.length - u1, frame.length - u0
    if frame.flip_v:
        v0, v1 = frame.depth - v1, frame.depth - v0
    return InPlace(u0, u1, v0, v1, piece.layer)
