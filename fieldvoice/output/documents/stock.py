"""Pieces cut from sheets, as JSON and as lines for people."""

from __future__ import annotations

from fieldvoice.files.stock_file import SheetProblem
from fieldvoice.layout.piece_list import CutList
from fieldvoice.output.documents import Document
from fieldvoice.output.documents.room import feet_text, gap_number, size_text
from fieldvoice.records.room_plan import Pattern, PieceName
from fieldvoice.stock.bounded import BestFill
from fieldvoice.wording.room import fill_text, list_text


def instance_document(problem: SheetProblem, fill: BestFill) -> Document:
    """The best fill of one sheet: each piece by its number in the file from 1, its lower left corner and its size."""
    return {
        "sheet": {"width": problem.width, "height": problem.height},
        "value": fill.value,
        "bound": fill.bound,
        "proved": fill.value == fill.bound,
        "pattern": [
            {"piece": one.number + 1, "x": one.x, "y": one.y, "width": one.width, "height": one.height}
            for one in fill.pieces
        ],
    }


def instance_lines(problem: SheetProblem, fill: BestFill) -> list[str]:
    """The same as lines."""
    places = [f"  {one.number + 1}: {one.width} x {one.height} at {one.x}, {one.y}" for one in fill.pieces]
    return [fill_text(problem.width, problem.height, fill.value, fill.bound), *places]


def list_document(cut: CutList) -> Document:
    """The sheets of a list of pieces."""
    return {
        "unit": cut.wanted.unit.value,
        "value": feet_text(cut.feet),
        "bound": feet_text(cut.bound_feet),
        "gap": gap_number((cut.feet - cut.bound_feet) / cut.feet),
        "proved": cut.feet == cut.bound_feet,
        "pattern": [_pattern(one, cut) for one in cut.patterns],
    }


def _pattern(one: Pattern, cut: CutList) -> Document:
    unit = cut.wanted.unit
    return {
        "sheet": size_text(one.sheet, unit),
        "pieces": [
            {
                "piece": _name(piece.name),
                "x": piece.x.text(unit),
                "y": piece.y.text(unit),
                "width": piece.length.text(unit),
                "height": piece.width.text(unit),
            }
            for piece in one.pieces
        ],
        "left_over": [
            {"width": o.length.text(unit), "height": o.width.text(unit), "name": None} for o in one.left_over
        ],
    }


def list_lines(cut: CutList) -> list[str]:
    """The same as lines."""
    unit = cut.wanted.unit
    lines = [list_text(len(cut.patterns), cut.feet, cut.bound_feet)]
    for number, one in enumerate(cut.patterns, 1):
        pieces = ", ".join(_name(piece.name) for piece in one.pieces)
        left = ", ".join(f"{o.length.text(unit)} x {o.width.text(unit)}" for o in one.left_over)
        lines.append(f"  {number}. {size_text(one.sheet, unit)}: {pieces}" + (f"; left over: {left}" if left else ""))
    return lines


def _name(name: PieceName) -> str:
    return f"{name.surface.room} {name.number}"
