"""What the boards of the layout are cut from, and what their cuts leave."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from fractions import Fraction

from fieldvoice.cutting.tables import BRIDGED, base_covers, floor_least
from fieldvoice.dialogue.assembly import cut_across_from
from fieldvoice.dialogue.layouts import planned, planned_piece, rack_of, rest_comes_out, standing_plan
from fieldvoice.dialogue.state import NEW_SHEET, State, offcut_called, source_called, sources_called
from fieldvoice.errors import CannotCut, NotPlanned
from fieldvoice.records.board import Board, CutFrom, Lies, Offcut, Sheet
from fieldvoice.records.laying import CutPiece, Hung
from fieldvoice.records.ledger import Standing
from fieldvoice.records.length import ZERO, Length
from fieldvoice.records.meaning import Dimension, Edge, Neighbor
from fieldvoice.records.plan import CutPlan, No, NoPlan
from fieldvoice.records.room import name_of
from fieldvoice.records.room_plan import Piece
from fieldvoice.records.trouble import Hinders, Hindrance
from fieldvoice.stock.rack import LEAST, as_on_sheet, gives, left_of, named, uncut, ways_to_hang


def kept(state: State) -> tuple[CutPiece, ...]:
    """The pieces that keep their places when the rest is planned anew: those whose plan was settled, as they are cut,
    and those that anything was called on, as they were planned. One that was only opened is planned anew as well.
    """
    last = () if state.laying is None else state.laying.cut
    had = (one.board for one in last)  # those that had a place, too
    boards = dict.fromkeys((*state.pieces, *had, *sources_called(state)))
    in_hand = (board for board in boards if board not in state.cut and _called_on(state, board))
    return (*state.cut.values(), *(_as_planned(state, board) for board in in_hand))


def _called_on(state: State, board: str) -> bool:
    return any(call.standing is not Standing.NOT_TAKEN and not (call.carried or call.gone) for call in state.on(board))


def _as_planned(state: State, board: str) -> CutPiece:
    """As the layout has it, or had it last; nothing is on the rack of a board that comes out of nothing there is."""
    last = () if state.laying is None else state.laying.cut
    before = next((one for one in last if one.board == board), None)
    piece, source = planned_piece(state, state.pieces.get(board)), source_of(state, board)
    piece_name = state.pieces.get(board)
    if piece is None or source is None or not gives(source, piece):
        if piece_name is None and (before is None or before.piece is None):
            return CutPiece(board, None, offcut_called(state, board), (), settled=False)
        return replace(before or CutPiece(board, piece_name, None, (), settled=False), settled=False)
    ways = [left_of(source, piece, length_first=first) for first in (True, False)]
    best = max(ways, key=lambda way: _worth(state, board, way))
    left = named(board, best)
    return CutPiece(board, piece.name, source.name or None, left, settled=False, hung=hung_of(state, piece))


def hung_of(state: State, piece: Piece) -> Hung | None:
    """Where the plan that stands has a piece of it."""
    plan = standing_plan(state)
    surfaces = () if plan is None else plan.house.surfaces
    return next((Hung.of(piece, one) for one in surfaces if name_of(one) == piece.name.surface), None)


def as_cut(state: State, board: str, plan: CutPlan) -> CutPiece:
    """A piece as its plan cuts it, with what that leaves."""
    name = state.pieces.get(board)
    piece = planned_piece(state, name)
    hung = None if piece is None else hung_of(state, piece)
    if hung is not None and plan.from_offcut is None:
        hung = replace(hung, sheet=plan.sheet)
    made = plan.board
    left = named(board, _left(plan))
    return CutPiece(board, name, plan.from_offcut, left, True, hung, made.sides_first, made.cut_before)  # noqa: FBT003


def _left(plan: CutPlan) -> tuple[Offcut, ...]:
    """What the cuts of a plan leave, as it lay on its sheet."""
    sheet, found = plan.sheet, []
    for one in plan.left:
        wide, high = one.on_tape(plan.board.unit)
        length, width = (wide, high) if plan.lies is Lies.LYING else (high, wide)
        factory = as_on_sheet(frozenset(Edge) - one.cut, plan.lies)
        found.append(Offcut("", length, width, factory, sheet.thickness, sheet.kind))
    return tuple(found)


def cut_by_its_layout(state: State, board: Board, solve: Callable[[Board], CutPlan]) -> CutPlan:
    """The plan of a board. That of one of the layout's, or of one that somebody cuts from an offcut, says what it is
    cut from and which edges of that are cut already; of the orders to cut it in, and the ways to turn it, that one is
    taken whose rest gives the pieces that are still to come from it, then the one that leaves the most in one piece.
    Raises `CannotCut`.
    """
    if pointed(state, board.name):
        raise CannotCut(Hindrance(Hinders.NOT_FOUR_SIDED))
    refused = no_source(state, board)
    if refused is not None:
        raise NotPlanned(refused)
    ways = _ways(state, board)
    plans = [solve(ways[0])]
    if len(ways) == 1 or not (plans[0].left or plans[0].board.cut_before):
        return plans[0]
    for way in ways[1:]:
        try:
            plans.append(solve(way))
        except CannotCut:
            continue
    return max(plans, key=lambda plan: _worth(state, board.name, _left(plan)))


def pointed(state: State, board: str) -> bool:
    """Whether the layout has it run out to a point, as no board does that isn't one of its pieces: such a one isn't
    worked out from widths and heights.
    """
    piece = planned_piece(state, state.pieces.get(board))
    return piece is not None and piece.pointed


def _ways(state: State, board: Board) -> list[Board]:
    """The board with its sides cut first or last, and turned both ways as it is cut from an offcut; just one way where
    it is cut already.
    """
    piece, source = planned_piece(state, state.pieces.get(board.name)), source_of(state, board.name)
    if source is None:
        return [board]
    if piece is not None and board.lies is piece.lies:
        board = replace(board, taped=frozenset(e for e in piece.taped if board.edges[e].neighbor is Neighbor.BOARD))
    for kept, across in ((Edge.BOTTOM, Edge.TOP), (Edge.RIGHT, Edge.LEFT)):
        if kept in board.taped and across not in board.taped and board.edges[across].neighbor is Neighbor.BOARD:
            board = cut_across_from(board, kept)
    sizes = None if board.sheet is None else (board.sheet.length, board.sheet.width)
    offcut = source.name if sizes == (source.length, source.width) else ""
    before = state.cut.get(board.name)
    if before is not None and before.offcut == (offcut or None):
        cut_from = CutFrom(offcut, before.cut_before) if offcut else None
        return [replace(board, cut_from=cut_from, sides_first=before.sides_first)]
    joined = frozenset(edge for edge, stands in board.edges.items() if stands.neighbor is Neighbor.BOARD)
    turned = ways_to_hang(source.factory, board.lies, board.taped, joined) if offcut else ()
    sources = [CutFrom(offcut, frozenset(Edge) - factory) for factory in turned]
    return [replace(board, cut_from=one, sides_first=first) for one in (sources or (None,)) for first in (False, True)]


def _worth(state: State, board: str, left: Sequence[Offcut]) -> tuple[bool, Fraction, int]:
    """How good a rest is: whether it gives what is still to come from it, the largest piece of it, and how many long
    factory edges that has.
    """
    kept = [one for one in left if min(one.length, one.width) >= LEAST]
    largest = max(kept, key=lambda one: one.length.inches * one.width.inches, default=None)
    if largest is None:
        return rest_comes_out(state, board, kept), Fraction(0), 0
    return rest_comes_out(state, board, kept), largest.length.inches * largest.width.inches, largest.tapered


def source_of(state: State, board: str) -> Offcut | None:
    """What a board is cut from: what somebody says, else what it was cut from, else the offcut that the plan names,
    else what is left of its sheet, else a whole sheet, which has no name. None for a board that isn't the layout's and
    of which nobody said it.
    """
    called = source_called(state, board)
    if called is not None and called != NEW_SHEET:
        broken = (cut := state.cut.get(called)) is not None and cut.is_broken
        return None if broken else next((one for one in _all_left(state) if one.name == called), None)
    name = state.pieces.get(board)
    plan = standing_plan(state) if name is not None else None
    piece = None if name is None else planned_piece(state, name)
    if plan is None or piece is None:
        return None
    if called == NEW_SHEET:
        return uncut(piece.sheet)
    before = state.cut.get(board)
    if before is not None:
        return next((one for one in _all_left(state) if one.name == before.offcut), uncut(piece.sheet))
    pattern = plan.pattern_of(piece.name)
    if pattern is None:
        return None
    beside = {each.name for each in pattern.pieces}
    at_hand = rack_of(state.cut.values()).offcuts
    if pattern.offcut is not None:  # the plan has it without its odd sixteenths
        return next((one for one in at_hand if one.name == pattern.offcut.name), pattern.offcut)
    theirs = [one for piece, cut in state.cut_pieces.items() if piece in beside for one in cut.left if one in at_hand]
    fitting = [one for one in theirs if gives(one, piece)]
    return min(fitting, key=lambda one: one.length.inches * one.width.inches, default=uncut(piece.sheet))


def names_given(state: State) -> Iterable[str]:
    """The names of offcuts from elsewhere that are on the rack or were, or that somebody means."""
    yield from state.cut
    yield from (each for board in sources_called(state) if (each := offcut_called(state, board)) is not None)


def _all_left(state: State) -> Iterable[Offcut]:
    return (one for cut in state.cut.values() for one in cut.left)


def on_its_source(state: State, board: Board) -> Board:
    """The board with the sheet that it is cut from where somebody said it: an offcut is one of its own size."""
    called = source_called(state, board.name)
    source = source_of(state, board.name) if called is not None else None
    if source is None:
        return board
    return replace(board, sheet=Sheet(source.width, source.length, board.thickness, board.kind))


def with_its_rips(state: State, board: Board) -> Board:
    """The board with the directions in which the layout's piece is smaller than the sheet that it is cut from, and with
    the joists that the layout has across it, which nobody calls at a board.
    """
    known = planned(state, board.name)
    if known is None:
        return board
    piece, joists = known.piece, known.board.framing
    if joists.across and not board.framing.studs:
        board = replace(board, framing=replace(board.framing, spacing=joists.spacing, across=joists.across))
    sheet = board.sheet or piece.sheet
    wide, high = (sheet.length, sheet.width) if board.lies is Lies.LYING else (sheet.width, sheet.length)
    least = {Dimension.WIDTH: piece.width, Dimension.HEIGHT: min(piece.left_height, piece.right_height)}
    ripped = {each for each, there in ((Dimension.WIDTH, wide), (Dimension.HEIGHT, high)) if least[each] < there}
    board = replace(board, ripped=frozenset(ripped))
    return _along_its_top(board, piece, high) if piece.bends else board


def _along_its_top(board: Board, piece: Piece, sheet: Length) -> Board:
    """The board with the breaks of its top, which is what is cut. Where its highest part is a whole sheet's, what is
    left open below takes up what the readings differ from that, as far as it would without a slope.
    """
    board = replace(board, end=Edge.TOP, breaks=tuple(one.across for one in piece.bends))
    below, most = board.edges[Edge.BOTTOM], max((one.value for one in board.heights), default=None)
    floor = below.neighbor is Neighbor.FLOOR
    if most is None or below.clearance is not None or piece.height != sheet:
        return board
    least, widest = (floor_least(board), base_covers(board)) if floor else (ZERO, BRIDGED)
    if not least <= most - sheet <= widest or below.neighbor not in {Neighbor.FLOOR, Neighbor.BOARD}:
        return board
    return replace(board, edges={**board.edges, Edge.BOTTOM: replace(below, clearance=most - sheet)})


def no_source(state: State, board: Board) -> NoPlan | None:
    """Why a board can't be cut from the offcut that somebody names; None where only its size may be in the way."""
    name = offcut_called(state, board.name)
    if name is None:
        return None
    refused = NoPlan(No.NO_OFFCUT, name, unit=board.unit)
    source = source_of(state, board.name)
    if source is None:
        there = (one.name for one in rack_of(state.cut.values()).offcuts)
        return replace(refused, others=tuple(one for one in there if board.name not in _makers(state, one)))
    if board.name in _makers(state, name):
        return replace(refused, no=No.OFFCUT_OF_ITS_OWN)
    other = taken_by(state, name, board.name)
    if other is not None:
        return replace(refused, no=No.OFFCUT_TAKEN, others=(other,))
    if (source.thickness, source.board) != (board.thickness, board.kind):
        unlike = replace(refused, no=No.OFFCUT_UNLIKE, others=(source.board, board.kind))
        return replace(unlike, values=(source.thickness, board.thickness))
    return None


def _makers(state: State, offcut: str) -> frozenset[str]:
    """The board that left an offcut, the one that left what that was cut from, and so on."""
    found: set[str] = set()
    wanted: str | None = offcut
    while wanted is not None:
        maker = next((each for each in state.cut.values() if wanted in {one.name for one in each.left}), None)
        if maker is None or maker.board in found:
            break
        found.add(maker.board)
        wanted = maker.offcut
    return frozenset(found)


def taken_by(state: State, offcut: str, board: str) -> str | None:
    """The other board that an offcut is for: one that is cut from it, else one that somebody said it of before, else
    one of the layout that was opened for it.
    """
    others = [name for name, one in state.cut.items() if one.offcut == offcut and not one.is_broken]
    calls = sources_called(state)
    own = calls[board].number
    others += [name for name, one in calls.items() if offcut_called(state, name) == offcut and one.number < own]
    opened = (name for name in state.pieces if name not in state.cut and name not in calls)
    others += [name for name in opened if (source := source_of(state, name)) is not None and source.name == offcut]
    return next((name for name in others if name != board), None)
