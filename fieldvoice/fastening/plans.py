"""One board's fastening, from its panel or its cut plan, and where the framing is marked on it."""

from __future__ import annotations

from fractions import Fraction
from math import isqrt

from fieldvoice.fastening.panels import Panel, Point, panel_of, section, sides, turned
from fieldvoice.fastening.rules import schedule
from fieldvoice.fastening.spots import spots, upright_sides
from fieldvoice.fastening.table import Table, built_in
from fieldvoice.fastening.weight import carrying, hanging, weigh
from fieldvoice.records.fastening import FasteningPlan, FramingMark, Handling, Schedule
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Edge
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


_FLIPPED = {Edge.LEFT: Edge.TOP, Edge.RIGHT: Edge.BOTTOM}


def framing_marks(panel: Panel) -> tuple[FramingMark, ...]:
    """A mark at each end of every member behind the piece, measured along that edge from its left corner (its top one
    where members run across), to the nearest mark of a tape.
    """
    ends = (Edge.LEFT, Edge.RIGHT) if panel.across else (Edge.TOP, Edge.BOTTOM)
    upright = turned(panel) if panel.across else panel
    xs = [x for x, _ in upright.outline]
    inside = sorted(center for center in upright.members if min(xs) < center < max(xs))
    return tuple(FramingMark(ends, _ends(upright, center)) for center in inside)


def _ends(panel: Panel, center: Fraction) -> tuple[Length | None, Length | None]:
    pieces = section(panel.outline, center, right=False)
    return _mark(panel, (center, pieces[0][0])), _mark(panel, (center, pieces[-1][1]))


def _mark(panel: Panel, at: Point) -> Length | None:
    """How far along its edge a point is from the left: where the edge slopes a tape lies along it."""
    if any(hole.left <= at[0] <= hole.right and hole.top <= at[1] <= hole.bottom for hole in panel.holes):
        return None
    run = [(a, b) for a, b in map(sorted, sides(panel.outline)) if a[0] < b[0]]
    start = next(a for a, b in run if a[0] < at[0] <= b[0] and _on(at, a, b))
    far = _distance(start, at)
    while before := next((a for a, b in run if b == start and abs(b[1] - a[1]) <= b[0] - a[0]), None):
        far += _distance(before, start)
        start = before
    return Length(far).rounded(panel.step)


def _on(at: Point, a: Point, b: Point) -> bool:
    return (at[1] - a[1]) * (b[0] - a[0]) == (b[1] - a[1]) * (at[0] - a[0])


def _distance(a: Point, b: Point) -> Fraction:
    """Exact where the line is level, else by less than a millionth of an inch too short."""
    across, down = b[0] - a[0], b[1] - a[1]
    if not down:
        return abs(across)
    return Fraction(isqrt(int((across * across + down * down) * 10**12)), 10**6)


def off_framing(panel: Panel, schedule: Schedule) -> tuple[Edge, ...]:
    """The joints whose fasteners would miss every member, where the members' places were called: a joint is on a member
    when both boards can be fastened to it at their least distance from the edge.
    """
    if not panel.called:
        return ()
    if panel.across:
        return tuple(_FLIPPED[edge] for edge in off_framing(turned(panel), schedule))
    reach = panel.member_width / 2 - schedule.edge_distance.value.inches
    off = {
        Edge.LEFT if side.inward == 1 else Edge.RIGHT
        for side in upright_sides(panel.outline)
        if not any(all(abs(x - center) <= reach for x in side.xs) for center in panel.members)
    }
    return tuple(edge for edge in (Edge.LEFT, Edge.RIGHT) if edge in off & panel.joints)
