"""A dialogue being led: the pure rules with a journal, a clock and the other rooms around them."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta

from fieldvoice.dialogue.assembly import unit_of
from fieldvoice.dialogue.carried_out import tick
from fieldvoice.dialogue.codec import TURN, body_of, turn_of
from fieldvoice.dialogue.dialogue import at_screen, respond, respond_house
from fieldvoice.dialogue.events import EntriesLost, Event, Opened
from fieldvoice.dialogue.looking import look
from fieldvoice.dialogue.ordering import asked_order
from fieldvoice.dialogue.orders import ORDERS, cautions_read
from fieldvoice.dialogue.reducer import apply
from fieldvoice.dialogue.rooms import Rooms
from fieldvoice.dialogue.rooms import rooms as as_they_are
from fieldvoice.dialogue.state import State
from fieldvoice.dialogue.turn import Turn
from fieldvoice.dialogue.view import View, in_hand
from fieldvoice.errors import NotKept
from fieldvoice.journal.journal import MemoryJournal
from fieldvoice.language.verdict import Expectation
from fieldvoice.records.hearing import Hearing, Source
from fieldvoice.records.ledger import Concern, Notice, Tell
from fieldvoice.records.length import Unit
from fieldvoice.records.room import House
from fieldvoice.records.room_plan import Progress
from fieldvoice.records.said import Say
from fieldvoice.records.trouble import Trouble, Wrong
from fieldvoice.records.utterance import Action
from fieldvoice.wording.aloud import says_of
from fieldvoice.wording.notices import ENTRIES_LOST, NOT_KEPT, say
from fieldvoice.wording.troubles import sentence

HOUSE = "fieldvoice"
"""Who is behind an entry that no person brought about."""
SET_BACK = timedelta(seconds=10)
"""By more than this a clock is set back; less is a network's small corrections."""


def _now() -> datetime:
    return datetime.now(UTC)


def _in_utc(clock: Callable[[], datetime]) -> Callable[[], datetime]:
    """The clock in the time that never goes back: that of a wall does once a year."""
    return lambda: clock().astimezone(UTC)


class Session:
    """One job, talked about by one or more people. Safe to call from several threads: turns are taken one at a time.

    Each turn is one entry of the journal, kept before it is acknowledged; that it began is one where it changes what a
    reader beside it sees, since nothing is tested any more. `present`: people are at the wall, so that
    their word of a circuit can count; a file's can't. `demonstration`: it may count, and every surface says so.
    """

    def __init__(
        self,
        journal: MemoryJournal,
        *,
        rooms: Rooms | None = None,
        clock: Callable[[], datetime] = _now,
        present: bool = True,
        demonstration: bool = False,
    ) -> None:
        self._journal = journal
        self._rooms = rooms or as_they_are()
        self._clock = _in_utc(clock)
        self._present = present or demonstration
        self._demonstration = demonstration
        self._turn = threading.RLock()
        self._speaking = 0
        self._state, self._untold = reopened(journal, self._clock())
        self._unasked = _asked_of_tests(self._state)
        self._begun: tuple[Event, ...] = (Opened(),)
        before, self._state = self._state, apply(self._state, Opened(), HOUSE, self._clock())
        self._not_kept = self._write((), HOUSE) if before != self._state else ()
        if self._untold is not None:
            self._begun = (*self._begun, self._untold)
        self._latest = self._clock()

    def take(self, hearing: Hearing | Sequence[Hearing], who: str, *, present: bool = True) -> tuple[Say, ...]:
        """One utterance, as one or more recognizers took it; gives what to say. Words spoken while fieldvoice itself
        speaks aren't taken. `present`: a person says it, not a file or another program.
        """
        hearings = (hearing,) if isinstance(hearing, Hearing) else tuple(hearing)
        if self._speaking and all(each.source is Source.SPOKEN for each in hearings):
            return ()
        with self._turn:
            at = self._at()
            asked = self._state.doubts
            answer = bool(asked) or asked_order(self._state, who) is not None
            circuit = any(doubt.concern is Concern.TESTED for doubt in asked)
            expected = Expectation(answer, self.unit, who in self._state.awaited, circuit)
            judged = self._rooms.judged(hearings, expected)
            here = self._present and present
            turn = respond(self._state, _joined(hearings), judged, who, at, self._rooms, present=here)
            return self._keep(turn, who)

    def tick(self, seen: View, who: str) -> tuple[Say, ...] | None:
        """The step in hand of a view is done; None where another is in hand by now, or the same with other marks."""
        with self._turn:
            step = in_hand(seen)
            if step is None or step != in_hand(self.view()):
                return None
            number = str(step.number)
            return self._at_screen(f"tick {number}", who, lambda turn: tick(turn, number))

    def untick(self, who: str) -> tuple[Say, ...]:
        """The last tick of this person on the board at hand was none."""
        with self._turn:
            return self._at_screen("untick", who, lambda turn: ORDERS[Action.BACK](turn, None))

    def acknowledge(self, seen: View, who: str) -> tuple[Say, ...]:
        """Somebody read the cautions that a view showed."""
        with self._turn:
            read = tuple(each.key for each in seen.cautions)
            return self._at_screen("cautions read", who, lambda turn: cautions_read(turn, seen.board, read))

    def _at_screen(self, words: str, who: str, move: Callable[[Turn], Turn]) -> tuple[Say, ...]:
        at = self._at()
        return self._keep(at_screen(self._state, words, who, at, self._rooms, move), who)

    def take_house(self, house: House, file: str, who: str, progress: Progress | None = None) -> tuple[Say, ...]:
        """The surfaces of a planned house, read from a file of that name, become those of the job; `progress` hears how
        far its plan is. Raises `CannotCut` where it can't be laid out; then nothing is taken.
        """
        with self._turn:
            at = self._at()
            return self._keep(respond_house(self._state, house, file, who, at, self._rooms, progress), who)

    def begin(self) -> None:
        """Records that a session began where none was taken part in: after an import nothing counts as tested."""
        with self._turn:
            self._write((), HOUSE)

    def view(self, board: str | None = None) -> View:
        """What the job looks like now: the board at hand, or the one named. Made anew each time."""
        with self._turn:
            at = self._at()
            trouble = self._journal.trouble
            why = self._unconfirmed() if trouble is None else trouble.why
            return look(self._state, at, self._rooms, why, board=board, demonstration=self._demonstration)

    def views(self) -> tuple[View, ...]:
        """Every board that anything was called on, as it is now."""
        with self._turn:
            return tuple(map(self.view, self._state.called_on))

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

    def _at(self) -> datetime:
        """What the clock says. One that was set back tells no more how long ago a circuit was tested, so from then on
        it is as if the session had just begun: a test wouldn't count again when the clock comes to its hour once more.
        """
        at = self._clock()
        if at < self._latest - SET_BACK:
            self._begun = (*self._begun, Opened())
            self._state = apply(self._state, Opened(), HOUSE, at)
            self._not_kept = (*self._not_kept, *self._write((), HOUSE))
            self._latest = at
        self._latest = max(self._latest, at)
        return at

    def _keep(self, turn: Turn, who: str) -> tuple[Say, ...]:
        """Writes the turn, then lets it count, then says. Nothing is said to be taken before it is kept."""
        not_kept = (*self._not_kept, *self._write(turn.events, who))
        self._not_kept = ()
        self._state = turn.state
        return says_of(turn.notices, self.unit, (*not_kept, *self._told()))

    def _unconfirmed(self) -> Trouble | None:
        """What is lost, as long as a value is in question for it."""
        asked = any(self._state.in_question(board) for board in self._state.holed)
        lost = tuple(sorted(self._state.losses))
        return Trouble(Wrong.LOST_UNCONFIRMED, numbers=lost) if lost and asked else None

    def _told(self) -> tuple[Say, ...]:
        """What is lost, before the first answer; and which boxes were asked about when the last session ended, since
        no yes answers that any more.
        """
        lost, self._untold = self._untold, None
        boxes, self._unasked = self._unasked, ()
        if lost is None:
            return (say(Notice(Tell.HEED, boxes, safety=True), self.unit),) if boxes else ()
        why = Trouble(Wrong.LOST_UNCONFIRMED, numbers=lost.numbers)
        return (Say(sentence(why), ENTRIES_LOST, safety=True),)

    def _write(self, events: tuple[Event, ...], who: str) -> tuple[Say, ...]:
        """Keeps the turn as one entry; what is to be said where it is in memory only."""
        at = self._clock()
        says: tuple[Say, ...] = ()
        begun, self._begun = self._begun, ()
        for each, by in ((begun, HOUSE), (events, who)):
            if not each:
                continue
            try:
                self._journal.append(TURN, by, body_of(each), at)
            except NotKept as trouble:
                says = (Say(str(trouble), NOT_KEPT),)
        return says


def _asked_of_tests(state: State) -> tuple[str, ...]:
    """The boxes of which somebody is asked whether they are dead and tested."""
    tests = (doubt for doubt in state.doubts if doubt.concern is Concern.TESTED)
    return tuple(dict.fromkeys(box for doubt in tests for box in doubt.boxes))


def reopened(journal: MemoryJournal, at: datetime) -> tuple[State, EntriesLost | None]:
    """The state that a journal's entries leave behind, and what of them is lost that nobody was told of yet: that is
    in the state, but not in the journal. An entry that can't be read counts as lost.
    """
    state = State()
    lost = [str(run) for run in journal.lost]
    for entry in journal.entries():
        if entry.kind != TURN:
            if entry.kind in OLD_KINDS:
                lost.append(str(entry.seq))
            continue
        try:
            for event in turn_of(entry.body):
                state = apply(state, event, entry.who, entry.at)
        except (TypeError, ValueError, KeyError, AttributeError):
            lost.append(str(entry.seq))
    news = tuple(number for number in lost if number not in state.losses)
    found = EntriesLost(news) if news else None
    return (state if found is None else apply(state, found, HOUSE, at)), found


def as_now(journal: MemoryJournal, at: datetime, *, in_session: bool) -> State:
    """The state for a reader that takes no part: as an open session has it (`in_session`), else as the next one will
    find it, in which nobody has said yet that a circuit is dead.
    """
    state, _ = reopened(journal, at)
    return state if in_session else apply(state, Opened(), HOUSE, at)


OLD_KINDS = frozenset({"proposed", "accepted", "confirmed", "dropped", "struck", "undone", "board opened", "ticked"})
"""Entries of the first format, in which a turn was several: what they held has to be called again, and that is told."""


def _joined(hearings: Sequence[Hearing]) -> Hearing:
    """All that the recognizers heard, as one hearing to record and to look through for danger."""
    first = hearings[0]
    names = " + ".join(dict.fromkeys(hearing.recognizer for hearing in hearings))
    return Hearing(
        tuple(each for hearing in hearings for each in hearing.hypotheses), names, first.source, sound=first.sound
    )
