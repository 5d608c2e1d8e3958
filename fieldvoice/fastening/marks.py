"""Where the framing is marked on a board, at both edges that it runs between, and which joints have none behind."""

from __future__ import annotations

from fractions import Fraction

from fieldvoice.fastening.columns import upright_sides
from fieldvoice.fastening.panels import Panel, turned
from fieldvoice.fastening.sections import section
from fieldvoice.records.fastening import FramingMark, Schedule
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Edge

_FLIPPED = {Edge.LEFT: Edge.TOP, Edge.RIGHT: Edge.BOTTOM}


def framing_marks(panel: Panel) -> tuple[FramingMark, ...]:
    """A mark at each end of every member behind the piece, measured from the left edge (the top one where it runs
    across) at that end, to the nearest mark of a tape.
    """
    ends = (Edge.LEFT, Edge.RIGHT) if panel.across else (Edge.TOP, Edge.BOTTOM)
    upright = turned(panel) if panel.across else panel
    xs = [x for x, _ in upright.outline]
    inside = sorted(center for center in upright.members if min(xs) < center < max(xs))
    return tuple(FramingMark(ends, _ends(upright, center)) for center in inside)


def _ends(panel: Panel, center: Fraction) -> tuple[Length | None, Length | None]:
    pieces = section(panel.outline, center, right=True)
    heights = (pieces[0][0], pieces[-1][1])
    return _mark(panel, center, heights[0], below=True), _mark(panel, center, heights[1], below=False)


def _mark(panel: Panel, center: Fraction, y: Fraction, *, below: bool) -> Length | None:
    if any(hole.left <= center <= hole.right and hole.top <= y <= hole.bottom for hole in panel.holes):
        return None
    level = section(tuple((py, px) for px, py in panel.outline), y, right=below)
    left = min((start for start, _ in level), default=Fraction(0))
    return Length(center - left).rounded(panel.step)


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
