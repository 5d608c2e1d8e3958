"""From words to what they mean, or to what must be asked, or to why nothing was taken."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from fieldvoice.language.compiled import rules
from fieldvoice.language.descent import Heard, Parser
from fieldvoice.language.found import Question, Refusal
from fieldvoice.language.questions import which_of
from fieldvoice.language.rules import FILLER, START, Rules
from fieldvoice.language.sense import boxes, context, numbers, readings, utterances
from fieldvoice.language.tables import heard_as
from fieldvoice.language.typed import read_typed
from fieldvoice.records.hearing import Source
from fieldvoice.records.meaning import Status, Utterance

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

    def __init__(self, grammar: Rules) -> None:
        self.parser = Parser(grammar, ACTIONS)
        self.fillers = grammar.words(FILLER)
        self.known = grammar.words(START)

    def understand(self, words: str, source: Source) -> Utterance:
        """What an utterance means; see `understand`."""
        heard = read_typed(words) if source is Source.TYPED else read_spoken(words)
        heard = [one for one in heard if one.words[0] not in self.fillers]
        unknown = next((one.words[0] for one in heard if not self._knows(one)), None)
        why = _no_words(words, heard) or (unknown and _unknown(unknown))
        if why:
            return Utterance(Status.REFUSED, words, why=why)
        return _outcome(words, heard, self.parser.parse(heard, START))

    def _knows(self, one: Heard) -> bool:
        return one.words[0][0] == "#" or not self.known.isdisjoint(one.words)


def read_spoken(words: str) -> list[Heard]:
    """Heard words, each with what it may be."""
    plain = words.lower().replace("-", " ").replace("’", "'")
    stripped = (word.strip(_EDGES) for word in plain.split())
    return [Heard(heard_as(word)) for word in stripped if word]


def _no_words(words: str, heard: Sequence[Heard]) -> str | None:
    if not heard:
        return (
            "No reading or order was in that: nothing was taken. Say it again."
            if words.strip()
            else "Nothing was said."
        )
    return (
        "That is too long for one utterance: nothing was taken. Say one thing at a time."
        if len(heard) > LONGEST
        else None
    )


def _unknown(word: str) -> str:
    return f'"{word}" is no word of this job: nothing was taken. Say the reading again with its place.'


def _outcome(words: str, heard: Sequence[Heard], parses: Parses) -> Utterance:
    question = next((value.ask for value in parses.values if isinstance(value, Question)), None)
    refusal = next((value.why for value in parses.values if isinstance(value, Refusal)), None)
    found = [value for value in parses.values if not isinstance(value, Question | Refusal)]
    whole = tuple(value if isinstance(value, tuple) else (value,) for value in found)
    if question or parses.crowded:
        ask = question or "That can mean too many things. Say one thing at a time."
        return Utterance(Status.UNCLEAR, words, ask=ask)
    if len(whole) == 1:
        return Utterance(Status.UNDERSTOOD, words, meanings=whole[0])
    if whole:
        return Utterance(Status.UNCLEAR, words, alternatives=whole, ask=which_of(whole))
    if refusal:
        return Utterance(Status.REFUSED, words, why=refusal)
    if parses.cut_off:
        return Utterance(
            Status.UNCLEAR, words, ask=f'That broke off after "{words.split()[-1]}". Say the whole of it again.'
        )
    return Utterance(Status.REFUSED, words, why=_stuck(heard, parses.furthest))


def _stuck(heard: Sequence[Heard], at: int) -> str:
    one = heard[at]
    word = str(one.figure) if one.figure is not None else one.words[0].strip("#").lower()
    if word == "_comma":
        word = ","
    return f'What was said makes no sense from "{word}" on: nothing was taken. Say it again, one thing at a time.'


@cache
def language() -> Language:
    """The language of this installation's grammar."""
    return Language(rules())


def understand(words: str, source: Source) -> Utterance:
    """What an utterance means. Typed lines may hold figures; heard words may be mistaken for their like (`heard.tsv`).

    Understood: one meaning. Unclear: several, or one cut short, with the question that settles it. Refused: why.
    """
    return language().understand(words, source)
