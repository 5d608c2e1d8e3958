"""A reader of what steps say, and of nothing else: from the English back to something that a hand can do. What it can't
read, nobody can.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from fieldvoice.records.board import Lies, Sheet
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import BoxKind, Edge, Neighbor, OpeningKind, Slot
from fieldvoice.records.plan import Does, HoleMarks, Hook, Mark, Offset, StandOff, Step, Tool, Where

_KINDS = {one.value: one for one in (*BoxKind, *OpeningKind)}
_NUMBER = r"(\d+ \d+/\d+|\d+/\d+|\d+(?:\.\d+)?)"
_UNIT = r"(in|mm)"
_LENGTH = rf"{_NUMBER} {_UNIT}"
_HOOK = r"the ((?:left|right|top|bottom) (?:factory|cut) edge)"
_EDGE = r"(left|right|top|bottom)"
_ENDS = {Edge.LEFT: (Slot.TOP, Slot.BOTTOM), Edge.RIGHT: (Slot.TOP, Slot.BOTTOM)}


def read_all(texts: Iterable[str]) -> list[Step]:
    """What the sentences tell to do, in order. Raises AssertionError where one can't be understood."""
    found = []
    for text in texts:
        step = read(text)
        assert step is not None, f"nobody can read: {text}"
        found.append(step)
    return found


def read(text: str) -> Step | None:
    """One step's sentence."""
    for reader in (_lean, _mark, _cut, _mark_opening, _make, _wait, _hang, _other):
        step = reader(text)
        if step is not None:
            return step
    return None


def _length(number: str, unit: str) -> Length:
    return Length.of(number, Unit(unit))


def _lean(text: str) -> Step | None:
    source = r"(?:a sheet|the offcut “([^”]+)”,)"
    match = re.match(rf"Lean {source} {_LENGTH} x {_LENGTH}, .*, (standing|lying), face out\.(.*)$", text)
    if match is None:
        return None
    offcut, width, unit, long, other, lies, rest = match.groups()
    sheet = Sheet(_length(width, unit), _length(long, other))
    return Step(Does.LEAN, sheet=sheet, lies=Lies(lies), offcut=offcut, edges=_cut_before(rest) if offcut else ())


def _cut_before(rest: str) -> tuple[Edge, ...]:
    """The edges of an offcut that are cut already."""
    if "All four of its edges are" in rest:
        return tuple(Edge) if "are cut." in rest else ()
    match = re.search(r"factory edges? (?:is|are) (.*); (.*) (?:is|are) cut\.", rest)
    assert match is not None, rest
    named = [frozenset(Edge(edge) for edge in re.findall(_EDGE, part)) for part in match.groups()]
    assert named[0] | named[1] == frozenset(Edge)
    return tuple(edge for edge in Edge if edge in named[1])


def _mark(text: str) -> Step | None:
    match = re.match(rf"{_EDGE.replace('l', '[lL]', 1)} edge: from {_HOOK} mark (.*)\.$", text, re.IGNORECASE)
    if match is None:
        return None
    edge, hook, said = Edge(match[1].lower()), Hook(match[2]), match[3]
    start, end = _ENDS.get(edge, (Slot.LEFT, Slot.RIGHT))
    both = re.fullmatch(rf"{_LENGTH} at both ends", said)
    if both is not None:
        one = _length(*both.groups())
        marks = tuple(Mark(at, one, one, Length(0), Edge(at.value)) for at in (start, end))
        return Step(Does.MARK, edge, hook, marks)
    marks = tuple(_place(part) for part in said.split(", "))
    return Step(Does.MARK, edge, hook, marks)


def _place(part: str) -> Mark:
    at_end = re.fullmatch(rf"{_LENGTH} at the {_EDGE}", part)
    if at_end is not None:
        number, unit, end = at_end.groups()
        one = _length(number, unit)
        return Mark(Slot(end), one, one, Length(0), Edge(end))
    along = re.fullmatch(rf"{_LENGTH} at {_LENGTH} (?:up|down|over) from the {_EDGE} edge", part)
    assert along is not None, part
    number, unit, far, other, start = along.groups()
    one = _length(number, unit)
    return Mark(_length(far, other), one, one, _length(far, other), Edge(start))


def _cut(text: str) -> Step | None:
    match = re.match(rf"(?:Snap a line|Join the marks).*?the {_EDGE} edge", text)
    return Step(Does.CUT, Edge(match[1])) if match is not None else None


def _mark_opening(text: str) -> Step | None:
    match = re.match(r"Mark (.+?) \(([^)]*)\): (.*)\.$", text)
    if match is None:
        return None
    name, kind, said = match.groups()
    center, sides, radius = None, [], None
    for part in said.split("; "):
        middle = re.fullmatch(rf"center {_LENGTH} from {_HOOK}, {_LENGTH} from {_HOOK}", part)
        if middle is not None:
            a, unit, hook, b, other, level = middle.groups()
            center = (Offset(Hook(hook), _length(a, unit)), Offset(Hook(level), _length(b, other)))
            continue
        circle = re.fullmatch(rf"circle of radius {_LENGTH}", part)
        if circle is not None:
            radius = _length(*circle.groups())
            continue
        if part.startswith("out over"):
            continue
        sides += _sides(part, said)
    return Step(Does.MARK_OPENING, opening=name, kind=_KINDS[kind], hole=HoleMarks(center, tuple(sides), radius))


def _sides(part: str, said: str) -> list[tuple[Edge, Offset]]:
    """Two figures are the near and the far side from their edge; where one side runs out the other is meant."""
    match = re.fullmatch(rf"(sides|top and bottom) {_NUMBER}(?: and {_NUMBER})? {_UNIT} from {_HOOK}", part)
    assert match is not None, part
    name, one, other, unit, hook = match.groups()
    pair = (Edge.LEFT, Edge.RIGHT) if name == "sides" else (Edge.TOP, Edge.BOTTOM)
    kept = [edge for edge in pair if f"out over the {edge.value} edge" not in said]
    values = [_length(each, unit) for each in (one, other) if each is not None]
    return [(edge, Offset(Hook(hook), value)) for edge, value in zip(kept, values, strict=True)]


def _make(text: str) -> Step | None:
    ways = (
        (r"Cut (.+?) by hand before hanging", Tool.KNIFE, Where.STAND),
        (r"Cut (.+?) \([^)]*\) out now with a compass", Tool.CIRCLE_CUTTER, Where.STAND),
        (r"Saw (.+?) \([^)]*\) out now", Tool.SAW, Where.STAND),
        (r"Rout (.+?): bit in at the center", Tool.ROUTER, Where.WALL),
        (r"Cut (.+?) \([^)]*\) out along its framing", Tool.SAW, Where.WALL),
    )
    for way, tool, where in ways:
        match = re.match(way, text)
        if match is not None:
            return Step(Does.MAKE_OPENING, opening=match[1], tool=tool, where=where)
    return None


def _wait(text: str) -> Step | None:
    match = re.match(r"Don't mark or cut (.+?) yet", text)
    return Step(Does.WAIT, opening=match[1]) if match is not None else None


def _hang(text: str) -> Step | None:
    match = re.match(r"Hang the board(?:: (.*?))?\.", text)
    if match is None:
        return None
    found = []
    for part in (match[1] or "").split(" and "):
        tight = re.fullmatch(rf"the {_EDGE} edge tight to .*", part)
        if tight is not None:
            found.append(StandOff(Edge(tight[1]), Length(0), Neighbor.OPEN))
            continue
        off = re.fullmatch(rf"the {_EDGE} edge {_LENGTH} off .*", part)
        assert off is not None, part
        found.append(StandOff(Edge(off[1]), _length(off[2], off[3]), Neighbor.OPEN))
    return Step(Does.HANG, stand_offs=tuple(found))


def _other(text: str) -> Step | None:
    if text.startswith("Rasp the cut edges"):
        return Step(Does.DRESS)
    if text.startswith("Bevel the back"):
        return Step(Does.BEVEL)
    return Step(Does.FASTEN) if text == "Put the rest of the screws in." else None
