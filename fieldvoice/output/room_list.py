"""A planned room or house as a list for people: boards by surface, sheets to buy, what each is cut into, the rules."""

from __future__ import annotations

from collections.abc import Iterator

from fieldvoice.output.documents.room import size_text
from fieldvoice.records.length import Unit
from fieldvoice.records.room import name_of
from fieldvoice.records.room_plan import Pattern, RoomPlan, SurfacePlan
from fieldvoice.wording.room import butt_joint, piece_of, piece_text, rule_text, standing_text, warning_text


def room_list(plan: RoomPlan) -> str:
    """The whole list, in the order in which a crew needs it."""
    return "\n".join(_lines(plan))


def sheets_lines(plan: RoomPlan) -> Iterator[str]:
    """The sheets to be had."""
    unit = plan.unit
    yield "Sheets"
    for one in plan.sheets:
        board = f"{one.sheet.thickness.text(unit)} {one.sheet.kind}"
        yield f"  {one.count} x {size_text(one.sheet, unit)} {unit.value}, {board}"


def surfaces_list(plan: RoomPlan) -> str:
    """Every surface with its boards in the order of hanging."""
    return "\n".join(line for surface in plan.surfaces for line in (*_surface(surface, plan.unit), ""))


def _lines(plan: RoomPlan) -> Iterator[str]:
    unit = plan.unit
    yield standing_text(plan)
    for warning in plan.warnings:
        yield f"! {warning_text(warning, unit)}"
    yield ""
    yield from sheets_lines(plan)
    for surface in plan.surfaces:
        yield ""
        yield from _surface(surface, unit)
    yield ""
    yield "Cut from"
    for number, pattern in enumerate(plan.patterns, 1):
        yield _pattern(number, pattern, unit)
    yield ""
    yield "Rules kept"
    for rule in plan.rules:
        yield f"  {rule_text(rule, unit)} [{rule.source}]"


def _surface(surface: SurfacePlan, unit: Unit) -> Iterator[str]:
    yield f"{name_of(surface.surface)}, {surface.surface.kind.value}: {butt_joint(surface.butt_feet, unit)}"
    for piece in surface.pieces:
        yield f"  {piece_text(piece, unit)}"


def _pattern(number: int, pattern: Pattern, unit: Unit) -> str:
    pieces = ", ".join(piece_of(piece.name) for piece in pattern.pieces)
    left = ", ".join(f"{one.length.text(unit)} x {one.width.text(unit)}" for one in pattern.left_over)
    start = f"  {number}. {pattern.offcut.name if pattern.offcut else size_text(pattern.sheet, unit)}: {pieces}"
    return f"{start}; left over: {left}" if left else start
