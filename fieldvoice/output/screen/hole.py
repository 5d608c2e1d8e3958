"""The hole while it is measured: what stands around it, each reading in its place, a question mark where one lacks."""

from __future__ import annotations

from rich.text import Text

from fieldvoice.output.screen.parts import Lines, Medium
from fieldvoice.records.board import Board
from fieldvoice.records.meaning import Dimension, Edge, Place, Slot

ROWS = 9
COLUMNS = 30
"""The least that shows three widths and two heights in their places."""


def hole_sketch(board: Board | None, columns: int, rows: int, medium: Medium) -> Lines:
    """The hole with its readings, or nothing where there is no room for it."""
    if board is None or rows < ROWS or columns < COLUMNS:
        return ()
    wide = min(columns, 64)
    high = min(rows, 15)
    top, bottom = (_named(board, edge).center(wide) for edge in (Edge.TOP, Edge.BOTTOM))
    inside = _inside(board, wide - 6, high - 4)
    walls = [_upright(_named(board, edge), high - 4) for edge in (Edge.LEFT, Edge.RIGHT)]
    dash = medium.dash
    lines = [
        f"  +{dash * (wide - 6)}+",
        *(f"{a} |{row}| {b}" for a, row, b in zip(walls[0], inside, walls[1], strict=True)),
        f"  +{dash * (wide - 6)}+",
    ]
    return tuple(Text(line.rstrip()) for line in (top, *lines, bottom))


def _named(board: Board, edge: Edge) -> str:
    return board.edges[edge].neighbor.value


def _upright(word: str, high: int) -> list[str]:
    """A word written downwards, in the middle."""
    letters = list(word[:high])
    above = (high - len(letters)) // 2
    return [*" " * above, *letters, *" " * (high - len(letters) - above)]


def _inside(board: Board, wide: int, high: int) -> list[str]:
    rows = [" " * wide] * high
    middle = high // 2
    for at, row in ((Slot.TOP, 0), (Slot.MIDDLE, middle), (Slot.BOTTOM, high - 1)):
        value = _value(board, Dimension.WIDTH, at)
        if value is not None or at is not Slot.MIDDLE:
            rows[row] = f"<-- {value or '?'} -->".center(wide)
    for at in (Slot.LEFT, Slot.RIGHT):
        value = _value(board, Dimension.HEIGHT, at)
        if value is None and at is Slot.RIGHT and _value(board, Dimension.HEIGHT, Slot.LEFT) is not None:
            continue
        for offset, text in ((-1, "^"), (0, value or "?"), (1, "v")):
            row = max(1, min(high - 2, middle - 1 + offset))
            rows[row] = _put(rows[row], text, at)
    boxes = ", ".join(box.name or "box" for box in board.boxes)
    if boxes:
        rows[high - 2] = f"[{boxes}]"[:wide].center(wide)
    return rows


def _put(row: str, text: str, at: Place) -> str:
    if at is Slot.LEFT:
        return f" {text}{row[len(text) + 1 :]}"
    return f"{row[: -len(text) - 1]}{text} "


def _value(board: Board, dimension: Dimension, at: Slot) -> str | None:
    readings = board.widths if dimension is Dimension.WIDTH else board.heights
    return next((reading.value.text(board.unit) for reading in readings if reading.at is at), None)
