"""What a job takes, as a table for a spreadsheet (CSV, RFC 4180), as lines for the eye, and as records for programs."""

from __future__ import annotations

import csv
from collections.abc import Sequence
from io import StringIO
from itertools import groupby

from fieldvoice.errors import NoRule
from fieldvoice.fastening.table import in_force
from fieldvoice.output.documents import Document
from fieldvoice.output.table import plain
from fieldvoice.records.length import Unit
from fieldvoice.records.plan import CutPlan
from fieldvoice.records.takeoff import Quantity, Supply, WorkItem
from fieldvoice.takeoff.quantities import take_off_boards
from fieldvoice.wording import takeoff as words

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
