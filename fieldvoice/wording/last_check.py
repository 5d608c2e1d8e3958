"""What rests on one hearing, once more and short, in another form than the first time: by kinds once their speaker goes
on to the next one, and all together as the last read-back.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from fieldvoice.records.facts import Of
from fieldvoice.records.ledger import ACROSS, AS_HIGH, AS_NEAR, DOWN, ENOUGH, Call, Value
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Box, Coordinate, Diagonal, Dimension, Opening, Point, Reading, Slot
from fieldvoice.wording.forms import MOST_SECONDS, InWords, seconds
from fieldvoice.wording.values import figures, label, named, part_words, plain, spoken_value, way_from

_POINT = {Point.CENTER: "", Point.NEAR: "near side ", Point.FAR: "far side "}


@dataclass(frozen=True, slots=True)
class _Item:
    """A call with what stands behind it; `longer` says a box from both sides, `half` its distances one way alone."""

    call: Call
    about: tuple[Value, ...]
    longer: bool = False
    half: str = ""


def last_check(half: str, values: Sequence[Value], ear: InWords) -> tuple[str, str]:
    """All of it as one question. For the eye in figures, a box from both sides; for the ear what wasn't said often
    enough yet, from both sides too where that fits into the time that an answer may take; of a thing that takes longer
    by itself the half that is asked about.
    """
    items = [_Item(call, about, half=half) for call, about in _with_what_follows(values)]
    chosen = {place: item for place, item in enumerate(items) if item.call.again < ENOUGH}
    chosen = chosen or dict(enumerate(items[:1]))
    for place, item in sorted(chosen.items()):
        longer = {**chosen, place: replace(item, longer=True)}
        if seconds(_asked(items, longer, ear)) <= MOST_SECONDS:
            chosen = longer
    return f"Last check: {_shown(values, ear)}. All right?", _asked(items, chosen, ear)


def _asked(items: Sequence[_Item], chosen: Mapping[int, _Item], ear: InWords) -> str:
    words = ", ".join(_parts([chosen[place] for place in sorted(chosen)], ear))
    if len(chosen) == len(items):
        return f"Check: {words}?"
    more = f"Check screen and {words}?"
    return more if seconds(more) <= MOST_SECONDS or any(one.call.again < ENOUGH for one in items) else "Check screen?"


def together(calls: Sequence[Value], ear: InWords) -> tuple[str, str]:
    """What was called before, behind what is read back now."""
    items = [_Item(call, about) for call, about in _with_what_follows(calls)]
    return f"So far: {_shown(calls, ear)}.", f"{', '.join(_parts(items, ear))}."


def _shown(values: Sequence[Value], ear: InWords) -> str:
    form = ear.eye
    texts: list[str] = []
    before: Dimension | None = None
    for call, about in _with_what_follows(values):
        fact, other = call.fact, _other_side(about)
        if isinstance(fact, Reading):
            place = form.at(fact.at) if isinstance(fact.at, Length) else fact.at
            kind = "" if before is fact.dimension else f"{fact.dimension} "
            texts.append(f"{kind}{place} {form.length(fact.value)}")
            before = fact.dimension
        elif isinstance(fact, Box):
            places = (fact.x, fact.y) if other is None else (fact.x, other, fact.y)
            shown = ", ".join(f"{form.length(each.value)} from {each.start}" for each in places)
            texts.append(f"{fact.name} {_POINT[fact.x.point]}{shown}")
        elif fact is not None:
            texts.append(f"{label(call.key, form)} {figures(fact, form)}")
    return "; ".join(texts)


def _parts(items: Sequence[_Item], ear: InWords) -> Iterator[str]:
    """In the order of the items: readings of a kind together, and each other thing by itself."""
    for kind, group in groupby(items, lambda item: item.call.key.of):
        found = list(group)
        if isinstance(found[0].call.fact, Reading):
            yield _readings(found, kind, ear)
            continue
        for item in found:
            yield _other(item, ear)


def _with_what_follows(values: Sequence[Value]) -> Iterator[tuple[Call, tuple[Value, ...]]]:
    """The calls, each with what stands behind it."""
    starts = [index for index, value in enumerate(values) if isinstance(value, Call)]
    for start, end in zip(starts, (*starts[1:], len(values)), strict=True):
        call = values[start]
        if isinstance(call, Call) and call.fact is not None:
            yield call, tuple(values[start + 1 : end])


def _other_side(about: Sequence[Value]) -> Coordinate | None:
    """Where a box is from the side that it wasn't measured from."""
    return next((each for each in about if isinstance(each, Coordinate)), None)


_SLOTS = {Of.WIDTH: (Slot.TOP, Slot.MIDDLE, Slot.BOTTOM), Of.HEIGHT: (Slot.LEFT, Slot.RIGHT)}


def _readings(items: Sequence[_Item], of: Of, ear: InWords) -> str:
    """Readings of one kind, by their order where all its places are there; by their fractions where none of the kind
    can be an inch off.
    """
    readings = [item.call.fact for item in items if isinstance(item.call.fact, Reading)]
    values = [reading.value for reading in readings]
    whole = tuple(reading.at for reading in readings) == _SLOTS[of]
    if len(set(values)) == 1 and whole:
        return f"{'all' if len(readings) > 2 else 'both'} {of}s {plain(values[0], ear)}"
    said = []
    for item, reading in zip(items, readings, strict=True):
        part = reading.value.inches % 1
        near = AS_NEAR in item.about and 1 < part.denominator <= 32
        value = part_words(part) if near else plain(reading.value, ear)
        place = f"at {plain(reading.at, ear)}," if isinstance(reading.at, Length) else reading.at
        said.append(value if whole else f"{place} {value}")
    near = any(AS_NEAR in item.about for item in items)
    return f"{of}s {(' ' if near else ', ').join(said)}" if whole else (" " if near else ", ").join(said)


def _other(item: _Item, ear: InWords) -> str:
    call, other = item.call, _other_side(item.about) if item.longer else None
    assert call.fact is not None
    if isinstance(call.fact, Diagonal):
        return f"{label(call.key, ear)} {plain(call.fact.value, ear)}"
    if isinstance(call.fact, Opening):
        ways = {ACROSS: (call.fact.xs,), DOWN: (call.fact.ys,)}.get(item.half, (call.fact.xs, call.fact.ys))
        size = _size(call.fact, ear) if item.half != DOWN else ()
        return " ".join(
            (named(call.fact.name or str(call.fact.kind), ear), *size, *(_between(way, ear) for way in ways))
        )
    if not isinstance(call.fact, Box):
        return spoken_value(call.fact, ear)
    box = call.fact
    about = () if other is None else (f"{_near(other.value, ear)} {way_from(other.start)}",)
    part = box.y.value.inches % 1
    near = AS_HIGH in item.about and 1 < part.denominator <= 32 and not item.longer
    down = f"{part_words(part)} {way_from(box.y.start)}" if near else _from(box.y, ear)
    told = (_from(box.x, ear), *about, down)
    if item.half:
        place = box.x if item.half == ACROSS else box.y
        return f"{named(box.name, ear)} {_POINT[place.point]}{_from(place, ear)}"
    if call.checked and not item.longer:
        told = told[:1]  # said whole in another part: what its height doesn't show comes once more
    return f"{named(box.name, ear)} {_POINT[box.x.point]}{' '.join(told)}"


def _near(length: Length, ear: InWords) -> str:
    """The other side tells left from right; its fraction was on no tape, and is left out with a word."""
    step = Length(1) if ear.unit is Unit.INCH else Length.of(10, Unit.MM)
    rounded = length.rounded(step)
    return plain(length, ear) if rounded == length else f"about {plain(rounded, ear)}"


def _from(place: Coordinate, ear: InWords) -> str:
    return f"{plain(place.value, ear)} {way_from(place.start)}"


def _size(opening: Opening, ear: InWords) -> tuple[str, ...]:
    """Where it was called by its size, and not by its sides."""
    if opening.diameter is not None:
        return (f"{plain(opening.diameter, ear)} across",)
    sides = [plain(each, ear) for each in (opening.width, opening.height) if each is not None]
    return (" by ".join(sides),) if sides else ()


def _between(way: tuple[Coordinate, ...], ear: InWords) -> str:
    """The distances of an opening one way: of one from the same edge to both its sides, from one to the other."""
    if len(way) == 2 and way[0].start is way[1].start:
        return f"{plain(way[0].value, ear)} to {_from(way[1], ear)}"
    return " ".join(f"{_POINT[each.point] if len(way) == 1 else ''}{_from(each, ear)}" for each in way)
