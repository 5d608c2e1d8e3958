"""Pages beside the boards': a wall or ceiling with its boards in their order, and at the end every board with its marks
in a line or two and the sheets that they take.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator, Sequence
from itertools import groupby

from fieldvoice.dialogue.view import View
from fieldvoice.errors import NoRule
from fieldvoice.output.drawing.board import fastening_picture
from fieldvoice.output.drawing.picture import Picture, Stroke, moved
from fieldvoice.output.drawing.wall import wall_picture
from fieldvoice.output.fastening import own_lines, plan_fastening, plan_lines
from fieldvoice.output.paper.blocks import (
    MARGIN,
    SMALL,
    Block,
    Made,
    Paper,
    flowed,
    heading,
    joined,
    page_frame,
    paragraph,
)
from fieldvoice.output.room_work import RoomWork, boards_takeoff, held_lines
from fieldvoice.records.length import Unit
from fieldvoice.records.plan import CutLine, CutPlan
from fieldvoice.records.room import name_of
from fieldvoice.records.room_plan import Pattern, Piece, RoomPlan, SurfacePlan
from fieldvoice.wording import captions as wording
from fieldvoice.wording import steps as steps_wording
from fieldvoice.wording.captions import board_title
from fieldvoice.wording.fastening import FASTENERS_DRAWN, LOCAL_CODE, common_doubts, rule_lines
from fieldvoice.wording.forms import Form, size_text
from fieldvoice.wording.room import butt_joint, cut_from_text, piece_of, piece_text, warning_text
from fieldvoice.wording.takeoff import PHASES, amount_line, rule_line, task_text

DRAWN = 52.0
"""How high a drawing of fasteners is at most, in millimeters."""

Planned = tuple[View, CutPlan]
"""A view with its plan."""


def list_pages(
    boards: Sequence[Planned], paper: Paper, made: Made, left_out: Sequence[str] = (), counted: Collection[str] = ()
) -> tuple[Picture, ...]:
    """A list of the boards and one of their sheets, counted one a board: offcuts may serve for more. First of all
    which boards of the job are `left_out` of both, and why. What boards take that are `counted` on another page, since
    they are of a layout, isn't told a second time by other figures.
    """
    width = paper.width - 2 * MARGIN
    top, bottom = MARGIN + 9.5, paper.height - MARGIN - 6
    blocks = [*_left_out(left_out, width), *(_blocks(boards, width) if boards else ())]
    blocks += _takeoff([each for each in boards if each[0].board not in counted], width)
    pages = flowed(blocks, (top,), bottom, MARGIN)
    return tuple(
        Picture(
            paper.width,
            paper.height,
            (*page_frame(wording.LISTS, (number, len(pages)), paper, made), *marks),
            wording.BOARDS.capitalize(),
        )
        for number, marks in enumerate(pages, 1)
    )


def _left_out(left_out: Sequence[str], width: float) -> Iterator[Block]:
    rows = [paragraph(each, width) for each in left_out]
    if rows:
        yield joined([heading(wording.NOT_HERE, width), rows[0]])
        yield from rows[1:]


def _blocks(boards: Sequence[Planned], width: float) -> list[Block]:
    parts = (_boards, _sheets, _fastening)
    return [block for part in parts for block in part(boards, width)]


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
    if cut.same_all_along:
        return cut.marks[0].distance.text(unit)
    return ", ".join(f"{mark.distance.text(unit)} {steps_wording.place(mark, unit)}" for mark in cut.marks)


def _sheets(boards: Sequence[Planned], width: float) -> Iterator[Block]:
    whole = Counter(wording.sheet_size(plan.sheet, plan.board.unit) for _, plan in boards if plan.from_offcut is None)
    offcuts = [
        wording.board_from_offcut(board_title(view.board, view.room), plan.from_offcut)
        for view, plan in boards
        if plan.from_offcut is not None
    ]
    lines = [paragraph(wording.count_of_sheets(count, size), width) for size, count in sorted(whole.items())]
    rack = [wording.on_rack(one, boards[-1][1].board.unit) for one in boards[-1][0].rack]
    lines += [paragraph(line, width) for line in (*offcuts, *rack)]
    said = [] if offcuts else [paragraph(wording.OFFCUTS, width, letter=SMALL)]
    yield joined([heading(wording.SHEETS, width), *lines, *said])


def _fastening(boards: Sequence[Planned], width: float) -> Iterator[Block]:
    """What holds for every board, once; then how each is fastened, and where its framing is marked."""
    lines = [plan_lines(plan) for _, plan in boards]
    alone = {line for _, plan in boards for line in _own(plan)}
    common = [line for line in lines[0] if line not in alone and all(line in others for others in lines)]
    rows = [
        joined(
            [
                paragraph(board_title(view.board, view.room), width, bold=True, after=0),
                *(paragraph(line, width, indent=6, after=0) for line in own if line not in common),
                *_drawn(plan, width),
                Block((), 2),
            ]
        )
        for (view, plan), own in zip(boards, lines, strict=True)
    ]
    said = [paragraph(line, width, after=0) for line in common]
    drawn = paragraph(FASTENERS_DRAWN, width, letter=SMALL)
    yield joined([heading(wording.FASTENING, width), *said, drawn, *rows[:1]])
    yield from rows[1:]


def _own(plan: CutPlan) -> list[str]:
    found = plan_fastening(plan)
    return [] if isinstance(found, NoRule) else own_lines(found, plan.board.unit)


def _drawn(plan: CutPlan, width: float) -> Iterator[Block]:
    """The board with its fasteners, small."""
    found = plan_fastening(plan)
    if not isinstance(found, NoRule):
        picture = fastening_picture(plan, found, width / 2, DRAWN)
        yield Block(tuple(moved(mark, 6, 1) for mark in picture.marks), picture.height + 2)


def _takeoff(boards: Sequence[Planned], width: float) -> Iterator[Block]:
    """What the boards take beside their sheets: each amount, and in small letters its rule and source."""
    unit = boards[0][1].board.unit if boards else Unit.INCH
    yield from _quantities(wording.TAKE_OFF_BOARDS, boards_takeoff([plan for _, plan in boards], unit), width)


def _quantities(title: str, lines: Sequence[tuple[str, str]], width: float) -> Iterator[Block]:
    rows = [
        joined([paragraph(amount, width, after=0), paragraph(said, width, letter=SMALL, indent=6)])
        for amount, said in lines
    ]
    if rows:
        yield joined([heading(title, width), rows[0]])
        yield from rows[1:]


LOWEST, HIGHEST = 96.0, 140.0
"""How high a drawing is, in millimeters: its boards are listed under it, on the same page where they fit."""
LETTERS = (3.2, 2.5, 2.1, 1.8, 1.3, 0.9)


def surface_pages(plan: RoomPlan, work: RoomWork, paper: Paper, made: Made) -> tuple[Picture, ...]:
    """The pages of every surface, layer by layer, then what all of it takes and in which order it is done. Raises
    `ValueError` where one can't be drawn on that paper.
    """
    walls = (
        page
        for surface in plan.surfaces
        for layer in range(1, surface.surface.layers + 1)
        for page in _pages(plan, work, surface, layer, paper, made)
    )
    return (*walls, *_work_pages(plan, work, paper, made))


def _work_pages(plan: RoomPlan, work: RoomWork, paper: Paper, made: Made) -> Iterator[Picture]:
    width, top = paper.width - 2 * MARGIN, MARGIN + 10
    blocks = [
        *_quantities(
            wording.TAKE_OFF, [(amount_line(one, plan.unit), rule_line(one)) for one in work.quantities], width
        )
    ]
    for phase, tasks in groupby(work.order, key=lambda item: item.phase):
        ticked = [_ticked(task_text(task, plan.unit), width) for task in tasks]
        blocks += [joined([heading(PHASES[phase].upper(), width), *ticked[:1]]), *ticked[1:]]
    columns = flowed(blocks, (top,), paper.height - MARGIN - 6, MARGIN)
    for number, marks in enumerate(columns, 1):
        frame = page_frame(wording.ALL_WALLS, (number, len(columns)), paper, made)
        yield Picture(paper.width, paper.height, (*frame, *marks), wording.ALL_WALLS)


def _ticked(text: str, width: float, under: Sequence[str] = ()) -> Block:
    """A text with a box to tick before it, and what is said of it in small letters."""
    square = Stroke(((0, 0.2), (4.2, 0.2), (4.2, 4.4), (0, 4.4)), 0.35, closed=True)
    rows = [
        paragraph(text, width - 7, letter=2.8, bold=bool(under), after=0),
        *(paragraph(line, width - 7, letter=SMALL, after=0) for line in under),
    ]
    block = joined([*rows, Block((), 1.6)])
    return Block((square, *(moved(mark, 7, 0) for mark in block.marks)), max(block.height, 6.0))


def _pages(
    plan: RoomPlan, work: RoomWork, surface: SurfacePlan, layer: int, paper: Paper, made: Made
) -> Iterator[Picture]:
    width = paper.width - 2 * MARGIN
    across, up = surface.surface.width, surface.surface.highest
    top, bottom = MARGIN + 10, paper.height - MARGIN - 6
    blocks = list(_listed(plan, work, surface, layer, width))
    beside = bottom - top - 4.1 - sum(block.height for block in blocks)
    high = min(max(LOWEST, min(HIGHEST, beside)), width * float(up.inches / across.inches) + 30)
    picture = wall_picture(surface, plan.unit, width, high, layer=layer, letters=LETTERS)
    columns = flowed(blocks, (top + high + 4, top), bottom, MARGIN)
    for number, marks in enumerate(columns, 1):
        drawn = tuple(moved(mark, MARGIN, top) for mark in picture.marks) if number == 1 else ()
        frame = page_frame(picture.title, (number, len(columns)), paper, made)
        yield Picture(paper.width, paper.height, (*frame, *drawn, *marks), picture.title)


def _listed(plan: RoomPlan, work: RoomWork, surface: SurfacePlan, layer: int, width: float) -> Iterator[Block]:
    """The boards in the order of hanging, each with a box to tick, what it is cut from and how it is held; then the
    surface's joints and the rules of its fastening.
    """
    unit = plan.unit
    held = {one.name: one.fastening for one in work.pieces}
    pieces = [piece for piece in surface.pieces if piece.layer == layer]
    fastened = [held[piece.name] for piece in pieces if piece.name in held]
    common = common_doubts(fastened, Form(unit)) if fastened else ()
    rows = [
        _ticked(
            piece_text(piece, unit),
            width,
            [
                _source(piece, plan.patterns, unit),
                *(held_lines(held[piece.name], unit, common) if piece.name in held else []),
            ],
        )
        for piece in pieces
    ]
    yield joined([heading(wording.HANGING_ORDER, width), *rows[:1]])
    yield from rows[1:]
    yield paragraph(f"{name_of(surface.surface)}: {butt_joint(surface.butt_feet, unit)}.", width)
    warned = [paragraph(warning_text(one, unit), width) for one in plan.warned(surface)]
    if warned:
        yield joined([heading(wording.NOTES, width), *warned])
    rules = rule_lines(fastened[0], Form(unit)) if fastened else [work.unknown] if work.unknown else []
    lines = [paragraph(line, width, letter=SMALL, after=0.2) for line in (*rules, *common, LOCAL_CODE)]
    yield joined([heading(wording.FASTENING, width), *lines])


def _source(piece: Piece, patterns: tuple[Pattern, ...], unit: Unit) -> str:
    pattern = next((one for one in patterns if any(each.name == piece.name for each in one.pieces)), None)
    return cut_from_text(
        size_text(piece.sheet, unit),
        pattern.offcut.name if pattern is not None and pattern.offcut is not None else None,
        [piece_of(each.name) for each in pattern.pieces if each.name != piece.name] if pattern is not None else [],
    )
