"""The look for the wall: the last reading large, the hole as it fills in, what is asked and what is missing."""

from __future__ import annotations

from collections.abc import Iterator

from rich.text import Text

from fieldvoice.dialogue.view import Line, Standing, View
from fieldvoice.output.figures import Figure, largest
from fieldvoice.output.marks import fresh_reading
from fieldvoice.output.screen.hole import hole_sketch
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
from fieldvoice.records.length import Unit
from fieldvoice.wording import needs
from fieldvoice.wording import screen as wording

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
    told = f"{fresh.label}, in {_UNITS[view.unit]}: {_STANDINGS[fresh.standing]}"
    caption = wrapped("", told, wide, "bold")
    setting = largest((Figure(fresh.value),), wide, min(rows - len(caption), max(9, rows // 2)), medium.cells)
    large = tuple(Text(line) for line in setting.lines) if setting else (Text(fresh.value, style="bold"),)
    lines = (*caption, *large)
    if columns >= SIDE_BY_SIDE:
        return beside(lines, hole_sketch(view.hole, columns - wide - 2, rows, medium), wide)
    return (*lines, *hole_sketch(view.hole, columns, rows - len(lines), medium))


def _missing(view: View, columns: int) -> Lines:
    needed = "; ".join(needs.what(item, view.unit) for item in view.missing if item.required)
    better = "; ".join(needs.what(item, view.unit) for item in view.missing if not item.required)
    return (
        *(wrapped("Needed: ", needed, columns, "bold") if needed else ()),
        *(wrapped("", wording.ENOUGH, columns, "bold") if _enough(view) else ()),
        *(wrapped("Better to know: ", better, columns) if better else ()),
    )


def _enough(view: View) -> bool:
    """Whether the board can be ended: nothing required is missing, and nothing is asked."""
    asked = view.last is not None and view.last.asks
    return bool(view.readings) and not asked and not any(item.required for item in view.missing)


def _readings(view: View, columns: int) -> Lines:
    cells = "; ".join(_cell(line) for line in (*view.readings, *view.context))
    return wrapped("So far: ", cells, columns, "dim") if cells else ()


def _cell(line: Line) -> str:
    notes = ", ".join(note for note in (_STANDINGS[line.standing], line.note) if note)
    return f"{line.label} {line.value}" + (f" ({notes})" if notes else "")
