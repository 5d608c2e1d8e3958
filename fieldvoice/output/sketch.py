"""A board, a wall or a ceiling in a few cells: to scale, with what is waste, openings, numbers and joints by kind."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import Enum, auto
from fractions import Fraction
from itertools import pairwise, takewhile

from fieldvoice.records.length import ZERO, Length, Unit
from fieldvoice.records.room import RoughOpening, level_top
from fieldvoice.records.room_plan import JointKind, Piece, PieceName, SurfacePlan
from fieldvoice.wording.captions import opening_figures, opening_names

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


UP, RIGHT, DOWN, LEFT = 1, 2, 4, 8


@dataclass(frozen=True, slots=True)
class WallInks:
    """What cells are drawn with: `lines` by which ways lines leave a cell (up 1, right 2, down 4, left 8), joints of
    ends, openings, and a top that rises or falls to the right.
    """

    lines: str
    butt_level: str
    butt_upright: str
    opening: str
    rises: str = "/"
    falls: str = "\\"


WALL_UNICODE = WallInks(" ╵╶└╷│┌├╴┘─┴┐┤┬┼", "═", "║", "░")
WALL_ASCII = WallInks(" |-+||++-+-+++++", "=", "#", ".")


@dataclass(slots=True)
class _CellGrid:
    """Cells by row and column. `x` and `y` of a length are those of the line that it falls on."""

    surface: SurfacePlan
    across: int
    down: int
    lines: dict[tuple[int, int], int] = field(default_factory=dict)
    inks: dict[tuple[int, int], str] = field(default_factory=dict)

    def x(self, length: Length) -> int:
        return round(length.inches * self.across / self.surface.surface.width.inches)

    def y(self, length: Length) -> int:
        high = self.surface.surface.highest
        return round((high - length).inches * self.down / high.inches)

    def level(self, x0: Length, x1: Length, y: Length) -> None:
        """A level line between two places."""
        row, first, last = self.y(y), self.x(x0), self.x(x1)
        for column in range(first, last):
            self._add((row, column), RIGHT)
            self._add((row, column + 1), LEFT)

    def upright(self, x: Length, y0: Length, y1: Length) -> None:
        """An upright line between two heights."""
        column, first, last = self.x(x), self.y(y1), self.y(y0)
        for row in range(first, last):
            self._add((row, column), DOWN)
            self._add((row + 1, column), UP)

    def _add(self, cell: tuple[int, int], way: int) -> None:
        self.lines[cell] = self.lines.get(cell, 0) | way

    def text(self, inks: WallInks) -> tuple[str, ...]:
        rows = range(self.down + 1)
        return tuple(
            "".join(self._ink((row, column), inks) for column in range(self.across + 1)).rstrip() for row in rows
        )

    def _ink(self, cell: tuple[int, int], inks: WallInks) -> str:
        return self.inks.get(cell) or inks.lines[self.lines.get(cell, 0)]


def wall_sketch(
    plan: SurfacePlan,
    names: Mapping[PieceName, str],
    columns: int,
    rows: int,
    inks: WallInks,
    unit: Unit,
    layer: int = 1,
) -> tuple[str, ...]:
    """One layer of a surface to scale, no larger than `columns` by `rows`, each piece under the name given, in each
    opening as much of its size and place as it has rows for. Nothing where there is no room for every name.
    """
    wide, high = plan.surface.width.inches, plan.surface.highest.inches
    if columns < 3 or rows < 3:
        return ()
    a_row = max(high / (rows - 1), CELL * wide / (columns - 1))
    grid = _CellGrid(plan, max(2, int(wide * CELL / a_row)), max(2, int(high / a_row)))
    pieces = [piece for piece in plan.pieces if piece.layer == layer]
    for piece in pieces:
        _bordered(grid, piece)
    for joint in plan.joints:
        if joint.layer == layer and joint.kind is JointKind.BUTT:
            _butted(grid, joint.start, joint.end, inks)
    openings = plan.surface.openings
    for name, opening in zip(opening_names(openings), openings, strict=True):
        _opened(grid, opening, (name, *opening_figures(opening, plan.surface.kind, unit)), inks)
    _sloped(grid, inks)
    for piece in pieces:
        if not _named(grid, piece, names[piece.name]):
            return ()
    return grid.text(inks)


def _bordered(grid: _CellGrid, piece: Piece) -> None:
    left, right = piece.y + piece.left_height, piece.y + piece.right_height
    grid.level(piece.x, piece.right, piece.y)
    for start, end in pairwise(piece.top_corners):
        if start.height == end.height:
            grid.level(piece.x + start.across, piece.x + end.across, piece.y + start.height)
    grid.upright(piece.x, piece.y, left)
    grid.upright(piece.right, piece.y, right)


def _butted(grid: _CellGrid, start: tuple[Length, Length], end: tuple[Length, Length], inks: WallInks) -> None:
    """Between the ends of a joint of ends, which keep their corners."""
    (ax, ay), (bx, by) = start, end
    column, row = grid.x(ax), grid.y(ay)
    if ax == bx:
        first, last = sorted((grid.y(ay), grid.y(by)))
        grid.inks.update({(each, column): inks.butt_upright for each in range(first + 1, last)})
    else:
        first, last = sorted((grid.x(ax), grid.x(bx)))
        grid.inks.update({(row, each): inks.butt_level for each in range(first + 1, last)})


def _opened(grid: _CellGrid, opening: RoughOpening, told: Sequence[str], inks: WallInks) -> None:
    """Filled, with what is told of it written into it, a row each, as far as there is room."""
    rows = range(grid.y(opening.top), max(grid.y(opening.bottom), grid.y(opening.top) + 1))
    rows = rows if opening.bottom > ZERO else range(rows.start, grid.down + 1)
    first, last = grid.x(opening.left), grid.x(opening.right)
    grid.inks.update({(row, column): inks.opening for row in rows for column in range(first, last + 1)})
    fits = [*takewhile(lambda word: len(word) < last - first, told)][: max(1, len(rows) - 2)]
    for row, word in enumerate(fits, rows[0] + (len(rows) - len(fits) + 1) // 2):
        start = first + (last - first + 1 - len(word)) // 2
        grid.inks.update({(row, start + number): letter for number, letter in enumerate(word)})


def _sloped(grid: _CellGrid, inks: WallInks) -> None:
    """The line of a top that slopes."""
    surface = grid.surface.surface
    if level_top(surface):
        return
    part, highest = surface.width / (2 * grid.across), surface.highest
    for column in range(grid.across + 1):
        x = surface.width * Fraction(column, grid.across)
        row = grid.y(surface.top_at(x))
        for above in range(row):
            grid.lines.pop((above, column), None)
            grid.inks.pop((above, column), None)
        before, after = surface.top_at(max(ZERO, x - part)), surface.top_at(min(surface.width, x + part))
        if before != after:
            grid.inks[row, column] = inks.rises if before < after else inks.falls
        elif before == highest == surface.top_at(x):
            grid.lines[row, column] = LEFT | RIGHT


def _named(grid: _CellGrid, piece: Piece, name: str) -> bool:
    """The name as near as can be to the middle of the piece, where nothing else is; whether there was room."""
    left, right, bottom = grid.x(piece.x), grid.x(piece.right), grid.y(piece.y)
    top, halfway = grid.y(piece.top), grid.y(piece.y + (piece.left_height + piece.right_height) / 2)
    spots = [(row, column) for row in range(top + 1, bottom) for column in range(left + 1, right - len(name) + 1)]
    middle = ((halfway + bottom) / 2, (left + right - len(name) + 1) / 2)
    spots.sort(key=lambda spot: (abs(spot[0] - middle[0]) * 2 + abs(spot[1] - middle[1]), spot))
    for row, column in spots:
        cells = [(row, column + number) for number in range(-1, len(name) + 1)]
        if all(_free(grid, cell, at_side=cell in {cells[0], cells[-1]}) for cell in cells):
            grid.inks.update({(row, column + number): letter for number, letter in enumerate(name)})
            return True
    return False


def _free(grid: _CellGrid, cell: tuple[int, int], *, at_side: bool) -> bool:
    """Whether nothing is drawn there, and it lies under the top; beside a name a line may be, and nothing that would be
    read as part of it.
    """
    x = grid.surface.surface.width * Fraction(min(max(cell[1], 0), grid.across), grid.across)
    if cell[0] <= grid.y(grid.surface.surface.top_at(x)):
        return False
    if at_side:
        return not grid.inks.get(cell, " ").isalnum()
    return cell not in grid.inks and not grid.lines.get(cell)
