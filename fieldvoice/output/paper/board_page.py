"""A board's page: its danger, marks for arm's length, the drawing, steps to tick, cautions, what it was made from."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby, zip_longest

from fieldvoice.dialogue.view import View
from fieldvoice.output import marks
from fieldvoice.output.drawing.board import board_picture
from fieldvoice.output.drawing.marks import by_center
from fieldvoice.output.drawing.picture import Anchor, Circle, Label, Mark, Picture, Stroke, moved
from fieldvoice.output.fastening import load_line
from fieldvoice.output.paper.blocks import MARGIN, Block, Made, Paper, flowed, heading, joined, page_frame, paragraph
from fieldvoice.records.board import Lies
from fieldvoice.records.length import Unit
from fieldvoice.records.meaning import Edge
from fieldvoice.records.plan import CutLine, CutPlan, HoleMarks, OpeningPlan, Step
from fieldvoice.records.said import BoxWord
from fieldvoice.wording import captions as wording
from fieldvoice.wording import forms, warnings
from fieldvoice.wording import steps as steps_wording
from fieldvoice.wording.cautions import at_step, danger_line, said

GUTTER = 6.0
FOOT = 5.0
HIGH_DRAWING, LOW_DRAWING = (70.0, 132.0), (58.0, 80.0)
"""How high the drawing of a standing and of a lying board is at least, and at most."""
DRAWING_LETTERS = (2.5, 2.1, 1.8, 1.3, 0.9)
"""Of a page's drawing: its large figures stand beside it."""


@dataclass(frozen=True, slots=True)
class Style:
    """Heights of letters in millimeters: running text, reasons and sources, the figures of a cut and of an opening.

    At arm's length, 0.7 m, 20 arc minutes are 4.1 mm (NUREG-0700 1.3.1-4: height = 6.283 x distance x minutes / 21600);
    the figures are larger in every style.
    """

    body: float
    small: float
    large: float
    middle: float


STYLES = (Style(2.5, 2.1, 9.0, 5.0), Style(2.2, 1.9, 8.0, 4.6), Style(2.0, 1.7, 7.5, 4.4))
"""Tried in this order until all of a board is on one page."""


def board_pages(view: View, plan: CutPlan, paper: Paper, made: Made) -> tuple[Picture, ...]:
    """The pages of one board: one where all of it fits in the smallest letters, else more. The plan is the view's own,
    through the gate; the caller keeps drafts away.
    """
    page = _BoardPaper(view, plan, paper)
    tried = (page.columns(style, split) for style in STYLES for split in range(3))
    columns = next((each for each in tried if len(each) == 1), None) or page.columns(STYLES[0], 0)
    title = wording.board_title(view.board, view.room)
    return tuple(
        Picture(paper.width, paper.height, (*_frame(plan, title, (number, len(columns)), paper, made), *marks), title)
        for number, marks in enumerate(columns, 1)
    )


class _BoardPaper:
    """One board on its paper: the danger over everything, then two columns."""

    def __init__(self, view: View, plan: CutPlan, paper: Paper) -> None:
        self._view, self._plan, self._paper = view, plan, paper
        self._wide = paper.width - 2 * MARGIN
        self._left = round(self._wide * 0.58, 1)
        self._right = self._wide - self._left - GUTTER
        self._low = plan.lies is Lies.LYING

    def columns(self, style: Style, split: int) -> list[list[Mark]]:
        """The marks of each page; `split` parts of the rest go under the steps instead of beside them."""
        plan, below = self._plan, MARGIN + 9.5
        danger = _danger(self._view, self._wide)
        top = below + (danger.height if danger else 0)
        bottom = self._paper.height - MARGIN - FOOT
        steps = [*_steps(plan, self._view.ticked, self._left, style)]
        marks = [*_marks(plan, self._right, style), *_openings(self._view, plan, self._right, style)]
        rest = (_made_from, _notes, _cautions)
        under = [block for part in reversed(rest[:split]) for block in part(self._view, plan, self._left, style)]
        beside = [block for part in reversed(rest[split:]) for block in part(self._view, plan, self._right, style)]
        high = self._drawing_height(bottom - top - sum(block.height for block in (*steps, *under)))
        picture = board_picture(plan, self._left, high, letters=DRAWING_LETTERS)
        drawn = [moved(mark, MARGIN, top) for mark in picture.marks]
        start = top + high + 3
        found = (
            flowed([*steps, *under], (start, below), bottom, MARGIN),
            flowed([*marks, *beside], (top, below), bottom, MARGIN + self._left + GUTTER),
        )
        none: list[Mark] = []
        pages = [[*one, *other] for one, other in zip_longest(*found, fillvalue=none)]
        first = [moved(mark, MARGIN, below) for mark in danger.marks] if danger else []
        return [[*first, *drawn, *pages[0]], *pages[1:]]

    def _drawing_height(self, left_over: float) -> float:
        least, most = LOW_DRAWING if self._low else HIGH_DRAWING
        return max(least, min(most, left_over - 4))


def _frame(plan: CutPlan, title: str, number: tuple[int, int], paper: Paper, made: Made) -> Iterator[Mark]:
    """The frame of a page, and what the board is cut from beside its name."""
    yield from page_frame(title, number, paper, made, share=0.55)
    right = paper.width - MARGIN
    yield Label(right, MARGIN + 2.2, wording.source_line(plan), 2.2, Anchor.END, fractions=False)
    yield Label(right, MARGIN + 6.0, wording.MARK_THE_FACE, 2.2, Anchor.END, fractions=False)


def _danger(view: View, width: float) -> Block | None:
    line = danger_line(view.wired, view.circuits, demonstration=view.demonstration)
    if not line:
        return None
    text = paragraph(line, width - 16, letter=3.2, bold=True, after=0)
    high = text.height + 3.6
    sign = Stroke(((2.5, high - 2), (9.5, high - 2), (6, high - 8)), 0.7, closed=True)
    bang = Label(6, high - 2.7, "!", 3, bold=True)
    rim = Stroke(((0, 0), (width, 0), (width, high), (0, high)), 0.8, closed=True)
    return Block((rim, sign, bang, *(moved(mark, 13, 1.8) for mark in text.marks)), high + 3)


def _marks(plan: CutPlan, width: float, style: Style) -> Iterator[Block]:
    """Each cut with its number, its edge, where the tape hooks on, and its figures as large as the paper allows."""
    unit = plan.board.unit
    made: set[Edge] = set()
    for number, cut in enumerate(plan.cuts, 1):
        ring = (Circle((2.6, 2.6), 2.6, 0.3), Label(2.6, 4.1, str(number), 3, bold=True))
        title = Label(7.5, 4.3, wording.cut_title(cut), 3.5, Anchor.START, bold=True)
        words_of = wording.cut_hook(cut, origin_cut=cut.origin in made, unit=unit)
        hook = paragraph(words_of, width, letter=style.body, after=0.2)
        yield joined([Block((*ring, title), 6.6), hook, *_figures(cut, unit, width, style)])
        made.add(cut.edge)
    if not plan.cuts:
        yield paragraph(wording.NO_CUT, width, letter=style.body, bold=True)
    for cut in plan.broken:
        marks = ", ".join(f"{mark.distance.text(unit)} {steps_wording.place(mark, unit)}" for mark in cut.marks)
        yield paragraph(wording.broken(cut, marks), width, letter=style.body)


def _figures(cut: CutLine, unit: Unit, width: float, style: Style) -> Iterator[Block]:
    for mark in cut.distinct:
        where = "all along" if cut.same_all_along else steps_wording.place(mark, unit)
        off = forms.rounding(mark, unit)
        figure = Label(width, 1.25 * style.large, mark.distance.text(unit), style.large, Anchor.END, bold=True)
        place = paragraph(where, width - figure.width - 2, letter=style.body, after=0)
        low = max(0.0, 1.25 * style.large - place.height)
        high = max(1.25 * style.large, place.height) + 3.2
        yield Block((*(moved(line, 0, low) for line in place.marks), figure), high)
        if off:
            yield paragraph(f"({off})", width, letter=style.small, after=0.4)


def _openings(view: View, plan: CutPlan, width: float, style: Style) -> Iterator[Block]:
    said = {word.box: word for word in view.circuits}
    holes = {step.opening: step.hole for step in plan.steps if step.hole is not None}
    unit = plan.board.unit
    for opening in plan.openings:
        parts = [paragraph(wording.opening_title(opening), width, letter=2.8, bold=True, after=0.4)]
        hole = holes.get(opening.name)
        if hole is None or opening.held:
            why = wording.waits(opening) if opening.held else wording.NOT_MARKED
            parts.append(paragraph(why, width, letter=style.body, bold=True, after=0.2))
        else:
            parts += _opening_figures(opening, hole, unit, width, style)
            center = () if hole.center is None or not by_center(opening) else hole.center
            shown = {(one.hook, one.distance) for one in center}
            parts += [
                paragraph(wording.other_way(forms.way(other, unit)), width, letter=style.body, after=0.2)
                for other in opening.alternates
                if (other.hook, other.distance) not in shown
            ]
        if opening.name in view.wired:
            parts.append(_circuit(said.get(opening.name), width, style))
        yield joined([*parts, Block((), 2)])


def _opening_figures(opening: OpeningPlan, hole: HoleMarks, unit: Unit, width: float, style: Style) -> Iterator[Block]:
    """The center where a bit goes in there or a circle is drawn; else the sides, two and two. The step that
    marks it says all of its marks.
    """
    center = by_center(opening) and hole.center is not None
    offsets = list(hole.center or ()) if center else [offset for _, offset in hole.sides]
    for hook, group in groupby(offsets, key=lambda one: one.hook):
        figures = "   ".join(one.distance.text(unit) for one in group)
        yield _figure(figures, wording.center_from(hook.value), width, style)


def _figure(text: str, edge: str, width: float, style: Style) -> Block:
    label = Label(width, 1.25 * style.middle, text, style.middle, Anchor.END, bold=True)
    note = paragraph(edge, width - label.width - 2, letter=style.body)
    return Block((*note.marks, label), max(1.25 * style.middle + 2.2, note.height))


def _circuit(word: BoxWord | None, width: float, style: Style) -> Block:
    text = paragraph(wording.circuit_line(word), width - 3, letter=style.body, bold=True, after=0)
    bar = Stroke(((0.6, 0.2), (0.6, text.height)), 1.2)
    return Block((bar, *(moved(mark, 3, 0) for mark in text.marks)), text.height + 1.5)


def _steps(plan: CutPlan, ticked: frozenset[int], width: float, style: Style) -> Iterator[Block]:
    unit = plan.board.unit
    blocks = [
        _step(number, step, (unit, width), style, done=number in ticked) for number, step in enumerate(plan.steps, 1)
    ]
    yield joined([heading(wording.STEPS, width), *blocks[:1]])
    yield from blocks[1:]


def _step(number: int, step: Step, across: tuple[Unit, float], style: Style, *, done: bool) -> Block:
    unit, width = across
    indent = 13.5
    square = Stroke(((0, 0.2), (4.2, 0.2), (4.2, 4.4), (0, 4.4)), 0.35, closed=True)
    cross = (Stroke(((0.8, 1.0), (3.4, 3.6)), 0.5), Stroke(((3.4, 1.0), (0.8, 3.6)), 0.5)) if done else ()
    count = Label(indent - 1.2, 1.1 * style.body, f"{number}.", style.body, Anchor.END, bold=True, fractions=False)
    parts = []
    if caution := at_step(step):
        parts.append(paragraph(caution, width, letter=style.body, indent=indent, bold=True, after=0.2))
    parts.append(paragraph(steps_wording.text(step, unit), width, letter=style.body, indent=indent, after=0.2))
    if why := steps_wording.why(step):
        parts.append(paragraph(why, width, letter=style.small, indent=indent, after=0.2))
    text = joined(parts)
    return Block((square, *cross, count, *text.marks), max(text.height, 5.0) + 1.0)


def _cautions(view: View, plan: CutPlan, width: float, style: Style) -> Iterator[Block]:
    """Each caution of the board; those of single steps stand at their step."""
    at_steps = {step.caution for step in plan.steps}
    texts = (said(caution) for caution in view.cautions if caution not in at_steps)
    yield from _listed(wording.CAUTIONS, "!", texts, width, style.body * 0.94)


def _notes(_view: View, plan: CutPlan, width: float, style: Style) -> Iterator[Block]:
    unit = plan.board.unit
    gaps = (wording.gaps(plan.proof.gaps, unit),) if plan.proof.gaps else ()
    notes = (load_line(plan), *(warnings.text(one, unit) for one in plan.warnings), *gaps)
    yield from _listed(wording.NOTES, "-", notes, width, style.body * 0.94)


def _made_from(view: View, _plan: CutPlan, width: float, style: Style) -> Iterator[Block]:
    told = ((line.call.by, marks.told(line, view.unit)) for line in (*view.readings, *view.context))
    lines = (wording.reading(each.label, each.value, by, each.note) for by, each in told)
    yield from _listed(wording.MADE_FROM, "-", lines, width, style.small)


def _listed(title: str, sign: str, texts: Iterable[str], width: float, letter: float) -> Iterator[Block]:
    """A list under its head, which no page ends with."""
    blocks = [paragraph(text, width, letter=letter, indent=3.2, lead=sign, after=0.4) for text in texts]
    if blocks:
        yield joined([heading(title, width), blocks[0]])
        yield from blocks[1:]
