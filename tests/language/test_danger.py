"""Word of a live circuit counts from sound where it is likely enough, and always where it was typed."""

from __future__ import annotations

import pytest

from fieldvoice.language import understand
from fieldvoice.language.danger import danger_in
from fieldvoice.records.hearing import EarKind, Hearing, Hypothesis, Source
from fieldvoice.records.length import Unit
from fieldvoice.records.meaning import Danger


def heard(kind: EarKind, live: float) -> Hearing:
    """Five, or with this probability word of a live box."""
    return Hearing((Hypothesis("five", 1 - live), Hypothesis("box two is live", live)), "ear", kind=kind)


def counts(*hearings: Hearing) -> bool:
    """Whether danger does."""
    return bool(danger_in(hearings, Unit.INCH))


def test_a_hint_of_danger_in_a_five_cries_no_alarm() -> None:
    """The leading ear must give it a tenth, another one half; alone the other one leads."""
    assert not counts(heard(EarKind.READING, 0.05), heard(EarKind.WHISPER, 0.4))
    assert counts(heard(EarKind.READING, 0.1), heard(EarKind.WHISPER, 0.0))
    assert counts(heard(EarKind.READING, 0.0), heard(EarKind.WHISPER, 0.5))
    assert counts(heard(EarKind.WHISPER, 0.2))


def test_what_is_typed_counts_as_it_stands() -> None:
    """With the box that it names."""
    assert danger_in([Hearing.typed("box two is live")], Unit.INCH) == (Danger("2"),)


TOUCHES = (
    "it bit me", "tester still beeps", "someone flipped the breaker", "not sure box one is dead", "the lights came on",
    "box one needs testing again", "retest box one", "outlet still works", "that wasn't the right breaker",
    "who tested box one", "box one isn't safe", "theres power at the box", "my meter reads 120", "the pen lit up",
    "arc", "i got a tingle", "he hit a wire", "volts on it", "don't trust that box", "somebody pulled the fuse back in",
)  # fmt: skip
AROUND = ("{}", "hey {}", "{} i think", "no, {}", "zzz {} qqq")


@pytest.mark.parametrize("around", AROUND)
@pytest.mark.parametrize("words", TOUCHES)
def test_what_is_typed_of_a_circuit_counts_though_it_is_not_understood(words: str, around: str) -> None:
    """As danger where it is known for that, else as words of circuits in what nobody understood."""
    found = understand(around.format(words), Source.TYPED)
    assert found.suspect or found.danger


@pytest.mark.parametrize(
    "words", ["top 46 and a bit over", "bottm 46 7/8", "box 1 daed and tested", "46 7/8 light top", "box 2 singel gang"]
)
def test_a_slip_in_a_reading_is_no_word_of_circuits(words: str) -> None:
    """A lean or a box's kind alone says nothing of its wires."""
    found = understand(words, Source.TYPED)
    assert not found.suspect
    assert not found.danger


def test_a_slip_in_word_of_danger_is_danger() -> None:
    """It isn't waited for until the guess is confirmed."""
    assert (
        understand("box one is energised", Source.TYPED).danger
        or understand("box one is energised", Source.TYPED).suspect
    )
    assert understand("box one is lvie", Source.TYPED).danger
