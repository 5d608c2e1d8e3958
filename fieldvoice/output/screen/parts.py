"""What every look of the screen is made of: lines that fit, a header, the line of danger, what waits for an answer; and
what the microphone brings, in one line under the job.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from rich.text import Text

from fieldvoice.dialogue.view import View
from fieldvoice.output import marks
from fieldvoice.output.figures import ASCII, BLOCKS, Cells
from fieldvoice.output.sketch import ASCII as ASCII_INKS
from fieldvoice.output.sketch import UNICODE, WALL_ASCII, WALL_UNICODE, Ink, WallInks
from fieldvoice.output.text import cells, fitted_lines
from fieldvoice.wording.captions import CLIPS, TOO_SMALL, level
from fieldvoice.wording.cautions import danger_line
from fieldvoice.wording.notices import answer
from fieldvoice.wording.troubles import sentence

Lines = tuple[Text, ...]


@dataclass(frozen=True, slots=True)
class Medium:
    """What the terminal can show: the cells of large figures, the inks of the sketch, and the shades of a draft and of
    a plan, so that the two are told apart by shape from where no word can be read.
    """

    cells: Cells
    inks: Mapping[Ink, str]
    draft: str
    plan: str
    arrows: tuple[str, str]
    dash: str
    wall: WallInks


RICH = Medium(BLOCKS, UNICODE, "▞", "█", ("◀", "▶"), "─", WALL_UNICODE)
PLAIN = Medium(ASCII, ASCII_INKS, "/", "=", ("<", ">"), "-", WALL_ASCII)


def wrapped(lead: str, text: str, columns: int, style: str = "") -> Lines:
    """`text` after `lead`, wrapped with a hanging indent. No word of it is lost."""
    lines = fitted_lines(lead + text, columns, " " * min(len(lead), columns // 3))
    return tuple(Text(line, style=style) for line in lines)


def bar(text: str, columns: int, shade: str, style: str) -> Text:
    """A row that is all shade but for its text, near its left."""
    named = Text(" ".join(text.split()))
    named.truncate(max(columns - 6, 0), overflow="ellipsis")
    inside = f"{shade * 2} {named.plain} "
    row = Text(inside + shade * (columns - cells(inside)), style=style)
    row.truncate(columns)
    return row


def where(view: View) -> str:
    """The wall or ceiling; else the room and the board, and how many boards there are."""
    several = view.surface is None and len(view.boards) > 1
    return marks.where(view) + (f" of {len(view.boards)}" if several else "")


def danger(view: View, columns: int) -> Lines:
    """One line of danger for as long as the board has a circuit behind it, and that a demonstration is one."""
    text = danger_line(view.wired, view.circuits, demonstration=view.demonstration)
    return wrapped("", text, columns, "bold reverse") if text else ()


def question(view: View, columns: int) -> Lines:
    """What waits for an answer."""
    last = view.last
    return wrapped("ANSWER: ", answer(last.answer, view.unit), columns, "bold reverse") if last and last.asks else ()


def trouble(view: View, columns: int) -> Lines:
    """What is wrong with the journal or keeps a plan from being shown."""
    kept, plan = view.journal_trouble, view.plan_trouble
    return (
        *(wrapped("NOT KEPT: ", sentence(kept), columns, "bold reverse") if kept is not None else ()),
        *(wrapped("NO PLAN: ", sentence(plan), columns, "bold") if plan is not None else ()),
    )


def heard(view: View, columns: int) -> Lines:
    """What was heard, by whom, and what it became; a question stands elsewhere."""
    last = view.last
    return () if last is None else wrapped("", marks.heard(view), columns, "bold" if last.refused else "")


def beside(left: Lines, right: Lines, wide: int) -> Lines:
    """Two pictures next to each other, the right one from column `wide` on."""
    rows = max(len(left), len(right))
    pairs = zip((*left, *[Text()] * (rows - len(left))), (*right, *[Text()] * (rows - len(right))), strict=True)
    return tuple(
        Text.assemble(one, " " * max(wide + 2 - one.cell_len, 1), other) if other.plain else one for one, other in pairs
    )


def fitted(columns: int, rows: int, *tries: Sequence[Text]) -> Lines:
    """The first of the tries that needs no more than `rows`, else the last one cut off with a word that it is."""
    for lines in tries:
        if len(lines) <= rows:
            return tuple(lines)
    return cut_off(tries[-1], columns, rows)


def cut_off(lines: Sequence[Text], columns: int, rows: int) -> Lines:
    """The lines that fit, the last one a word that there are more where there are."""
    if len(lines) <= rows:
        return tuple(lines)
    return (*lines[: max(rows - 1, 0)], Text(TOO_SMALL[:columns], style="bold reverse"))


LOUD_DB = -33.0
"""Noise above this, in dB of full scale, is called loud on the line (our own rule, not measured)."""
CELLS = 10
QUIETEST_DB = -60.0


@dataclass(frozen=True, slots=True)
class MicrophoneState:
    """Level and noise in dB of full scale; whether the level hit the end of the scale lately; `doing` says what is
    being done with the sound ("listening", "hearing", "space to talk"); the words so far, if any recognizer has them.
    """

    level_db: float
    noise_db: float
    clipping: bool
    doing: str
    words: str = ""


def meter(heard: MicrophoneState, columns: int, *, blocks: bool) -> Text:
    """The line, no wider than `columns`. Where the words need more room their beginning gives way."""
    share = (heard.level_db - QUIETEST_DB) / -QUIETEST_DB
    full = max(0, min(CELLS, round(CELLS * share)))
    bar = ("▮" if blocks else "#") * full + ("▯" if blocks else ".") * (CELLS - full)
    line = Text(level(bar, heard.level_db, heard.noise_db, loud=heard.noise_db > LOUD_DB))
    if heard.clipping:
        line.append(CLIPS, style="bold reverse red").append(" ")
    line.append(heard.doing, style="bold")
    room = columns - len(line.plain) - 3
    if heard.words and room > 0:
        words = heard.words if len(heard.words) <= room else "…" + heard.words[-(room - 1) :] if room > 1 else "…"
        line.append(f": {words} ")
    line.truncate(columns)
    return line
