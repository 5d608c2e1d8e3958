"""What the dialogue's tests share: people who talk to a session with a clock that can be moved."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from copy import copy
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from functools import lru_cache
from typing import Any

from fieldvoice.dialogue.rooms import Judged, Rooms, rooms
from fieldvoice.dialogue.session import Session
from fieldvoice.dialogue.view import Line, View
from fieldvoice.journal.journal import MemoryJournal
from fieldvoice.language.verdict import Expectation
from fieldvoice.output.marks import told
from fieldvoice.records.hearing import EarKind, Hearing, Hypothesis
from fieldvoice.records.said import Say
from fieldvoice.records.utterance import Meaning
from fieldvoice.wording.values import Told

MORNING = datetime(2026, 5, 4, 8, 0, tzinfo=UTC)

A_BOARD = ("top 46 7/8", "middle 46 3/4", "bottom 46 1/4", "height 95 1/2")
A_BOX = "single gang center 30 1/4 from left, 48 down"


def sayable(says: Sequence[Say]) -> None:
    """Whatever it is, no figure goes to the voice: a synthesizer would read it in a way of its own."""
    for say in says:
        assert not any(character.isdecimal() for character in say.spoken), say.spoken


class Wall:
    """A session, its journal, and the time, which moves only when told."""

    def __init__(self, journal: MemoryJournal | None = None, its_rooms: Rooms | None = None, **session: bool) -> None:
        self.journal = journal or MemoryJournal()
        self.now = MORNING
        self.rooms = its_rooms or rooms()
        self.how = session
        self.said: tuple[Say, ...] = ()
        self.session = self._opened()

    def _opened(self) -> Session:
        return Session(self.journal, rooms=self.rooms, clock=lambda: self.now, **self.how)

    def types(self, *lines: str, who: str = "hanger") -> str:
        """Type the lines; what was answered to the last."""
        said: Sequence[Any] = ()
        for line in lines:
            said = self.said = self.session.take(Hearing.typed(line), who)
            sayable(said)
        return " ".join(say.text for say in said)

    def speaks(self, *words: str, who: str = "hanger") -> str:
        """Speak one utterance, as its hypotheses with falling probability; what was answered."""
        shares = (0.97,) if len(words) == 1 else (0.5, 0.4, 0.05)
        hypotheses = tuple(Hypothesis(each, share) for each, share in zip(words, shares, strict=False))
        said = self.said = self.session.take(Hearing(hypotheses, "ear", kind=EarKind.READING), who)
        sayable(said)
        return " ".join(say.text for say in said)

    def says(self, line: str) -> str:
        """A line as it was called: what begins with ~ was spoken, with P: by the partner; what was answered."""
        who = "partner" if line.startswith("P:") else "hanger"
        words = line.removeprefix("P:")
        return self.speaks(words[1:], who=who) if words.startswith("~") else self.types(words, who=who)

    def twin(self) -> Wall:
        """Another one to whom all of this happened, and who goes on apart from this one."""
        other, session = copy(self), copy(self.session)
        other.journal = session._journal = MemoryJournal(self.journal.records())
        session._clock = lambda: other.now
        other.session = session
        return other

    def wait(self, hours: float) -> None:
        """Time goes by."""
        self.now += timedelta(hours=hours)

    def restart(self) -> None:
        """The session ends and another one opens the journal."""
        self.session = self._opened()

    @property
    def view(self) -> View:
        """What the screen shows."""
        return self.session.view()

    @property
    def readings(self) -> tuple[Told, ...]:
        """Readings, boxes and openings as they are told."""
        view = self.view
        return tuple(told(line, view.unit) for line in view.readings)

    @property
    def settings(self) -> dict[str, str]:
        """What else stands on the board, by its label."""
        view = self.view
        return {each.label: each.value for each in (told(line, view.unit) for line in view.context)}

    def line(self, label: str) -> Line | None:
        """The reading of that label as the screen shows it."""
        return next((line for line in self.view.readings if told(line, self.view.unit).label == label), None)

    def value(self, label: str) -> str | None:
        """The figures of that reading; None where there is none."""
        line = self.line(label)
        return told(line, self.view.unit).value if line else None

    def standing(self, label: str) -> str | None:
        """How the reading stands."""
        line = self.line(label)
        return line.call.standing.value if line else None

    @property
    def asks(self) -> bool:
        """Whether an answer is waited for."""
        return self.view.last is not None and self.view.last.asks

    @property
    def refuses(self) -> bool:
        """Whether the last thing wasn't taken."""
        return self.view.last is not None and self.view.last.refused


def wall_after(*lines: str) -> Wall:
    """A wall to whom those lines were called (see `Wall.says`). What many tests begin with is talked through once."""
    return _led(lines).twin()


@lru_cache(maxsize=500)
def _led(lines: tuple[str, ...]) -> Wall:
    if not lines:
        return Wall()
    wall = _led(lines[:-1]).twin()
    wall.says(lines[-1])
    return wall


def with_rival(*rival: Meaning) -> Callable[[Rooms], Rooms]:
    """Rooms whose ears always name that other meaning too."""

    def changed(its: Rooms) -> Rooms:
        def judged(hearings: Sequence[Hearing], awaiting: Expectation) -> Judged:
            return replace(its.judged(hearings, awaiting), rival=tuple(rival))

        return replace(its, judged=judged)

    return changed


def unsure(its: Rooms) -> Rooms:
    """Rooms whose ears doubt everything that they hear."""

    def judged(hearings: Sequence[Hearing], awaiting: Expectation) -> Judged:
        return replace(its.judged(hearings, awaiting), unsure=True)

    return replace(its, judged=judged)
