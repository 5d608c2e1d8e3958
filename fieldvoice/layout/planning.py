"""A house planned: `plan` is the one way in. Pure but for the clock, and the same house gives the same plan. What it
can't cure is a warning: framing too wide for the board, a wish that could not be kept, a cut edge in a joint.
"""

from __future__ import annotations

from collections import Counter, deque
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from time import monotonic

from fieldvoice.errors import CannotCut
from fieldvoice.layout.choosing import Chosen
from fieldvoice.layout.frame import Frame
from fieldvoice.layout.pieces import Laid, boards, finish, joints, lay
from fieldvoice.layout.pools import Pool, Relaxed, feet_of, lies_as_wished, pools
from fieldvoice.layout.recheck import recheck
from fieldvoice.layout.rules import LIMITS, rules
from fieldvoice.layout.solving import First, Solved, first_plan, solve
from fieldvoice.records.board import Lies, Offcut, Sheet, Surface
from fieldvoice.records.laying import HangThem, PlannersWish, StartFrom
from fieldvoice.records.length import ZERO, Length, Unit
from fieldvoice.records.meaning import Dimension, Edge
from fieldvoice.records.room import House, RoomSurface, RoughOpening, SurfaceName, name_of, unlikely_side
from fieldvoice.records.room_plan import (
    Pattern,
    Piece,
    PieceName,
    Progress,
    RoomPlan,
    RoomWarning,
    RoomWarningCode,
    SheetCount,
    SurfacePlan,
    by_size,
)
from fieldvoice.records.trouble import Hinders, Hindrance
from fieldvoice.stock.needs import PieceSize
from fieldvoice.stock.rack import pattern


def plan(
    house: House,
    wishes: Sequence[PlannersWish] = (),
    done: Sequence[Piece] = (),
    rack: Sequence[Offcut] = (),
    progress: Progress | None = None,
) -> RoomPlan:
    """The pieces of every surface and the sheets to cut them from: fewest feet of sheet, then fewest feet of butt
    joint, then fewest pieces, under `rules`. Checked again in exact numbers before it is returned.

    `done` hangs already and stays as it is; `rack` is used before a sheet is bought. Raises `CannotCut` where no layout
    keeps the rules, with the surface and why.
    """
    since = monotonic()
    try:
        ready, first = begun(house, wishes, done, rack)
    except CannotCut as why:
        raise _with_cures(why, house, wishes, done) from None
    first_seconds = monotonic() - since
    tell = _teller(progress, ready, first)
    solved = [solve(pool, start, tell(number)) for number, (pool, start) in enumerate(zip(ready, first, strict=True))]
    made = _made(house, wishes, ready, solved, done)
    made = replace(made, first_plan_seconds=first_seconds, seconds=monotonic() - since)
    recheck(made, done, rack)
    return made


def _with_cures(why: CannotCut, house: House, wishes: Sequence[PlannersWish], done: Sequence[Piece]) -> CannotCut:
    """The refusal with what would do: the surface tried by itself with its sheets the other way, in one layer, and with
    the shortest longer sheets, always with what hangs of it. Where that alone is in the way, it is why.
    """
    assert isinstance(why.why, Hindrance)
    name = why.why.named.get("surface")
    surface = next((one for one in house.surfaces if name_of(one) == name), None)
    if surface is None or why.why.what is Hinders.WALL_IN_FLOOR_GAP:
        return why
    here = tuple(piece for piece in done if piece.name.surface == name)
    reason = why.why
    if here and _planned(house, surface, wishes, ()):
        reason = Hindrance(Hinders.ROUND_WHAT_HANGS, surface=name)
    kept = tuple(wish for wish in wishes if not isinstance(wish, HangThem))
    other = Lies.LYING if lies_as_wished(surface, wishes) is Lies.STANDING else Lies.STANDING
    cures: list[Lies | int | Sheet] = []
    if _planned(house, replace(surface, lies=other), kept, here):
        cures.append(other)
    if surface.layers > 1 and _planned(house, replace(surface, layers=1), wishes, here):
        cures.append(1)
    longest = max(house.sheets, key=lambda sheet: sheet.length)
    for longer in (replace(longest, length=length) for length in SOLD[house.unit] if length > longest.length):
        if _planned(replace(house, sheets=(*house.sheets, longer)), surface, wishes, here):
            cures.append(longer)
            break
    return CannotCut(Hindrance(Hinders.NO_LAYOUT, why=reason, cures=tuple(cures), unit=house.unit))


SOLD = {
    Unit.INCH: tuple(Length(12 * feet) for feet in (8, 9, 10, 12, 14, 16)),
    Unit.MM: tuple(Length.of(long, Unit.MM) for long in (2400, 2500, 2700, 3000, 3600)),
}
"""Lengths that are tried where no layout keeps the rules (trade pages, as reported)."""


def _planned(house: House, surface: RoomSurface, wishes: Sequence[PlannersWish], done: Sequence[Piece]) -> bool:
    """Whether the surface by itself, with that of it hung, has a layout."""
    try:
        return bool(begun(replace(house, surfaces=(surface,)), wishes, done, ()))
    except CannotCut:
        return False


def begun(
    house: House, wishes: Sequence[PlannersWish], done: Sequence[Piece], rack: Sequence[Offcut]
) -> tuple[tuple[Pool, ...], list[First]]:
    """All made ready, with a usable plan, less being asked where joints would come too near each other else."""
    relaxed: dict[SurfaceName, Relaxed] = {}
    broken = {name_of(one) for one in house.surfaces if len(one.top_line) > 2}
    while True:
        ready = pools(house, wishes, done, rack, relaxed)
        try:
            return ready, [first_plan(pool) for pool in ready]
        except CannotCut as why:
            name = why.why.named.get("surface") if isinstance(why.why, Hindrance) else None
            if not isinstance(name, SurfaceName) or relaxed.get(name) is Relaxed.OPENINGS:
                raise
            relaxed[name] = Relaxed.BREAKS if name in broken and name not in relaxed else Relaxed.OPENINGS


def _teller(
    progress: Progress | None, ready: Sequence[Pool], first: Sequence[First]
) -> Callable[[int], Callable[[int, int | None], None]]:
    """What each pool tells of itself, added up over all pools."""
    costs: list[int] = [one.cost for one in first]
    bounds: list[int | None] = [None] * len(first)

    def tell() -> None:
        if progress is None:
            return
        feet = sum((cost * pool.module for cost, pool in zip(costs, ready, strict=True)), Fraction(0))
        known = [bound * pool.module for bound, pool in zip(bounds, ready, strict=True) if bound is not None]
        progress(feet, sum(known, Fraction(0)) if len(known) == len(bounds) else None)

    def of(number: int) -> Callable[[int, int | None], None]:
        def update(cost: int, bound: int | None) -> None:
            costs[number], bounds[number] = cost, bound
            tell()

        return update

    tell()
    return of


@dataclass(frozen=True, slots=True)
class _Cut:
    """A pool with its pieces laid and its sheets cut."""

    surfaces: dict[SurfaceName, SurfacePlan]
    patterns: tuple[Pattern, ...]


def _made(
    house: House, wishes: Sequence[PlannersWish], ready: Sequence[Pool], solved: Sequence[Solved], done: Sequence[Piece]
) -> RoomPlan:
    cut: list[_Cut] = []
    number = 0
    for pool, one in zip(ready, solved, strict=True):
        cut.append(_cut(pool, one, done, number))
        number += len(cut[-1].patterns)
    found = {name: each for one in cut for name, each in one.surfaces.items()}
    surfaces = tuple(found[name_of(surface)] for surface in in_order(house))
    patterns = tuple(each for one in cut for each in one.patterns)
    feet = sum((feet_of(each.sheet, house.unit) for each in patterns if each.offcut is None), Fraction(0))
    bound = sum((one.bound * pool.module for one, pool in zip(solved, ready, strict=True)), Fraction(0))
    in_pieces = (*_slivers(surfaces, LIMITS[house.unit].sliver), *_pointed(surfaces))
    found_warnings = (*warnings(house, wishes, ready, solved), *in_pieces)
    joint = sum((one.least_joint * pool.grid.unit for one, pool in zip(solved, ready, strict=True)), Fraction(0)) / 12
    pieces = [one.least_pieces for one in solved]
    least = None if None in pieces else len(done) + sum(count for count in pieces if count is not None)
    made = RoomPlan(house, surfaces, patterns, _counts(patterns), feet, bound, rules(house.unit), found_warnings)
    return replace(made, least_butt_feet=joint, least_pieces=least)


def in_order(house: House) -> tuple[RoomSurface, ...]:
    """Room by room as called, in each the ceilings before the walls."""
    rooms = list(dict.fromkeys(surface.room for surface in house.surfaces))
    return tuple(sorted(house.surfaces, key=lambda one: (rooms.index(one.room), one.kind is not Surface.CEILING)))


def _counts(patterns: Sequence[Pattern]) -> tuple[SheetCount, ...]:
    counted = Counter(one.sheet for one in patterns if one.offcut is None)
    return tuple(SheetCount(sheet, counted[sheet]) for sheet in sorted(counted, key=by_size))


def _cut(pool: Pool, solved: Solved, done: Sequence[Piece], before: int) -> _Cut:
    laid = [_laid(pool, number, chosen, done) for number, chosen in enumerate(solved.chosen)]
    waiting: dict[PieceSize, deque[PieceName]] = {}
    for one in (each for surface in _hanging_order(pool, laid) for each in surface):
        if one.need is not None:
            waiting.setdefault(one.need, deque()).append(one.name)
    patterns = tuple(
        pattern(fill, *_stock(pool, index), pool.grid.length, lambda need: waiting[need].popleft())
        for number, (index, fill) in enumerate(solved.fills, before + 1)
    )
    sheets = {piece.name: (one.sheet, piece.factory) for one in patterns for piece in one.pieces}
    hanging = {piece.name: piece for piece in done}
    surfaces = {
        name_of(pool.surfaces[number]): _surface(pool, number, one, sheets, hanging) for number, one in enumerate(laid)
    }
    return _Cut(surfaces, patterns)


def _hanging_order(pool: Pool, laid: Sequence[tuple[Laid, ...]]) -> list[tuple[Laid, ...]]:
    order = sorted(range(len(laid)), key=lambda number: (pool.surfaces[number].kind is not Surface.CEILING, number))
    return [laid[number] for number in order]


def _laid(pool: Pool, number: int, chosen: Chosen, done: Sequence[Piece]) -> tuple[Laid, ...]:
    frame = pool.frames[number]
    here = [piece for piece in done if piece.name.surface == name_of(frame.surface)]
    return lay(frame, chosen, here)


def _stock(pool: Pool, index: int) -> tuple[Sheet, Offcut | None]:
    if index < len(pool.sheets):
        return pool.sheets[index], None
    offcut = pool.rack[index - len(pool.sheets)]
    return Sheet(offcut.width, offcut.length, offcut.thickness, offcut.board), offcut


def _surface(
    pool: Pool,
    number: int,
    laid: Sequence[Laid],
    sheets: dict[PieceName, tuple[Sheet, frozenset[Edge]]],
    hanging: dict[PieceName, Piece],
) -> SurfacePlan:
    surface, lies = pool.surfaces[number], pool.frames[number].lies
    beside = boards(laid, lies)
    pieces = tuple(
        finish(surface, one, lies, sheets.get(one.name) or (hanging[one.name].sheet, None), beside) for one in laid
    )
    return SurfacePlan(surface, pieces, joints(surface, beside))


def warnings(
    house: House, wishes: Sequence[PlannersWish], ready: Sequence[Pool], solved: Sequence[Solved]
) -> tuple[RoomWarning, ...]:
    """All of them, surface by surface."""
    found: list[RoomWarning] = []
    for pool, one in zip(ready, solved, strict=True):
        for frame, chosen in zip(pool.frames, one.chosen, strict=True):
            found += _unlikely(frame.surface)
            found += _framing(house, frame)
            if chosen.arrangement.cut_joints:
                length = pool.grid.length(chosen.arrangement.cut_joints)
                found.append(RoomWarning(RoomWarningCode.CUT_EDGE_IN_JOINT, name_of(frame.surface), (length,)))
            found += _wishes(frame, wishes)
    return tuple(dict.fromkeys(found))  # a layer is a frame of its own


def _pointed(surfaces: Sequence[SurfacePlan]) -> Iterator[RoomWarning]:
    """Surfaces with a board that runs out to a point, for which no marks are told."""
    for one in surfaces:
        if any(piece.pointed for piece in one.pieces):
            yield RoomWarning(RoomWarningCode.NOT_FOUR_SIDED, name_of(one.surface))


def _slivers(surfaces: Sequence[SurfacePlan], least: Length) -> tuple[RoomWarning, ...]:
    """The narrowest strip of each surface, or leg of a piece of it, where it is too narrow to be screwed."""
    found = []
    for one in surfaces:
        strips = (strip for piece in one.pieces for strip in _strips(piece, one.surface.openings, least))
        narrow = min((strip for strip in strips if strip[0] < least), default=None)
        if narrow is not None:
            found.append(RoomWarning(RoomWarningCode.SLIVER, name_of(one.surface), tuple(narrow)))
    return tuple(found)


def _strips(piece: Piece, openings: Sequence[RoughOpening], least: Length) -> Iterator[tuple[Length, Length]]:
    """The parts of a piece that may be narrow, each with how wide and how long it is: the whole of it, its lower side
    under a slope as far as that is narrower than `least` (in whole ones of these), and its legs beside, over and under
    openings.
    """
    short, long = sorted((piece.width, piece.height))
    yield short, long
    corners = piece.top_corners
    for end, inner in ((corners[0], corners[1]), (corners[-1], corners[-2])):
        low = end.height
        if ZERO < low < min(least, inner.height):
            run = abs(inner.across - end.across) * ((least - low) / (inner.height - low))
            yield low, min(piece.width, least * max(1, run.inches // least.inches))
    for hole in openings:
        high = min(hole.top, piece.top) - max(hole.bottom, piece.y)
        wide = min(hole.right, piece.right) - max(hole.left, piece.x)
        if high <= ZERO or wide <= ZERO:
            continue
        beside = ((side, high) for side in (hole.left - piece.x, piece.right - hole.right))
        across = ((side, wide) for side in (hole.bottom - piece.y, piece.top - hole.top))
        yield from (leg for leg in (*beside, *across) if leg[0] > ZERO)


def _unlikely(surface: RoomSurface) -> list[RoomWarning]:
    """A side that few walls or ceilings have."""
    side = unlikely_side(surface.kind, surface.width, surface.highest)
    return [] if side is None else [RoomWarning(RoomWarningCode.UNLIKELY_SIDE, name_of(surface), (side,))]


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


def _wishes(frame: Frame, wishes: Sequence[PlannersWish]) -> list[RoomWarning]:
    """A wall can't be begun at its floor."""
    name = name_of(frame.surface)
    for wish in wishes:
        if isinstance(wish, StartFrom) and wish.surface in (None, name) and frame.wall and wish.edge is Edge.BOTTOM:
            return [RoomWarning(RoomWarningCode.WISH_NOT_KEPT, name)]
    return []
