"""The last pages: every board with its marks in a line or two, and the sheets that they take."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from fieldvoice.dialogue.view import View
from fieldvoice.errors import NoRule
from fieldvoice.output import words
from fieldvoice.output.drawing.fasteners import fastening_picture
from fieldvoice.output.drawing.picture import Anchor, Label, Mark, Picture, Stroke, moved
from fieldvoice.output.fastening import plan_fastening, plan_lines
from fieldvoice.output.paper.blocks import HEAD, MARGIN, SMALL, Block, Made, Paper, flowed, heading, joined, paragraph
from fieldvoice.output.takeoff import boards_takeoff
from fieldvoice.records.length import Unit
from fieldvoice.records.plan import CutLine, CutPlan
from fieldvoice.wording import paper as wording
from fieldvoice.wording import steps as steps_wording
from fieldvoice.wording.drawing import board_title
from fieldvoice.wording.fastening import FASTENERS_DRAWN, LOCAL_CODE

DRAWN = 52.0
"""How high a drawing of fasteners is at most, in millimeters."""

Planned = tuple[View, CutPlan]
"""A view with its plan."""


def list_pages(boards: Sequence[Planned], paper: Paper, made: Made) -> tuple[Picture, ...]:
    """A list of the boards and one of their sheets, counted one a board: offcuts may serve for more."""
    width = paper.width - 2 * MARGIN
    top, bottom = MARGIN + 9.5, paper.height - MARGIN - 6
    pages = flowed(_blocks(boards, width), (top,), bottom, MARGIN)
    return tuple(
        Picture(
            paper.width, paper.height, (*_frame(number, len(pages), paper, made), *marks), wording.BOARDS.capitalize()
        )
        for number, marks in enumerate(pages, 1)
    )


def _blocks(boards: Sequence[Planned], width: float) -> list[Block]:
    parts = (_boards, _sheets, _fastening, _takeoff)
    return [block for part in parts for block in part(boards, width)]


def _frame(number: int, count: int, paper: Paper, made: Made) -> Iterator[Mark]:
    right, base = paper.width - MARGIN, paper.height - MARGIN
    yield Label(MARGIN, MARGIN + HEAD, wording.LISTS, HEAD, Anchor.START, bold=True)
    yield Stroke(((MARGIN, MARGIN + 7.6), (right, MARGIN + 7.6)), 0.5)
    line = wording.printed(made.at, made.job, made.last, made.version)
    yield Label(MARGIN, base, line, SMALL, Anchor.START, fractions=False)
    yield Label(right, base, wording.page_of(number, count), SMALL, Anchor.END, fractions=False)


def _boards(boards: Sequence[Planned], width: float) -> Iterator[Block]:
    rows = [_board(view, plan, width) for view, plan in boards]
    yield joined([heading(wording.BOARDS, width), *rows[:1]])
    yield from rows[1:]


def _board(view: View, plan: CutPlan, width: float) -> Block:
    unit = plan.board.unit
    cuts = "; ".join(wording.listed_cut(cut, _marks(cut, unit)) for cut in plan.cuts) or wording.NO_CUT
    openings = "; ".join(
        wording.listed_opening(opening, (opening.center.x, opening.center.y), unit) for opening in plan.openings
    )
    parts = [paragraph(board_title(view.board, view.room), width, bold=True, after=0)]
    parts.append(paragraph(f"{cuts} ({unit.value})", width, indent=6, after=0))
    parts += [paragraph(openings, width, indent=6, after=0)] if openings else []
    return joined([*parts, Block((), 2)])


def _marks(cut: CutLine, unit: Unit) -> str:
    if words.same_all_along(cut):
        return cut.marks[0].distance.text(unit)
    return ", ".join(f"{mark.distance.text(unit)} {steps_wording.place(mark, unit)}" for mark in cut.marks)


def _sheets(boards: Sequence[Planned], width: float) -> Iterator[Block]:
    sizes = Counter(wording.sheet_size(plan.sheet, plan.board.unit) for _, plan in boards)
    lines = [paragraph(wording.count_of_sheets(count, size), width) for size, count in sorted(sizes.items())]
    yield joined([heading(wording.SHEETS, width), *lines, paragraph(wording.OFFCUTS, width, letter=SMALL)])


def _fastening(boards: Sequence[Planned], width: float) -> Iterator[Block]:
    """How each board is fastened, and where its framing is marked."""
    rows = [
        joined(
            [
                paragraph(board_title(view.board, view.room), width, bold=True, after=0),
                *(paragraph(line, width, indent=6, after=0) for line in plan_lines(plan)),
                *_drawn(plan, width),
                Block((), 2),
            ]
        )
        for view, plan in boards
    ]
    yield joined(
        [
            heading(wording.FASTENING, width),
            paragraph(f"{LOCAL_CODE} {FASTENERS_DRAWN}", width, letter=SMALL),
            *rows[:1],
        ]
    )
    yield from rows[1:]


def _drawn(plan: CutPlan, width: float) -> Iterator[Block]:
    """The board with its fasteners, small."""
    found = plan_fastening(plan)
    if not isinstance(found, NoRule):
        picture = fastening_picture(plan, found, width / 2, DRAWN)
        yield Block(tuple(moved(mark, 6, 1) for mark in picture.marks), picture.height + 2)


def _takeoff(boards: Sequence[Planned], width: float) -> Iterator[Block]:
    """What the boards take beside their sheets: each amount, and in small letters its rule and source."""
    unit = boards[0][1].board.unit if boards else Unit.INCH
    lines = boards_takeoff([plan for _, plan in boards], unit)
    rows = [
        joined([paragraph(amount, width, after=0), paragraph(said, width, letter=SMALL, indent=6)])
        for amount, said in lines
    ]
    if rows:
        yield joined([heading(wording.TAKE_OFF, width), rows[0]])
        yield from rows[1:]
