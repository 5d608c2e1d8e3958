"""The board in a few cells: its shape to scale, what is waste, its openings, and where the tape hooks on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum, auto
from fractions import Fraction

Corner = tuple[Fraction, Fraction]
"""A point in inches, across from the left and down from the top of whatever the sketch is of."""
Outline = tuple[Corner, ...]

CELL = Fraction(2)
"""How many times higher than wide a cell of a terminal is, as most fonts have it (common practice, no source)."""


class Ink(Enum):
    """What a cell of the sketch is part of."""

    OUTSIDE = auto()
    BOARD = auto()
    EDGE = auto()
    WASTE = auto()
    OPENING = auto()
    MARK = auto()
    HOOK_LEFT = auto()
    HOOK_RIGHT = auto()
    HOOK_TOP = auto()
    HOOK_BOTTOM = auto()


UNICODE = dict(zip(Ink, "  █░▒●▶◀▼▲", strict=True))
ASCII = dict(zip(Ink, "  #.o*><v^", strict=True))


@dataclass(frozen=True, slots=True)
class Sketched:
    """What to draw. `whole` is the sheet (or the hole), `board` what is kept of it, `openings` the holes in it; `hooks`
    are where the tape hooks on, each with the ink that points the way it runs; `marks` are where the pencil goes.
    """

    whole: Outline
    board: Outline
    openings: tuple[Outline, ...] = ()
    hooks: tuple[tuple[Corner, Ink], ...] = ()
    marks: tuple[Corner, ...] = ()


def sketch(what: Sketched, columns: int, rows: int, inks: Mapping[Ink, str] = UNICODE) -> tuple[str, ...]:
    """The drawing, no larger than `columns` by `rows` and no line of it blank at its end; nothing where there is no
    room for a shape.
    """
    everything = (*what.whole, *what.board)
    left, top = min(x for x, _ in everything), min(y for _, y in everything)
    wide, high = max(x for x, _ in everything) - left, max(y for _, y in everything) - top
    if wide <= 0 or high <= 0 or columns < _LEAST or rows < _LEAST:
        return ()
    a_row = max(high / (rows - 2), CELL * wide / (columns - 2))  # inches in a row of cells; a ring is left for hooks
    a_column = a_row / CELL
    across, down = max(2, round(wide / a_column)), max(2, round(high / a_row))
    grid = [[Ink.OUTSIDE] * (across + 2) for _ in range(down + 2)]
    shapes = ((what.whole, Ink.WASTE), (what.board, Ink.BOARD), *((each, Ink.OPENING) for each in what.openings))
    for row in range(down):
        y = top + (row + _HALF) * high / down
        for outline, ink in shapes:
            for start, end in _stretches(outline, y):
                first, last = (round((x - left) * across / wide) for x in (start, end))
                grid[row + 1][first + 1 : last + 1] = [ink] * (last - first)
    _outlined(grid)
    for corner in what.marks:
        row, column = _cell(corner, (left, top), (wide, high), (across, down))
        grid[row][column] = Ink.MARK
    for corner, ink in what.hooks:
        row, column = _cell(corner, (left, top), (wide, high), (across, down))
        grid[row + _BESIDE[ink][0]][column + _BESIDE[ink][1]] = ink
    return tuple("".join(inks[ink] for ink in line).rstrip() for line in grid)


_LEAST = 5
_HALF = Fraction(1, 2)
_BESIDE = {Ink.HOOK_LEFT: (0, -1), Ink.HOOK_RIGHT: (0, 1), Ink.HOOK_TOP: (-1, 0), Ink.HOOK_BOTTOM: (1, 0)}
"""A hook stands in the cell outside the edge that it hooks on."""


def _stretches(outline: Outline, y: Fraction) -> tuple[Corner, ...]:
    """Where the level line at `y` runs inside the outline, from x to x."""
    crossed = sorted(
        ax + (y - ay) * (bx - ax) / (by - ay)
        for (ax, ay), (bx, by) in zip(outline, (*outline[1:], *outline[:1]), strict=True)
        if (ay > y) != (by > y)
    )
    return tuple(zip(crossed[::2], crossed[1::2], strict=True))


def _outlined(grid: list[list[Ink]]) -> None:
    """Cells of the board that have anything but board or opening beside them become its edge."""
    own = {Ink.BOARD, Ink.OPENING}
    edge = [
        (row, column)
        for row, line in enumerate(grid)
        for column, ink in enumerate(line)
        if ink in own and any(grid[row + dy][column + dx] not in own for dy, dx in ((0, 1), (0, -1), (1, 0), (-1, 0)))
    ]
    for row, column in edge:
        grid[row][column] = Ink.EDGE


def _cell(corner: Corner, start: Corner, size: Corner, cells: tuple[int, int]) -> tuple[int, int]:
    """The row and column of a point, counted with the ring around the drawing."""
    column, row = (min(max(int((corner[i] - start[i]) * cells[i] / size[i]), 0), cells[i] - 1) + 1 for i in (0, 1))
    return row, column
