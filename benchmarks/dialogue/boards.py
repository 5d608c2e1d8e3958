"""Boards at random, how they are called, and what is heard instead."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from fieldvoice.dialogue.rivals import twins_of
from fieldvoice.language.speaking import fraction_words, number_words
from fieldvoice.records.facts import Fact
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Box, BoxKind, Coordinate, Dimension, Edge, Point, Reading, Slot

WIDTHS = (Slot.TOP, Slot.MIDDLE, Slot.BOTTOM)
_PLACE_OTHER = {Slot.TOP: Slot.BOTTOM, Slot.BOTTOM: Slot.TOP, Slot.LEFT: Slot.RIGHT, Slot.RIGHT: Slot.LEFT}
_EDGE_OTHER = {Edge.LEFT: Edge.RIGHT, Edge.RIGHT: Edge.LEFT, Edge.TOP: Edge.BOTTOM, Edge.BOTTOM: Edge.TOP}
_FROM = {Edge.LEFT: "from left", Edge.RIGHT: "from right", Edge.TOP: "down", Edge.BOTTOM: "up"}


@dataclass(frozen=True, slots=True)
class Truth:
    """What is at the wall, in the order in which it is called."""

    facts: tuple[Fact, ...]


def board(rng: random.Random) -> Truth:
    """A board that a wall within the trade's tolerances asks for: three widths, two heights, up to three boxes."""
    width = Fraction(rng.randrange(20 * 16, 47 * 16), 16)
    lean = Fraction(rng.randrange(-12, 13), 16)
    bow = Fraction(rng.randrange(-3, 4), 16)
    values = (width, width + lean / 2 // Fraction(1, 16) * Fraction(1, 16) + bow, width + lean)
    high = Fraction(rng.randrange(94 * 16, 96 * 16), 16)
    ends = (high, high + Fraction(rng.randrange(-6, 7), 16))
    readings = [Reading(Length(value), Dimension.WIDTH, at) for at, value in zip(WIDTHS, values, strict=True)]
    readings += [
        Reading(Length(value), Dimension.HEIGHT, at) for at, value in zip((Slot.LEFT, Slot.RIGHT), ends, strict=True)
    ]
    return Truth((*readings, *_boxes(rng, min(values), high)))


def _boxes(rng: random.Random, width: Fraction, high: Fraction) -> Iterator[Box]:
    """Outlets at one height above the floor, or a switch: apart from each other and from the edges."""
    places = [Fraction(place) for place in range(5, int(width) - 4, 9)]
    rng.shuffle(places)
    for number, place in enumerate(places[: rng.choice((0, 0, 1, 1, 2, 3))], 1):
        x = place + Fraction(rng.randrange(0, 32), 16)
        side, across = (Edge.LEFT, x) if rng.random() < 0.7 else (Edge.RIGHT, width - x)
        start, down = (Edge.BOTTOM, Fraction(16)) if rng.random() < 0.5 else (Edge.TOP, high - 16)
        down += Fraction(rng.randrange(0, 4), 16)
        yield Box(
            BoxKind.SINGLE,
            Coordinate(Point.CENTER, Length(across), side),
            Coordinate(Point.CENTER, Length(down), start),
            f"box {number}",
        )


def called(fact: Fact) -> str:
    """The fact as a hanger calls it."""
    if isinstance(fact, Reading):
        kind = "height " if fact.dimension is Dimension.HEIGHT else ""
        return f"{kind}{fact.at} {words(fact.value)}"
    assert isinstance(fact, Box)
    name = number_words(int(fact.name.split()[-1]))
    spots = " ".join(f"{words(each.value)} {_FROM[each.start]}" for each in (fact.x, fact.y))
    return f"box {name} {fact.kind} center {spots}"


def words(length: Length) -> str:
    """A length in words: "forty six and seven eighths"."""
    whole, part = divmod(length.inches, 1)
    if not whole:
        return fraction_words(part)
    return f"{number_words(int(whole))} and {fraction_words(part)}" if part else number_words(int(whole))


def misheard(fact: Fact, rng: random.Random) -> Fact:
    """What is heard instead: another place or side, or a number that sounds alike."""
    other = [*_other_places(fact)] if rng.random() < 0.5 else [*_other_numbers(fact, rng)]
    found = [each for each in other if each != fact] or [each for each in _other_numbers(fact, rng) if each != fact]
    return rng.choice(found) if found else fact


def _other_places(fact: Fact) -> Iterator[Fact]:
    if isinstance(fact, Reading):
        assert isinstance(fact.at, Slot)
        yield replace(fact, at=_PLACE_OTHER.get(fact.at, fact.at))
    if isinstance(fact, Box):
        yield replace(fact, x=replace(fact.x, start=_EDGE_OTHER[fact.x.start]))
        yield replace(fact, y=replace(fact.y, start=_EDGE_OTHER[fact.y.start]))


def _other_numbers(fact: Fact, rng: random.Random) -> Iterator[Fact]:
    if isinstance(fact, Reading):
        yield from (replace(fact, value=value) for value in _alike(fact.value, rng))
    if isinstance(fact, Box):
        yield from (replace(fact, x=replace(fact.x, value=value)) for value in _alike(fact.x.value, rng))
        yield from (replace(fact, y=replace(fact.y, value=value)) for value in _alike(fact.y.value, rng))


def _alike(value: Length, rng: random.Random) -> Iterator[Length]:
    """Twins, and a fraction that is another one."""
    yield from twins_of(value, Unit.INCH)
    part = Fraction(rng.choice((1, 3, 5, 7)), rng.choice((4, 8, 16)))
    if part < 1:
        yield Length(value.inches // 1 + part)
