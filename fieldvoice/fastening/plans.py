"""One board's fastening, from its panel or its cut plan."""

from __future__ import annotations

from fieldvoice.fastening.marks import framing_marks, off_framing
from fieldvoice.fastening.panels import Panel, panel_of
from fieldvoice.fastening.rows import Table
from fieldvoice.fastening.rules import schedule
from fieldvoice.fastening.spots import spots
from fieldvoice.fastening.table import built_in
from fieldvoice.fastening.weight import carrying, hanging, weigh
from fieldvoice.records.fastening import FasteningPlan, Handling
from fieldvoice.records.length import Length
from fieldvoice.records.plan import CutPlan


def fasten(panel: Panel, table: Table | None = None) -> FasteningPlan:
    """How a piece is fastened and lifted, by the shipped table or another. Raises NoRule where that doesn't say."""
    table = table or built_in()
    asked = schedule(panel.case, table)
    weight = weigh(panel, table)
    return FasteningPlan(
        schedule=asked,
        spots=spots(panel, asked),
        marks=framing_marks(panel),
        framing_called=panel.called,
        off_framing=off_framing(panel, asked),
        weight=weight,
        carrying=carrying(weight),
        hanging=hanging(panel, weight),
    )


def handling(plan: CutPlan, table: Table | None = None) -> tuple[Handling, Handling]:
    """Who carries the sheet of a cut plan, and who hangs its board."""
    table = table or built_in()
    panel = panel_of(plan, Length(0), table.choice)
    weight = weigh(panel, table)
    return carrying(weight), hanging(panel, weight)


def fasten_plan(plan: CutPlan, left: Length, table: Table | None = None) -> FasteningPlan:
    """How the board of a cut plan is fastened; `left` is how far it stands off its left neighbor, from which its studs
    were called. Raises NoRule where the table doesn't say.
    """
    table = table or built_in()
    return fasten(panel_of(plan, left, table.choice), table)
