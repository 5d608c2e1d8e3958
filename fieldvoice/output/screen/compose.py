"""Which look is shown, by itself or because a key asked for it, and that it fits; the pages that are a key away."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum, auto

from rich.text import Text

from fieldvoice.dialogue.view import View
from fieldvoice.output import marks
from fieldvoice.output.screen.cutting import cutting
from fieldvoice.output.screen.measuring import measuring, wall
from fieldvoice.output.screen.parts import RICH, Lines, Medium, bar, cut_off, danger, where, wrapped
from fieldvoice.wording import captions as wording
from fieldvoice.wording import cautions, warnings
from fieldvoice.wording import steps as steps_wording
from fieldvoice.wording.captions import more_lines


def cautions_page(view: View, columns: int, medium: Medium) -> Lines:
    """Every caution of the board in full, the ones about power first."""
    every = cautions.every(view.cautions, view.plan.steps if view.plan is not None else ())
    lead = wrapped("", wording.READ_CAUTIONS if every else wording.NO_CAUTIONS, columns, "bold")
    listed = [line for caution in every for line in wrapped("! ", caution, columns)]
    return (bar(f"CAUTIONS, {where(view)}", columns, medium.dash, "bold"), *danger(view, columns), *lead, *listed)


def steps_page(view: View, columns: int, medium: Medium) -> Lines:
    """All steps with their ticks, then the notes, then every reading."""
    steps = () if view.to_cut is None else view.to_cut.steps
    listed = [
        line
        for number, step in enumerate(steps, 1)
        for line in wrapped(
            f"[{'x' if number in view.ticked else ' '}] {number:>2}. ", steps_wording.text(step, view.unit), columns
        )
    ]
    none = () if steps else wrapped("", wording.NO_STEPS, columns)
    warned = view.plan.warnings if view.plan is not None else ()
    notes = [line for each in warned for line in wrapped("Note: ", warnings.text(each, view.unit), columns)]
    known = [
        line
        for each in (marks.told(one, view.unit) for one in (*view.readings, *view.context))
        for line in wrapped("  ", f"{each.label}: {each.value}{f' ({each.note})' if each.note else ''}", columns)
    ]
    return (bar(f"STEPS AND NOTES, {where(view)}", columns, medium.dash, "bold"), *listed, *none, *notes, *known)


def keys_page(view: View, columns: int, medium: Medium) -> Lines:
    """What each key does, and what can be said now."""
    now = wording.SAY_WHILE_MEASURING if view.to_cut is None else wording.SAY_WHILE_CUTTING
    keys = [line for key, does in wording.KEYS for line in wrapped(f"{key:>9}  ", does, columns)]
    return (bar("KEYS", columns, medium.dash, "bold"), *keys, *wrapped("Say now: ", now, columns, "bold"))


class Look(Enum):
    """What the partner looks at: the job as it is now, or a page that a key brought."""

    NOW = auto()
    CAUTIONS = auto()
    STEPS = auto()
    KEYS = auto()


_PAGES = {
    Look.CAUTIONS: (cautions_page, "Enter"),
    Look.STEPS: (steps_page, "Tab"),
    Look.KEYS: (keys_page, "?"),
}
"""The pages, each with the key that shows more of it."""


@dataclass(frozen=True, slots=True)
class Shown:
    """As much as fits, and whether there is more behind it."""

    lines: Lines
    more: bool = False


def compose(view: View, columns: int, rows: int, look: Look = Look.NOW, medium: Medium = RICH, first: int = 0) -> Shown:
    """The whole screen as lines no wider than `columns` and at most `rows` of them. Of a page that is longer, `first`
    is the row that it begins with, and its last line says that there is more.
    """
    if look is not Look.NOW:
        page, key = _PAGES[look]
        return _page(page(view, columns, medium), columns, rows, first, key)
    if view.surface is not None:
        return Shown(tuple(wall(view, view.surface, columns, rows, medium)[:rows]))
    lines = (measuring if view.to_cut is None else cutting)(view, columns, rows, medium)
    return Shown(cut_off(lines, columns, rows))


def _page(lines: Lines, columns: int, rows: int, first: int, key: str) -> Shown:
    shown = tuple(line[:columns] for line in lines[first : first + rows])
    left = len(lines) - first - len(shown)
    if left <= 0:
        return Shown(shown)
    return Shown((*shown[:-1], Text(more_lines(left + 1, key)[:columns], style="bold")), more=True)
