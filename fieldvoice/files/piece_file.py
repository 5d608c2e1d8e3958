"""Pieces to be cut, as TOML: sheets on hand, and pieces with their sizes and counts; every fault, or the whole list."""

from __future__ import annotations

from fieldvoice.files.house_file import read_job
from fieldvoice.files.toml_values import TomlTable
from fieldvoice.records.board import Sheet
from fieldvoice.records.file_fault import Fault, FileFault
from fieldvoice.records.length import Length
from fieldvoice.records.piece_list import PieceList, WantedPiece

MOST_OF_ONE = 1000


def read_pieces(text: str) -> PieceList | tuple[FileFault, ...]:
    """The list of a TOML text, or every fault in it."""
    top = TomlTable.of(text)
    if isinstance(top, FileFault):
        return (top,)
    faults = top.faults
    unit, _, sheets = read_job(top)
    top.unit = unit
    found = [
        _piece(TomlTable(f"piece {number}", values, unit, faults), sheets)
        for number, values in enumerate(top.tables("piece"), 1)
    ]
    top.done()
    if not found and not faults:
        top.fault("piece", Fault.MISSING)
    pieces = tuple(piece for piece in found if piece is not None)
    return tuple(faults) if faults else PieceList(unit, sheets, pieces)


def _piece(table: TomlTable, sheets: tuple[Sheet, ...]) -> WantedPiece | None:
    name = table.text("name", required=True)
    length, width = table.length("length", required=True), table.length("width", required=True)
    count = table.count("count", 1, MOST_OF_ONE)
    tapered = int(table.choice("factory_edges", ("0", "1", "2"), "0") or 0)
    table.done()
    if name is None or length is None or width is None:
        return None
    if sheets and not any(_fits(length, width, tapered, sheet) for sheet in sheets):
        table.fault(None, Fault.FITS_NO_SHEET)
    return WantedPiece(name, length, width, count, tapered)


def _fits(length: Length, width: Length, tapered: int, sheet: Sheet) -> bool:
    if length > sheet.length or width > sheet.width:
        return False
    return tapered < 2 or width == sheet.width
