"""What the parses of some words come to as an utterance, and which of two ways to read them counts. A unit that is said
once may be that of several numbers: "thirty six by forty eight inches", in a job in millimeters.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import combinations
from typing import TYPE_CHECKING

from fieldvoice.language.partial import Alone
from fieldvoice.language.rules import CENTIMETER, FOOT, INCH, METER, MILLIMETER
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Context, Danger, Distance, Reading
from fieldvoice.records.utterance import (
    SAYS_DONE,
    Answer,
    Ask,
    Command,
    Part,
    Question,
    Refusal,
    Status,
    Utterance,
    Why,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence

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


UNITS = (INCH, FOOT, MILLIMETER, CENTIMETER, METER)
METRIC = frozenset({MILLIMETER, CENTIMETER, METER})
ITS_OWN = {Unit.INCH: INCH, Unit.MM: MILLIMETER}
"""The unit of a number that is said without one: to share it changes nothing."""
BESIDE = {(Unit.INCH, FOOT): (10, 24), (Unit.MM, METER): (10, 30), (Unit.MM, CENTIMETER): (250, 1200)}
"""Beside a larger unit of the job's own kind a number below the first is surely in it, and one above the second isn't:
"fifty four by twelve foot". Between them it is asked (our own rule: what is cut around or hung is of such sizes).
"""
COMMA = "#_COMMA"
JOINTS = frozenset({COMMA, "and", "then"})
"""What stands between the numbers of a row."""
MOST_JOINTS = 4
"""More numbers than this in a row with one unit are in no call."""


@dataclass(frozen=True)
class Sharing:
    """The words by which it is known. `number` tells whether a word may be in a number, `numerals` may end one, `value`
    tells what a number is in the job's unit.
    """

    unit: Unit
    units: Mapping[str, frozenset[str]]
    between: frozenset[str]
    wide: frozenset[str]
    number: Callable[[Token], bool]
    numerals: frozenset[str]
    value: Callable[[Sequence[Token]], Length | None]

    @cached_property
    def foreign(self) -> frozenset[str]:
        """The words for units that aren't the job's own: without one of them there is nothing to share."""
        return frozenset[str]().union(*(words for name, words in self.units.items() if name != ITS_OWN[self.unit]))

    def by(self, said: Sequence[Token]) -> tuple[list[Token], list[Token]]:
        """The words with the unit of either side of a "by" at the other one, which has none: where it must be so, and
        where it may be so as well.
        """
        sure, perhaps = [*said], [*said]
        for at in reversed(range(len(said))):
            shared = self._shared(said, at) if _is(said[at], self.between) else None
            if shared is not None:
                place, unit, certain = shared
                perhaps.insert(place, unit)
                sure = [*sure[:place], unit, *sure[place:]] if certain else sure
        return sure, perhaps

    def rows(self, said: Sequence[Token]) -> Iterator[list[Token]]:
        """The words with a unit of the other kind behind a row at the numbers before it, the most of them first."""
        for end in range(len(said)):
            if not self._is_other_kind(said[end]):
                continue
            start = end
            while start and (self._is_number(said[start - 1]) or _is(said[start - 1], JOINTS)):
                start -= 1
            places = [at for at in range(start + 1, end) if _is(said[at], JOINTS)][-MOST_JOINTS:]
            for count in range(len(places), 0, -1):
                for chosen in combinations(places, count):
                    row = [*said]
                    for at in reversed(chosen):
                        row.insert(at, said[end])
                    yield row

    def anywhere(self, said: Sequence[Token]) -> Iterator[list[Token]]:
        """The words with the one unit of the other kind at one more number that has none, from the last one on: never
        within words that are one number in it, but for one of inches, whose fraction may stand apart.
        """
        named = {self.named(one) for one in said} - {None}
        unit = next((one for one in said if self._is_other_kind(one)), None)
        if unit is None or len(named) > 1:
            return
        end = len(said)
        while end:
            start = end
            while start and self._is_number(said[start - 1]):
                start -= 1
            last = end - (end < len(said) and self.named(said[end]) is not None)
            whole = named <= METRIC and start < end and self.value([*said[start:end], unit]) is not None
            for at in range(last, end - 1 if whole else start, -1):
                if _is(said[at - 1], self.numerals):
                    yield [*said[:at], unit, *said[at:]]
            end = min(start, end - 1)

    def _shared(self, said: Sequence[Token], at: int) -> tuple[int, Token, bool] | None:
        """Where the unit of one side belongs at the other one, the unit, and whether it is surely meant."""
        before = at - 1 if at and _is(said[at - 1], self.wide) else at
        start, end = before, at + 1
        while start and self._is_number(said[start - 1]):
            start -= 1
        while end < len(said) and self._is_number(said[end]):
            end += 1
        one, other = said[start:before], said[at + 1 : end]
        left = said[start - 1] if start and self.named(said[start - 1]) else None
        right = said[end] if end < len(said) and self.named(said[end]) else None
        if one and other and left is None and right is not None:
            return self._placed(before, right, one)
        if other and left is not None and not one and right is None:
            return self._placed(end, left, other)
        return None

    def _placed(self, place: int, unit: Token, number: Sequence[Token]) -> tuple[int, Token, bool] | None:
        name = self.named(unit)
        if name is None or name == ITS_OWN[self.unit]:
            return None
        if (self.unit, name) not in BESIDE:
            return place, unit, True
        surely, at_most = BESIDE[self.unit, name]
        found = next((value for cut in range(len(number)) if (value := self.value(number[cut:])) is not None), None)
        figure = None if found is None else found.in_unit(self.unit)
        if figure is not None and figure > at_most:
            return None
        return place, unit, figure is not None and figure < surely

    def _is_number(self, one: Token) -> bool:
        return self.number(one) and self.named(one) is None and not _is(one, self.between | {COMMA})

    def _is_other_kind(self, one: Token) -> bool:
        name = self.named(one)
        return name is not None and name != ITS_OWN[self.unit] and (self.unit, name) not in BESIDE

    def named(self, one: Token) -> str | None:
        """The unit that a word names."""
        return next((name for name, words in self.units.items() if _is(one, words)), None)


def _is(one: Token, words: frozenset[str]) -> bool:
    return not words.isdisjoint(one.words)
