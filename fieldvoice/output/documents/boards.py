"""Boards and their plans for other programs: as JSON documents (cuts, openings, steps, cautions, the proof, and what is
still open), and readings and cuts as a table for a spreadsheet (CSV, RFC 4180), a line each, board after board.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable, Iterator
from typing import IO

from fieldvoice.dialogue.view import Line, View
from fieldvoice.output import marks
from fieldvoice.output.documents import Document, length_text, place_text
from fieldvoice.output.fastening import board_fastening
from fieldvoice.records.ledger import OpenItem
from fieldvoice.records.length import Unit
from fieldvoice.records.meaning import Diagonal, Edge, Reading, Slot
from fieldvoice.records.plan import (
    CutLine,
    CutPlan,
    HoleMarks,
    Mark,
    Offset,
    OpeningPlan,
    Remnant,
    StandOff,
    Step,
    Warning,
)
from fieldvoice.wording import captions, forms, needs, steps, warnings
from fieldvoice.wording.boards import item_ask, item_text
from fieldvoice.wording.captions import SO_FAR, waits
from fieldvoice.wording.cautions import DEMONSTRATION, at_step, every
from fieldvoice.wording.forms import Form, InWords
from fieldvoice.wording.needs import failure
from fieldvoice.wording.troubles import sentence


def plan_document(views: Iterable[View], unit: Unit) -> Document:
    """`cut`: every board that has a plan."""
    boards = [board_document(view, view.plan, unit) for view in views if view.plan is not None]
    return {"unit": unit.value, "boards": boards}


def no_plan_document(why: str, unit: Unit) -> Document:
    """No plan that may be shown, and why."""
    return {"unit": unit.value, "boards": [], "why": why}


def board_document(view: View, plan: CutPlan, unit: Unit) -> Document:
    """One board: its sheet, cuts, openings, steps, cautions and proof. Lengths are in `unit`, exactly; sentences
    keep the board's own and name it.
    """
    return {
        "name": plan.board.name,
        "room": view.room,
        "so_far": view.draft,
        "draft": view.draft,
        "open": [open_document(item, view.unit) for item in view.open],
        "demonstration": DEMONSTRATION if view.demonstration else None,
        "sheet": {
            "width": plan.sheet.width.text(unit),
            "length": plan.sheet.length.text(unit),
            "thickness": plan.sheet.thickness.text(unit),
            "kind": plan.sheet.kind,
        },
        "from_offcut": plan.from_offcut,
        "lies": plan.lies.value,
        "cuts": [_cut(cut, unit) for cut in plan.cuts],
        "broken_cuts": [_cut(cut, unit) for cut in plan.broken],
        "openings": [_opening(opening, unit, view.unit) for opening in plan.openings],
        "steps": [steps.text(step, plan.board.unit) for step in plan.steps],
        "step_notes": [
            {"why": steps.why(step), "caution": at_step(step), "opening": step.opening} for step in plan.steps
        ],
        "step_records": [step_document(step, unit) for step in plan.steps],
        "cautions": list(every(view.cautions, plan.steps)),
        "proof": {
            "ok": plan.proof.ok,
            "gaps": [
                {
                    "edge": gap.edge.value,
                    "at": place_text(gap.at, unit),
                    "gap": forms.as_taped(gap.gap, unit).text(unit),
                }
                for gap in plan.proof.gaps
            ],
            "failures": [failure(one, Form(unit)) for one in plan.proof.failures],
        },
        "warnings": [warnings.text(warning, plan.board.unit) for warning in plan.warnings],
        "warning_records": [warning_document(warning, unit) for warning in plan.warnings],
        "layers": plan.board.layers,
        "layer": plan.board.layer or 1,
        "course": plan.board.course.value if plan.board.course is not None else None,
        "fastening": board_fastening(plan, unit),
        "left": [_left(one, unit) for one in plan.left],
        "outline": [{"x": point.x.text(unit), "y": point.y.text(unit)} for point in plan.outline],
        "missing": [
            {"what": needs.what(item, Form(unit)), "why": needs.why(item, Form(unit))} for item in view.missing
        ],
    }


def open_document(item: OpenItem, unit: Unit) -> Document:
    """One thing that keeps a plan a draft, with the question that settles it."""
    return {
        "kind": item.kind.value,
        "what": item_text(item, InWords(unit))[0],
        "ask": item_ask(item, unit),
        "for": item.by,
    }


def _left(one: Remnant, unit: Unit) -> Document:
    """What a cut takes off, squared, as the board hangs."""
    factory = [edge.value for edge in Edge if edge not in one.cut]
    wide, high = one.on_tape(unit)
    return {"off": one.off.value, "width": wide.text(unit), "height": high.text(unit), "factory": factory}


def _cut(cut: CutLine, unit: Unit) -> Document:
    return {
        "edge": cut.edge.value,
        "from": cut.origin.value,
        "shape": cut.shape.value,
        "marks": [
            {"at": place_text(mark.at, unit), "mark": mark.distance.text(unit), "exact": mark.exact.text(unit)}
            for mark in cut.marks
        ],
    }


def _opening(opening: OpeningPlan, unit: Unit, marked_in: Unit) -> Document:
    return {
        "name": opening.name,
        "kind": opening.kind,
        "method": opening.method.value,
        "center": {"from_left": opening.center.x.text(unit), "from_top": opening.center.y.text(unit)},
        "edges": {
            "left": opening.left.text(unit),
            "right": opening.right.text(unit),
            "top": opening.top.text(unit),
            "bottom": opening.bottom.text(unit),
        },
        "measured_from": {"x": opening.x_from, "y": opening.y_from},
        "state": opening.state.value if opening.state else None,
        "held": opening.held,
        "alternates": [forms.way(one, marked_in) for one in opening.alternates],
        "alternates_unit": marked_in.value,
    }


def step_document(one: Step, unit: Unit) -> Document:
    """A step: what it does, at which edge or opening, by which marks and with which tool. Lengths are in `unit`."""
    return {
        "does": one.does.value,
        "edge": one.edge.value if one.edge else None,
        "from": one.origin.value if one.origin else None,
        "marks": [_mark(mark, unit) for mark in one.marks],
        "shape": one.shape.value if one.shape else None,
        "opening": one.opening,
        "hole": _hole(one.hole, unit) if one.hole else None,
        "tool": one.tool.value if one.tool else None,
        "where": one.where.value,
        "near": list(one.near),
        "stand_off": [_stand_off(each, unit) for each in one.stand_offs],
        "leaves": [_stand_off(each, unit) for each in one.leaves],
        "edges": [edge.value for edge in one.edges],
        "offcut": one.offcut,
        "caution": at_step(one),
        "why": steps.why(one),
    }


def warning_document(one: Warning, unit: Unit) -> Document:
    """A warning: its code, what it is about, whether the cut waits for it, and its text."""
    about = one.about or (one.edge.value if one.edge else None)
    return {
        "code": one.code.value,
        "about": about,
        "edge": one.edge.value if one.edge else None,
        "values": [value.text(unit) for value in one.values],
        "holds_cut": one.holds_cut,
        "text": warnings.text(one, unit),
    }


def _mark(mark: Mark, unit: Unit) -> Document:
    return {
        "at": mark.at.value if isinstance(mark.at, Slot) else mark.at.text(unit),
        "mark": mark.distance.text(unit),
        "along": mark.along.text(unit),
        "along_from": mark.start.value if mark.start else None,
    }


def _hole(hole: HoleMarks, unit: Unit) -> Document:
    center = hole.center
    return {
        "center": [_offset(one, unit) for one in center] if center else None,
        "sides": {edge.value: _offset(offset, unit) for edge, offset in hole.sides},
        "radius": length_text(hole.radius, unit),
    }


def _offset(one: Offset, unit: Unit) -> Document:
    return {"from": one.hook.value, "mark": one.distance.text(unit)}


def _stand_off(one: StandOff, unit: Unit) -> Document:
    return {"edge": one.edge.value, "off": one.off.text(unit), "neighbor": one.neighbor.value}


COLUMNS = ("board", "sort", "name", "value", "standing", "by", "note")

_Row = tuple[str | None, ...]


def write_table(views: Iterable[View], out: IO[str], left_out: Iterable[str] = ()) -> int:
    """Writes the table of one view a board, with a heading, and first of all what is `left_out` of it; returns how many
    lines follow the heading.

    A length stands with its unit, `5/16 in`: a spreadsheet would make a date of `5/16`, and a wrong cut of that.
    """
    writer = csv.writer(out)
    writer.writerow(COLUMNS)
    rows: list[_Row] = [(None, "not here", None, None, None, None, each) for each in left_out]
    rows += [row for view in views for row in _rows(view)]
    writer.writerows([[plain(cell) for cell in row] for row in rows])
    return len(rows)


def _rows(view: View) -> Iterator[_Row]:
    yield from (_line_row(view, "setting", line) for line in view.context)
    yield from (_line_row(view, "reading", line) for line in view.readings)
    if view.plan is not None:
        for cut in view.plan.cuts:
            yield from _cut_rows(view, cut)
        for opening in view.plan.openings:
            yield from _opening_rows(view, opening)
    if view.plan_trouble is not None:
        yield (view.board, "no plan", None, None, None, None, sentence(view.plan_trouble))


def _line_row(view: View, sort: str, line: Line) -> _Row:
    call, told = line.call, marks.told(line, view.unit)
    value = call.fact.value.text_with_unit(view.unit) if isinstance(call.fact, Reading | Diagonal) else told.value
    return (view.board, sort, told.label, value, call.standing.value, call.by, told.note)


def _cut_rows(view: View, cut: CutLine) -> Iterator[_Row]:
    for mark in cut.marks:
        name = captions.cut_name(cut, mark, view.unit)
        notes = [SO_FAR] * view.draft + [note for note in (forms.rounding(mark, view.unit),) if note]
        yield (
            view.board,
            "cut",
            name,
            mark.distance.text_with_unit(view.unit),
            None,
            None,
            "; ".join(notes) or None,
        )


def _opening_rows(view: View, opening: OpeningPlan) -> Iterator[_Row]:
    if opening.held:
        yield (view.board, "opening", opening.name, None, None, None, waits(opening))
        return
    sides = {"left": opening.left, "right": opening.right, "top": opening.top, "bottom": opening.bottom}
    state = captions.circuit_as_said(opening.state) if opening.state is not None else None
    note = "; ".join(part for part in (SO_FAR if view.draft else None, opening.method.value, state) if part)
    for side, distance in sides.items():
        start = opening.x_from if side in {"left", "right"} else opening.y_from
        value = distance.text_with_unit(view.unit)
        yield (view.board, "opening", captions.side_name(opening.name, side, start), value, None, None, note)


def plain(cell: str | None) -> str:
    """A cell that no spreadsheet takes for a formula: names come from what people said."""
    text = cell or ""
    return f"'{text}" if text.startswith(("=", "+", "@")) else text
