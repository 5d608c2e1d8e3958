"""A wake phrase: what begins with it is taken, and all other talk isn't."""

from __future__ import annotations

from dataclasses import replace

import pytest

from fieldvoice.ears.talk_key import addressed, after_wake, awakened, outlook_after
from fieldvoice.records.hearing import Hearing, Hypothesis, Outlook, begins

PHRASE = "hey board"


class Tape:
    """The language of "yes" and "forty two"."""

    start = 0
    finals = frozenset({2})
    arcs: tuple[dict[str, int], ...] = ({"yes": 2, "forty": 1}, {"two": 2}, {})


def heard(*words: str) -> Hearing:
    """A hearing with these hypotheses."""
    return Hearing(tuple(Hypothesis(each, 0.4) for each in words), "parrot")


@pytest.mark.parametrize(
    ("words", "left"),
    [("hey board forty two", ["forty two"]), ("forty two", []), ("hey board", []), ("hey boards", [])],
)
def test_what_follows_the_phrase_counts(words: str, left: list[str]) -> None:
    """Without the phrase, or with nothing after it, the talk wasn't meant for us."""
    assert [one.words for one in after_wake(heard(words), PHRASE).hypotheses] == left


def test_one_recognizer_that_heard_the_phrase_is_enough() -> None:
    """The others then have nothing to say; where none heard it there is no utterance at all."""
    both = addressed((heard("yes"), heard("hey board yes", "yes")), PHRASE)
    assert [[one.words for one in each.hypotheses] for each in both] == [[], ["yes"]]
    assert addressed((heard("yes"), heard("hey yes")), PHRASE) == ()
    assert addressed((heard("yes"),), None) == (heard("yes"),)


def test_talk_in_which_the_phrase_is_hardly_likely_is_passed_over() -> None:
    """The reading ear finds some reading behind the phrase in any talk; all of them together must be likely."""
    faint = Hearing((Hypothesis("hey board yes", 0.004), Hypothesis("hey board no", 0.005)), "parrot")
    assert addressed((faint,), PHRASE) == ()
    assert addressed((replace(faint, hypotheses=faint.hypotheses * 2),), PHRASE) != ()
    assert addressed((faint, heard("hey board no")), PHRASE) != ()


def test_the_language_begins_with_the_phrase() -> None:
    """The same utterances behind it, and none without it."""
    language = awakened(Tape(), PHRASE)
    assert begins(language, "hey board forty two")
    assert begins(language, "hey board yes")
    assert not begins(language, "yes")
    assert not begins(language, "hey yes")
    assert language.finals == Tape.finals
    assert [language.arcs[state] for state in (-2, -1)] == [{"hey": -1}, {"board": 0}]
    assert [language.arcs[state] for state in range(len(Tape.arcs))] == [*Tape.arcs]


@pytest.mark.parametrize(
    ("words", "asked"),
    [
        ("hey", Outlook.MUST_GO_ON),
        ("hey board", Outlook.MUST_GO_ON),
        ("hey board forty two", Outlook.COMPLETE),
        ("forty two", Outlook.MAY_GO_ON),
        ("he", Outlook.MAY_GO_ON),
    ],
)
def test_after_the_phrase_alone_the_reading_is_waited_for(words: str, asked: Outlook) -> None:
    """The pause behind it is no end; what follows it is looked at by itself."""
    assert outlook_after(words, PHRASE, {"forty two": Outlook.COMPLETE}.__getitem__) is asked
