"""Readings and cuts as a table for a spreadsheet (CSV, RFC 4180): a line each, board after board."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Iterator
from typing import IO

from fieldvoice.dialogue.view import Line, View
from fieldvoice.output import words
from fieldvoice.records.meaning import Diagonal, Reading
from fieldvoice.records.plan import CutLine, OpeningPlan
from fieldvoice.wording import figures, paper
from fieldvoice.wording.paper import SO_FAR, waits
from fieldvoice.wording.troubles import sentence

COLUMNS = ("board", "sort", "name", "value", "standing", "by", "note")

_Row = tuple[str | None, ...]


def write_table(views: Iterable[View], out: IO[str]) -> int:
    """Writes the table of one view a board, with a heading; returns how many lines follow it.

    A length stands with its unit, `5/16 in`: a spreadsheet would make a date of `5/16`, and a wrong cut of that.
    """
    writer = csv.writer(out)
    writer.writerow(COLUMNS)
    rows = [row for view in views for row in _rows(view)]
    writer.writerows([[plain(cell) for cell in row] for row in rows])
    return len(rows)


def _rows(view: View) -> Iterator[_Row]:
    yield from (_line(view, "setting", line) for line in view.context)
    yield from (_line(view, "reading", line) for line in view.readings)
    if view.plan is not None:
        for cut in view.plan.cuts:
            yield from _cut(view, cut)
        for opening in view.plan.openings:
            yield from _opening(view, opening)
    if view.plan_trouble is not None:
        yield (view.board, "no plan", None, None, None, None, sentence(view.plan_trouble))


def _line(view: View, sort: str, line: Line) -> _Row:
    call, told = line.call, words.told(line, view.unit)
    value = call.fact.value.text_with_unit(view.unit) if isinstance(call.fact, Reading | Diagonal) else told.value
    return (view.board, sort, told.label, value, call.standing.value, call.by, told.note)


def _cut(view: View, cut: CutLine) -> Iterator[_Row]:
    for mark in cut.marks:
        name = paper.cut_name(cut, mark, view.unit)
        notes = [SO_FAR] * view.so_far + [note for note in (figures.rounding(mark, view.unit),) if note]
        yield (
            view.board,
            "cut",
            name,
            figures.with_unit(mark.distance, view.unit),
            None,
            None,
            "; ".join(notes) or None,
        )


def _opening(view: View, opening: OpeningPlan) -> Iterator[_Row]:
    if opening.held:
        yield (view.board, "opening", opening.name, None, None, None, waits(opening))
        return
    sides = {"left": opening.left, "right": opening.right, "top": opening.top, "bottom": opening.bottom}
    state = paper.circuit_as_said(opening.state) if opening.state is not None else None
    note = "; ".join(part for part in (SO_FAR if view.so_far else None, opening.method.value, state) if part)
    for side, distance in sides.items():
        start = opening.x_from if side in {"left", "right"} else opening.y_from
        value = figures.with_unit(distance, view.unit)
        yield (view.board, "opening", paper.side_name(opening.name, side, start), value, None, None, note)


def plain(cell: str | None) -> str:
    """A cell that no spreadsheet takes for a formula: names come from what people said."""
    text = cell or ""
    return f"'{text}" if text.startswith(("=", "+", "@")) else text
