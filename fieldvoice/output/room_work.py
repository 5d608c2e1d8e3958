"""What a planned room takes and how its boards are fastened, beside its layout, and in which order it is done; what a
job of single boards takes: as records for programs, as lines for the eye, and as a table for a spreadsheet (CSV, RFC
4180).
"""

from __future__ import annotations

import csv
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from io import StringIO
from itertools import groupby

from fieldvoice.errors import NoRule
from fieldvoice.fastening.table import in_force
from fieldvoice.output.documents import Document
from fieldvoice.output.documents.boards import plain
from fieldvoice.output.fastening import fastening_document
from fieldvoice.records.fastening import FasteningPlan
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.plan import CutPlan
from fieldvoice.records.room_plan import RoomPlan
from fieldvoice.records.takeoff import Quantity, Supply, WorkItem
from fieldvoice.takeoff import FastenedPiece, fasten_room, order_of_work, take_off_boards, take_off_room
from fieldvoice.wording import takeoff as words
from fieldvoice.wording.fastening import LOCAL_CODE, common_doubts, fastening_lines, load_text, rule_lines
from fieldvoice.wording.forms import Form

COLUMNS = ("what", "least", "most", "unit", "waste", "to buy", "rule", "source")


def takeoff_csv(quantities: Sequence[Quantity], unit: Unit) -> str:
    """A line a quantity under a heading. A length in a name stands with its unit, so that no spreadsheet makes a date
    of it; amounts are plain numbers.
    """
    out = StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow(COLUMNS)
    for one in quantities:
        row = (
            words.supply_text(one, unit),
            words.number(one.least),
            words.number(one.most),
            one.measure.value,
            words.waste_text(one),
            str(one.to_buy),
            words.RULES[one.rule],
            words.sources_text(one.sources),
        )
        writer.writerow([plain(cell) for cell in row])
    return out.getvalue()


def takeoff_lines(quantities: Sequence[Quantity], unit: Unit) -> list[str]:
    """The same for the eye: what, how much, waste apart, and what to buy; under it the rule and the source."""
    return [line for one in quantities for line in (words.amount_line(one, unit), f"    {words.rule_line(one)}")]


def boards_takeoff(plans: Sequence[CutPlan], unit: Unit) -> list[tuple[str, str]]:
    """What boards take beside their sheets: each amount with its rule; nothing where no rule is known for one."""
    try:
        quantities = take_off_boards(plans, in_force())
    except NoRule:
        return []
    return [
        (words.amount_line(one, unit), words.rule_line(one)) for one in quantities if one.supply is not Supply.SHEETS
    ]


def work_lines(items: Sequence[WorkItem], unit: Unit) -> list[str]:
    """The order of work as a list to tick, by phase."""
    lines = []
    for phase, tasks in groupby(items, key=lambda item: item.phase):
        lines.append(words.PHASES[phase])
        lines += [f"  [ ] {words.task_text(item, unit)}" for item in tasks]
    return lines


def quantity_document(quantity: Quantity, unit: Unit) -> Document:
    """One quantity: `quantity` is the most without waste, `least` and `most` its range, `to_buy` whole units with the
    most waste.
    """
    return {
        "what": quantity.supply.value,
        "name": words.supply_text(quantity, unit),
        "quantity": words.number(quantity.most),
        "least": words.number(quantity.least),
        "most": words.number(quantity.most),
        "unit": quantity.measure.value,
        "waste": None if quantity.waste is None else words.waste_text(quantity),
        "to_buy": quantity.to_buy,
        "rule": words.RULES[quantity.rule],
        "source": words.sources_text(quantity.sources),
    }


def work_document(item: WorkItem, unit: Unit) -> Document:
    """One task of the order of work."""
    return {
        "phase": item.phase.value,
        "task": item.task.value,
        "surface": None if item.surface is None else str(item.surface),
        "pieces": list(item.pieces),
        "limit": None if item.limit is None else item.limit.text(unit),
        "text": words.task_text(item, unit),
        "source": words.sources_text((item.source,)),
    }


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


def _taken_off(work: RoomWork, unit: Unit) -> list[str]:
    return ["Take-off", *(f"  {line}" for line in takeoff_lines(work.quantities, unit)), ""]


def work_list(plan: RoomPlan) -> str:
    """What all walls and ceilings take, and the order of work, for the eye."""
    work = room_work(plan)
    unknown = [] if work.unknown is None else [work.unknown, ""]
    return "\n".join([*_taken_off(work, plan.unit), *unknown, *work_lines(work.order, plan.unit), ""])


def room_work_lines(work: RoomWork, unit: Unit) -> list[str]:
    """Take-off, fastening by surface, and the order of work, for the eye."""
    lines = _taken_off(work, unit)
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
