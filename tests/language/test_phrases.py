"""The phrase table: what is said, and exactly what it means, is asked about or is refused for."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from fieldvoice.language import understand
from fieldvoice.records.hearing import Source
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import (
    Answer,
    BoxMark,
    BoxState,
    Command,
    Context,
    Correction,
    Diagonal,
    Meaning,
    Plumb,
    Reading,
    Status,
    Utterance,
)

LINES = (Path(__file__).parent / "phrases.tsv").read_text(encoding="utf-8").splitlines()
PHRASES = [line.split("\t") for line in LINES if not line.startswith("#")]


def shown(meaning: Meaning) -> str:
    """A meaning in the table's own short writing."""
    match meaning:
        case Reading(value, dimension, at, qualifier):
            place = f"at-{at}" if isinstance(at, Length) else at
            return " ".join(str(part) for part in (dimension, place, value, qualifier) if part)
        case BoxMark(kind, x, y, name, plugged):
            spot = f"{x.point} {x.value} {x.start} {y.point} {y.value} {y.start}"
            return f"{f'{name} ' if name else ''}{kind} {spot}{' plugged' if plugged else ''}"
        case BoxState(state, name):
            return f"box {name or 'all'} {state}"
        case Context(topic, value, edge):
            shown_value = " x ".join(map(str, value)) if isinstance(value, tuple) else value
            return f"{topic} {edge} {shown_value}"
        case Command(action, target):
            return f"{action} {target}"
        case Plumb(edge, value):
            return f"plumb {edge} {value}"
        case Diagonal(value):
            return f"diagonal {value}"
        case Correction(new):
            return f"change {shown(new)}"
        case Answer(yes):
            return "yes" if yes else "no"
    raise AssertionError(meaning)


def result(utterance: Utterance) -> str:
    """An utterance in the table's own short writing."""
    if utterance.status is Status.REFUSED:
        return "!"
    if utterance.status is Status.UNCLEAR:
        found = sorted(" + ".join(shown(meaning) for meaning in meanings) for meanings in utterance.alternatives)
        return f"? {' | '.join(found)}".strip()
    return " + ".join(shown(meaning) for meaning in utterance.meanings)


@pytest.mark.parametrize(("words", "expected"), [row[1:] for row in PHRASES], ids=[row[1] for row in PHRASES])
def test_each_phrase_means_exactly_what_the_table_says(words: str, expected: str) -> None:
    """A line of the table: the value is exact, or the question or refusal is there."""
    typed = words.startswith("T ")
    utterance = understand(words.removeprefix("T "), Source.TYPED if typed else Source.SPOKEN)
    assert result(utterance) == expected
    assert bool(utterance.ask) == expected.startswith("?")
    assert bool(utterance.why) == (expected == "!")


def test_the_table_is_wide() -> None:
    """At least two hundred phrases over every category, none twice."""
    assert len(PHRASES) >= 200
    assert len({row[1] for row in PHRASES}) == len(PHRASES)
    assert min(Counter(row[0] for row in PHRASES).values()) >= 5
