"""From words to what they mean, or to what must be asked, or to why nothing was taken."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING

from fieldvoice.language.compiled import rules
from fieldvoice.language.descent import Heard, Parser
from fieldvoice.language.rules import FILLER, START, Rules
from fieldvoice.language.sense import boxes, context, numbers, readings, utterances
from fieldvoice.language.tables import heard_as
from fieldvoice.language.typed import read_typed
from fieldvoice.records.hearing import Source
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Ask, Danger, Question, Reading, Refusal, Status, Utterance, Why

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fieldvoice.language.descent import Action, Parses

ACTIONS: dict[str, Action] = {
    **numbers.ACTIONS,
    **readings.ACTIONS,
    **boxes.ACTIONS,
    **context.ACTIONS,
    **utterances.ACTIONS,
}
LONGEST = 80
"""No utterance of the job has more words; a longer one is refused whole."""
_EDGES = '.,;:!?"()'


class Language:
    """A grammar ready to understand utterances."""

    def __init__(self, grammar: Rules, unit: Unit) -> None:
        self.unit = unit
        self.parser = Parser(grammar.kept_in(unit), ACTIONS)
        self.fillers = grammar.words(FILLER)
        self.known = grammar.words(START)

    def understand(self, words: str, source: Source) -> Utterance:
        """What an utterance means; see `understand`."""
        heard = read_typed(words) if source is Source.TYPED else read_spoken(words)
        heard = [one for place, one in enumerate(heard) if not self._is_filler(heard, place)]
        unknown = next((one.words[0] for one in heard if not self._knows(one)), None)
        why = _no_words(words, heard) or (unknown and _unknown(unknown))
        if why:
            found = Utterance(Status.REFUSED, words, why=why)
        else:
            found = _outcome(words, heard, self.parser.parse(heard, START), self.unit)
        return replace(found, danger=_danger(found, heard), objects=_objects(heard))

    def _is_filler(self, heard: Sequence[Heard], place: int) -> bool:
        """Whether a word is said without meaning anything: "so" is, and in "or so" it isn't."""
        after_or = place > 0 and heard[place - 1].words[0] == "or"
        return heard[place].words[0] in self.fillers and not (after_or and heard[place].words[0] == "so")

    def _knows(self, one: Heard) -> bool:
        return one.words[0][0] == "#" or not self.known.isdisjoint(one.words)


_OBJECTIONS = frozenset({"no", "nope", "nah", "wrong", "wait"})
_LIVE = frozenset({"live", "hot"})


def _objects(heard: Sequence[Heard]) -> bool:
    """Whether the words begin with an objection, whatever comes after it."""
    return bool(heard) and not _OBJECTIONS.isdisjoint(heard[0].words)


def _danger(found: Utterance, heard: Sequence[Heard]) -> tuple[Danger, ...]:
    """Every word of a circuit that isn't known to be dead; of no box in particular where only the word is clear."""
    meanings = (meaning for way in (found.meanings, *found.alternatives) for meaning in way)
    said = tuple(dict.fromkeys(meaning for meaning in meanings if isinstance(meaning, Danger)))
    return said or ((Danger(),) if any(not _LIVE.isdisjoint(one.words) for one in heard) else ())


def read_spoken(words: str) -> list[Heard]:
    """Heard words, each with what it may be."""
    plain = words.lower().replace("-", " ").replace("’", "'")
    stripped = (word.strip(_EDGES) for word in plain.split())
    return [Heard(heard_as(word), word) for word in stripped if word]


def _no_words(words: str, heard: Sequence[Heard]) -> Refusal | None:
    if not heard:
        return Refusal(Why.NO_READING if words.strip() else Why.NOTHING_SAID)
    return Refusal(Why.TOO_LONG) if len(heard) > LONGEST else None


def _unknown(word: str) -> Refusal:
    return Refusal(Why.ONE_OR_SEVERAL if word[0].isdecimal() else Why.NO_WORD, (word,))


def _outcome(words: str, heard: Sequence[Heard], parses: Parses, unit: Unit) -> Utterance:
    question = next((value for value in parses.values if isinstance(value, Question)), None)
    refusal = next((value for value in parses.values if isinstance(value, Refusal)), None)
    found = [value for value in parses.values if not isinstance(value, Question | Refusal)]
    whole = tuple(value if isinstance(value, tuple) else (value,) for value in found)
    if question or parses.crowded:
        ask = question or Question(Ask.TOO_MANY)
        return Utterance(Status.UNCLEAR, words, ask=ask)
    if len(whole) == 1:
        return Utterance(Status.UNDERSTOOD, words, meanings=whole[0])
    if whole:
        return Utterance(Status.UNCLEAR, words, alternatives=whole, ask=Question(Ask.WHICH_OF))
    if refusal:
        return Utterance(Status.REFUSED, words, why=refusal)
    runs = _runs_on(heard, unit)
    if runs:
        return Utterance(Status.UNCLEAR, words, ask=runs)
    if parses.cut_off:
        return Utterance(Status.UNCLEAR, words, ask=Question(Ask.BROKE_OFF, (words.split()[-1],)))
    return Utterance(Status.REFUSED, words, why=Refusal(Why.NO_SENSE, (heard[parses.furthest].text,)))


def _runs_on(heard: Sequence[Heard], unit: Unit) -> Question | None:
    """The question where the words are one number and then another."""
    for cut in range(1, len(heard)):
        parts = [_alone(part, unit) for part in (heard[:cut], heard[cut:])]
        if parts[0] is not None and parts[1] is not None:
            return Question(Ask.RUNS_ON, (parts[0], parts[1]))
    return None


def _alone(heard: Sequence[Heard], unit: Unit) -> Length | None:
    """A reading, where the words are one without a place."""
    values = language(unit).parser.parse(heard, "bare").values
    return values[0].value if len(values) == 1 and isinstance(values[0], Reading) else None


@cache
def language(unit: Unit = Unit.INCH) -> Language:
    """The language of this installation's grammar, for a job that is kept in that unit."""
    return Language(rules(), unit)


def understand(words: str, source: Source, unit: Unit = Unit.INCH) -> Utterance:
    """What an utterance means. Typed lines may hold figures; heard words may be mistaken for their like (`heard.tsv`).
    A number said without its unit is in `unit`, the job's own.

    Understood: one meaning. Unclear: several, or one cut short, with the question that settles it. Refused: why.
    """
    return language(unit).understand(words, source)
