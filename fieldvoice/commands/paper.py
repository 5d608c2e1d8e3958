"""`print`: boards on paper and as files, from the job as it is now."""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING

import click

from fieldvoice.commands import options
from fieldvoice.commands.fastening import check_own_table
from fieldvoice.commands.options import check_new, write_new
from fieldvoice.commands.output import emit, pour, show, tell
from fieldvoice.errors import BadUsage, NotHere

if TYPE_CHECKING:
    from fieldvoice.dialogue.view import View
    from fieldvoice.journal.journal import MemoryJournal
    from fieldvoice.output.paper.blocks import Made, Paper
    from fieldvoice.records.plan import CutPlan
    from fieldvoice.records.room_plan import PieceName, RoomPlan


class PrintForm(StrEnum):
    """What a board is printed as."""

    TEXT = "text"
    PDF = "pdf"
    SVG = "svg"
    DXF = "dxf"
    CSV = "csv"


@click.command("print")
@options.job
@click.option("--board", default=None, metavar="NAME", help="The board to print. Default: the one that the job is at.")
@click.option("--all", "every", is_flag=True, help="Every wall and board of the job, and lists of them.")
@click.option(
    "--as",
    "form",
    type=click.Choice([form.value for form in PrintForm]),
    default=PrintForm.TEXT.value,
    show_default=True,
    help="Plain text, pages of paper, a drawing for a browser, one for a machine, or a table.",
)
@click.option("--output", type=options.File(stdout=True), help="The file to write; - is standard output.")
@click.option(
    "--paper",
    "size",
    type=click.Choice(["letter", "a4"]),
    default="letter",
    show_default=True,
    help="The size of the pages of a PDF.",
)
@options.as_json
def print_boards(
    job: Path | None,
    board: str | None,
    form: str,
    output: Path | None,
    size: str,
    *,
    every: bool,
    as_json: bool,
) -> int:
    """Print boards: marks, drawing, steps to tick, cautions.

    What it was all made from stands there, too. Reads the job without changing it, even while a session has it open.
    Text goes to standard output, to paper by `fieldvoice print | lp`; for the rest give --output or a pipe. A file that
    is already there is never written over. Nothing of a board is printed while any of it is open: exit status 1, and
    what is open on standard error.
    """
    from fieldvoice.jobs import job_file

    output = options.to_file(output)
    check_new(output)
    check_own_table()
    if board is not None and every:
        raise BadUsage("Give --board for one board or --all for every one, not both.")
    chosen = PrintForm(form)
    if chosen is not PrintForm.TEXT and output is None and sys.stdout.isatty():
        raise BadUsage(
            f"A {chosen.value.upper()} can't be shown in a terminal: name a file with --output, or use a pipe."
        )
    path = job_file(job)
    if not path.exists():
        raise NotHere(f"There is no job at {path} yet, so there is nothing to print. Start one with `fieldvoice type`.")
    from fieldvoice.journal.journal import contents_of, viewed

    views, made, pieces = _views(viewed(path, contents_of(path)), path, board, every=every)
    ready = [(view, view.to_cut) for view in views if view.to_cut is not None]
    drafts = [view for view in views if view.to_cut is None]
    left_out = [*map(_open, drafts), *_not_called(pieces)]
    if as_json:
        from fieldvoice.output.documents.boards import plan_document

        why = {"why": " ".join(map(_open, drafts))} if drafts else {}
        emit({**plan_document(views, views[0].unit), **why, **({"left_out": left_out} if every else {})})
    else:
        layout = views[0].room_plan if every else None
        if ready or (layout is not None and chosen in _OF_WALLS):
            content_of = content(chosen, ready, layout, made, size, left_out if every else [])
            _write(chosen, content_of, output)
    for each in left_out:
        tell(f"fieldvoice: {each}")
    return 1 if drafts else 0


def _not_called(pieces: Sequence[PieceName]) -> list[str]:
    from fieldvoice.wording.boards import not_called

    return [not_called(pieces)] if pieces else []


def _views(
    journal: MemoryJournal, path: Path, board: str | None, *, every: bool
) -> tuple[list[View], Made, tuple[PieceName, ...]]:
    """The views of the boards asked for, each made from the entries now; what the paper says of its making; and of all
    boards the pieces laid out that no board has been called for.
    """
    from fieldvoice import __version__
    from fieldvoice.dialogue.looking import look
    from fieldvoice.dialogue.rooms import rooms
    from fieldvoice.dialogue.session import as_now
    from fieldvoice.files.durable import is_held
    from fieldvoice.output.paper.blocks import Made

    now, others = datetime.now(UTC), rooms()
    state = as_now(journal, now, in_session=is_held(path))
    if board is not None and board not in state.boards:
        there = ", ".join(state.boards)
        raise BadUsage(f"There is no board {board} in this job, so nothing was printed. Its boards: {there}.")
    names = [*(state.called_on or (state.board,))] if every else [board or state.board]
    trouble = None if journal.trouble is None else journal.trouble.why
    views = [look(state, now, others, trouble, board=name) for name in names]
    plan = views[0].room_plan if every else None
    boards = set(state.pieces.values())
    pieces = () if plan is None else tuple(piece.name for piece in plan.pieces if piece.name not in boards)
    return views, Made(now, path.stem, _last(journal), __version__), pieces


def _last(journal: MemoryJournal) -> datetime | None:
    last = None
    for entry in journal.entries():
        last = entry.at
    return last


def content(
    form: PrintForm,
    boards: Sequence[tuple[View, CutPlan]],
    layout: RoomPlan | None,
    made: Made,
    size: str,
    left_out: Sequence[str] = (),
) -> bytes:
    """The boards in that form, as the bytes of a file, with the walls where it shows any. Each form says which boards
    of the job are `left_out`, and why: it outlives what the command says.
    """
    make: dict[PrintForm, Callable[[], bytes]] = {
        PrintForm.TEXT: lambda: _text(boards, layout, left_out),
        PrintForm.PDF: lambda: _pdf(boards, layout, made, size, left_out),
        PrintForm.SVG: lambda: _svg(boards, layout, left_out),
        PrintForm.DXF: lambda: _dxf(boards, left_out),
        PrintForm.CSV: lambda: _csv(boards, left_out),
    }
    return make[form]()


_OF_WALLS = frozenset({PrintForm.TEXT, PrintForm.PDF, PrintForm.SVG})
"""What the walls and ceilings called are printed as, beside their boards."""


def _text(boards: Sequence[tuple[View, CutPlan]], layout: RoomPlan | None, left_out: Sequence[str]) -> bytes:
    from fieldvoice.output.checklist import checklist
    from fieldvoice.output.documents.rooms import surfaces_list
    from fieldvoice.output.room_work import work_list
    from fieldvoice.wording.captions import NOT_HERE

    walls = [] if layout is None else [surfaces_list(layout), work_list(layout)]
    pages = [checklist(plan, view.cautions, room=view.room, ticked=view.ticked) for view, plan in boards]
    missing = ["\n".join([NOT_HERE, *(f"- {each}" for each in left_out), ""])] if left_out else []
    return "\n".join([*missing, *walls, *pages]).encode()


def pages_of(views: Sequence[View]) -> bytes:
    """Boards that are settled as pages, of a dialogue that isn't kept."""
    from fieldvoice import __version__
    from fieldvoice.output.paper.blocks import Made

    ready = [(view, view.to_cut) for view in views if view.to_cut is not None]
    return _pdf(ready, views[0].room_plan, Made(datetime.now(UTC), None, None, __version__), "letter")


def _pdf(
    boards: Sequence[tuple[View, CutPlan]],
    layout: RoomPlan | None,
    made: Made,
    size: str,
    left_out: Sequence[str] = (),
) -> bytes:
    from fieldvoice.output.drawing.media import pdf
    from fieldvoice.output.paper.blocks import Paper, numbered
    from fieldvoice.output.paper.board_page import board_pages
    from fieldvoice.output.paper.lists import list_pages, surface_pages
    from fieldvoice.output.room_work import room_work

    paper: Paper = {"letter": Paper.LETTER, "a4": Paper.A4}[size]
    pages = [page for view, plan in boards for page in board_pages(view, plan, paper, made)]
    counted = boards[0][0].laid if boards and layout is not None else ()
    lists = list_pages(boards, paper, made, left_out, counted) if boards or left_out else ()
    walls = surface_pages(layout, room_work(layout), paper, made) if layout is not None else ()
    return pdf(numbered([*walls, *pages, *lists]), made.job or "fieldvoice")


def _svg(boards: Sequence[tuple[View, CutPlan]], layout: RoomPlan | None, left_out: Sequence[str]) -> bytes:
    from fieldvoice.output.drawing.board import board_picture
    from fieldvoice.output.drawing.media import svg
    from fieldvoice.output.drawing.picture import stacked, written
    from fieldvoice.output.drawing.wall import wall_pictures
    from fieldvoice.wording.captions import NOT_DRAWN

    missing = [written(NOT_DRAWN, left_out, 280.0)] if left_out else []
    walls = [] if layout is None else wall_pictures(layout, 280.0, 190.0)
    pictures = [board_picture(plan, 280.0, 200.0, room=view.room) for view, plan in boards]
    return svg(stacked([*missing, *walls, *pictures])).encode()


def _dxf(boards: Sequence[tuple[View, CutPlan]], left_out: Sequence[str]) -> bytes:
    from fieldvoice.output.dxf import dxf
    from fieldvoice.wording.captions import NOT_DRAWN

    return dxf([plan for _, plan in boards], [NOT_DRAWN, *left_out] if left_out else [])


def _csv(boards: Sequence[tuple[View, CutPlan]], left_out: Sequence[str]) -> bytes:
    from io import StringIO

    from fieldvoice.output.documents.boards import write_table

    out = StringIO(newline="")
    write_table((view for view, _ in boards), out, left_out)
    return out.getvalue().encode()


def _write(form: PrintForm, content: bytes, output: Path | None) -> None:
    if output is None:
        if form is PrintForm.TEXT:
            show(content.decode(), end="")
        else:
            pour(content)
        return
    write_new(output, content)


def _open(view: View) -> str:
    """What of a board is open, in one breath."""
    from fieldvoice.wording.boards import not_printed

    return not_printed(view.board, view.plan_trouble, view.open, view.unit)
