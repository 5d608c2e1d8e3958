"""What is open in a layout as columns and rows of a program: how each surface is divided, which piece lies where."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import gcd

from fieldvoice.layout.rows import Arc, Arrangement, Span
from fieldvoice.stock.columns import SCALE, Demand
from fieldvoice.stock.needs import PieceSize
from fieldvoice.stock.program import Program


@dataclass(frozen=True, slots=True)
class Chosen:
    """A surface as decided: its arrangement, and for each row and span the pieces from start to end."""

    arrangement: Arrangement
    pieces: tuple[tuple[tuple[Arc, ...], ...], ...]

    def needs(self) -> Counter[PieceSize]:
        """What is to be cut for it."""
        return Counter(arc.need for row in self.pieces for span in row for arc in span if arc.need is not None)


@dataclass(slots=True)
class _OpenArrangement:
    """An arrangement in the program: its switch (None where it is the only one) and the columns of its open spans."""

    arrangement: Arrangement
    switch: int | None
    arcs: dict[tuple[int, int, int], int] = field(default_factory=dict)
    """Column of a piece by its row, span and number."""
    clashes: list[tuple[int, tuple[tuple[int, int], ...]]] = field(default_factory=list)
    """The program's rows that keep joints apart, each with its joints."""


@dataclass(frozen=True, slots=True)
class Aim:
    """What is made least once the sheets are settled, which then cost no more than `budget`: first butt joint, then
    pieces. A `unit` of joint costs `weight`, more than all pieces together; a piece costs one.
    """

    budget: int
    unit: int
    weight: int

    @classmethod
    def of(cls, options: Sequence[Sequence[Arrangement]], budget: int) -> Aim:
        """For surfaces with all that is open in them; where less is open it stays the same."""
        offered = [one for arrangements in options for one in arrangements]
        joints = [length for one in offered for row in one.rows for length in row.butts.values()]
        unit = gcd(*joints, *(one.cut_joints for one in offered)) or 1
        return cls(budget, unit, 1 + sum(max(map(_most_pieces, arrangements)) for arrangements in options))

    def cost(self, joint: int, pieces: int) -> int:
        """What so much joint and so many pieces cost."""
        return self.weight * (joint // self.unit) + pieces

    def joint(self, cost: int) -> int:
        """How many steps of joint there are, or are at least, at a cost."""
        return cost // self.weight * self.unit

    def pieces(self, cost: int) -> int:
        """How many pieces there are at a cost."""
        return cost % self.weight


@dataclass(slots=True)
class Decisions:
    """The open decisions of several surfaces, as a program to which fills are added."""

    options: Sequence[Sequence[Arrangement]]
    aim: Aim | None = None
    program: Program = field(default_factory=Program)
    fixed: Counter[PieceSize] = field(default_factory=Counter)
    takes: dict[PieceSize, Counter[int]] = field(default_factory=dict)
    joints: dict[int, int] = field(default_factory=dict)
    """What a column adds to the length of butt joints, in steps."""
    pieces: dict[int, int] = field(default_factory=dict)
    """How many pieces a column adds."""
    surfaces: list[list[_OpenArrangement]] = field(default_factory=list)
    given: int = 0
    """What the aim has to pay in any case."""
    _costs: list[int] = field(default_factory=list)
    """What each column costs by the aim, in millionths."""

    def __post_init__(self) -> None:
        for arrangements in self.options:
            single = len(arrangements) == 1
            opened = [_OpenArrangement(one, None if single else self.program.column(0.0, 1.0)) for one in arrangements]
            if not single:
                self.program.row({one.switch: 1.0 for one in opened if one.switch is not None}, 1.0, 1.0)
            for one in opened:
                self._open(one)
            self.surfaces.append(opened)
        for column in range(len(self.program.costs)):
            cost = self.aim.cost(self.joints.get(column, 0), self.pieces.get(column, 0)) if self.aim else 0
            self.program.costs[column] = float(cost)
            self._costs.append(cost * SCALE)

    def _open(self, one: _OpenArrangement) -> None:
        if one.switch is not None:
            self.joints[one.switch] = one.arrangement.cut_joints
        elif self.aim is not None:
            self.given += self.aim.cost(one.arrangement.cut_joints, 0)
        meeting: dict[tuple[int, int], list[int]] = {}
        for row_number, row in enumerate(one.arrangement.rows):
            for span_number, span in enumerate(row.spans):
                if len(span.arcs) == 1:
                    self._take(one, span.arcs[0])
                else:
                    self._flow(one, (row_number, span_number), span, row.butts, meeting)
        for clash in one.arrangement.clashes:
            columns = Counter(column for joint in clash for column in meeting.get(joint, ()))
            if columns:
                limit = {column: float(count) for column, count in columns.items()}
                if one.switch is not None:
                    limit[one.switch] = -1.0
                number = self.program.row(limit, upper=1.0 if one.switch is None else 0.0)
                one.clashes.append((number, clash))

    def _take(self, one: _OpenArrangement, arc: Arc) -> None:
        """A span that one piece fills."""
        if arc.need is None:
            return
        if one.switch is None:
            self.fixed[arc.need] += 1
            self.given += self.aim is not None
        else:
            self.takes.setdefault(arc.need, Counter())[one.switch] += 1
            self.pieces[one.switch] = self.pieces.get(one.switch, 0) + 1

    def _flow(
        self,
        one: _OpenArrangement,
        where: tuple[int, int],
        span: Span,
        butts: Mapping[int, int],
        meeting: dict[tuple[int, int], list[int]],
    ) -> None:
        """One way through the span: what comes to a joint leaves it."""
        into: dict[int, dict[int, float]] = {}
        for number, arc in enumerate(span.arcs):
            column = self.program.column(0.0, 1.0)
            one.arcs[*where, number] = column
            into.setdefault(arc.end, {})[column] = 1.0
            into.setdefault(arc.start, {})[column] = -1.0
            if arc.end != span.end:
                meeting.setdefault((where[0], arc.end), []).append(column)
                self.joints[column] = butts[arc.end]
            if arc.need is not None:
                self.pieces[column] = 1
                self.takes.setdefault(arc.need, Counter())[column] += 1
        for place, columns in into.items():
            if place not in (span.start, span.end):
                self.program.row(columns, 0.0, 0.0)
        leaving = {column: 1.0 for column, sign in into[span.start].items() if sign < 0}
        if one.switch is None:
            self.program.row(leaving, 1.0, 1.0)
        else:
            self.program.row({**leaving, one.switch: -1.0}, 0.0, 0.0)

    def demand(self) -> Demand:
        """What is to be cut, whichever way it is decided."""
        most: Counter[PieceSize] = Counter()
        for arrangements in self.options:
            most.update(_most(arrangements))
        budget = None if self.aim is None else self.aim.budget
        return Demand(self.program, self.fixed, self.takes, dict(most), self.least, budget, self.given)

    def least(self, values: Mapping[PieceSize, int], prices: Mapping[int, int]) -> int:
        """The least that any choice is worth: a joint pays the prices of the rows that keep it apart from others, and
        each of these rows is worth its price once.
        """
        return sum(min(_worth(one, values, prices, self._costs) for one in opened) for opened in self.surfaces)

    def chosen(self, values: Sequence[float]) -> tuple[Chosen, ...]:
        """The decisions that a solution of the program holds."""
        found = []
        for opened in self.surfaces:
            one = next(one for one in opened if one.switch is None or values[one.switch] > 0.5)
            rows = []
            for row_number, row in enumerate(one.arrangement.rows):
                rows.append(
                    tuple(
                        span.arcs if len(span.arcs) == 1 else _walk(one, (row_number, number), span, values)
                        for number, span in enumerate(row.spans)
                    )
                )
            found.append(Chosen(one.arrangement, tuple(rows)))
        return tuple(found)

    def values_of(self, chosen: Sequence[Chosen]) -> dict[int, float]:
        """The columns that stand at one for these decisions."""
        values: dict[int, float] = {}
        for opened, decided in zip(self.surfaces, chosen, strict=True):
            one = next(one for one in opened if one.arrangement is decided.arrangement)
            if one.switch is not None:
                values[one.switch] = 1.0
            for (row, span, number), column in one.arcs.items():
                if one.arrangement.rows[row].spans[span].arcs[number] in decided.pieces[row][span]:
                    values[column] = 1.0
        return values


def _walk(one: _OpenArrangement, where: tuple[int, int], span: Span, values: Sequence[float]) -> tuple[Arc, ...]:
    taken = {arc.start: arc for number, arc in enumerate(span.arcs) if values[one.arcs[*where, number]] > 0.5}
    path, at = [], span.start
    while at != span.end:
        path.append(taken[at])
        at = taken[at].end
    return tuple(path)


def _most(arrangements: Sequence[Arrangement]) -> Counter[PieceSize]:
    """The most of each need that one of the arrangements can ask for: a span takes one so often as it goes into it."""
    most: Counter[PieceSize] = Counter()
    for one in arrangements:
        here: Counter[PieceSize] = Counter()
        for row in one.rows:
            for span in row.spans:
                for need in {arc.need for arc in span.arcs if arc.need is not None}:
                    here[need] += 1 if len(span.arcs) == 1 else max(1, (span.end - span.start) // need.length)
        most |= here
    return most


def _most_pieces(one: Arrangement) -> int:
    """The most pieces that its spans can hold."""
    found = 0
    for span in (span for row in one.rows for span in row.spans):
        most = {span.start: 0}
        for arc in span.arcs:
            if arc.start in most:
                most[arc.end] = max(most.get(arc.end, 0), most[arc.start] + 1)
        found += most[span.end]
    return found


def _worth(
    one: _OpenArrangement, values: Mapping[PieceSize, int], prices: Mapping[int, int], costs: Sequence[int]
) -> int:
    """The cheapest way through every span, by itself."""
    paid: Counter[tuple[int, int]] = Counter()
    for row, clash in one.clashes:
        for joint in clash:
            paid[joint] += prices[row]
    worth = costs[one.switch] if one.switch is not None else 0
    for row, spans in enumerate(one.arrangement.rows):
        for number, span in enumerate(spans.spans):
            own = [costs[one.arcs[row, number, arc]] for arc in range(len(span.arcs))] if len(span.arcs) > 1 else [0]
            worth += _cheapest(span, values, row, paid, own)
    return worth - sum(prices[row] for row, _ in one.clashes)


def _cheapest(
    span: Span, values: Mapping[PieceSize, int], number: int, paid: Mapping[tuple[int, int], int], own: Sequence[int]
) -> int:
    best = {span.start: 0}
    for arc, cost in zip(span.arcs, own, strict=True):
        if arc.start in best:
            worth = best[arc.start] + cost + (values.get(arc.need, 0) if arc.need is not None else 0)
            worth += paid[number, arc.end] if arc.end != span.end else 0
            if arc.end not in best or worth < best[arc.end]:
                best[arc.end] = worth
    return best[span.end]
