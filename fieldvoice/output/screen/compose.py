"""Which look is shown, by itself or because a key asked for it, and that it fits; the pages that are a key away; and
the look for the sheets: the marks of the step in hand, as large as the window allows, beside the board in its sheet.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum, auto
from fractions import Fraction

from rich.text import Text

from fieldvoice.dialogue.view import StepInHand, View, in_hand
from fieldvoice.output import marks
from fieldvoice.output.figures import largest
from fieldvoice.output.marks import Marks, marks_ahead
from fieldvoice.output.screen.measuring import measuring, wall
from fieldvoice.output.screen.parts import (
    RICH,
    Lines,
    Medium,
    bar,
    beside,
    cut_off,
    danger,
    fitted,
    heard,
    question,
    trouble,
    where,
    wrapped,
)
from fieldvoice.output.sketch import Corner, Ink, Outline, Sketched, sketch
from fieldvoice.records.meaning import Edge
from fieldvoice.records.plan import CutLine, CutPlan, Point2, Step
from fieldvoice.wording import captions, cautions, steps, warnings
from fieldvoice.wording.captions import more_lines
from fieldvoice.wording.cautions import at_step


def cautions_page(view: View, columns: int, medium: Medium) -> Lines:
    """Every caution of the board in full, the ones about power first."""
    every = cautions.every(view.cautions, view.plan.steps if view.plan is not None else ())
    lead = wrapped("", captions.READ_CAUTIONS if every else captions.NO_CAUTIONS, columns, "bold")
    listed = [line for caution in every for line in wrapped("! ", caution, columns)]
    return (bar(f"CAUTIONS, {where(view)}", columns, medium.dash, "bold"), *danger(view, columns), *lead, *listed)


def steps_page(view: View, columns: int, medium: Medium) -> Lines:
    """All steps with their ticks, then the notes, then every reading."""
    todo = () if view.to_cut is None else view.to_cut.steps
    listed = [
        line
        for number, step in enumerate(todo, 1)
        for line in wrapped(
            f"[{'x' if number in view.ticked else ' '}] {number:>2}. ", steps.text(step, view.unit), columns
        )
    ]
    none = () if todo else wrapped("", captions.NO_STEPS, columns)
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
    now = captions.SAY_WHILE_MEASURING if view.to_cut is None else captions.SAY_WHILE_CUTTING
    keys = [line for key, does in captions.KEYS for line in wrapped(f"{key:>9}  ", does, columns)]
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


WIDE = 100
"""From so many columns on the sketch stands beside the figures."""


@dataclass(frozen=True, slots=True)
class _Now:
    """The step in hand of a plan, its number from 1, and the marks that it or the next one with any has."""

    view: View
    plan: CutPlan
    number: int
    step: Step
    marks: Marks


def cutting(view: View, columns: int, rows: int, medium: Medium) -> Lines:
    """Header, danger, question, the marks, the step, the next one; what only informs goes first where rows are short,
    and the figures grow into whatever is left.
    """
    plan = view.to_cut
    assert plan is not None
    found = in_hand(view)
    head = (
        _header(view, plan, found, columns, medium),
        *danger(view, columns),
        *question(view, columns),
        *trouble(view, columns),
    )
    room = rows - len(head)
    if found is None:
        return (*head, *fitted(columns, room, (*_finished(view, columns, room, medium), *heard(view, columns))))
    now = _Now(view, plan, found.number, found.step, marks_ahead(plan, found.number))
    feet = list(_feet(now, columns, medium))
    marks = [_marks(now, columns, room - len(foot), medium) for foot in feet]
    fits = [n for n, (lines, _) in enumerate(marks) if len(lines) <= room - len(feet[n])]
    chosen = next((n for n in fits if marks[n][1]), fits[-1] if fits else -1)
    body = _with_sketch(now, marks[chosen][0], columns, room - len(feet[chosen]), medium)
    return (*head, *fitted(columns, room, (*body, *feet[chosen])))


def _header(view: View, plan: CutPlan, found: StepInHand | None, columns: int, medium: Medium) -> Text:
    now = captions.step_of(found.number if found else None, len(plan.steps))
    return bar(f"{now}: {where(view)}", columns, medium.plan, "bold")


def _finished(view: View, columns: int, rows: int, medium: Medium) -> Lines:
    done = Text(captions.ALL_TICKED[:columns], style="bold")
    return (done, *board_sketch(view, Marks(), columns, rows - 4, medium))


def _feet(now: _Now, columns: int, medium: Medium) -> Iterator[Lines]:
    """What stands under the marks, with more and more of what only informs left out."""
    step = now.step
    hand = wrapped(f"{medium.arrows[1]} {now.number}. ", steps.text(step, now.view.unit), columns, "bold")
    cared = at_step(step)
    care = wrapped("! ", cared, columns, "bold") if cared else ()
    reason = steps.why(step)
    why = wrapped("Why: ", reason, columns) if reason else ()
    after, notes, said = _next(now, columns), _notes(now.plan, columns), heard(now.view, columns)
    yield (*care, *hand, *why, *after, *notes, *said)
    yield (*care, *hand, *after, *notes, *said)
    yield (*care, *hand, *after, *notes)
    yield (*care, *hand, *notes)
    yield (
        *care,
        *hand,
    )  # a step never stands without its caution: what is cut off where even that is too long is the step


def _marks(now: _Now, columns: int, rows: int, medium: Medium) -> tuple[Lines, bool]:
    """The marks as large as the rows allow, and whether all of them are drawn large."""
    if not now.marks.figures:
        return (), True
    wide = _wide(columns)
    head = wrapped("", now.marks.caption, wide, "bold")
    setting = largest(now.marks.figures, wide, rows - len(head), medium.cells)
    if setting is not None and setting.shown < len(now.marks.figures):
        setting = largest(now.marks.figures[: setting.shown], wide, rows - len(head) - 1, medium.cells)
    shown = setting.shown if setting is not None else 0
    rest = "; ".join(f"{figure.caption} {figure.text}" for figure in now.marks.figures[shown:])
    under = wrapped("then " if shown else "", rest, wide, "bold") if rest else ()
    large = tuple(Text(line, style="bold") for line in setting.lines) if setting is not None else ()
    return (*head, *large, *under), not rest


def _wide(columns: int) -> int:
    """Columns for the marks; the rest is the sketch's."""
    return columns - columns // 4 - 2 if columns >= WIDE else columns


def _with_sketch(now: _Now, lines: Lines, columns: int, rows: int, medium: Medium) -> Lines:
    wide = _wide(columns)
    if wide < columns and lines:
        return beside(lines, board_sketch(now.view, now.marks, columns - wide - 2, rows, medium), wide)
    return (*lines, *board_sketch(now.view, now.marks, columns, rows - len(lines), medium))


def _next(now: _Now, columns: int) -> Lines:
    """The step after this one, in one line."""
    todo, ticked = now.plan.steps, now.view.ticked
    ahead = next((n for n in range(now.number + 1, len(todo) + 1) if n not in ticked), None)
    if ahead is None:
        return ()
    lines = wrapped(f"  {ahead}. ", steps.text(todo[ahead - 1], now.view.unit), columns, "dim")
    return lines if len(lines) == 1 else (Text(f"{lines[0].plain[: columns - 2]} …", style="dim"),)


def _notes(plan: CutPlan, columns: int) -> Lines:
    """That there are notes, whether or not there is room for them: some forbid a cut."""
    count = len(plan.warnings)
    return wrapped("! ", captions.notes(count), columns, "bold") if count else ()


FEWEST_ROWS = 9
"""In fewer a board can't be made out."""

_HOOKS = {
    Edge.LEFT: Ink.HOOK_LEFT,
    Edge.RIGHT: Ink.HOOK_RIGHT,
    Edge.TOP: Ink.HOOK_TOP,
    Edge.BOTTOM: Ink.HOOK_BOTTOM,
}
_LEVEL = frozenset({Edge.TOP, Edge.BOTTOM})


def board_sketch(view: View, marks: Marks, columns: int, rows: int, medium: Medium) -> Lines:
    """The board of the view's plan, or nothing where there is no plan or no room."""
    if view.to_cut is None or rows < FEWEST_ROWS:
        return ()
    return tuple(Text(line) for line in sketch(sketched(view.to_cut, marks.cut), columns, rows, medium.inks))


def sketched(plan: CutPlan, cut: CutLine | None) -> Sketched:
    """The sheet with the board in it; for one cut the hooks and the marks too."""
    board = _outline(plan.outline)
    xs, ys = zip(*board, *(corner for piece in plan.offcut for corner in _outline(piece)), strict=True)
    left, right, top, bottom = min(xs), max(xs), min(ys), max(ys)
    whole = ((left, top), (right, top), (right, bottom), (left, bottom))
    openings = tuple(_outline(each.corners) for each in plan.openings if each.corners)
    if cut is None:
        return Sketched(whole, board, openings)
    ends = {Edge.LEFT: left, Edge.RIGHT: right, Edge.TOP: top, Edge.BOTTOM: bottom}
    along = (left, right) if cut.edge in _LEVEL else (top, bottom)
    places = (along[0], along[1])
    hooks = tuple((_corner(cut, ends[cut.origin], place), _HOOKS[cut.origin]) for place in places)
    first, last = _measured(cut, ends[cut.origin], 0), _measured(cut, ends[cut.origin], -1)
    marked = (_corner(cut, first, places[0]), _corner(cut, last, places[1]))
    return Sketched(whole, board, openings, hooks, marked)


def _measured(cut: CutLine, origin: Fraction, number: int) -> Fraction:
    """Where the mark lies, going from the hooked edge into the sheet."""
    distance = cut.marks[number].distance.inches
    return origin + distance if cut.origin in {Edge.LEFT, Edge.TOP} else origin - distance


def _corner(cut: CutLine, across: Fraction, along: Fraction) -> Corner:
    return (along, across) if cut.edge in _LEVEL else (across, along)


def _outline(points: tuple[Point2, ...]) -> Outline:
    return tuple((point.x.inches, point.y.inches) for point in points)
