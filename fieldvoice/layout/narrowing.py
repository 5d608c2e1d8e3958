"""An arrangement with less left open: a joint that has to be there, or may not."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from fieldvoice.layout.rows import Arrangement, Row, connected

Joint = tuple[int, int]
"""A row's number and the place."""


def with_joint(one: Arrangement, joint: Joint) -> Arrangement | None:
    """The arrangement with that joint, and without those that are too near it; None where that can't be."""
    row, place = joint
    narrowed = _narrowed(one, row, lambda start, end: not start < place < end)
    for clash in one.clashes:
        if joint in clash:
            for other in clash:
                if other != joint and narrowed is not None:
                    narrowed = without_joint(narrowed, other)
    return narrowed


def without_joint(one: Arrangement, joint: Joint) -> Arrangement | None:
    """The arrangement without that joint; None where that can't be."""
    row, place = joint
    return _narrowed(one, row, lambda start, end: place not in (start, end))


def open_joints(one: Arrangement) -> tuple[Joint, ...]:
    """The joints that may be there and don't have to be, the ones in the middle of their row first."""
    found = [
        (abs(2 * place - span.start - span.end), (number, place))
        for number, row in enumerate(one.rows)
        for span in row.spans
        for place in span.nodes
        if any(arc.start < place < arc.end for arc in span.arcs)
    ]
    return tuple(joint for _, joint in sorted(found))


def _narrowed(one: Arrangement, number: int, keeps: Callable[[int, int], bool]) -> Arrangement | None:
    """One row with the pieces alone that are kept and still lie on a way through their span."""
    row = one.rows[number]
    spans = []
    for span in row.spans:
        kept = connected((arc for arc in span.arcs if keeps(arc.start, arc.end)), span.start, span.end)
        if not kept:
            return None
        spans.append(replace(span, arcs=kept))
    rows: tuple[Row, ...] = (*one.rows[:number], replace(row, spans=tuple(spans)), *one.rows[number + 1 :])
    return replace(one, rows=rows)
