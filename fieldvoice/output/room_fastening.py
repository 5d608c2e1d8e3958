"""What a planned room takes and how its boards are fastened, beside its layout: for programs and for the eye."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from fieldvoice.errors import NoRule
from fieldvoice.fastening.table import in_force
from fieldvoice.output.documents import Document
from fieldvoice.output.fastening import fastening_document
from fieldvoice.output.takeoff import quantity_document, takeoff_lines, work_document, work_lines
from fieldvoice.records.fastening import FasteningPlan
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.room_plan import RoomPlan
from fieldvoice.records.takeoff import Quantity, WorkItem
from fieldvoice.takeoff.order import order_of_work
from fieldvoice.takeoff.quantities import FastenedPiece, fasten_room, take_off_room
from fieldvoice.wording.fastening import LOCAL_CODE, common_doubts, fastening_lines, load_text, rule_lines
from fieldvoice.wording.forms import Form


@dataclass(frozen=True, slots=True)
class RoomWork:
    """All that follows from a room's layout. `unknown` says why where a board has no rule for its fastening; then
    there are no pieces and no quantities.
    """

    pieces: tuple[FastenedPiece, ...]
    quantities: tuple[Quantity, ...]
    order: tuple[WorkItem, ...]
    unknown: str | None = None


def room_work(plan: RoomPlan) -> RoomWork:
    """The fastening, take-off and order of work of a room, by the table in force."""
    order = order_of_work(plan)
    try:
        pieces = fasten_room(plan, in_force())
    except NoRule as unknown:
        return RoomWork((), (), order, str(unknown))
    return RoomWork(pieces, take_off_room(plan, pieces), order)


def room_work_document(work: RoomWork, unit: Unit) -> Document:
    """The keys that a room's document has beside its layout."""
    return {
        "screws": _screws(work.pieces, unit),
        "takeoff": [quantity_document(one, unit) for one in work.quantities],
        "fastening": [{"piece": str(one.name), **fastening_document(one.fastening, unit)} for one in work.pieces],
        "order_of_work": [work_document(one, unit) for one in work.order],
        "no_rule": work.unknown,
    }


def _screws(pieces: Sequence[FastenedPiece], unit: Unit) -> Document | None:
    """How many in all and of which length; `lengths` has each length where there are several."""
    if not pieces:
        return None
    counts: Counter[Length] = Counter()
    for one in pieces:
        counts[one.fastening.schedule.lengths[-1].value] += one.fastening.count
    most = max(counts, key=lambda length: (counts[length], length))
    return {
        "fastener": pieces[0].fastening.schedule.fastener.value,
        "count": counts.total(),
        "length": most.text(unit),
        "lengths": {length.text(unit): count for length, count in sorted(counts.items())},
    }


def room_work_lines(work: RoomWork, unit: Unit) -> list[str]:
    """Take-off, fastening by surface, and the order of work, for the eye."""
    lines = ["Take-off", *(f"  {line}" for line in takeoff_lines(work.quantities, unit)), ""]
    lines += ["Fastening", f"  {work.unknown or LOCAL_CODE}"]
    for surface, pieces in groupby(work.pieces, key=lambda one: one.name.surface):
        group = list(pieces)
        lines.append(f"  {surface}")
        common = common_doubts([one.fastening for one in group], Form(unit))
        lines += [f"    {line}" for line in (*rule_lines(group[0].fastening, Form(unit)), *common)]
        for one in group:
            lines += _piece(one, unit, common)
    return [*lines, "", *work_lines(work.order, unit)]


def _piece(one: FastenedPiece, unit: Unit, common: Sequence[str]) -> list[str]:
    """A piece's count and what it weighs, and what is the matter with it alone. The rules are the same all over a
    surface and stand above it.
    """
    head, *doubts = held_lines(one.fastening, unit, common)
    return [f"    {one.name.number}. {head}", *(f"       {line}" for line in doubts)]


def held_lines(fastening: FasteningPlan, unit: Unit, common: Sequence[str]) -> list[str]:
    """A piece's fasteners with its weight; then what is the matter with it and not with all of its surface."""
    count, *rest = fastening_lines(fastening, Form(unit))
    doubts = rest[len(rule_lines(fastening, Form(unit))) :]
    return [f"{count} {load_text(fastening.hanging, unit)}", *(line for line in doubts if line not in common)]
