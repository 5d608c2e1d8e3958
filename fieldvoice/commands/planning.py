"""`room`: a room or a house as TOML in, its boards and sheets out; `stock`: pieces onto sheets, alone, a public
instance or a list of pieces as TOML.
"""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

import click

from fieldvoice.commands import options
from fieldvoice.commands.fastening import check_own_table
from fieldvoice.commands.options import check_new, name_of, whole_text, write_new
from fieldvoice.commands.output import emit, pour_text, show, tell
from fieldvoice.errors import BadInput, BadUsage, CannotCut

if TYPE_CHECKING:
    from fieldvoice.output.documents import Document
    from fieldvoice.output.room_work import RoomWork
    from fieldvoice.records.length import Unit
    from fieldvoice.records.room import House
    from fieldvoice.records.room_plan import Progress, RoomPlan


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--csv", "as_csv", is_flag=True, help="Only what all of it takes, as a table for a spreadsheet.")
@click.option("--svg", type=options.File(), help="The file to draw every surface in.")
@click.option("--pdf", "pages", type=options.File(), help="The file to print a page each to.")
@click.option(
    "--dxf", type=options.File(folder=True), help="A new folder for a drawing of each surface, for other programs."
)
@click.option("--paper", type=click.Choice(["letter", "a4"]), default="letter", show_default=True, help="Of the pages.")
@options.as_json
def room(
    file: Path, svg: Path | None, pages: Path | None, dxf: Path | None, paper: str, *, as_csv: bool, as_json: bool
) -> int:
    """Plan the walls and ceilings of a house in FILE.

    FILE is TOML as docs/PLANNING_FILES.md has it; - is standard input. Prints every board with its place, the sheets to
    buy, what each is cut into, and how far the plan can be from the best one; then how each is fastened, what all of it
    takes, and the order of work. Progress goes to standard error. Exit status 1 says why no layout keeps the rules.
    """
    from fieldvoice.layout.planning import plan
    from fieldvoice.output.documents.rooms import no_room_document, room_document, room_list
    from fieldvoice.output.room_work import room_work, room_work_document, room_work_lines, takeoff_csv

    if as_csv and as_json:
        raise BadUsage("Give --csv or --json, not both.")
    check_new(svg, pages, dxf)
    check_own_table()
    house = read(file)
    _tell_not_called(house)
    try:
        made = plan(house, rack=house.offcuts, progress=progress_told(house.unit))
    except CannotCut as trouble:
        if as_json:
            emit(no_room_document(str(trouble), house.unit))
        tell(f"fieldvoice: {trouble}")
        return 1
    work = room_work(made)
    if svg is not None:
        write_new(svg, _drawn(made))
    if pages is not None:
        write_new(pages, printed(made, work, paper))
    if dxf is not None:
        _write_each(dxf, made)
    if as_json:
        emit({**room_document(made), **room_work_document(work, made.unit)})
    elif as_csv:
        pour_text(takeoff_csv(work.quantities, made.unit))
    else:
        show("\n".join((room_list(made), "", *room_work_lines(work, made.unit))))
    return 0


def printed(made: RoomPlan, work: RoomWork, size: str) -> bytes:
    """A page of every surface, what it takes and the order of work, as PDF."""
    from datetime import UTC, datetime

    from fieldvoice import __version__
    from fieldvoice.output.drawing.media import pdf
    from fieldvoice.output.paper.blocks import Made, Paper, numbered
    from fieldvoice.output.paper.lists import surface_pages

    paper = {"letter": Paper.LETTER, "a4": Paper.A4}[size]
    pages = surface_pages(made, work, paper, Made(datetime.now(UTC), made.house.name, None, __version__))
    return pdf(numbered(pages), made.house.name or "fieldvoice")


def _write_each(folder: Path, made: RoomPlan) -> None:
    """A DXF a surface into a new folder, each under its place in the house and its name."""
    from fieldvoice.output.dxf import surface_dxf
    from fieldvoice.records.room import name_of as named

    drawings = [(str(named(one.surface)), surface_dxf(one, made.unit)) for one in made.surfaces]
    try:
        folder.mkdir()
    except FileExistsError:
        raise BadInput(f"{folder} is already there and was left as it is. Name another folder.") from None
    except OSError as trouble:
        raise BadInput(f"{folder} can't be made ({trouble.strerror}). Name another folder.") from trouble
    try:
        for number, (name, content) in enumerate(drawings, 1):
            plain = "".join(letter if letter.isalnum() else "_" for letter in name)[:60]
            write_new(folder / f"{number:02}_{plain}.dxf", content)
    except BadInput:
        for each in folder.iterdir():
            each.unlink()
        folder.rmdir()
        raise


def _drawn(made: RoomPlan) -> bytes:
    """Every surface, a layer after the other, as one SVG."""
    from fieldvoice.output.drawing.media import svg
    from fieldvoice.output.drawing.picture import stacked
    from fieldvoice.output.drawing.wall import wall_pictures

    return svg(stacked(wall_pictures(made, 280.0, 190.0))).encode()


def read(file: Path) -> House:
    """The house of a file. Raises `BadInput` with a line for each thing that is wrong in it."""
    from fieldvoice.files.planning_files import read_house
    from fieldvoice.wording.room import file_fault_text

    found = read_house(whole_text(file, "Give a TOML file."))
    if isinstance(found, tuple):
        lines = "\n".join(file_fault_text(fault) for fault in found)
        raise BadInput(f"{name_of(file)} can't be planned, so nothing was.\n{lines}")
    return found


def _tell_not_called(house: House) -> None:
    """Tells of names by which no job would take the house, before it is planned."""
    from fieldvoice.dialogue.houses import not_called
    from fieldvoice.dialogue.rooms import rooms
    from fieldvoice.wording.room import not_called_text

    unsaid, twice = not_called(rooms(), house)
    if unsaid or twice:
        tell(not_called_text(unsaid, twice))


def progress_told(unit: Unit) -> Progress:
    """Tells of every better plan, once."""
    last: list[tuple[Fraction, Fraction | None]] = []

    def told(feet: Fraction, bound: Fraction | None) -> None:
        from fieldvoice.wording.room import progress_text

        if (feet, bound) not in last[-1:]:
            last.append((feet, bound))
            tell(progress_text(feet, bound, unit))

    return told


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--turn", is_flag=True, help="Pieces of an instance may be turned a quarter turn.")
@options.as_json
def stock(file: Path, *, turn: bool, as_json: bool) -> int:
    """Cut the pieces of FILE from sheets (- is standard input).

    FILE is a cutting problem in the format of the public instances (gcut, cgcut: the most value out of one sheet), or
    TOML with sheets and pieces as docs/PLANNING_FILES.md has it (the fewest feet of sheet). Prints the value, the bound
    that none can pass, and where each piece is cut.
    """
    text = whole_text(file, "Give a TOML file, or the data of a cutting problem.")
    document, lines = _instance(file, text, turn=turn) if _is_instance(text) else _pieces(file, text)
    if as_json:
        emit(document)
    else:
        show("\n".join(lines))
    return 0


def _is_instance(text: str) -> bool:
    from fieldvoice.files.planning_files import is_instance

    return is_instance(text)


def _instance(file: Path, text: str, *, turn: bool) -> tuple[Document, list[str]]:
    from fieldvoice.files.planning_files import read_instance
    from fieldvoice.output.documents.rooms import instance_document, instance_lines
    from fieldvoice.stock.guillotine import best_fill

    problem = read_instance(text)
    if isinstance(problem, tuple):
        raise _refused(file, problem)
    fill = best_fill(problem.pieces, problem.width, problem.height, turn=turn)
    return instance_document(problem, fill), instance_lines(problem, fill)


def _pieces(file: Path, text: str) -> tuple[Document, list[str]]:
    from fieldvoice.files.planning_files import read_pieces
    from fieldvoice.layout.recheck import cut_list
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
    return BadInput(f"{name_of(file)} can't be cut from, so nothing was planned.\n{lines}")
