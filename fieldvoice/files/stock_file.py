"""What is to be cut from sheets, as files: lines of numbers as published problems have them, and TOML with sheets on
hand and pieces; every fault, or the whole list.
"""

from __future__ import annotations

from dataclasses import dataclass

from fieldvoice.files.house_file import read_job
from fieldvoice.files.toml_values import TomlTable
from fieldvoice.records.board import Sheet
from fieldvoice.records.length import Length
from fieldvoice.records.room_plan import PieceList, WantedPiece
from fieldvoice.records.trouble import Fault, FileFault
from fieldvoice.stock.guillotine import Rectangle

LARGEST = 20_000
"""The longest side that is taken: the table of best values has a place for each size."""


@dataclass(frozen=True, slots=True)
class SheetProblem:
    """A sheet and the pieces that may be cut from it for the most value."""

    width: int
    height: int
    pieces: tuple[Rectangle, ...]


def is_instance(text: str) -> bool:
    """Whether a file is in the instances' format: its first line that holds something is one whole number."""
    first = next((line.split() for line in text.splitlines() if line.strip()), [])
    return len(first) == 1 and first[0].isdecimal()


def read_instance(text: str) -> SheetProblem | tuple[FileFault, ...]:
    """The problem, or every fault in the file. Lines are `length width value`, or `length width most value`."""
    lines = [(number, line.split()) for number, line in enumerate(text.splitlines(), 1) if line.strip()]
    faults: list[FileFault] = []
    if len(lines) < 3:
        return (FileFault("the file", None, Fault.TOO_FEW_LINES),)
    count, sheet = _numbers(*lines[0], 1, faults), _numbers(*lines[1], 2, faults)
    columns = 4 if len(lines[2][1]) == 4 else 3
    rows = [_numbers(number, words, columns, faults) for number, words in lines[2:]]
    if count and len(rows) < count[0]:
        faults.append(FileFault("the file", None, Fault.TOO_FEW_LINES))
    if sheet and max(sheet) > LARGEST:
        faults.append(FileFault(f"line {lines[1][0]}", None, Fault.TOO_LARGE, " ".join(lines[1][1])))
    if faults or not count or not sheet:
        return tuple(faults)
    pieces = [Rectangle(row[0], row[1], row[-1], row[2] if columns == 4 else None) for row in rows if row]
    return SheetProblem(sheet[0], sheet[1], tuple(pieces[: count[0]]))


def _numbers(line: int, words: list[str], count: int, faults: list[FileFault]) -> list[int] | None:
    good = len(words) == count and all(word.isdecimal() and len(word) <= 12 and int(word) > 0 for word in words)
    if not good:
        faults.append(FileFault(f"line {line}", None, Fault.NOT_NUMBERS, " ".join(words)[:80], (str(count),)))
        return None
    return [int(word) for word in words]


MOST_OF_ONE = 1000


def read_pieces(text: str) -> PieceList | tuple[FileFault, ...]:
    """The list of a TOML text, or every fault in it."""
    top = TomlTable.of(text)
    if isinstance(top, FileFault):
        return (top,)
    faults = top.faults
    unit, _, sheets = read_job(top)
    top.unit = unit
    found = [_piece(table, sheets) for table in top.tables("piece")]
    top.done()
    if not found and not faults:
        top.missing("piece")
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
