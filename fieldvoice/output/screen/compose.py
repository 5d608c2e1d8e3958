"""Which look is shown, by itself or because a key asked for it, and that it fits."""

from __future__ import annotations

from enum import Enum, auto

from rich.text import Text

from fieldvoice.dialogue.view import View
from fieldvoice.output.screen.cutting import cutting
from fieldvoice.output.screen.measuring import measuring
from fieldvoice.output.screen.pages import cautions_page, keys_page, steps_page
from fieldvoice.output.screen.parts import RICH, Lines, Medium, cut_off
from fieldvoice.wording.screen import more_lines


class Look(Enum):
    """What the partner looks at: the job as it is now, or a page that a key brought."""

    NOW = auto()
    CAUTIONS = auto()
    STEPS = auto()
    KEYS = auto()


_PAGES = {Look.CAUTIONS: cautions_page, Look.STEPS: steps_page, Look.KEYS: keys_page}


def compose(view: View, columns: int, rows: int, look: Look = Look.NOW, medium: Medium = RICH, first: int = 0) -> Lines:
    """The whole screen as lines no wider than `columns` and at most `rows` of them. Of a page that is longer, `first`
    is the row that it begins with, and its last line says that there is more.
    """
    if look is not Look.NOW:
        return _paged(_PAGES[look](view, columns, medium), columns, rows, first)
    lines = (cutting if view.plan is not None and not view.so_far else measuring)(view, columns, rows, medium)
    return cut_off(lines, columns, rows)


def _paged(lines: Lines, columns: int, rows: int, first: int) -> Lines:
    shown = tuple(line[:columns] for line in lines[first : first + rows])
    left = len(lines) - first - len(shown)
    if left <= 0:
        return shown
    return (*shown[:-1], Text(more_lines(left + 1)[:columns], style="bold"))
