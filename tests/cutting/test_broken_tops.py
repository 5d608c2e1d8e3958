"""Boards whose top breaks: under a peak, where a slope begins or ends, between two slopes. Cut by the words of their
steps, the board has the measured height at both sides and at each break, and a straight line from each to the next.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import accumulate, pairwise
from random import Random

import pytest
from shapely import LineString, Polygon

from fieldvoice.cutting.solving import missing, solve
from fieldvoice.errors import NotPlanned
from fieldvoice.records.board import Board, Lies
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Course, Dimension, Edge, Neighbor, Place, Reading, Slot
from fieldvoice.records.plan import No
from tests.cutting.rooms import sides
from tests.cutting.test_paper_boards import cut_by_words


def broken(seed: int, *, valley: bool = False) -> tuple[Board, list[tuple[Fraction, Fraction]]]:
    """A board, and the line of its top as it was measured: how far from its left, how high above what is below. A
    valley falls and then rises: no layout has such a board, so that only the tape knows of it.
    """
    draw = Random(seed)
    lies = draw.choice(tuple(Lies))
    far, most = (draw.randrange(30, 94), 46) if lies is Lies.LYING else (draw.randrange(20, 46), 90)
    places = [0, *sorted(draw.sample(range(3, far - 2), draw.choice((1, 1, 2)))), far]
    slopes = sorted((Fraction(draw.randrange(-20, 21), 16) for _ in places[1:]), reverse=True)
    if valley:
        slopes = sorted((-abs(slopes[0]) - Fraction(1, 16), *slopes[1:-1], abs(slopes[-1]) + Fraction(1, 16)))
    elif draw.random() < 0.4:
        slopes[0] = max(slopes[1], Fraction(0))  # level to where the slope begins
        slopes = sorted(slopes, reverse=True)
    rise = [Fraction(0), *accumulate(slope * (b - a) for slope, (a, b) in zip(slopes, pairwise(places), strict=True))]
    high = draw.randrange(most // 3, most)
    scale = min(Fraction(1), (high - 3) / max(max(rise) - min(rise), Fraction(1)))
    tops = [high - round((max(rise) - each) * scale * 16) / Fraction(16) for each in rise]
    line = [(Fraction(x), y) for x, y in zip(places, tops, strict=True)]
    at: tuple[Place, ...] = (Slot.LEFT, *(Length(x) for x in places[1:-1]), Slot.RIGHT)
    below, above = draw.choice((Neighbor.FLOOR, Neighbor.BOARD)), draw.choice((Neighbor.CEILING, Neighbor.BOARD))
    beside = (Neighbor.BOARD, draw.choice((Neighbor.WALL, Neighbor.BOARD)))
    gap = Fraction(1, 2) if below is Neighbor.FLOOR else Fraction(0)
    return Board(
        "1",
        lies=lies,
        course=Course.LOWER if below is Neighbor.FLOOR else Course.UPPER,
        edges=sides(*draw.choice((beside, beside[::-1])), above, below),
        widths=tuple(Reading(Length(far), Dimension.WIDTH, slot) for slot in (Slot.TOP, Slot.BOTTOM)),
        heights=tuple(Reading(Length(y + gap), Dimension.HEIGHT, each) for each, (_, y) in zip(at, line, strict=True)),
        end=Edge.TOP,
        breaks=() if valley else tuple(Length(x) for x in places[1:-1]),
    ), line


@pytest.mark.parametrize("seed", range(40))
@pytest.mark.parametrize("valley", [False, True])
def test_a_board_has_the_line_that_was_measured(seed: int, *, valley: bool) -> None:
    """By the printed words alone, in inches, whichever edges it keeps."""
    board, line = broken(seed, valley=valley)
    plan = solve(board)
    made = cut_by_words(plan).sheet
    left, _, right, low = made.bounds  # y downwards
    steep = max(abs(float((y1 - y0) / (x1 - x0))) for (x0, y0), (x1, y1) in pairwise(line))
    for (x0, y0), (x1, y1) in pairwise(line):
        for part in (Fraction(1, 50), Fraction(1, 2), Fraction(49, 50)):
            across, high = float(x0 + (x1 - x0) * part), float(y0 + (y1 - y0) * part)
            at = min(max(left + across, left + 0.01), right - 0.01)
            there = _height(made, at, low)
            assert -0.3 * steep - 0.14 <= there - high <= 0.14 * steep + 0.01, (across, there, high)
    assert plan.proof.ok


def _height(made: Polygon, at: float, low: float) -> float:
    """How high the board is there."""
    return float(made.intersection(LineString([(at, -10), (at, low + 10)])).length)


@pytest.mark.parametrize("seed", range(12))
def test_what_lacks_of_the_line_is_asked_for(seed: int) -> None:
    """Each height alone; a middle one far from the break is none of it."""
    board, _ = broken(seed)
    assert [one for one in missing(board) if one.required] == []
    for lost in board.heights:
        less = replace(board, heights=tuple(one for one in board.heights if one is not lost))
        near = isinstance(lost.at, Length) and any(
            isinstance(one.at, Length) and one is not lost and abs(one.at - lost.at) <= Length(12)
            for one in board.heights
        )
        asked = [one.at for one in missing(less) if one.required]
        assert asked == [lost.at] or near, (lost.at, asked)
        if asked:
            with pytest.raises(NotPlanned) as why:
                solve(less)
            assert why.value.why.no is No.NEEDS


def test_millimeters() -> None:
    """Marks of whole millimeters."""
    unit = Unit.MM
    heights = ((Slot.LEFT, 900), (Length.of(500, unit), 1150), (Slot.RIGHT, 700))
    board = Board(
        "1",
        unit=unit,
        lies=Lies.LYING,
        course=Course.UPPER,
        edges=sides(Neighbor.BOARD, Neighbor.BOARD, Neighbor.CEILING, Neighbor.BOARD),
        widths=tuple(Reading(Length.of(1500, unit), Dimension.WIDTH, at) for at in (Slot.TOP, Slot.BOTTOM)),
        heights=tuple(Reading(Length.of(high, unit), Dimension.HEIGHT, at) for at, high in heights),
        end=Edge.TOP,
        breaks=(Length.of(500, unit),),
    )
    (cut,) = (cut for cut in solve(board).cuts if cut.edge is Edge.TOP)
    assert [mark.distance for mark in cut.marks] == [Length.of(high, unit) for _, high in heights]


@pytest.mark.parametrize("seed", range(8))
def test_a_height_far_from_the_break_is_none_of_it(seed: int) -> None:
    """What was measured more than a foot beside it says nothing of how high the break is."""
    board, _ = broken(seed)
    far = replace(board, breaks=board.breaks[:1])
    (first, *_) = (one for one in far.heights if isinstance(one.at, Length))
    for aside in ("13", "-13", "40"):
        moved = replace(far, heights=tuple(one for one in far.heights if not isinstance(one.at, Length)))
        at = board.breaks[0] + Length(aside)
        there = replace(moved, heights=(*moved.heights, replace(first, at=at)))
        assert [one.at for one in missing(there) if one.required] == [board.breaks[0]]
        near = replace(moved, heights=(*moved.heights, replace(first, at=board.breaks[0] + Length(aside) / 5)))
        assert not [one.at for one in missing(near) if one.required]
