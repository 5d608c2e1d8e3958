"""What the partner and the hanger should know beside the steps."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import takewhile

from fieldvoice.cutting.axis import ACROSS, DOWN, Axis, reading_at
from fieldvoice.cutting.edges import Run
from fieldvoice.cutting.frame import Frame
from fieldvoice.cutting.lines import value_at
from fieldvoice.cutting.openings import at_edge, place
from fieldvoice.cutting.sheets import across_and_down
from fieldvoice.cutting.tables import (
    BOX_GAP,
    BRIDGED,
    CUT_RANK,
    NARROW,
    SHEET_SHORT,
    neighbour,
    stand_off,
    step_of,
)
from fieldvoice.records.board import Board
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Coordinate, Edge, Neighbour, Topic
from fieldvoice.records.plan import Code, OpeningPlan, Warning

ZERO = Fraction(0)
BEYOND = Length(12)
"""How far past the last width an edge may be cut by the others alone before that is said (our own rule, no source)."""
Sized = tuple[OpeningPlan, tuple[Fraction, Fraction]]
"""An opening with the board's width at its height and the board's height at its place."""
_HARD = CUT_RANK[Neighbour.WALL]


def warnings_for(board: Board, frame: Frame, openings: tuple[OpeningPlan, ...]) -> tuple[Warning, ...]:
    """Every warning, the ones that spoil a board first."""
    sized = tuple((opening, _size(frame, opening)) for opening in openings)
    return (
        *_bowed_references(board, frame, openings),
        *_wide_gaps(frame),
        *_unmeasured(board, frame),
        *_floor_readings(board),
        *_over_the_edge(sized),
        *_small_webs(sized, board),
        *_narrow_strips(board, frame),
        *_short_sheet(board, frame),
        *_cut_joints(board, frame),
        *_tilt(board, frame),
    )


def bow_at(board: Board, solved: Run, edge: Edge, t: Fraction) -> Fraction:
    """How far the neighbour at a cut edge stands off beyond its clearance at `t`, once the board hangs."""
    if not solved.readings or edge not in {cut.edge for cut in solved.cuts}:
        return ZERO
    both = stand_off(board, solved.axis.near).inches + stand_off(board, solved.axis.far).inches
    if len(solved.cuts) == 2:
        return ZERO
    return reading_at(solved.readings, t) - both - (value_at(solved.far, t) - value_at(solved.near, t))


def _bowed_references(board: Board, frame: Frame, openings: tuple[OpeningPlan, ...]) -> Iterator[Warning]:
    places, cut = {opening.name: place(opening) for opening in openings}, frame.cut_edges()
    for name, coordinate, axis in _called(board):
        solved = frame.across if axis is ACROSS else frame.down
        if coordinate.start is Edge.BOTTOM or coordinate.start not in cut:
            continue
        t = places[name][1 if axis is ACROSS else 0]
        bow = bow_at(board, solved, coordinate.start, t)
        if bow <= BOX_GAP.inches:
            continue
        other = axis.far if coordinate.start is axis.near else axis.near
        off, there = Length(bow).rounded(step_of(board)), reading_at(solved.readings, t) - coordinate.value.inches
        values = (off, Length(there).rounded(step_of(board)))
        start = coordinate.start
        stands = neighbour(board, start)
        yield Warning(Code.BOWED_REFERENCE, name, start, values, other=other.value, neighbour=stands)


def _called(board: Board) -> Iterator[tuple[str, Coordinate, Axis]]:
    """Every coordinate, with the thing it places and its direction."""
    for box in board.boxes:
        yield box.name, box.x, ACROSS
        yield box.name, box.y, DOWN
    for opening in board.openings:
        yield from ((opening.name, x, ACROSS) for x in opening.xs)
        yield from ((opening.name, y, DOWN) for y in opening.ys)


def _wide_gaps(frame: Frame) -> Iterator[Warning]:
    for solved in (frame.across, frame.down):
        if solved.widest > BRIDGED.inches and solved.cuts:
            edge = solved.cuts[-1].edge
            shape = solved.broken[0].shape if solved.broken else None
            yield Warning(Code.WIDE_GAP, edge=edge, values=(Length(solved.widest), BRIDGED), shape=shape)


def _unmeasured(board: Board, frame: Frame) -> Iterator[Warning]:
    if frame.across.readings and not any(ZERO < one.t < frame.across.extent for one in frame.across.readings):
        yield Warning(Code.UNMEASURED_MIDDLE)
    yield from _unmeasured_ends(frame)
    if len({one.bound for one in frame.across.readings}) > 1 and _alike_joints(board):
        yield Warning(Code.SIDE_BY_DEFAULT, edge=Edge.RIGHT, other=Edge.LEFT.value)


def _unmeasured_ends(frame: Frame) -> Iterator[Warning]:
    """Beyond the last reading a cut runs on as the others point, and nothing shows what stands there."""
    readings = frame.across.readings
    if not readings:
        return
    for end, left in ((Edge.TOP, readings[0].t), (Edge.BOTTOM, frame.across.extent - readings[-1].t)):
        if left > BEYOND.inches:
            yield Warning(Code.UNMEASURED_END, edge=end)


def _alike_joints(board: Board) -> bool:
    sides = [neighbour(board, edge) for edge in (Edge.LEFT, Edge.RIGHT)]
    asked = board.taper in {Edge.LEFT, Edge.RIGHT} or any(p.edge in {Edge.LEFT, Edge.RIGHT} for p in board.plumbs)
    return sides[0] is sides[1] and CUT_RANK[sides[0]] < _HARD and not asked


def _floor_readings(board: Board) -> Iterator[Warning]:
    for name, coordinate, axis in _called(board):
        if axis is DOWN and coordinate.start is Edge.BOTTOM:
            known = Topic.FLOOR_TO_CEILING.value if board.floor_to_ceiling is not None else None
            yield Warning(Code.FROM_FLOOR, name, other=known)


def _over_the_edge(sized: tuple[Sized, ...]) -> Iterator[Warning]:
    for opening, size in sized:
        for edge in at_edge(_sides(opening), size):
            yield Warning(Code.OVER_EDGE, opening.name, edge)


def _sides(opening: OpeningPlan) -> tuple[Length, Length, Length, Length]:
    return opening.left, opening.right, opening.top, opening.bottom


def _size(frame: Frame, opening: OpeningPlan) -> tuple[Fraction, Fraction]:
    x, y = place(opening)
    return (
        value_at(frame.across.far, y) - value_at(frame.across.near, y),
        value_at(frame.down.far, x) - value_at(frame.down.near, x),
    )


def _small_webs(sized: tuple[Sized, ...], board: Board) -> Iterator[Warning]:
    for opening, (width, height) in sized:
        left, right, top, bottom = (side.inches for side in _sides(opening))
        webs = {Edge.LEFT: left, Edge.RIGHT: width - right, Edge.TOP: top, Edge.BOTTOM: height - bottom}
        for edge, web in webs.items():
            if ZERO < web < NARROW.inches:
                yield Warning(Code.WEB, opening.name, edge, (_rounded(board, web),))
    in_row = sorted((opening for opening, _ in sized), key=lambda opening: opening.left.inches)
    for i, one in enumerate(in_row):
        reach = one.right.inches + NARROW.inches
        for other in takewhile(lambda opening: opening.left.inches < reach, in_row[i + 1 :]):  # noqa: B023 - used at once
            apart = _apart(one, other)
            if ZERO < apart < NARROW.inches:
                yield Warning(Code.WEB, one.name, values=(_rounded(board, apart),), other=other.name)


def _rounded(board: Board, web: Fraction) -> Length:
    return Length(web).rounded(step_of(board))


def _apart(one: OpeningPlan, other: OpeningPlan) -> Fraction:
    """How far two openings are apart, in the direction in which they are farther."""
    sideways = max(one.left.inches - other.right.inches, other.left.inches - one.right.inches)
    upright = max(one.top.inches - other.bottom.inches, other.top.inches - one.bottom.inches)
    return max(sideways, upright)


def _narrow_strips(board: Board, frame: Frame) -> Iterator[Warning]:
    sizes = across_and_down(frame.sheet, board.lies)
    for solved, sheet in ((frame.across, sizes[0]), (frame.down, sizes[1])):
        for cut in solved.cuts[-1:]:
            most = max(mark.distance.inches for mark in cut.marks)
            if ZERO < sheet - most < NARROW.inches and len(solved.cuts) == 1:
                yield Warning(Code.STRIP, edge=cut.edge, values=(Length(sheet - most),))


def _short_sheet(board: Board, frame: Frame) -> Iterator[Warning]:
    wide, _ = across_and_down(frame.sheet, board.lies)
    short = SHEET_SHORT.inches
    if frame.across.size > wide - short:
        yield Warning(Code.SHORT_SHEET, values=(SHEET_SHORT,))


def _cut_joints(board: Board, frame: Frame) -> Iterator[Warning]:
    for edge in sorted(frame.cut_edges()):
        if neighbour(board, edge) is Neighbour.BOARD:
            yield Warning(Code.CUT_JOINT, edge=edge)


def _tilt(board: Board, frame: Frame) -> Iterator[Warning]:
    """A board that is turned in between two fixed sides needs its diagonal: about t²/2s more than its size s."""
    thick = (board.thickness * board.layers).inches
    for solved in (frame.across, frame.down):
        near, far = solved.axis.near, solved.axis.far
        between = all(CUT_RANK[neighbour(board, edge)] >= _HARD for edge in (near, far))
        if not between or (solved is frame.across and len(board.widths) == 0):
            continue
        room = (stand_off(board, near) + stand_off(board, far)).inches
        needs = thick * thick / (2 * solved.size) if solved.size else ZERO
        if room < needs:
            yield Warning(Code.NO_ROOM, edge=near, other=far.value)
