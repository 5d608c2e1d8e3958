"""What the layout makes of the surfaces of a job: worked out from what it was made from whenever it is asked for, and
kept while the program runs. It stands while what is left of every sheet that is begun gives the rest of its pieces:
then nothing is planned anew, numbers and sheets stay as the crew knows them, and "next board" doesn't wait for the
whole house. The room of the layout is imported only once there is one.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

from fieldvoice.dialogue.amending import places_of
from fieldvoice.dialogue.matching import room_of
from fieldvoice.dialogue.state import State, offcut_called, sources_called
from fieldvoice.errors import CannotCut
from fieldvoice.records.board import Offcut, Surface
from fieldvoice.records.facts import Key, Of, Said
from fieldvoice.records.laying import CutPiece, Laying
from fieldvoice.records.ledger import Call, Value
from fieldvoice.records.length import ZERO, Length
from fieldvoice.records.meaning import (
    Box,
    Context,
    Coordinate,
    Distance,
    Edge,
    Neighbor,
    Opening,
    OpeningKind,
    Point,
    SurfaceCall,
    Thing,
)
from fieldvoice.records.room import House, RoomSurface, RoughOpening, RoughOpeningKind, name_of
from fieldvoice.records.room_plan import Pattern, Piece, PieceName, Progress, RoomPlan, SheetCount, by_size
from fieldvoice.stock.rack import gives, left_of

if TYPE_CHECKING:
    from fieldvoice.layout.boards import PlannedBoard
    from fieldvoice.stock.rack import Rack


def laid(laying: Laying | None, progress: Progress | None = None) -> RoomPlan | None:
    """The plan of what was laid out, None where nothing is; `progress` hears of it where it has yet to be made. Raises
    `CannotCut` where no layout keeps the rules.
    """
    if laying is None or not laying.surfaces:
        return None
    made = _KEPT.pop(laying, None) or _made(laying, progress)
    _KEPT[laying] = made
    if len(_KEPT) > MOST_KEPT:
        del _KEPT[next(iter(_KEPT))]
    return made


def unsettled(state: State) -> tuple[str, ...]:
    """The boards of the layout that were begun and have no plan yet."""
    return tuple(board for board in state.pieces if board not in state.cut)


MOST_KEPT = 32
_KEPT: dict[Laying, RoomPlan] = {}
"""The plans that were asked for last, the oldest first."""


def _made(laying: Laying, progress: Progress | None) -> RoomPlan:
    """What is cut stays where the plan had it, and what it left is used first."""
    from fieldvoice.layout.planning import plan
    from fieldvoice.layout.rules import LIMITS

    house = House(None, laying.unit, laying.sheets, laying.surfaces)
    done = tuple(one.hung.piece(one.piece) for one in laying.hanging if one.hung is not None and one.piece is not None)
    least = LIMITS[laying.unit].gap_least
    rack = tuple(
        replace(one, length=_whole(one.length, least), width=_whole(one.width, least))
        for one in rack_of(laying.begun).offcuts
    )
    return _with_begun(plan(house, laying.wishes, done, rack, progress), laying)


def _with_begun(plan: RoomPlan, laying: Laying) -> RoomPlan:
    """The plan with the sheets that what hangs already was cut from: the layout takes them as well."""
    from fieldvoice.layout.pools import feet_of

    begun = Counter(one.hung.sheet for one in laying.hanging if one.hung is not None and not one.offcut)
    counted = begun + Counter({one.sheet: one.count for one in plan.sheets})
    feet = sum((feet_of(sheet, laying.unit) * count for sheet, count in begun.items()), Fraction(0))
    sheets = tuple(SheetCount(sheet, counted[sheet]) for sheet in sorted(counted, key=by_size))
    return replace(plan, sheets=sheets, feet=plan.feet + feet, bound_feet=plan.bound_feet + feet)


def _whole(length: Length, step: Length) -> Length:
    """As a whole number of steps, so that an offcut of odd sixteenths makes no finer plan of the house."""
    return step * (length.inches // step.inches)


def rack_of(cuts: Iterable[CutPiece]) -> Rack:
    """The rack after these cuts, in whichever order: what a board is cut from may be settled anew behind it."""
    from fieldvoice.stock.rack import Rack

    done = tuple(cuts)
    rack = Rack().with_offcuts(left for one in done for left in one.left)
    return rack.without({one.offcut for one in done if one.offcut is not None})


def standing_plan(state: State) -> RoomPlan | None:
    """The plan that stands, None where there is none."""
    try:
        return laid(state.laying)
    except CannotCut:
        return None


def sheets_told(plan: RoomPlan) -> Iterator[Value]:
    """How many sheets of each size, with their thickness and kind where others are as large."""
    alike = Counter((one.sheet.width, one.sheet.length) for one in plan.sheets)
    for one in plan.sheets:
        size = one.sheet.width, one.sheet.length
        yield from (one.count, *size)
        if alike[size] > 1:
            yield from (one.sheet.thickness, one.sheet.kind)


def next_piece(state: State, plan: RoomPlan) -> Piece | None:
    """The next piece that isn't a board of the job yet: on the surface at hand first, then in its room, then as they
    are to be hung. None of another room's where work is in one at no surface.
    """
    opened = set(state.pieces.values())
    left = [piece for piece in plan.pieces if piece.name not in opened]
    here = surface_at_hand(state)
    own = room_of(state, state.board) if here not in state.surfaces else ""
    left = [piece for piece in left if piece.name.surface.room == own] if own else left
    room = next((name_of(one).room for one in plan.house.surfaces if str(name_of(one)) == here), None)
    return min(left, key=lambda one: (str(one.name.surface) != here, one.name.surface.room != room), default=None)


def surface_at_hand(state: State) -> str:
    """The surface that is worked at: that of the board at hand where it is one of the layout's pieces."""
    piece = state.pieces.get(state.board)
    return state.board if piece is None else str(piece.surface)


def planned_piece(state: State, name: PieceName | None) -> Piece | None:
    """A piece as the plan that stands has it."""
    plan = standing_plan(state) if name is not None else None
    return None if plan is None else next((each for each in plan.pieces if each.name == name), None)


def planned(state: State, board: str) -> PlannedBoard | None:
    """What the layout knows of a board that is one of its pieces."""
    name = state.pieces.get(board)
    plan = standing_plan(state) if name is not None else None
    if name is None or plan is None:
        return None
    from fieldvoice.layout.boards import planned_board

    pieces = ((piece, one.surface) for one in plan.surfaces for piece in one.pieces)
    found = next((planned_board(piece, its, plan.unit) for piece, its in pieces if piece.name == name), None)
    return None if found is None else _held_off(found, state.settled(str(name.surface)))


def _held_off(planned: PlannedBoard, said: Mapping[Key, Call]) -> PlannedBoard:
    """With the gap that was said to be left along the floor, the ceiling or an end, of a board that ends there."""
    there = {edge: said.get(Key(Of.CLEARANCE, edge=edge)) for edge in Edge}
    edges = {
        edge: replace(setting, clearance=call.fact.value)
        for edge, setting in planned.board.edges.items()
        if (call := there[edge]) is not None
        and setting.neighbor in _ENDS_AT
        and isinstance(call.fact, Context)
        and isinstance(call.fact.value, Length)
    }
    return replace(planned, board=replace(planned.board, edges={**planned.board.edges, **edges}))


_ENDS_AT = frozenset({Neighbor.FLOOR, Neighbor.CEILING, Neighbor.WALL})
"""Where a wall or a ceiling itself ends."""


def openings_in(state: State, board: str) -> tuple[str, ...]:
    """The kinds of the openings that the layout has in a board, from the left."""
    known = planned(state, board)
    openings = () if known is None else sorted(known.openings, key=lambda one: one.left)
    return tuple(one.kind.value for one in openings)


def light_across(state: State, board: str) -> Length | None:
    """How large the lights are that the layout has in a board; None where it has none, or of several sizes."""
    known = planned(state, board)
    lights = () if known is None else (one.width for one in known.openings if one.kind is RoughOpeningKind.LIGHT)
    sizes = set(lights)
    return sizes.pop() if len(sizes) == 1 else None


ACROSS_A_JOINT = Length(2)
"""How far beyond a board's edge the middle of a box may be that still reaches onto it (common practice, no source)."""


def is_on_its_piece(state: State, board: str, said: Said | None) -> bool | None:
    """Whether a thing that was called at the wall or ceiling of a board lies on the board, as the layout has it; None
    where its place isn't known on both axes, as below a sloped top.
    """
    known = planned(state, board)
    surface = _surface_of(state, board)
    if known is None or surface is None or not isinstance(said, Thing):
        return None
    level = {point.height for point in surface.top_line}
    across = _along(places_of(said), Edge.LEFT, Edge.RIGHT, surface.width)
    up = _along(places_of(said), Edge.BOTTOM, Edge.TOP, level.pop() if len(level) == 1 else None)
    piece = known.piece
    spans = ((across, piece.x, piece.right), (up, piece.y, piece.top))
    if any(at and (max(at) < low - ACROSS_A_JOINT or min(at) > high + ACROSS_A_JOINT) for at, low, high in spans):
        return False
    return True if across and up else None


def _surface_of(state: State, board: str) -> RoomSurface | None:
    plan, name = standing_plan(state), state.pieces.get(board)
    surfaces = () if plan is None or name is None else plan.house.surfaces
    return next((one for one in surfaces if name is not None and name_of(one) == name.surface), None)


def _along(places: Iterable[Distance | Coordinate], near: Edge, far: Edge, extent: Length | None) -> list[Length]:
    """How far from the near end of its wall a thing is, by each distance that was called on one axis."""
    counted = [one.value for one in places if one.start is near]
    beyond = [one.value for one in places if one.start is far]
    return counted + ([] if extent is None else [extent - each for each in beyond])


def ends_where_measured(state: State, board: str, said: Said | None) -> bool:
    """Whether a board ends like its wall or ceiling at each edge that a thing of it was measured from: from a joint its
    place would be another. How high a course hangs is known, so that what is counted from the floor will do.
    """
    known = planned(state, board)
    edges = {} if known is None else known.board.edges
    starts = {each.start for each in places_of(said)} if isinstance(said, Thing) else set()
    from_floor = {Edge.BOTTOM} if known is not None and known.board.surface is Surface.WALL else set()
    return not any(one.neighbor is Neighbor.BOARD and edge in starts - from_floor for edge, one in edges.items())


HALF_A_BOX = Length(4)
"""How far from its middle a hole reaches that was called without its size: half of a box for four switches (common
practice, no source); and how far apart one hole may be called on two boards."""


def reaching(state: State, board: str) -> Iterator[Call]:
    """The boxes and the round holes called on other boards of the same wall or ceiling that may reach onto this one: on
    a board of another layer, or across a joint; without those that were called here, too.
    """
    here = planned(state, board)
    if here is None:
        return
    called = [at for call in state.known(board, doubtful=True).values() if (at := _middle(here, call.fact))]
    for other, name in state.pieces.items():
        there = planned(state, other) if other != board and name.surface == here.piece.name.surface else None
        if there is None:
            continue
        beside = there.piece.layer == here.piece.layer
        for call in state.known(other, doubtful=True).values():
            at, half = _middle(there, call.fact), _half(call.fact) if beside else ZERO
            if at and _touches(here.piece, at, half) and not any(_is_near(at, each) for each in called):
                yield call


def are_beside(state: State, board: str, other: str) -> bool:
    """Whether both boards are of one layer."""
    pieces = [planned(state, name) for name in (board, other)]
    return len({one.piece.layer for one in pieces if one is not None}) == 1


def _half(said: Said | None) -> Length:
    return said.diameter / 2 if isinstance(said, Opening) and said.diameter is not None else HALF_A_BOX


def _middle(known: PlannedBoard, said: Said | None) -> tuple[Length, Length] | None:
    """Where the middle of a box or of a round hole is on its wall or ceiling, from the left and from below; None for
    anything else.
    """
    if not isinstance(said, Box) and not (isinstance(said, Opening) and said.diameter is not None):
        return None
    places, piece = places_of(said), known.piece
    across = _along(places, Edge.LEFT, Edge.RIGHT, piece.width)
    up = _along(places, Edge.BOTTOM, Edge.TOP, piece.height + known.below)
    low = piece.y - known.below
    return (piece.x + sum(across[1:], across[0]) / len(across), low + sum(up[1:], up[0]) / len(up))


def _touches(piece: Piece, at: tuple[Length, Length], half: Length) -> bool:
    across, up = at
    return piece.x - half < across < piece.right + half and piece.y - half < up < piece.top + half


def _is_near(one: tuple[Length, Length], other: tuple[Length, Length]) -> bool:
    return all(abs(a - b) <= HALF_A_BOX for a, b in zip(one, other, strict=True))


MOST_PIECES = 6
"""With more pieces than this on what is left of one sheet it is planned anew."""


def goes_on(state: State, plan: RoomPlan) -> bool:
    """Whether every piece that isn't cut yet comes out of what the plan has it come out of."""
    cut = state.cut_pieces
    begun = [one for one in plan.patterns if any(piece.name in cut for piece in one.pieces)]
    return all(_rest_comes_out(state, plan, one) for one in begun) and not _waiting_for_rack(state, plan)


def _waiting_for_rack(state: State, plan: RoomPlan) -> bool:
    """Whether an offcut that the plan goes by isn't on the rack, or is another by now."""
    cut = state.cut_pieces
    meant = {offcut_called(state, board) for board in sources_called(state)}  # for a board that is in hand
    rack = {one.name: one for one in rack_of(state.cut.values()).offcuts if one.name not in meant}
    wanted = [one for one in plan.patterns if one.offcut is not None and not any(p.name in cut for p in one.pieces)]
    return any(one.offcut is not None and not _as_large(rack.get(one.offcut.name), one.offcut) for one in wanted)


def _as_large(there: Offcut | None, planned: Offcut) -> bool:
    return (
        there is not None
        and there.length >= planned.length
        and there.width >= planned.width
        and there.tapered >= planned.tapered
    )


def rest_comes_out(state: State, board: str, left: Sequence[Offcut]) -> bool:
    """Whether the other pieces of a board's sheet come out of what it leaves and of what is left of it already."""
    plan, name = standing_plan(state), state.pieces.get(board)
    pattern = None if plan is None or name is None else plan.pattern_of(name)
    return plan is None or pattern is None or _rest_comes_out(state, plan, pattern, board, left)


def _rest_comes_out(
    state: State, plan: RoomPlan, pattern: Pattern, board: str = "", left: Sequence[Offcut] = ()
) -> bool:
    """Whether what was cut of a sheet left enough for its other pieces; with what a `board` of it would have `left`, in
    the place of what it left before.
    """
    others = [one for one in state.cut.values() if one.board != board]
    cut = {state.pieces[one.board]: one for one in others if one.board in state.pieces}
    here = {piece.name for piece in pattern.pieces} - {state.pieces.get(board)}
    rest = [piece for piece in plan.pieces if piece.name in here and piece.name not in cut]
    used = state.cut[board].offcut if board in state.cut else None
    names = {one.name for piece in here & cut.keys() for one in cut[piece].left} - {used}
    there = [one for one in rack_of(others).offcuts if one.name in names]
    return len(rest) <= MOST_PIECES and comes_out(rest, [*there, *left])


def comes_out(pieces: Sequence[Piece], left: Sequence[Offcut]) -> bool:
    """Whether all the pieces can be cut from those offcuts, each cut from edge to edge, with the factory edges that
    they need.
    """
    if not pieces:
        return True
    first, *others = sorted(pieces, key=lambda piece: piece.run.inches * piece.rise.inches, reverse=True)
    return any(
        comes_out(others, [*left[:number], *left[number + 1 :], *rest])
        for number, source in enumerate(left)
        if gives(source, first)
        for rest in _remainders(source, first)
    )


def _remainders(source: Offcut, piece: Piece) -> Iterator[tuple[Offcut, ...]]:
    """What one piece leaves of an offcut, cut to length first or ripped first."""
    yield from (left_of(source, piece, length_first=first) for first in (True, False))


_KINDS = {each: RoughOpeningKind(each.value) for each in (OpeningKind.WINDOW, OpeningKind.DOOR, OpeningKind.LIGHT)}


def rough(opening: Opening, call: SurfaceCall) -> RoughOpening:
    """An opening by its lower left corner, however it was called."""
    left, width = _span(opening.xs, opening.width or opening.diameter, call.width, Edge.RIGHT)
    bottom, height = _span(opening.ys, opening.height or opening.diameter, call.height, Edge.TOP)
    return RoughOpening(_KINDS.get(opening.kind, RoughOpeningKind.OTHER), left, bottom, width, height)


def _span(places: tuple[Coordinate, ...], size: Length | None, extent: Length, far: Edge) -> tuple[Length, Length]:
    """Where it begins, counted from the left or from below, and how far it runs."""
    from_start = [extent - one.value if one.start is far else one.value for one in places]
    if len(places) > 1:
        return min(from_start), abs(from_start[0] - from_start[1])
    (one,), (at,) = places, from_start
    assert size is not None
    if one.point is Point.CENTER:
        return at - size / 2, size
    return (at, size) if (one.point is Point.NEAR) != (one.start is far) else (at - size, size)
