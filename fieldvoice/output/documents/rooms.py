"""A planned room or house, and pieces cut from sheets: as JSON documents, whose keys are a promise (add freely, rename
or drop none), and as lists for people.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import ceil

from fieldvoice.files.planning_files import SheetProblem
from fieldvoice.layout.recheck import CutList
from fieldvoice.output.documents import Document
from fieldvoice.records.board import Offcut, Sheet
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Edge
from fieldvoice.records.room import name_of
from fieldvoice.records.room_plan import Joint, Pattern, Piece, PieceName, RoomPlan, SurfacePlan
from fieldvoice.stock.guillotine import BestFill
from fieldvoice.wording.forms import offcut_text, size_text
from fieldvoice.wording.room import (
    butt_joint,
    fill_text,
    list_text,
    piece_of,
    piece_text,
    rule_text,
    standing_text,
    warning_text,
)

PLACES = 10_000
"""The gap is rounded up to four places."""


def room_document(plan: RoomPlan) -> Document:
    """A whole plan. Lengths are text in the job's unit, feet are text as a mixed number."""
    unit = plan.unit
    return {
        "unit": unit.value,
        "name": plan.house.name,
        "surfaces": [_surface(surface, unit) for surface in plan.surfaces],
        "sheets": [
            {"size": size_text(one.sheet, unit), **_board(one.sheet, unit), "count": one.count} for one in plan.sheets
        ],
        "patterns": [_pattern(pattern, unit) for pattern in plan.patterns],
        "board_feet": feet_text(plan.feet),
        "bound_feet": feet_text(plan.bound_feet),
        "gap": gap_number(plan.gap),
        "proved": plan.proved,
        "butt_joint_feet": feet_text(plan.butt_feet),
        "bound_butt_joint_feet": feet_text(plan.least_butt_feet),
        "piece_count": len(plan.pieces),
        "bound_piece_count": plan.least_pieces,
        "first_plan_seconds": round(plan.first_plan_seconds, 3),
        "seconds": round(plan.seconds, 3),
        "rules": [
            {
                "code": rule.code.value,
                "values": [value.text(unit) for value in rule.values],
                "text": rule_text(rule, unit),
                "source": rule.source,
            }
            for rule in plan.rules
        ],
        "warnings": [warning_text(warning, unit) for warning in plan.warnings],
        "warning_records": [
            {
                "code": warning.code.value,
                "about": str(warning.surface) if warning.surface else None,
                "values": [value.text(unit) for value in warning.values],
                "text": warning_text(warning, unit),
            }
            for warning in plan.warnings
        ],
    }


def no_room_document(why: str, unit: Unit) -> Document:
    """No plan, and why."""
    return {"unit": unit.value, "surfaces": [], "sheets": [], "patterns": [], "why": why}


def feet_text(feet: Fraction) -> str:
    """Feet as a mixed number: `108`, `112 1/2`."""
    return Length(feet).text()


def gap_number(gap: Fraction) -> int | float:
    """The gap rounded up to four places; 0 only where it is 0."""
    up = ceil(gap * PLACES)
    return up / PLACES if up else 0


def _surface(surface: SurfacePlan, unit: Unit) -> Document:
    named = name_of(surface.surface)
    return {
        "room": named.room,
        "name": named.name,
        "kind": surface.surface.kind.value,
        "pieces": [_piece(piece, unit) for piece in surface.pieces],
        "joints": [_joint(joint, unit) for joint in surface.joints],
        "butt_joint_feet": feet_text(surface.butt_feet),
    }


def _slope_ends(piece: Piece, unit: Unit) -> str | None:
    """Where a slope ends on a piece whose top is level from there on, None where it has no such place or breaks
    otherwise.
    """
    if len(piece.bends) != 1 or piece.bends[0].height not in {piece.left_height, piece.right_height}:
        return None
    return piece.bends[0].across.text(unit)


def _piece(piece: Piece, unit: Unit) -> Document:
    return {
        "name": str(piece.name.number),
        "x": piece.x.text(unit),
        "y": piece.y.text(unit),
        "width": piece.width.text(unit),
        "height": piece.height.text(unit),
        "left_height": piece.left_height.text(unit),
        "right_height": piece.right_height.text(unit),
        "slope_ends": _slope_ends(piece, unit),
        "top": [{"x": one.across.text(unit), "y": one.height.text(unit)} for one in piece.top_corners],
        "lies": piece.lies.value,
        "course": str(piece.course),
        "layer": piece.layer,
        "sheet": size_text(piece.sheet, unit),
        "edges": {
            edge.value: {
                "beside": piece.edges[edge].neighbor.value,
                "factory": piece.edges[edge].factory,
                "pieces": [str(name.number) for name in piece.edges[edge].pieces],
            }
            for edge in Edge
        },
    }


def _joint(joint: Joint, unit: Unit) -> Document:
    return {
        "kind": joint.kind.value,
        "layer": joint.layer,
        "pieces": [str(name.number) for name in joint.pieces],
        "from": [place.text(unit) for place in joint.start],
        "to": [place.text(unit) for place in joint.end],
    }


def _board(sheet: Sheet, unit: Unit) -> Document:
    return {"thickness": sheet.thickness.text(unit), "kind": sheet.kind}


def _pattern(pattern: Pattern, unit: Unit) -> Document:
    return {
        "sheet": size_text(pattern.sheet, unit),
        **_board(pattern.sheet, unit),
        "from_offcut": pattern.offcut.name if pattern.offcut else None,
        "offcut_factory": _edges(pattern.offcut.factory) if pattern.offcut else None,
        "pieces": [str(piece.name) for piece in pattern.pieces],
        "places": [
            {
                "piece": str(piece.name),
                "x": piece.x.text(unit),
                "y": piece.y.text(unit),
                "width": piece.length.text(unit),
                "height": piece.width.text(unit),
                "factory": _edges(piece.factory),
            }
            for piece in pattern.pieces
        ],
        "left_over": [offcut_document(offcut, unit) for offcut in pattern.left_over],
    }


def offcut_document(offcut: Offcut, unit: Unit) -> Document:
    """An offcut as it lies: how long and how wide, its name, and its factory edges."""
    return {
        "width": offcut.length.text(unit),
        "height": offcut.width.text(unit),
        "name": offcut.name or None,
        "factory": _edges(offcut.factory),
    }


def _edges(edges: frozenset[Edge]) -> list[str]:
    return [edge.value for edge in Edge if edge in edges]


def room_list(plan: RoomPlan) -> str:
    """The whole list, in the order in which a crew needs it."""
    return "\n".join(_room_lines(plan))


def sheets_lines(plan: RoomPlan) -> Iterator[str]:
    """The sheets to be had."""
    unit = plan.unit
    yield "Sheets"
    for one in plan.sheets:
        board = f"{one.sheet.thickness.text(unit)} {one.sheet.kind}"
        yield f"  {one.count} x {size_text(one.sheet, unit)} {unit.value}, {board}"
    used = {one.offcut.name for one in plan.patterns if one.offcut is not None}
    for offcut in plan.house.offcuts:
        board = f"{offcut.thickness.text(unit)} {offcut.board}"
        use = "" if offcut.name in used else ", not used"
        yield f"  offcut {offcut.name}, {offcut_text(offcut, unit)}, {board}{use}"


def surfaces_list(plan: RoomPlan) -> str:
    """Every surface with its boards in the order of hanging."""
    lines: list[str] = []
    for surface in plan.surfaces:
        lines += _surface_lines(surface, plan.unit)
        lines += [f"! {warning_text(one, plan.unit)}" for one in plan.warned(surface)]
        lines.append("")
    return "\n".join(lines)


def _room_lines(plan: RoomPlan) -> Iterator[str]:
    unit = plan.unit
    yield standing_text(plan)
    for warning in plan.warnings:
        yield f"! {warning_text(warning, unit)}"
    yield ""
    yield from sheets_lines(plan)
    for surface in plan.surfaces:
        yield ""
        yield from _surface_lines(surface, unit)
    yield ""
    yield "Cut from"
    for number, pattern in enumerate(plan.patterns, 1):
        yield _pattern_line(number, pattern, unit)
    yield ""
    yield "Rules kept"
    for rule in plan.rules:
        yield f"  {rule_text(rule, unit)} [{rule.source}]"


def _surface_lines(surface: SurfacePlan, unit: Unit) -> Iterator[str]:
    name, kind = str(name_of(surface.surface)), surface.surface.kind.value
    yield f"{name if name.endswith(kind) else f'{name}, {kind}'}: {butt_joint(surface.butt_feet, unit)}"
    for piece in surface.pieces:
        yield f"  {piece_text(piece, unit)}"


def _pattern_line(number: int, pattern: Pattern, unit: Unit) -> str:
    pieces = ", ".join(piece_of(piece.name) for piece in pattern.pieces)
    left = ", ".join(size_text(one, unit) for one in pattern.left_over)
    size = size_text(pattern.sheet, unit)
    start = f"  {number}. {f'offcut {pattern.offcut.name}, {size}' if pattern.offcut else size}: {pieces}"
    return f"{start}; left over: {left}" if left else start


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
        "pattern": [_list_pattern(one, cut) for one in cut.patterns],
    }


def _list_pattern(one: Pattern, cut: CutList) -> Document:
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
    lines = [list_text(len(cut.patterns), cut.feet, cut.bound_feet, unit)]
    for number, one in enumerate(cut.patterns, 1):
        pieces = ", ".join(_name(piece.name) for piece in one.pieces)
        left = ", ".join(size_text(left, unit) for left in one.left_over)
        lines.append(f"  {number}. {size_text(one.sheet, unit)}: {pieces}" + (f"; left over: {left}" if left else ""))
    return lines


def _name(name: PieceName) -> str:
    return f"{name.surface.room} {name.number}"
