"""One dialogue being led: hearings in, answers out, with the transcript kept; and the job that it goes on with."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Protocol

from fieldvoice.commands.output import tell
from fieldvoice.dialogue.view import View
from fieldvoice.errors import JournalTrouble, SessionLeft
from fieldvoice.jobs.folder import job_file
from fieldvoice.journal.journal import Journal
from fieldvoice.output.documents import Document
from fieldvoice.records.hearing import Hearing
from fieldvoice.records.length import Unit
from fieldvoice.records.said import Say


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
        view = self.look()
        names = " + ".join(dict.fromkeys(hearing.recognizer for hearing in hearings))
        words = view.last.heard if view.last else hearings[0].words
        turns = (SaidLine(who, words or "(nothing heard)", names), *(SaidLine("fieldvoice", say.text) for say in says))
        self.turns.extend(turns)
        return turns, says

    def unit(self) -> Unit:
        """The unit that the job is kept in now; it can change with every turn."""
        return self.session.unit

    def look(self) -> View:
        """The view now."""
        return self.session.view()


def recorded_talk(*, demonstration: bool = False) -> Talk:
    """A dialogue that leaves nothing on disk, led from recordings: nobody is at the wall, so that no word of a circuit
    in it counts now, but in a demonstration, which says so.
    """
    from fieldvoice.dialogue.session import Session
    from fieldvoice.journal.journal import MemoryJournal

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
