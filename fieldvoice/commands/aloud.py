"""What is said aloud in a live session, one speaker at a time and never into an open microphone."""

from __future__ import annotations

import threading
from collections.abc import Sequence
from typing import TYPE_CHECKING, Protocol

from fieldvoice.output.voice import Cue

if TYPE_CHECKING:
    from fieldvoice.dialogue.session import Session
    from fieldvoice.output.voice import Voice
    from fieldvoice.records.said import Say


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
