"""Whether what was heard so far is all: whether words may follow, and whether more recognizers must hear it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache

from fieldvoice.language.automaton import automaton
from fieldvoice.language.understanding import understand
from fieldvoice.language.verdict import Expectation, settled
from fieldvoice.records.hearing import EarKind, Hearing, Outlook, Source, begins
from fieldvoice.records.length import Unit
from fieldvoice.records.meaning import Incomplete, Lack
from fieldvoice.records.utterance import Answer, Part, Status

_TAILS = ("and a sixteenth", "four", "four and a half")
TAILS = {Unit.INCH: _TAILS, Unit.MM: (*_TAILS, "ninety")}
"""What may follow a whole number: a fraction, and after feet the inches; in millimeters the second half of the number
("eleven", "eleven ninety"). A point isn't waited for: what follows it is less than a millimeter, alone it is no
utterance, and every number of millimeters would have to wait for it.
"""


@lru_cache(maxsize=64)
def outlook(words: str, unit: Unit = Unit.INCH) -> Outlook:
    """Whether more may follow these words, in a job of that unit: more must where they begin something and say nothing
    yet; more may where a fraction, inches or the rest of a number could still come, even with more than one meaning,
    after a "no", which the right value often follows, after a piece that may be the beginning of a call, and where they
    aren't understood. More must where a box lacks a distance.
    """
    said = understand(words, Source.SPOKEN, unit)
    last = said.meanings[-1] if said.meanings else None
    half = isinstance(last, Incomplete) and Lack.DISTANCE in last.lacks
    if said.status is not Status.UNDERSTOOD or half:
        return Outlook.MUST_GO_ON if words and begins(automaton(unit), words) else Outlook.MAY_GO_ON
    more = [understand(f"{words} {tail}", Source.SPOKEN, unit) for tail in TAILS[unit]]
    grows = any(len(said.meanings) in map(len, (one.meanings, *one.alternatives)) for one in more)
    open_ended = last == Answer(yes=False) or isinstance(last, Part)
    return Outlook.MAY_GO_ON if grows or open_ended else Outlook.COMPLETE


def enough(hearings: Sequence[Hearing], others: Iterable[EarKind], unit: Unit) -> bool:
    """Whether an utterance in a job of that unit is taken whatever recognizers of the `others` kinds would make of it,
    be an answer awaited or not.
    """
    awaited = tuple(others)
    return all(settled(hearings, awaited, Expectation(answer, unit)) for answer in (False, True))


def wakes(phrase: str) -> bool:
    """Whether a phrase can wake an open microphone: two words or more that no utterance begins with, in any unit."""
    return len(phrase.split()) > 1 and not any(begins(automaton(unit), phrase) for unit in Unit)
