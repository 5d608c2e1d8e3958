"""A dialogue being led: the pure rules with a journal, a clock and the other rooms around them."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager, suppress
from datetime import UTC, datetime

from fieldvoice.dialogue import wording
from fieldvoice.dialogue.assembly import unit_of
from fieldvoice.dialogue.dialogue import Outcome, respond, respond_tick
from fieldvoice.dialogue.events import EntriesLost, Event, body_of, event_of, kind_of
from fieldvoice.dialogue.fold import apply
from fieldvoice.dialogue.looking import look
from fieldvoice.dialogue.rooms import Rooms
from fieldvoice.dialogue.state import State, shaken, without_dead
from fieldvoice.dialogue.view import Say, View
from fieldvoice.journal.journal import Entry, Log, NotKept
from fieldvoice.records.hearing import Hearing, Source
from fieldvoice.records.length import Unit


def _now() -> datetime:
    return datetime.now(UTC)


class Session:
    """One job, talked about by one or more people. Safe to call from several threads: turns are taken one at a time.

    Everything is in the journal before it is acknowledged. Where the journal can't keep a turn, that turn says so; the
    journal holds it in memory and tries again at every turn.
    """

    def __init__(self, journal: Log, *, rooms: Rooms | None = None, clock: Callable[[], datetime] = _now) -> None:
        self._journal = journal
        self._rooms = rooms or _own_rooms()
        self._clock = clock
        self._turn = threading.RLock()
        self._speaking = 0
        state, lost = reopened(journal, clock())
        self._state = without_dead(state)
        self._untold = lost

    def take(self, hearing: Hearing | Sequence[Hearing], who: str) -> tuple[Say, ...]:
        """One utterance, as one or more recognizers took it; gives what to say. Words spoken while fieldvoice itself
        speaks aren't taken.
        """
        hearings = (hearing,) if isinstance(hearing, Hearing) else tuple(hearing)
        if self._speaking and all(each.source is Source.SPOKEN for each in hearings):
            return ()
        with self._turn:
            answer = any(each.doubts for each in self._state.pending.values())
            judged = self._rooms.judged(hearings, answer, self.unit)
            return self._keep(respond(self._state, _joined(hearings), judged, who, self._clock(), self._rooms), who)

    def tick(self, step: int, who: str) -> tuple[Say, ...]:
        """A step, by its number from 1, is done."""
        with self._turn:
            return self._keep(respond_tick(self._state, step, who, self._clock(), self._rooms), who)

    def view(self) -> View:
        """What the job looks like now."""
        with self._turn:
            return look(self._state, self._clock(), self._rooms, self._journal.trouble or self._notice())

    @contextmanager
    def speaking(self) -> Iterator[None]:
        """While fieldvoice speaks: the microphone is not listened to."""
        self._speaking += 1
        try:
            yield
        finally:
            self._speaking -= 1

    @property
    def muted(self) -> bool:
        """Whether fieldvoice speaks now, so that the microphone is not to be listened to."""
        return self._speaking > 0

    @property
    def state(self) -> State:
        """The state, for other readers of the job."""
        return self._state

    @property
    def unit(self) -> Unit:
        """The unit that the board at hand is kept in: that of a number said without one."""
        return unit_of(self._state.known(self._state.board))

    def _keep(self, outcome: Outcome, who: str) -> tuple[Say, ...]:
        """Writes the events, then lets them count, then says. Nothing is said to be taken before it is kept."""
        found = [] if self._untold is None else [(self._untold, "fieldvoice")]
        not_kept = self._write([*found, *((event, who) for event in outcome.events)])
        self._state = outcome.state
        return (*not_kept, *self._told(), *outcome.says)

    def _notice(self) -> str | None:
        """What is lost, as long as a value is in question for it."""
        asked = any(shaken(facts.values) for facts in self._state.boards.values())
        return wording.entries_lost(tuple(sorted(self._state.losses))) if self._state.losses and asked else None

    def _told(self) -> tuple[Say, ...]:
        """What is lost, before the first answer."""
        lost, self._untold = self._untold, None
        return () if lost is None else (Say(wording.entries_lost(lost.numbers), wording.ENTRIES_LOST, safety=True),)

    def _write(self, events: Iterable[tuple[Event, str]]) -> tuple[Say, ...]:
        """Keeps the events, each with who is behind it; what is to be said where they are in memory only."""
        at = self._clock()
        says: tuple[Say, ...] = ()
        for event, who in events:
            try:
                self._journal.append(kind_of(event), who, body_of(event), at)
            except NotKept as trouble:
                says = (Say(str(trouble), wording.NOT_KEPT),)
        return says


def reopened(journal: Log, at: datetime) -> tuple[State, EntriesLost | None]:
    """The state that a journal's entries leave behind, and what of them is lost that nobody was told of yet: that is
    in the state, but not in the journal. An entry that can't be read counts as lost. Of what was heard and answered
    only the last counts, so only it is read.
    """
    state = State()
    lost = [str(span) for span in journal.lost]
    last: dict[str, Entry] = {}
    for entry in journal.entries():
        if entry.kind in _TALK:
            last[entry.kind] = entry
            continue
        try:
            event = event_of(entry.kind, entry.body)
        except (TypeError, ValueError, KeyError, AttributeError):
            lost.append(str(entry.seq))
            continue
        state = state if event is None else apply(state, event, entry.who, entry.at)
    state = _with_talk(state, last.values())
    news = tuple(number for number in lost if number not in state.losses)
    event = EntriesLost(news) if news else None
    return (state if event is None else apply(state, event, "fieldvoice", at)), event


_TALK = frozenset({"heard", "answered"})


def _with_talk(state: State, entries: Iterable[Entry]) -> State:
    """The state with what was said last; where that can't be read it only isn't shown."""
    for entry in sorted(entries, key=lambda each: each.seq):
        with suppress(TypeError, ValueError, KeyError, AttributeError):
            event = event_of(entry.kind, entry.body)
            state = state if event is None else apply(state, event, entry.who, entry.at)
    return state


def _joined(hearings: Sequence[Hearing]) -> Hearing:
    """All that the recognizers heard, as one hearing to record and to look through for danger."""
    first = hearings[0]
    names = " + ".join(dict.fromkeys(hearing.recognizer for hearing in hearings))
    return Hearing(
        tuple(each for hearing in hearings for each in hearing.hypotheses), names, first.source, sound=first.sound
    )


def _own_rooms() -> Rooms:
    from fieldvoice.dialogue.wiring import rooms

    return rooms()
