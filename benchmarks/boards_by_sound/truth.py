"""What is meant: the same board typed beside the talk, so that what was heard can be held against it at every call."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime

from benchmarks.boards_by_sound.comparing import not_as_called
from benchmarks.boards_by_sound.scripts import Script
from benchmarks.dialogue.crew_boards import compared
from fieldvoice.dialogue.rooms import Rooms, rooms
from fieldvoice.dialogue.session import Session
from fieldvoice.dialogue.state import is_whole
from fieldvoice.journal.journal import MemoryJournal
from fieldvoice.records.facts import Fact
from fieldvoice.records.hearing import Hearing
from fieldvoice.records.ledger import AnsweredBy, Concern, Doubt
from fieldvoice.records.meaning import Box, Circuit, Incomplete, Lack, Opening
from fieldvoice.records.plan import Need

WHO = "hanger"
SIDE = "cut the right"
"""What the crew says to a draft that lacks the side to cut."""
AT_THE_END = frozenset({Concern.LAST, Concern.TESTED})
"""Questions that every board may bring: the last read-back, and whether a circuit is dead and tested."""
_PARTS = {Lack.POINT: "center", Lack.START: "the left"}
_MOST_ANSWERS = 12
Kept = tuple[str, Fact]
"""A board's name and a fact on it; a box or an opening without its name, since which is which is told by its place."""


def new_session(using: Rooms | None = None) -> Session:
    """A job in memory, at a fixed hour."""
    now = datetime(2026, 5, 4, 8, 0, tzinfo=UTC)
    return Session(MemoryJournal(), rooms=using or rooms(), clock=lambda: now)


def kept(session: Session) -> frozenset[Kept]:
    """All that is known on every board, what is still in question too."""
    state = session.state
    return frozenset(
        (board, nameless(call.fact))
        for board in state.boards
        for call in state.known(board, doubtful=True).values()
        if is_whole(call) and call.fact is not None
    )


def boxes(session: Session, circuit: Circuit) -> frozenset[Kept]:
    """The boxes whose circuit was said to be that."""
    state = session.state
    return frozenset(
        fact
        for board in state.boards
        for name, word in state.circuits(board).items()
        if word.state is circuit
        for fact in named(session, board, (name,))
    )


def named(session: Session, board: str, names: Sequence[str]) -> frozenset[Kept]:
    """The boxes and openings of those names."""
    calls = session.state.known(board, doubtful=True).values()
    return frozenset(
        (board, nameless(call.fact)) for call in calls if call.fact and is_whole(call) and call.key.name in names
    )


def nameless(fact: Fact | Incomplete) -> Fact:
    """The fact without the name of its box or opening. Of whole facts only."""
    assert not isinstance(fact, Incomplete)
    return replace(fact, name="") if isinstance(fact, Box | Opening) else fact


def asked(session: Session) -> Doubt | None:
    """The question that waits for the hanger."""
    mine = session.state.open.get(WHO)
    return mine.doubts[0] if mine is not None and mine.doubts else None


def lacks_side(session: Session) -> bool:
    """Whether the draft only wants to know which side is cut."""
    return any(item.need is not None and item.need.need is Need.SIDE for item in session.view().open)


def part_answer(script: Script, doubt: Doubt, told: str) -> str | None:
    """What the hanger answers to what fieldvoice asks of a call that lacks something: as the script says, else what is
    usual.
    """
    for word, answer in script.answers:
        if word in told.lower():
            return answer
    return _PARTS.get(doubt.lack) if doubt.lack is not None else None


class Typed:
    """The board so far as it was meant. `questions` counts what was asked though nothing was misheard, beside what
    every board brings; `lines` tells which call brought a fact.
    """

    def __init__(self, script: Script) -> None:
        self._script = script
        self.session = new_session()
        self.questions = 0
        self.lines: dict[Kept, str] = {}

    @property
    def facts(self) -> frozenset[Kept]:
        """All that was called so far."""
        return kept(self.session)

    def call(self, line: str) -> frozenset[Kept]:
        """The facts that a line brings. Raises ValueError where it isn't taken, so that nothing can be held against
        it.
        """
        before = self.facts
        said = line
        for _ in range(_MOST_ANSWERS):
            told = " ".join(each.text for each in self.session.take(Hearing.typed(said), WHO))
            doubt = asked(self.session)
            if self.session.state.refused or (doubt is None and self.session.state.asks):
                raise ValueError(f"{self._script.name}: {said!r} is answered by {told!r}")
            if doubt is None:
                break
            self.questions += doubt.concern not in AT_THE_END
            said = self._answer(doubt, told)
        new = self.facts - before
        self.lines.update(dict.fromkeys(new, line))
        return new

    def done(self) -> bool:
        """The end of the board; whether there is a plan to cut from."""
        for line in ("done", SIDE, "done"):
            if line != SIDE or lacks_side(self.session):
                self.call(line)
        view = self.session.view()
        return view.plan is not None and not view.draft

    def _answer(self, doubt: Doubt, told: str) -> str:
        answer = part_answer(self._script, doubt, told)
        if answer is None and doubt.answered_by is AnsweredBy.YES_OR_NO:
            answer = "yes"
        if answer is None:
            raise ValueError(f"{self._script.name}: no answer to {told!r}")
        return answer


def otherwise(script: Script, session: Session) -> tuple[str, ...]:
    """What of a session's plan isn't as it was written down before anything was called."""
    if script.crew is not None:
        missing, wrong = compared(session, script.crew)
        return (*(f"not there: {one}" for one in sorted(missing)), *(f"not meant: {one}" for one in sorted(wrong)))
    return not_as_called(session, session.state.board, script.facts)


def unfit(script: Script) -> str:
    """Why a board can't be held against what is heard: where nothing is misheard it comes to no plan, or to one that
    isn't as it was written down. An empty string where it can.
    """
    typed = Typed(script)
    try:
        for line in script.lines:
            typed.call(line)
        if not typed.done():
            return "no plan where all is typed"
    except ValueError as why:
        return str(why)
    return "; ".join(otherwise(script, typed.session))
