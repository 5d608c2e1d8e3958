"""The plan checked again: from its rounded marks and its outline, against the readings, by another route than it was
made by. The solver works with lines under bounds; this takes cross-sections of the finished polygon, hangs it on its
factory edges in the measured room, and looks at what stays open.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from fieldvoice.cutting.axis import ACROSS, DOWN, Axis, Measured, leaning, measured, reading_at
from fieldvoice.cutting.lines import Polyline, value_at
from fieldvoice.cutting.outline import Polygon, section
from fieldvoice.cutting.sheets import across_and_down
from fieldvoice.cutting.tables import BOX_GAP_LIMIT, BOXES, OPENING_GAPS, neighbour, stand_off, step_of
from fieldvoice.records.board import Board, Box, Opening
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import BoxKind, Coordinate, Edge, Neighbour, Point
from fieldvoice.records.plan import CutLine, CutPlan, Gap, OpeningPlan, Proof

ZERO = Fraction(0)
_OPPOSITE = {Edge.LEFT: Edge.RIGHT, Edge.RIGHT: Edge.LEFT, Edge.TOP: Edge.BOTTOM, Edge.BOTTOM: Edge.TOP}


def prove(plan: CutPlan) -> Proof:
    """The gaps that stay open, and everything that is wrong with the plan."""
    outline = tuple((point.x.inches, point.y.inches) for point in plan.outline)
    room = _Room(plan, outline)
    gaps = tuple(room.gaps(ACROSS)) + tuple(room.gaps(DOWN))
    failures = (
        *room.too_big_for_sheet(),
        *room.marks_off_outline(),
        *room.overlaps(gaps),
        *(failure for opening in plan.openings for failure in room.opening_failures(opening)),
    )
    return Proof(gaps, failures)


@dataclass(frozen=True, slots=True)
class _Room:
    plan: CutPlan
    outline: Polygon

    @property
    def board(self) -> Board:
        return self.plan.board

    def size(self, axis: Axis) -> Fraction:
        """The outline's extent in a direction."""
        values = [point[_across(axis)] for point in self.outline]
        return max(values) - min(values)

    def along(self, axis: Axis) -> Fraction:
        """How long the edges of a direction are: for heights the most that the width readings allow."""
        other = DOWN if axis is ACROSS else ACROSS
        if axis is ACROSS:
            return self.size(DOWN)
        most = max((one.bound for one in measured(self.board, other, ZERO + 1000)), default=None)
        return self.size(ACROSS) if most is None else most

    def readings(self, axis: Axis) -> tuple[Measured, ...]:
        return measured(self.board, axis, self.along(axis))

    def cuts(self, axis: Axis) -> tuple[CutLine, ...]:
        return tuple(cut for cut in self.plan.cuts if cut.edge in {axis.near, axis.far})

    def line(self, axis: Axis, cut: CutLine) -> Polyline:
        """A cut's marks as a line along its edge."""
        places = {one.at: one.t for one in self.readings(axis)}
        ends = {axis.start.value: ZERO, axis.end.value: self.along(axis)}
        found = ((ends.get(str(mark.at), places.get(mark.at)), mark.distance.inches) for mark in cut.marks)
        return tuple((t, v) for t, v in found if t is not None)

    def trimmed(self, axis: Axis) -> bool:
        """Whether a slanted cut across this direction's ends takes corners off its edges."""
        other = DOWN if axis is ACROSS else ACROSS
        return any(len({mark.distance for mark in cut.marks}) > 1 for cut in self.cuts(other))

    def span(self, axis: Axis, t: Fraction) -> tuple[Fraction, Fraction] | None:
        return section(self.outline, t, 1 - _across(axis))

    def too_big_for_sheet(self) -> Iterator[str]:
        wide, high = across_and_down(self.plan.sheet, self.plan.lies)
        for axis, most in ((ACROSS, wide), (DOWN, high)):
            if self.size(axis) > most:
                yield f"the piece's {axis.dimension.value} is more than the sheet's"

    def marks_off_outline(self) -> Iterator[str]:
        """Every mark has to lie on the finished board's edge."""
        for axis in (ACROSS, DOWN):
            cuts = self.cuts(axis)
            for cut in cuts[-1:]:
                yield from self._marks_of(axis, cut)
            if len(cuts) == 2:
                yield from self._first_of_two(axis, cuts[0])
        for cut in self.plan.cuts:
            if cut.origin is not _OPPOSITE[cut.edge] or len(cut.marks) < 2:
                yield f"the {cut.edge.value} cut's marks don't count from the edge across"

    def _marks_of(self, axis: Axis, cut: CutLine) -> Iterator[str]:
        for t, distance in self.line(axis, cut):
            span = self.span(axis, t)
            wide = None if span is None else span[1] - span[0]
            if wide == distance or (self.trimmed(axis) and (wide is None or wide < distance)):
                continue
            yield f"the {cut.edge.value} cut's mark {Length(distance)} is not on the board's edge"

    def _first_of_two(self, axis: Axis, cut: CutLine) -> Iterator[str]:
        ends = [(self.span(axis, t), distance) for t, distance in self.line(axis, cut)]
        places = {span[0] + distance for span, distance in ends if span is not None}
        if len(places) != 1 and not self.trimmed(axis):
            yield f"the {cut.edge.value} cut's marks are not on the board's edge"

    def width_at(self, axis: Axis, t: Fraction) -> Fraction | None:
        """The board's measure at `t`, read on with the marks where a slanted end has taken the corner."""
        span = self.span(axis, t)
        wide = None if span is None else span[1] - span[0]
        cuts = self.cuts(axis)
        if cuts and self.trimmed(axis):
            return value_at(self.line(axis, cuts[-1]), t)
        return wide

    def gaps(self, axis: Axis) -> Iterator[Gap]:
        """What stays open at each reading, at the cut edge, or at the far one where none is cut."""
        cuts = self.cuts(axis)
        lean = leaning(self.board, axis, axis.near, self.along(axis)) if len(cuts) == 2 else None
        edge = cuts[-1].edge if cuts else axis.far
        for one in self.readings(axis):
            if lean is not None:
                near = self._near_gap(axis, lean, one.t)
                yield Gap(axis.near, one.at, Length(near))
                rest = self._rest(axis, one.t, one.reading) - near
            else:
                rest = self.open_at(axis, edge, one.t)
            yield Gap(edge, one.at, Length(rest))

    def _near_gap(self, axis: Axis, lean: Polyline, t: Fraction) -> Fraction:
        span = self.span(axis, t)
        edge = ZERO if span is None else span[0]
        return stand_off(self.board, axis.near).inches + edge - value_at(lean, t)

    def _rest(self, axis: Axis, t: Fraction, reading: Fraction) -> Fraction:
        return reading - (self.width_at(axis, t) or ZERO)

    def open_at(self, axis: Axis, edge: Edge, t: Fraction) -> Fraction:
        """What stays open at `edge` at `t`, with the board at its clearance on the other side."""
        reading = reading_at(self.readings(axis), t)
        return self._rest(axis, t, reading) - stand_off(self.board, _OPPOSITE[edge]).inches

    def overlaps(self, gaps: tuple[Gap, ...]) -> Iterator[str]:
        for gap in gaps:
            if gap.gap < stand_off(self.board, gap.edge):
                yield f"the board would be too tight at the {gap.edge.value}, at {gap.at}"

    def opening_failures(self, opening: OpeningPlan) -> Iterator[str]:
        things: tuple[Box | Opening, ...] = (*self.board.boxes, *self.board.openings)
        what = next((one for one in things if one.name == opening.name), None)
        if what is None:
            yield f"{opening.name} is on the plan and not on the board"
            return
        middle = _middle_of(opening)
        for axis, marks, called in (
            (ACROSS, (opening.left, opening.right, opening.center.x), _coordinates(what, ACROSS)),
            (DOWN, (opening.top, opening.bottom, opening.center.y), _coordinates(what, DOWN)),
        ):
            t = middle[1] if axis is ACROSS else middle[0]
            yield from self._opening_axis(opening, what, axis, t, (marks[0].inches, marks[1].inches), called)
            yield from self._center(opening, axis, t, marks)
            yield from self._unsaid_bow(opening, axis, t, called)
        yield from self._alternates(opening, middle)

    def _opening_axis(
        self,
        opening: OpeningPlan,
        what: Box | Opening,
        axis: Axis,
        t: Fraction,
        sides: tuple[Fraction, Fraction],
        called: tuple[Coordinate, ...],
    ) -> Iterator[str]:
        """The hole, hung with the board, against the thing in the room: both as distances from the near neighbour."""
        wide = self.width_at(axis, t)
        if wide is None or sides[1] <= sides[0]:
            yield f"{opening.name} has no place on the board"
            return
        low, high = self._thing(what, axis, t, called, wide)
        gaps = [low - sides[0], sides[1] - high]
        inside = [sides[0] > 0, sides[1] < wide]
        for gap, counts in zip(gaps, inside, strict=True):
            if counts and not self._gap_is_right(what, gap):
                yield f"the gap at {opening.name} would be {Length(gap)}, across the {axis.dimension.value}"
        if isinstance(what, Box) and all(inside):
            yield from _plate(opening, what.kind, axis, (low + high) / 2, sides)

    def _thing(
        self, what: Box | Opening, axis: Axis, t: Fraction, called: tuple[Coordinate, ...], wide: Fraction
    ) -> tuple[Fraction, Fraction]:
        """The thing's sides as distances from the board's near edge at `t`. The neighbour that it was called from is
        taken to stand off by its clearance; what it bows beyond that is told in a warning.
        """
        ends = sorted(self._from_near(axis, t, one, wide) for one in called)
        if len(ends) == 2:
            return ends[0], ends[1]
        half = _size(what, axis) / 2
        sign = -1 if called[0].start is axis.far else 1
        shift = {Point.CENTER: ZERO, Point.NEAR: half, Point.FAR: -half}[called[0].point] * sign
        return ends[0] + shift - half, ends[0] + shift + half

    def _from_near(self, axis: Axis, t: Fraction, called: Coordinate, wide: Fraction) -> Fraction:
        if called.start is axis.near:
            return called.value.inches - stand_off(self.board, axis.near).inches
        if axis is ACROSS:
            return wide + stand_off(self.board, axis.far).inches - called.value.inches
        return self._height(t) - stand_off(self.board, axis.near).inches - called.value.inches

    def _height(self, x: Fraction) -> Fraction:
        known = self.board.floor_to_ceiling
        if known is not None and neighbour(self.board, Edge.TOP) is Neighbour.CEILING:
            return known.inches
        return reading_at(self.readings(DOWN), x)

    def _gap_is_right(self, what: Box | Opening, gap: Fraction) -> bool:
        if isinstance(what, Box):
            return 0 < gap <= BOX_GAP_LIMIT.inches
        return abs(gap - OPENING_GAPS[what.kind].value.inches) <= step_of(self.board).inches

    def _unsaid_bow(
        self, opening: OpeningPlan, axis: Axis, t: Fraction, called: tuple[Coordinate, ...]
    ) -> Iterator[str]:
        """Where the neighbour bows away from the cut farther than a box's gap forgives, that must have been said."""
        cut = {one.edge for one in self.cuts(axis)}
        for one in called:
            if one.start not in cut or len(cut) == 2 or one.start is Edge.BOTTOM:
                continue
            bow = self.open_at(axis, one.start, t) - stand_off(self.board, one.start).inches
            said = any("bows" in text and opening.name in text.lower() for text in self.plan.warnings)
            if bow > BOX_GAP_LIMIT.inches and not said:
                yield f"{opening.name} would be {Length(bow)} off, since the {one.start.value} bows: nobody was told"

    def _center(self, opening: OpeningPlan, axis: Axis, t: Fraction, marks: tuple[Length, ...]) -> Iterator[str]:
        low, high, center = (mark.inches for mark in marks)
        wide = self.width_at(axis, t)
        whole = wide is not None and low > 0 and high < wide
        if whole and abs((low + high) / 2 - center) > step_of(self.board).inches:
            yield f"the centre of {opening.name} is not between its sides"

    def _alternates(self, opening: OpeningPlan, middle: tuple[Fraction, Fraction]) -> Iterator[str]:
        for way in opening.alternates:
            axis, t, center = (
                (DOWN, middle[0], opening.center.y) if " up from " in way else (ACROSS, middle[1], opening.center.x)
            )
            number = way.split(" up from ")[0].split(" from ")[0]
            rest = (self.width_at(axis, t) or ZERO) - center.inches
            if abs(rest - Length.of(Length(number).inches, self.board.unit).inches) > step_of(self.board).inches:
                yield f"the way to {opening.name} from the other edge leads elsewhere: {way}"


def _across(axis: Axis) -> int:
    return 0 if axis is ACROSS else 1


def _middle_of(opening: OpeningPlan) -> tuple[Fraction, Fraction]:
    xs, ys = [p.x.inches for p in opening.corners], [p.y.inches for p in opening.corners]
    left, top = min(xs, default=opening.left.inches), min(ys, default=opening.top.inches)
    return (left - opening.left.inches + opening.center.x.inches, top - opening.top.inches + opening.center.y.inches)


def _coordinates(what: Box | Opening, axis: Axis) -> tuple[Coordinate, ...]:
    if isinstance(what, Box):
        return (what.x,) if axis is ACROSS else (what.y,)
    return what.xs if axis is ACROSS else what.ys


def _size(what: Box | Opening, axis: Axis) -> Fraction:
    if isinstance(what, Box):
        size = BOXES[what.kind]
        return (size.width if axis is ACROSS else size.height).inches
    called = (what.width if axis is ACROSS else what.height) or what.diameter
    return ZERO if called is None else called.inches


def _plate(
    opening: OpeningPlan, kind: BoxKind, axis: Axis, center: Fraction, sides: tuple[Fraction, Fraction]
) -> Iterator[str]:
    plate = BOXES[kind].plate
    if plate is None:
        return
    half = plate[0 if axis is ACROSS else 1].inches / 2
    if sides[0] < center - half or sides[1] > center + half:
        yield f"the plate would not cover the hole of {opening.name}"
