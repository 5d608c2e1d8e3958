"""`stock`: pieces onto sheets, alone: a public instance, or a list of pieces as TOML."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from fieldvoice.commands import options
from fieldvoice.commands.files import whole_text
from fieldvoice.commands.output import emit, show
from fieldvoice.errors import BadInput

if TYPE_CHECKING:
    from fieldvoice.output.documents import Document


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--turn", is_flag=True, help="Pieces of an instance may be turned a quarter turn.")
@options.as_json
def stock(file: Path, *, turn: bool, as_json: bool) -> int:
    """Cut the pieces of FILE from sheets (- is standard input).

    FILE is a cutting problem in the format of the public instances (gcut, cgcut: the most value out of one sheet), or
    TOML with sheets and pieces (the fewest feet of sheet). Prints the value, the bound that none can pass, and where
    each piece is cut.
    """
    text = whole_text(file, "Give a TOML file, or the data of a cutting problem.")
    document, lines = _instance(file, text, turn=turn) if _is_instance(text) else _pieces(file, text)
    if as_json:
        emit(document)
    else:
        show("\n".join(lines))
    return 0


def _is_instance(text: str) -> bool:
    from fieldvoice.files.stock_file import is_instance

    return is_instance(text)


def _instance(file: Path, text: str, *, turn: bool) -> tuple[Document, list[str]]:
    from fieldvoice.files.stock_file import read_instance
    from fieldvoice.output.documents.rooms import instance_document, instance_lines
    from fieldvoice.stock.guillotine import best_fill

    problem = read_instance(text)
    if isinstance(problem, tuple):
        raise _refused(file, problem)
    fill = best_fill(problem.pieces, problem.width, problem.height, turn=turn)
    return instance_document(problem, fill), instance_lines(problem, fill)


def _pieces(file: Path, text: str) -> tuple[Document, list[str]]:
    from fieldvoice.files.stock_file import read_pieces
    from fieldvoice.layout.piece_list import cut_list
    from fieldvoice.output.documents.rooms import list_document, list_lines

    wanted = read_pieces(text)
    if isinstance(wanted, tuple):
        raise _refused(file, wanted)
    cut = cut_list(wanted)
    return list_document(cut), list_lines(cut)


def _refused(file: Path, faults: tuple[object, ...]) -> BadInput:
    from fieldvoice.records.trouble import FileFault
    from fieldvoice.wording.room import file_fault_text

    lines = "\n".join(file_fault_text(fault) for fault in faults if isinstance(fault, FileFault))
    return BadInput(f"{file} can't be cut from, so nothing was planned.\n{lines}")
