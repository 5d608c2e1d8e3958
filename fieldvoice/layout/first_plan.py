"""A usable layout at once: row by row, the fewest joints that keep their distance from those of the rows before."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import islice

from fieldvoice.layout.choosing import Choice, Chosen
from fieldvoice.layout.rows import Arc, Arrangement, Row, Span

PATHS = 60
"""How many ways through a row are tried before it is given up."""

TRIES = 4000
"""How many rows are tried for one arrangement."""


def first_choice(arrangements: Sequence[Arrangement]) -> Chosen | None:
    """A layout of one surface that keeps every rule, None where none is to be had."""
    tried = [(_bought(found), number, found) for number, one in enumerate(arrangements) if (found := _lay(one))]
    if tried:
        return min(tried, key=lambda each: each[:2])[2]
    choice = Choice([arrangements])
    for column, joint in choice.joints.items():
        choice.program.costs[column] = 1.0 + joint
    answer = choice.program.whole(nodes=20000)
    return choice.chosen(answer.values)[0] if answer.values else None


def _bought(chosen: Chosen) -> int:
    """About how much sheet it takes: a course of which two come out of one sheet counts half."""
    widest = max((row.band.far - row.band.near for row in chosen.arrangement.rows), default=1)
    total = 0
    for need, count in chosen.needs().items():
        total += count * need.length * widest // max(1, min(2, widest // need.width))
    return total


def _lay(one: Arrangement) -> Chosen | None:
    apart: dict[tuple[int, int], list[frozenset[tuple[int, int]]]] = {}
    for clash in one.clashes:
        for joint in clash:
            apart.setdefault(joint, []).append(frozenset(clash))
    left = [TRIES]

    def lay(number: int, used: frozenset[tuple[int, int]]) -> list[tuple[tuple[Arc, ...], ...]] | None:
        if number == len(one.rows):
            return []
        for paths in islice(_through(one.rows[number]), PATHS):
            left[0] -= 1
            if left[0] < 0:
                return None
            joints = {(number, arc.start) for path in paths for arc in path[1:]}
            if any(used & clash - {joint} for joint in joints for clash in apart.get(joint, ())):
                continue
            rest = lay(number + 1, used | joints)
            if rest is not None:
                return [paths, *rest]
        return None

    pieces = lay(0, frozenset())
    return None if pieces is None else Chosen(one, tuple(pieces))


def _through(row: Row) -> Iterator[tuple[tuple[Arc, ...], ...]]:
    """Ways through all spans of a row, the shortest first in each."""
    open_spans = [list(islice(_paths(span), PATHS)) for span in row.spans]
    most = max((len(paths) for paths in open_spans), default=1)
    for turn in range(most):
        yield tuple(paths[min(turn, len(paths) - 1)] for paths in open_spans)


def _fewest(span: Span) -> dict[int, int]:
    """From each place: how few pieces reach the end."""
    fewest = {span.end: 0}
    for arc in sorted(span.arcs, key=lambda arc: -arc.start):
        if arc.end in fewest:
            fewest[arc.start] = min(fewest.get(arc.start, len(span.arcs)), fewest[arc.end] + 1)
    return fewest


def _paths(span: Span) -> Iterator[tuple[Arc, ...]]:
    """Ways through a span: fewest pieces first, long ones first among these."""
    fewest = _fewest(span)
    leaving: dict[int, list[Arc]] = {}
    for arc in sorted(span.arcs, key=lambda arc: -arc.end):
        leaving.setdefault(arc.start, []).append(arc)

    def walk(at: int, left: int) -> Iterator[tuple[Arc, ...]]:
        if at == span.end:
            if left == 0:
                yield ()
            return
        for arc in leaving.get(at, ()):
            if fewest.get(arc.end, left) < left:
                for rest in walk(arc.end, left - 1):
                    yield (arc, *rest)

    for pieces in range(fewest[span.start], fewest[span.start] + 3):
        yield from walk(span.start, pieces)
