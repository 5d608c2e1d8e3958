"""What the partner and the hanger should know beside the steps, what spoils a board first."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from fieldvoice.cutting.edges import for_size
from fieldvoice.cutting.frame import BoardOnSheet
from fieldvoice.cutting.geometry import value_at
from fieldvoice.cutting.hole import ACROSS, DOWN, axis_of, is_hard, leans, off, sides_are_short, spread, told
from fieldvoice.cutting.openings import FOOT, PlacedOpening, called, thin
from fieldvoice.cutting.sheets import across_and_down, bears, nearest
from fieldvoice.cutting.steps import strip
from fieldvoice.cutting.tables import BOX_GAP, BRIDGED, LAYERS_APART, LEG, SHEET_SHORT, SLIVER, WEB, neighbor, step_of
from fieldvoice.records.board import Board
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import OPPOSITE, Edge, Neighbor, Opening, OpeningKind, Slot, Topic
from fieldvoice.records.plan import Code, Method, Warning

ZERO = Fraction(0)


def warnings_for(board: Board, frame: BoardOnSheet, placed: tuple[PlacedOpening, ...]) -> tuple[Warning, ...]:
    """Every warning, each once, in the order in which they matter."""
    return (
        *_held(board, placed),
        *_wide_gaps(frame),
        *_over_the_edge(placed),
        *_carried(placed, board),
        *_webs(placed, board),
        *_off_framing(board, frame),
        *_thin_strips(board, frame),
        *_no_room(board, frame),
        *_by_default(board, frame),
        *_cut_joints(board, frame),
        *_short_sheet(board, frame),
        *_layers(board),
        *_bowed(board, frame, placed),
        *_unmeasured(board, frame),
        *_from_floor(board, placed),
    )


def _held(board: Board, placed: tuple[PlacedOpening, ...]) -> Iterator[Warning]:
    for one in placed:
        if one.doubt is not None:
            edge, by = one.doubt
            other = OPPOSITE[edge].value
            yield Warning(Code.HELD, one.obstacle.name, edge, (_rounded(board, by),), holds_cut=True, other=other)


def _wide_gaps(frame: BoardOnSheet) -> Iterator[Warning]:
    for cut in frame.cuts:
        line = frame.runs[cut.edge].line(cut.edge)
        if line is not None and line.widest > BRIDGED.inches:
            shape = next((one.shape for one in frame.instead if one.edge is cut.edge), None)
            yield Warning(Code.WIDE_GAP, edge=cut.edge, values=(Length(line.widest), BRIDGED), shape=shape)


def _over_the_edge(placed: tuple[PlacedOpening, ...]) -> Iterator[Warning]:
    for one in placed:
        what = one.obstacle.what
        framed = isinstance(what, Opening) and what.kind in {OpeningKind.WINDOW, OpeningKind.DOOR}
        notch = isinstance(what, Opening) and what.kind is OpeningKind.NOTCH
        for edge, rest in zip(Edge, one.left_over, strict=True):
            if edge in one.out and rest < ZERO and not notch:
                yield Warning(Code.ACROSS_BOARDS if framed else Code.OVER_EDGE, one.obstacle.name, edge)


def _carried(placed: tuple[PlacedOpening, ...], board: Board) -> Iterator[Warning]:
    """An opening a foot or more wide or high, made before the board hangs, with thin legs beside it."""
    for one in placed:
        large = max(one.obstacle.half_width, one.obstacle.half_height) * 2 >= FOOT.inches
        legs = [rest for edge, rest in zip(Edge, one.left_over, strict=True) if edge not in one.out]
        if large and one.plan.method is not Method.IN_PLACE and legs and min(legs) < LEG.inches:
            yield Warning(Code.CARRY, one.obstacle.name, values=(_rounded(board, min(legs)),))


def _webs(placed: tuple[PlacedOpening, ...], board: Board) -> Iterator[Warning]:
    made = [one for one in placed if one.plan.method is not Method.IN_PLACE]
    for one in made:
        for edge, rest in thin(one):
            yield Warning(Code.WEB, one.obstacle.name, edge, (_rounded(board, rest),))
    in_row = sorted(made, key=lambda one: one.obstacle.x - _reach(one, 0))
    for one, other in _neighbors(in_row):
        apart = max(
            abs(one.obstacle.x - other.obstacle.x) - _reach(one, 0) - _reach(other, 0),
            abs(one.obstacle.y - other.obstacle.y) - _reach(one, 1) - _reach(other, 1),
        )
        if ZERO < apart < WEB.inches:
            yield Warning(Code.WEB, one.obstacle.name, values=(_rounded(board, apart),), other=other.obstacle.name)


def _neighbors(in_row: list[PlacedOpening]) -> Iterator[tuple[PlacedOpening, PlacedOpening]]:
    """Those of a row, by their left sides, that may leave a web between them."""
    for i, one in enumerate(in_row):
        end = one.obstacle.x + _reach(one, 0) + WEB.inches
        for other in in_row[i + 1 :]:
            if other.obstacle.x - _reach(other, 0) >= end:
                break
            yield one, other


def _reach(one: PlacedOpening, index: int) -> Fraction:
    return (one.obstacle.half_width, one.obstacle.half_height)[index] + one.obstacle.gap


def _off_framing(board: Board, frame: BoardOnSheet) -> Iterator[Warning]:
    """An end at a joint, or a free one, that lies on no stud that was called."""
    left = frame.hole.lines[Edge.LEFT]
    if left is None or neighbor(board, Edge.RIGHT) not in {Neighbor.BOARD, Neighbor.OPEN}:
        return
    edge = frame.edges[Edge.RIGHT]
    end = max(v for _, v in edge) - max(v for _, v in left)
    stud = nearest(board, end)
    if stud is None or bears(board, end):
        return
    values = [Length(stud)]
    if stud < end:
        values.append(Length(stud - off(board, Edge.LEFT)).rounded_down(step_of(board)))
    yield Warning(Code.OFF_FRAMING, edge=Edge.RIGHT, values=tuple(values))


def _thin_strips(board: Board, frame: BoardOnSheet) -> Iterator[Warning]:
    """A strip that runs out thinner than it snaps; where it is so all along its step says the saw."""
    reach = across_and_down(frame.sheet, board.lies)
    for cut in frame.cuts:
        alone = sum(one.edge in axis_of(cut.edge).edges for one in frame.cuts) == 1
        whole = reach[0 if cut.edge in ACROSS.edges else 1]
        widest = max(mark.distance.inches for mark in cut.marks)
        sawn = strip(board, frame, cut) < SLIVER
        if alone and not sawn and ZERO < whole - widest < SLIVER.inches:
            yield Warning(Code.STRIP, edge=cut.edge, values=(Length(whole - widest),))


def _no_room(board: Board, frame: BoardOnSheet) -> Iterator[Warning]:
    """A board that is turned in between two fixed sides needs its diagonal: about t²/2s more than its size s."""
    thick = (board.thickness * board.layers).inches
    for axis in (ACROSS, DOWN):
        near, far = axis.edges
        size = frame.runs[near].size
        if not all(is_hard(board, edge) for edge in axis.edges) or not size or not frame.hole.spots(axis):
            continue
        if off(board, near) + off(board, far) < thick * thick / (2 * size):
            yield Warning(Code.NO_ROOM, edge=near, other=far.value)


def _by_default(board: Board, frame: BoardOnSheet) -> Iterator[Warning]:
    soft = not is_hard(board, Edge.LEFT) and not is_hard(board, Edge.RIGHT)
    alike = neighbor(board, Edge.LEFT) is neighbor(board, Edge.RIGHT)
    if soft and alike and spread(board, ACROSS) and told(board, ACROSS) is None and not leans(board, ACROSS):
        edge = for_size(board, ACROSS)
        if edge in frame.cut:
            yield Warning(Code.SIDE_BY_DEFAULT, edge=edge, other=OPPOSITE[edge].value)


def _cut_joints(board: Board, frame: BoardOnSheet) -> Iterator[Warning]:
    """A factory edge at a joint that is cut, now or on the offcut that it comes from: its taper takes the tape."""
    for edge in sorted(frame.cut_edges()):
        if neighbor(board, edge) is Neighbor.BOARD:
            yield Warning(Code.CUT_JOINT, edge=edge)


def _short_sheet(board: Board, frame: BoardOnSheet) -> Iterator[Warning]:
    size, (wide, _) = frame.runs[Edge.LEFT].size, across_and_down(frame.sheet, board.lies)
    if size is not None and size > wide - SHEET_SHORT.inches and frame.sheet.width.inches == wide:
        yield Warning(Code.SHORT_SHEET, values=(SHEET_SHORT,))


def _layers(board: Board) -> Iterator[Warning]:
    if not board.on_framing:
        yield Warning(Code.LAYERS, values=(LAYERS_APART,), other=str(board.layer))


def _bowed(board: Board, frame: BoardOnSheet, placed: tuple[PlacedOpening, ...]) -> Iterator[Warning]:
    """What was measured from a neighbor that bows away from the cut: it is marked by the readings."""
    for one in placed:
        thing = one.obstacle
        for edge, t, v in ((thing.x_start, thing.y, thing.x), (thing.y_start, thing.x, thing.y)):
            line = frame.hole.lines[edge]
            if edge not in frame.cut or line is None or edge is Edge.BOTTOM or one.plan.held:
                continue
            bow = abs(value_at(line, t) - value_at(frame.edges[edge], t)) - off(board, edge)
            if bow > BOX_GAP.inches:
                there = abs(v - value_at(frame.edges[OPPOSITE[edge]], t))
                values = (_rounded(board, bow), _rounded(board, there))
                stands = neighbor(board, edge)
                yield Warning(
                    Code.BOWED_REFERENCE, thing.name, edge, values, other=OPPOSITE[edge].value, neighbor=stands
                )


def _unmeasured(board: Board, frame: BoardOnSheet) -> Iterator[Warning]:
    """Two widths miss a bow, where a side is cut to fit something that may bow."""
    cut = [edge for edge in ACROSS.edges if edge in frame.cut and is_hard(board, edge)]
    places = {one.at for one in frame.hole.widths}
    middle = Slot.MIDDLE in places or any(isinstance(at, Length) for at in places)
    if cut and len(places) > 1 and not middle and not sides_are_short(board):
        yield Warning(Code.UNMEASURED_MIDDLE)


def _from_floor(board: Board, placed: tuple[PlacedOpening, ...]) -> Iterator[Warning]:
    whole = board.floor_to_ceiling is not None and not board.heights and board.above_floor is None
    for one in placed:
        if any(each.start is Edge.BOTTOM for each in called(one.obstacle.what)[1]):
            yield Warning(Code.FROM_FLOOR, one.obstacle.name, other=Topic.FLOOR_TO_CEILING.value if whole else None)


def _rounded(board: Board, value: Fraction) -> Length:
    return Length(value).rounded(step_of(board))
