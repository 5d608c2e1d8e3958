"""The JSON document of a planned room or house. Keys are a promise: add freely, rename or drop none."""

from __future__ import annotations

from fractions import Fraction
from math import ceil

from fieldvoice.output.documents import Document
from fieldvoice.records.board import Sheet
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Edge
from fieldvoice.records.room import name_of
from fieldvoice.records.room_plan import Joint, Offcut, Pattern, Piece, RoomPlan, SurfacePlan
from fieldvoice.wording.room import rule_text, warning_text

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


def size_text(sheet: Sheet, unit: Unit) -> str:
    """A sheet's size as its file has it: width x length."""
    return f"{sheet.width.text(unit)} x {sheet.length.text(unit)}"


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


def _piece(piece: Piece, unit: Unit) -> Document:
    return {
        "name": str(piece.name.number),
        "x": piece.x.text(unit),
        "y": piece.y.text(unit),
        "width": piece.width.text(unit),
        "height": piece.height.text(unit),
        "left_height": piece.left_height.text(unit),
        "right_height": piece.right_height.text(unit),
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
