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

from fieldvoice.dialogue.matching import room_of
from fieldvoice.dialogue.off_floor import with_its_floor
from fieldvoice.dialogue.state import State, offcut_called, sources_called
from fieldvoice.errors import CannotCut
from fieldvoice.records.board import Offcut
from fieldvoice.records.facts import Key, Of
from fieldvoice.records.laying import CutPiece, Laying
from fieldvoice.records.ledger import Call, Value
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import (
    Context,
    Coordinate,
    Dimension,
    Edge,
    Neighbor,
    Opening,
    OpeningKind,
    Point,
    Reading,
    SurfaceCall,
)
from fieldvoice.records.room import House, RoughOpening, RoughOpeningKind, name_of
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
    if found is None:
        return None
    measured = {its: tuple(_heights(state, each)) for each, its in state.pieces.items()}
    return with_its_floor(_held_off(found, state.settled(str(name.surface))), plan.pieces, measured)


def _heights(state: State, board: str) -> Iterator[Reading]:
    facts = (call.fact for call in state.known(board).values())
    return (one for one in facts if isinstance(one, Reading) and one.dimension is Dimension.HEIGHT)


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
    left, width = span(opening.xs, opening.width or opening.diameter, call.width, Edge.RIGHT)
    bottom, height = span(opening.ys, opening.height or opening.diameter, call.height, Edge.TOP)
    return RoughOpening(_KINDS.get(opening.kind, RoughOpeningKind.OTHER), left, bottom, width, height)


def span(places: tuple[Coordinate, ...], size: Length | None, extent: Length, far: Edge) -> tuple[Length, Length]:
    """Where it begins, counted from the left or from below, and how far it runs."""
    from_start = [extent - one.value if one.start is far else one.value for one in places]
    if len(places) > 1:
        return min(from_start), abs(from_start[0] - from_start[1])
    (one,), (at,) = places, from_start
    assert size is not None
    if one.point is Point.CENTER:
        return at - size / 2, size
    return (at, size) if (one.point is Point.NEAR) != (one.start is far) else (at - size, size)
