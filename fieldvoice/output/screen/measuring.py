"""The look for the wall: the last reading large, the hole with each reading in its place as it fills in, what is asked
and what is missing.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from rich.text import Text

from fieldvoice.dialogue.view import Line, View
from fieldvoice.output import marks
from fieldvoice.output.figures import Figure, largest
from fieldvoice.output.marks import fresh_reading
from fieldvoice.output.screen.parts import (
    Lines,
    Medium,
    bar,
    beside,
    danger,
    fitted,
    heard,
    question,
    trouble,
    where,
    wrapped,
)
from fieldvoice.output.sketch import wall_sketch
from fieldvoice.records.board import Board
from fieldvoice.records.ledger import Call, OpenKind, Standing
from fieldvoice.records.length import Unit
from fieldvoice.records.meaning import Box, Coordinate, Dimension, Edge, Place, Reading, Slot
from fieldvoice.records.room_plan import Piece, PieceName, SurfaceAtHand
from fieldvoice.wording import captions as wording
from fieldvoice.wording import needs, surfaces
from fieldvoice.wording.forms import Form, InWords
from fieldvoice.wording.values import lead

_STANDINGS = {
    Standing.ACCEPTED: "",
    Standing.CONFIRMED: "confirmed",
    Standing.READ_BACK: "just read back",
    Standing.DOUBTFUL: "IN QUESTION",
}
_UNITS = {Unit.INCH: "inches", Unit.MM: "millimeters"}
SIDE_BY_SIDE = 72
"""From so many columns on the hole stands beside the reading."""


def measuring(view: View, columns: int, rows: int, medium: Medium) -> Lines:
    """Framed by shade above and below, so that from where nothing can be read it is no plan. What only informs goes
    first where rows are short.
    """
    mode = wording.HOLDING if view.holding else wording.MEASURING
    head = (
        bar(f"{mode}: {where(view)}", columns, medium.draft, ""),
        *danger(view, columns),
        *question(view, columns),
        *trouble(view, columns),
    )
    foot = Text(medium.draft * columns)
    room = rows - len(head) - 1
    return (*head, *fitted(columns, room, *_bodies(view, columns, room, medium)), foot)


def _bodies(view: View, columns: int, rows: int, medium: Medium) -> Iterator[Lines]:
    said = heard(view, columns) or wrapped("", wording.FIRST_CALL, columns)
    if view.room_plan is not None and not view.readings and not view.context:
        yield (*said, *wrapped("", surfaces.where_to_begin(view.room_plan), columns, "bold"))
    missing = _missing(view, columns)
    readings = _readings(view, columns)
    least = (*said, *missing)
    yield (*_picture(view, columns, rows - len(least) - len(readings), medium), *least, *readings)
    yield (*_picture(view, columns, rows - len(least), medium), *least)
    yield (*_picture(view, columns, rows - len(said), medium), *said)
    yield said


def _picture(view: View, columns: int, rows: int, medium: Medium) -> Lines:
    """The last reading large, the hole beside or under it."""
    fresh = fresh_reading(view)
    if fresh is None:
        return hole_sketch(view.hole, columns, rows, medium)
    wide = columns // 2 if columns >= SIDE_BY_SIDE else columns
    value = marks.told(fresh, view.unit)
    head = f"{value.label}, in {_UNITS[view.unit]}: {_STANDINGS[fresh.call.standing]}"
    caption = wrapped("", head, wide, "bold")
    setting = largest((Figure(value.value),), wide, min(rows - len(caption), max(9, rows // 2)), medium.cells)
    large = tuple(Text(line) for line in setting.lines) if setting else (Text(value.value, style="bold"),)
    lines = (*caption, *large)
    if columns >= SIDE_BY_SIDE:
        return beside(lines, hole_sketch(view.hole, columns - wide - 2, rows, medium), wide)
    return (*lines, *hole_sketch(view.hole, columns, rows - len(lines), medium))


def _missing(view: View, columns: int) -> Lines:
    queued = tuple(call for call in _called(view) if call.queued)
    needed = "; ".join(needs.what(item, Form(view.unit)) for item in view.missing if item.required)
    needed = needed if not queued else ""  # some of it may wait for the answer
    better = "; ".join(needs.what(item, Form(view.unit)) for item in view.missing if not item.required)
    behind, lacks = (_leads(calls, view.unit) for calls in (queued, _put_off(view)))
    return (
        *(wrapped("Waits for the answer: ", behind, columns, "bold") if behind else ()),
        *(wrapped("Waits for its missing part: ", lacks, columns, "bold") if lacks else ()),
        *_not_taken(view, columns),
        *(wrapped("Needed: ", needed, columns, "bold") if needed else ()),
        *(wrapped("", _what_now(view), columns, "bold") if _enough(view) else ()),
        *(wrapped("Better to know: ", better, columns) if better else ()),
    )


def _called(view: View) -> tuple[Call, ...]:
    return tuple(item.call for item in view.open if item.call is not None)


def _put_off(view: View) -> tuple[Call, ...]:
    return tuple(call for call in _called(view) if call.put_off)


def _not_taken(view: View, columns: int) -> Lines:
    """What was called and waits for nothing: it is to be said again, or left out."""
    left = (item.call for item in view.open if item.kind is OpenKind.NOT_TAKEN and item.call is not None)
    calls = _leads(tuple(call for call in left if not (call.queued or call.put_off)), view.unit)
    return wrapped("Not taken: ", calls, columns, "bold") if calls else ()


def _leads(calls: tuple[Call, ...], unit: Unit) -> str:
    return "; ".join(lead(call, InWords(unit))[0] for call in calls)


def _enough(view: View) -> bool:
    """Whether the board can be ended: nothing required is missing, and nothing is asked."""
    asked = view.last is not None and view.last.asks
    return bool(view.readings) and not asked and not any(item.required for item in view.missing)


def _what_now(view: View) -> str:
    """What "done" does, once it may be said."""
    if _put_off(view):
        return wording.PART_WAITS
    left = any(item.kind is OpenKind.NOT_TAKEN for item in view.open)
    return wording.SOME_NOT_TAKEN if left else wording.ENOUGH


def _readings(view: View, columns: int) -> Lines:
    cells = "; ".join(_cell(line, view.unit) for line in (*view.readings, *view.context))
    return wrapped("So far: ", cells, columns, "dim") if cells else ()


def _cell(line: Line, unit: Unit) -> str:
    told = marks.told(line, unit)
    notes = ", ".join(note for note in (_STANDINGS[line.call.standing], told.note) if note)
    return f"{told.label} {told.value}" + (f" ({notes})" if notes else "")


LEAST_ROWS = 9
LEAST_COLUMNS = 30
"""The least that shows three widths and two heights in their places."""


def hole_sketch(board: Board | None, columns: int, rows: int, medium: Medium) -> Lines:
    """The hole with its readings, or nothing where there is no room for it."""
    if board is None or rows < LEAST_ROWS or columns < LEAST_COLUMNS:
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
    for box in board.boxes:
        _put_box(rows, box, board)
    return rows


def _put_box(rows: list[str], box: Box, board: Board) -> None:
    """A box where it is, as near as there is room; nowhere where the board's size isn't known yet."""
    across, down = (_share(at, readings) for at, readings in ((box.x, board.widths), (box.y, board.heights)))
    name = f"[{box.name or 'box'}]"
    if across is None or down is None or len(name) > len(rows[0]):
        return
    column = min(max(int(len(rows[0]) * across) - len(name) // 2, 0), len(rows[0]) - len(name))
    place = slice(column, column + len(name))
    near = sorted(range(len(rows)), key=lambda row: abs(row - len(rows) * down))
    free = next((row for row in near if not rows[row][place].strip()), None)
    if free is not None:
        rows[free] = f"{rows[free][:column]}{name}{rows[free][place.stop :]}"


def _share(at: Coordinate, readings: Sequence[Reading]) -> Fraction | None:
    """How far over the board a place is, from the left or the top, by the largest reading across or up."""
    size = max((reading.value.inches for reading in readings), default=Fraction(0))
    if not 0 <= at.value.inches <= size or not size:
        return None
    share = at.value.inches / size
    return share if at.start in {Edge.LEFT, Edge.TOP} else 1 - share


def _put(row: str, text: str, at: Place) -> str:
    if at is Slot.LEFT:
        return f" {text}{row[len(text) + 1 :]}"
    return f"{row[: -len(text) - 1]}{text} "


def _value(board: Board, dimension: Dimension, at: Slot) -> str | None:
    readings = board.widths if dimension is Dimension.WIDTH else board.heights
    return next((reading.value.text(board.unit) for reading in readings if reading.at is at), None)


LEAST_WALL_ROWS = 6
"""In fewer a wall can't be made out."""


def wall(view: View, surface: SurfaceAtHand, columns: int, rows: int, medium: Medium) -> Lines:
    """Framed by shade as measuring is: nothing here is to cut to. What only informs goes first where rows are short."""
    mode = wording.HOLDING if view.holding else surfaces.sized(surface.name, surface.sides, view.unit)
    head = (bar(mode, columns, medium.draft, ""), *question(view, columns), *trouble(view, columns))
    room = rows - len(head) - 1
    return (
        *head,
        *fitted(columns, room, *_wall_bodies(view, surface, columns, room, medium)),
        Text(medium.draft * columns),
    )


def _wall_bodies(view: View, surface: SurfaceAtHand, columns: int, rows: int, medium: Medium) -> Iterator[Lines]:
    said = heard(view, columns)
    asked = view.last is not None and view.last.asks
    following = () if asked else wrapped("", surfaces.what_is_next(surface, view.unit), columns, "bold")
    ahead = (*_not_taken(view, columns), *following)
    pieces = _readings(view, columns) if surface.plan is None else _pieces(surface, view.unit, columns, medium)
    for under in ((*ahead, *pieces, *said), (*ahead, *said), ahead):
        drawn = _drawn(surface, view.unit, columns, rows - len(under), medium)
        if drawn:
            yield (*drawn, *under)
    yield (*ahead, *pieces, *said)
    yield (*ahead, *said)
    yield ahead


def _drawn(surface: SurfaceAtHand, unit: Unit, columns: int, rows: int, medium: Medium) -> Lines:
    if surface.plan is None or rows < LEAST_WALL_ROWS:
        return ()
    names = {piece.name: _name(surface, piece.name, medium) for piece in surface.plan.pieces}
    lines = wall_sketch(surface.plan, names, columns, rows, medium.wall, unit, surface.layer)
    return tuple(Text(line) for line in lines)


def _name(surface: SurfaceAtHand, piece: PieceName, medium: Medium) -> str:
    """The number of a piece: between arrows the next one, in brackets one that is cut."""
    number = str(piece.number)
    if piece == surface.next:
        return f"{medium.arrows[1]}{number}{medium.arrows[0]}"
    return f"({number})" if piece in surface.cut else number


def _pieces(surface: SurfaceAtHand, unit: Unit, columns: int, medium: Medium) -> Lines:
    """Every piece in the order of hanging, in a line each."""
    pieces: tuple[Piece, ...] = () if surface.plan is None else surface.plan.pieces
    return tuple(
        line
        for piece in pieces
        for line in wrapped(
            f"{_name(surface, piece.name, medium):>5}  ",
            surfaces.piece_line(piece, surface, unit),
            columns,
            "bold" if piece.name == surface.next else "dim" if piece.name in surface.cut else "",
        )
    )
