"""Word of a live circuit counts from sound where it is likely enough, and always where it was typed."""

from __future__ import annotations

from fieldvoice.language.danger import danger_in
from fieldvoice.records.hearing import EarKind, Hearing, Hypothesis
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
