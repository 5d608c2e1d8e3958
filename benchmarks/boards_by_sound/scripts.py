"""What is called for a board, in words: boards at random, and the crew's as far as they can be spoken."""

from __future__ import annotations

import random
import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from benchmarks.dialogue.boards import board, called
from benchmarks.dialogue.crew_boards import CrewBoard, crew_boards
from fieldvoice.language.speaking import fraction_words, number_words
from fieldvoice.language.understanding import understand
from fieldvoice.records.facts import Fact
from fieldvoice.records.hearing import Source
from fieldvoice.records.length import Unit
from fieldvoice.records.utterance import Status


@dataclass(frozen=True, slots=True)
class Script:
    """A board's calls in order, and what is answered when a question holds a word. What is to stand in the end was
    written down before it was called: the `facts` of a board at random, the table's line of a `crew`'s.
    """

    name: str
    lines: tuple[str, ...]
    answers: tuple[tuple[str, str], ...] = ()
    facts: tuple[Fact, ...] = ()
    crew: CrewBoard | None = None


def scripts(count: int, dice: random.Random) -> list[Script]:
    """So many boards, one in two of the crew's while there are some."""
    crew = list(_spoken_crew_boards())
    dice.shuffle(crew)
    found: list[Script] = []
    while len(found) < count:
        by_crew = len(found) % 2 and crew
        at_random = of_facts(f"random {len(found)}", board(dice).facts)
        found.append(crew.pop() if by_crew else at_random)
    return found


def of_facts(name: str, facts: tuple[Fact, ...]) -> Script:
    """The board with those facts, called one by one."""
    return Script(name, tuple(map(_easily, map(called, facts))), facts=facts)


def _spoken_crew_boards() -> Iterator[Script]:
    """Those in inches whose every call means the same when it is spoken: shorthand for the keyboard doesn't."""
    for one in crew_boards():
        lines = tuple(map(in_words, one.calls))
        if one.unit is Unit.INCH and all(map(_same, one.calls, lines)):
            yield Script(one.name, lines, one.answers, crew=one)


def _same(typed: str, spoken: str) -> bool:
    one, other = understand(typed, Source.TYPED), understand(spoken, Source.SPOKEN)
    return other.status is Status.UNDERSTOOD and one.meanings == other.meanings


_NUMBER = re.compile(r"(?P<whole>\d+)(?: (?P<over>\d+)/(?P<under>\d+))?(?![\d/])")


def in_words(line: str) -> str:
    """A typed line as it is spoken: "top 46 7/8" becomes "top forty six and seven eighths"."""
    return _NUMBER.sub(_number, line)


def _number(found: re.Match[str]) -> str:
    whole = number_words(int(found["whole"]))
    if found["over"] is None:
        return whole
    return _easily(f"{whole} and {fraction_words(Fraction(int(found['over']), int(found['under'])))}")


def _easily(words: str) -> str:
    """With "a half" and "an eighth", as people say it."""
    return re.sub(r"and one (?=half|quarter|sixteenth)", "and a ", words).replace("and one eighth", "and an eighth")
