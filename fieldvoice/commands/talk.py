"""One dialogue being led, from the job or the planned house that it goes on with, over hearings in and answers out,
told aloud one speaker at a time and never into an open microphone, to its plans as JSON or as checklists.
"""

from __future__ import annotations

import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from fieldvoice.commands.output import block_cell, emit, show, tell
from fieldvoice.dialogue.view import View
from fieldvoice.errors import JournalTrouble, SessionLeft
from fieldvoice.jobs import SUFFIX, job_file, jobs_folder
from fieldvoice.journal.journal import Journal, MemoryJournal
from fieldvoice.output.documents import Document
from fieldvoice.output.voice import Cue, Voice
from fieldvoice.records.hearing import Hearing
from fieldvoice.records.length import Unit
from fieldvoice.records.said import Say

if TYPE_CHECKING:
    from fieldvoice.dialogue.session import Session
    from fieldvoice.records.room import House


class Dialogue(Protocol):
    """What the commands ask of a session."""

    @property
    def unit(self) -> Unit:
        """What a number without its unit is said in now."""

    def take(self, hearing: Hearing | Sequence[Hearing], who: str, *, present: bool = True) -> tuple[Say, ...]:
        """One utterance in, what to say out; `present` where a person says it."""

    def view(self) -> View:
        """What the job looks like now."""

    def views(self) -> tuple[View, ...]:
        """Every board that anything was called on, as it is now."""


@dataclass(frozen=True, slots=True)
class SaidLine:
    """Who said what; `recognizer` is what heard it, None for fieldvoice's own words."""

    who: str
    text: str
    recognizer: str | None = None

    def document(self) -> Document:
        """The turn as a transcript in JSON has it."""
        return {"who": self.who, "text": self.text, "recognizer": self.recognizer}

    def line(self) -> str:
        """The turn as a line of text: `hanger (whisper): top forty six`."""
        return f"{self.who}{f' ({self.recognizer})' if self.recognizer else ''}: {self.text}"


@dataclass(slots=True)
class Talk:
    """A session with what was said in it. No view is kept: each is made anew when it is shown. `present`: a person says
    it, who may have tested a circuit.
    """

    session: Dialogue
    turns: list[SaidLine] = field(default_factory=list)
    present: bool = True

    def take(self, hearings: Sequence[Hearing], who: str) -> tuple[tuple[SaidLine, ...], tuple[Say, ...]]:
        """One utterance, as one or more recognizers took it: the turns it made, and what is to be said aloud."""
        heard = hearings[0] if len(hearings) == 1 else tuple(hearings)
        says = self.session.take(heard, who, present=self.present)
        view = self.session.view()
        names = " + ".join(dict.fromkeys(hearing.recognizer for hearing in hearings))
        words = view.last.heard if view.last else hearings[0].words
        turns = (SaidLine(who, words or "(nothing heard)", names), *(SaidLine("fieldvoice", say.text) for say in says))
        self.turns.extend(turns)
        return turns, says

    def unit(self) -> Unit:
        """The unit that the job is kept in now; it can change with every turn."""
        return self.session.unit


def recorded_talk(*, demonstration: bool = False) -> Talk:
    """A dialogue that leaves nothing on disk, led from recordings: nobody is at the wall, so that no word of a circuit
    in it counts now, but in a demonstration, which says so.
    """
    from fieldvoice.dialogue.session import Session

    return Talk(Session(MemoryJournal(), present=False, demonstration=demonstration))


@contextmanager
def open_job(job: Path | None) -> Iterator[Journal]:
    """The job's journal to write; where the disk can't keep it, it goes on in memory and says so on the screen.

    Raises `JournalBusy` while another session writes the same job, and `SessionLeft` for a Ctrl-C once all is kept.
    """
    try:
        with Journal.open(job_file(job)) as journal:
            yield journal
    except KeyboardInterrupt as leaving:
        raise SessionLeft from leaving


def with_sound(hearings: Sequence[Hearing], frames: bytes, job: Path) -> tuple[Hearing, ...]:
    """The hearings of one utterance with the name of the file that now holds its sound, beside the job.

    Where the sound can't be kept that is told, and the hearings are as they were.
    """
    from fieldvoice.ears.wav import keep_audio

    try:
        name = keep_audio(job, frames, datetime.now(UTC))
    except JournalTrouble as trouble:
        tell(f"fieldvoice: {trouble}")
        return tuple(hearings)
    return tuple(replace(hearing, sound=name) for hearing in hearings)


@dataclass(frozen=True, slots=True)
class HouseFile:
    """A house and the file that it was read from."""

    path: Path
    house: House

    @classmethod
    def read(cls, path: Path | None) -> HouseFile | None:
        """None where no house is wanted. Raises `BadInput` with a line for each thing that is wrong in the file."""
        from fieldvoice.commands.planning import read

        return None if path is None else cls(path, read(path))

    @property
    def job(self) -> Path:
        """Where the job of this house is kept, so that the same command goes on with it."""
        return jobs_folder() / f"{self.path.stem}{SUFFIX}"


def job_of(job: Path | None, house: HouseFile | None) -> Path:
    """The job that is named, else that of the house, else the last one."""
    return house.job if job is None and house is not None else job_file(job)


def take_house(talk: Talk, house: HouseFile | None, who: str) -> tuple[Sequence[SaidLine], Sequence[Say]]:
    """The surfaces of the house become those of the job: the turns of it, and what is to be said aloud. Raises
    `CannotCut` where no layout keeps the rules.
    """
    from fieldvoice.commands.planning import progress_told
    from fieldvoice.dialogue.session import Session

    if house is None:
        return (), ()
    assert isinstance(talk.session, Session)
    tell(f"Planning {house.house.name or house.path.name}.")
    says = talk.session.take_house(house.house, house.path.name, who, progress_told(house.house.unit))
    turns = (SaidLine(who, house.path.name), *(SaidLine("fieldvoice", say.text) for say in says))
    talk.turns.extend(turns)
    return turns, says


class Mute(Protocol):
    """What can be told that sound in it is fieldvoice's own."""

    def skip(self) -> None:
        """Forgets what came in and wasn't taken yet."""


class Aloud:
    """The voice of a session. Safe to call from several threads: what one says, another waits for."""

    def __init__(self, voice: Voice, session: Session, microphone: Mute | None = None) -> None:
        self._voice, self._session, self._microphone = voice, session, microphone
        self._lock = threading.Lock()

    def ready(self) -> None:
        """The sound for listening."""
        self._play(Cue.LISTENING)

    def say(self, says: Sequence[Say]) -> None:
        """A short sound, taken or waiting for an answer, and then the words."""
        spoken = [say.spoken for say in says if say.spoken]
        if not spoken:
            return
        last = self._session.view().last
        waits = last is not None and (last.asks or last.refused)
        self._play(Cue.WAITING if waits else Cue.TAKEN, spoken)

    def _play(self, sound: Cue, lines: Sequence[str] = ()) -> None:
        """With the microphone shut. Where nothing could be heard nothing is skipped either: what came in meanwhile is
        the hanger's.
        """
        with self._lock:
            self._voice.speak_as(self._session.state.manner)
            with self._session.speaking():
                heard = [self._voice.beep(sound), *map(self._voice.say, lines)]
            if any(heard) and self._microphone is not None:
                self._microphone.skip()


def show_plans(
    talk: Talk,
    unit: str | None,
    *,
    as_json: bool,
    trouble: str | None = None,
    transcript: bool = False,
    before: Talk | None = None,
) -> int:
    """Print every finished plan. Returns 0 where each board has one, else 1; `trouble` is why there is none. In JSON
    the boards of a talk `before` this one stand beside them.
    """
    from fieldvoice.output.checklist import checklist
    from fieldvoice.output.documents.boards import no_plan_document, plan_document

    views = () if trouble else talk.session.views()
    why = trouble or _why_not(views)
    if as_json:
        chosen = Unit(unit) if unit else views[0].unit if views else Unit.INCH
        document = plan_document(views, chosen) if not trouble else no_plan_document(trouble, chosen)
        said = _transcript(talk) if transcript else {}
        planned = {} if before is None else {"planned_wall": {**_boards(before, chosen), **_transcript(before)}}
        emit({**document, **_layout(talk), **({"why": why} if why else {}), **planned, **said})
        return 1 if why else 0
    for view in views:
        if view.to_cut is not None:
            show(
                checklist(
                    view.to_cut,
                    view.cautions,
                    room=view.room,
                    ticked=view.ticked,
                    full=block_cell(),
                )
            )
    if why and not trouble:
        tell(f"fieldvoice: {why}")
    return 1 if why else 0


def _transcript(talk: Talk) -> Document:
    return {"transcript": [turn.document() for turn in talk.turns]}


def _boards(talk: Talk, unit: Unit) -> Document:
    from fieldvoice.output.documents.boards import plan_document

    return plan_document(talk.session.views(), unit)


def _layout(talk: Talk) -> Document:
    """The layout of the walls and ceilings called, as `room` prints it, with the rack; where none was, the rack alone,
    if anything is on it.
    """
    from fieldvoice.output.documents.rooms import offcut_document, room_document

    view = talk.session.view()
    rack = [offcut_document(one, view.unit if view.room_plan is None else view.room_plan.unit) for one in view.rack]
    if view.room_plan is None:
        return {"rack": rack} if rack else {}
    return {"room": {**room_document(view.room_plan), "rack": rack}}


def _why_not(views: Sequence[View]) -> str | None:
    """Why a board has no finished plan, for each that has none."""
    if not views:
        return "No board was called, so there is nothing to cut."
    from fieldvoice.wording.boards import still_open

    drafts = (view for view in views if view.to_cut is None)
    return " ".join(still_open(view.board, view.plan_trouble, view.open, view.unit) for view in drafts) or None
