"""The phrase table: what is said, and exactly what it means, is asked about or is refused for."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from fieldvoice.language.understanding import understand
from fieldvoice.records.hearing import Source
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import (
    Box,
    Context,
    Coordinate,
    Danger,
    DeadAndTested,
    Diagonal,
    Distance,
    Incomplete,
    LayoutWish,
    Opening,
    Plumb,
    Reading,
    SurfaceCall,
)
from fieldvoice.records.utterance import (
    Answer,
    Command,
    Correction,
    Meaning,
    Part,
    SameAgain,
    SameHeight,
    Status,
    Utterance,
)
from tests.language.crew import number

LINES = (Path(__file__).parent / "phrases.tsv").read_text(encoding="utf-8").splitlines()
PHRASES = [line.split("\t") for line in LINES if not line.startswith("#")]


def split(words: str) -> tuple[str, Source, Unit]:
    """A phrase of the table, how it came, and the unit of the job."""
    unit = Unit.MM if words.startswith("M ") else Unit.INCH
    words = words.removeprefix("M ")
    return words.removeprefix("T "), Source.TYPED if words.startswith("T ") else Source.SPOKEN, unit


def shown(meaning: Meaning, unit: Unit) -> str:  # noqa: C901 - one case a kind
    """A meaning in the table's own short writing."""
    match meaning:
        case Reading(value, dimension, at, qualifier):
            place = f"at-{at.text(unit)}" if isinstance(at, Length) else at
            return joined(dimension, place, value.text(unit), qualifier)
        case Box() | Opening():
            return hole(meaning, unit)
        case DeadAndTested(box, tested, count):
            return f"box {number(box or '') or (count and f'of {count}') or 'all'} dead{'' if tested else ' untested'}"
        case Part(Length() as value):
            return value.text(unit)
        case Part(Distance() as value):
            return f"part {distance(value, unit)}"
        case Part(value):
            return f"part {value}"
        case Incomplete():
            return incomplete(meaning, unit)
        case SameAgain(dimension, at, like):
            return joined("same", dimension, at, like and f"as {like}")
        case SameHeight(box, like):
            return joined("height of", number(box or ""), "as", number(like))
        case SurfaceCall(surface, name, width, height):
            return f"{surface} {name} {width.text(unit)} x {height.text(unit)}"
        case LayoutWish(wish, edge, length):
            return joined("wish", wish, edge, length and length.text(unit))
        case Danger(box, live):
            return f"box {number(box or 'all')} {'live' if live else 'unknown'}"
        case Context(topic, value, edge):
            values = value if isinstance(value, tuple) else (value,)
            told = " x ".join(each.text(unit) if isinstance(each, Length) else str(each) for each in values)
            return f"{topic} {edge} {told}"
        case Command(action, target):
            return f"{action} {target}"
        case Plumb(edge, value):
            return f"plumb {edge} {value.text(unit)}"
        case Diagonal(value):
            return f"diagonal {value.text(unit)}"
        case Correction(new):
            return f"change {shown(new, unit)}"
        case Answer(yes):
            return "yes" if yes else "no"
    return str(meaning)


def distance(called: Distance, unit: Unit) -> str:
    """A distance as far as it was said."""
    return joined(called.point or "some point", called.value.text(unit), called.start or "some side")


def incomplete(call: Incomplete, unit: Unit) -> str:
    """What of a box or an opening was called."""
    sizes = [size.text(unit) for size in (call.width, call.height, call.diameter) if size]
    spots = [distance(each, unit) for each in call.distances]
    plugged = "plugged" if call.plugged_in else None
    return joined("part of", number(call.name), call.kind or "some box", " x ".join(sizes), *spots, plugged)


def hole(meaning: Box | Opening, unit: Unit) -> str:
    """A box or an opening: its name, kind, size, and both ways where it is."""
    if isinstance(meaning, Box):
        spots = zip((meaning.x, meaning.y), meaning.far, strict=True) if meaning.far else ((meaning.x,), (meaning.y,))
        places = (spot(each, unit) for each in spots)
        return joined(number(meaning.name), meaning.kind, *places, "plugged" if meaning.plugged_in else None)
    sizes = [size.text(unit) for size in (meaning.width, meaning.height, meaning.diameter) if size]
    return joined(meaning.kind, " x ".join(sizes), spot(meaning.xs, unit), spot(meaning.ys, unit))


def joined(*parts: object) -> str:
    """The parts that are there."""
    return " ".join(str(part) for part in parts if part)


def spot(called: tuple[Coordinate, ...], unit: Unit) -> str:
    """A coordinate, or both sides."""
    values = " to ".join(each.value.text(unit) for each in called)
    return joined(called[0].point if len(called) == 1 else None, values, called[0].start)


def result(utterance: Utterance, unit: Unit = Unit.INCH) -> str:
    """An utterance in the table's own short writing."""
    if utterance.status is Status.REFUSED:
        return "!"
    if utterance.status is Status.UNCLEAR:
        found = sorted(" + ".join(shown(one, unit) for one in meanings) for meanings in utterance.alternatives)
        return f"? {' | '.join(found)}".strip()
    return " + ".join(shown(meaning, unit) for meaning in utterance.meanings)


@pytest.mark.parametrize(("words", "expected"), [row[1:] for row in PHRASES], ids=[row[1] for row in PHRASES])
def test_each_phrase_means_exactly_what_the_table_says(words: str, expected: str) -> None:
    """A line of the table: the value is exact, or the question or refusal is there."""
    plain, source, unit = split(words)
    utterance = understand(plain, source, unit)
    assert result(utterance, unit) == expected
    assert bool(utterance.ask) == expected.startswith("?")
    assert bool(utterance.why) == (expected == "!")


def test_the_table_is_wide() -> None:
    """At least two hundred phrases over every category, none twice."""
    assert len(PHRASES) >= 200
    assert len({row[1] for row in PHRASES}) == len(PHRASES)
    assert min(Counter(row[0] for row in PHRASES).values()) >= 5
