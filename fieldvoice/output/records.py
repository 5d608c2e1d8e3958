"""Steps and warnings as typed fields, for the documents that other programs read."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TypeAlias

from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Slot
from fieldvoice.records.plan import HoleMarks, Mark, Offset, StandOff, Step, Warning
from fieldvoice.wording import steps, warnings

Json: TypeAlias = "Mapping[str, Json] | Sequence[Json] | str | int | float | bool | None"
Document: TypeAlias = Mapping[str, Json]


def step(one: Step, unit: Unit) -> Document:
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
        "caution": one.caution,
        "why": steps.why(one),
    }


def warning(one: Warning, unit: Unit) -> Document:
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
        "radius": _text(hole.radius, unit),
    }


def _offset(one: Offset, unit: Unit) -> Document:
    return {"from": one.hook.value, "mark": one.distance.text(unit)}


def _stand_off(one: StandOff, unit: Unit) -> Document:
    return {"edge": one.edge.value, "off": one.off.text(unit), "neighbor": one.neighbor.value}


def _text(length: Length | None, unit: Unit) -> str | None:
    return None if length is None else length.text(unit)
