"""What the parses of some words come to as an utterance, and which of two ways to read them counts."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fieldvoice.language.partial import Alone
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Context, Danger, Distance, Reading
from fieldvoice.records.orders import SAYS_DONE, Answer, Command, Part
from fieldvoice.records.utterance import Ask, Question, Refusal, Status, Utterance, Why

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from fieldvoice.language.descent import Parses, Token
    from fieldvoice.records.utterance import Meaning

LONGEST = 80
"""No utterance of the job has more words; a longer one is refused whole."""
LONGEST_TOLD = 40
"""Letters of an unknown word that are said back: a file run in by mistake has words of any length."""
_NO_FACTS = Command | Answer | Danger
"""Meanings that stand though they were written as a question: danger most of all."""
_UNFOUND = frozenset({Why.NO_SENSE, Why.NO_WORD})


def questioned(found: Utterance) -> Utterance:
    """What was written as a question is put to its writer as one."""
    if found.status is not Status.UNDERSTOOD or all(isinstance(one, _NO_FACTS) for one in found.meanings):
        return found
    ask = Question(Ask.IS_IT_SO)
    return Utterance(Status.UNCLEAR, found.heard, alternatives=(found.meanings,), ask=ask)


def makes_sense(found: Utterance) -> bool:
    """Whether something is meant, or one of several things."""
    return found.status is Status.UNDERSTOOD or bool(found.alternatives)


def either(found: Utterance, again: Utterance) -> Utterance:
    """What words mean, with their asides and without: where they make sense in both ways, it is asked which."""
    if is_lost(found):
        return again if makes_sense(again) or again.ask else found
    if not makes_sense(found) or is_lost(again) or again.status is Status.REFUSED:
        return found
    if not makes_sense(again):
        return again
    ways = tuple(dict.fromkeys((*_ways(found), *_ways(again))))
    if len(ways) == len(_ways(found)):
        return found
    return Utterance(Status.UNCLEAR, found.heard, alternatives=ways, ask=Question(Ask.WHICH_OF))


def says_as_much(again: Utterance, found: Utterance) -> bool:
    """Whether it makes sense, and as many things are said as were before."""
    if again.status is not Status.UNDERSTOOD:
        return False
    return not makes_sense(found) or len(again.meanings) == len(_ways(found)[0])


def _ways(found: Utterance) -> tuple[tuple[Meaning, ...], ...]:
    return found.alternatives or (found.meanings,)


def is_lost(found: Utterance) -> bool:
    """Whether nothing was made of the words, or they broke off."""
    if found.status is Status.REFUSED:
        return found.why is not None and found.why.why in _UNFOUND
    return found.ask is not None and found.ask.about is Ask.BROKE_OFF


def no_words(words: str, heard: Sequence[Token]) -> Refusal | None:
    """Why nothing is looked for: no word means anything, or there are too many."""
    if not heard:
        return Refusal(Why.NO_READING if words.strip() else Why.NOTHING_SAID)
    return Refusal(Why.TOO_LONG) if len(heard) > LONGEST else None


def unknown_word(word: str) -> Refusal:
    """Why nothing is made of a word that isn't in the language, or of figures written in one."""
    word = word if len(word) <= LONGEST_TOLD else f"{word[:LONGEST_TOLD]}…"
    return Refusal(Why.ONE_OR_SEVERAL if word[0].isdecimal() else Why.NO_WORD, (word,))


def no_question(_: Sequence[Token]) -> None:
    """No question is known of the words."""


def outcome(
    words: str, heard: Sequence[Token], parses: Parses, runs_on: Callable[[Sequence[Token]], Question | None]
) -> Utterance:
    """What the parses of the words heard mean together; where there is none, `runs_on` may know a question."""
    question = next((value for value in parses.values if isinstance(value, Question)), None)
    refusal = next((value for value in parses.values if isinstance(value, Refusal)), None)
    found = [value for value in parses.values if not isinstance(value, Question | Refusal)]
    found = [value.meanings for value in found if isinstance(value, Alone)] or found
    ways = [value if isinstance(value, tuple) else (value,) for value in found]
    whole = tuple({_in_any_order(way): way for way in reversed(ways)}.values())[::-1]
    if question or parses.crowded:
        ask = question or Question(Ask.TOO_MANY)
        return Utterance(Status.UNCLEAR, words, ask=ask)
    if len(whole) == 1:
        return Utterance(Status.UNDERSTOOD, words, meanings=whole[0])
    if whole:
        return Utterance(Status.UNCLEAR, words, alternatives=whole, ask=Question(Ask.WHICH_OF))
    if refusal:
        return Utterance(Status.REFUSED, words, why=refusal)
    runs = runs_on(heard)
    if runs:
        return Utterance(Status.UNCLEAR, words, ask=runs)
    lost = parses.lost()
    if lost.cut_off:
        piece = " ".join(one.text for one in heard[lost.sense :]) if lost.sense else words.split()[-1]
        return Utterance(Status.UNCLEAR, words, ask=Question(Ask.BROKE_OFF, (piece,)))
    return Utterance(Status.REFUSED, words, why=Refusal(Why.NO_SENSE, (heard[lost.furthest].text,)))


def _in_any_order(way: tuple[Meaning, ...]) -> object:
    """What is compared of a way: of facts about the board alone it doesn't matter which was named first."""
    facts = all(isinstance(one, Context) for one in way)
    return frozenset(way) if facts and len(set(way)) == len(way) else way


def is_bare(found: Utterance) -> bool:
    """Whether a figure alone is meant: of words that may all have been said in passing ("for now") it is none."""
    return len(found.meanings) == 1 and isinstance(found.meanings[0], Reading) and found.meanings[0].at is None


def is_no_figure(meaning: Meaning) -> bool:
    """Whether it is an order, or a part of a call that isn't a length or a distance. Nobody says beside word of danger
    that a step is done: "understood, it's live" is about the danger.
    """
    if isinstance(meaning, Command):
        return meaning.action not in SAYS_DONE
    return isinstance(meaning, Part) and not isinstance(meaning.value, Length | Distance)
