"""The hanger's phone as the microphone: sound from its page, in the same blocks as a microphone's."""

from __future__ import annotations

import threading
from collections import deque
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from fieldvoice.ears.microphone import BLOCK_WAIT_SECONDS, GONE_SECONDS, Level, Stillness
from fieldvoice.ears.sound import MISSING, RATE, SILENCE_DB, Frames, clipped_share, level_db
from fieldvoice.records.trouble import Trouble, Wrong

KEPT_SECONDS = 5.0
"""Sound that waits to be taken; where it is more, the oldest is lost and counts as missing."""
_NONE = np.zeros(0, np.int16)


@dataclass(frozen=True, slots=True)
class _SoundBlock:
    """Some samples, and whether the button was down while they came; `missing` where there are some in between."""

    frames: Frames
    held: bool
    missing: bool = False


class PhoneMicrophone:
    """Blocks of 16 kHz sound from whichever phone holds the link. `begin`, `sound`, `button` and `end` are called from
    the server's thread, the rest from the one that listens.
    """

    def __init__(self, tell: Callable[[Trouble], None]) -> None:
        self._tell = tell
        self._pieces: deque[_SoundBlock] = deque()
        self._waiting = 0
        self._changed = threading.Condition()
        self._down = self._held = False
        self._phone: object | None = None
        self._closed = False
        self.level = Level(SILENCE_DB, clipping=False)
        self._stillness = Stillness()

    def begin(self, phone: object) -> bool:
        """A phone's link is there; False where another one's is."""
        with self._changed:
            if self._phone is not None:
                return False
            self._phone, self._down = phone, False
            self._put(_SoundBlock(_NONE, held=False, missing=True))
            self._put(_SoundBlock(_NONE, held=False))  # the button was up: its first press begins a call
        self._tell(Trouble(Wrong.PHONE_JOINED))
        return True

    def sound(self, data: bytes) -> None:
        """Samples of the phone: 16 bit, little end first."""
        frames = np.frombuffer(data[: len(data) // 2 * 2], "<i2").astype(np.int16)
        with self._changed:
            self._put(_SoundBlock(frames, self._down))

    def button(self, *, down: bool) -> None:
        """The big button."""
        with self._changed:
            self._down = down
            self._put(_SoundBlock(_NONE, down))

    def end(self, phone: object) -> None:
        """The link is gone. In the middle of a call that is told, and nothing of the call is taken."""
        with self._changed:
            if self._phone is not phone:
                return
            cut_off, self._phone, self._down = self._down, None, False
            self._put(_SoundBlock(_NONE, held=False, missing=True))
        self._tell(Trouble(Wrong.PHONE_DROPPED) if cut_off else Trouble(Wrong.PHONE_LEFT))

    def held(self) -> bool:
        """Whether the button was down in the block that was given last."""
        return self._held

    def blocks(self) -> Iterator[Frames]:
        """What came in about a tenth of a second; `MISSING` where sound is missing."""
        silent = 0.0
        while not self._closed:
            frames, missing = self._next()
            silent = 0.0 if len(frames) or missing else silent + BLOCK_WAIT_SECONDS
            if silent >= GONE_SECONDS and self._held:
                self._fell_silent()
                missing = True
            if missing:
                silent = 0.0
                yield MISSING
                continue
            self.level = Level(level_db(frames), clipping=clipped_share(frames) > 0)
            if len(frames) and self._stillness.begins(frames):
                self._tell(Trouble(Wrong.PHONE_SILENT))
            yield frames

    def _fell_silent(self) -> None:
        """The button is down and nothing comes: the phone sleeps, whatever its link says."""
        with self._changed:
            self._down = self._held = False
        self._tell(Trouble(Wrong.PHONE_DROPPED))

    def skip(self) -> None:
        """Forgets what waits: the assistant's own voice."""
        with self._changed:
            self._pieces.clear()
            self._waiting = 0
            self._put(_SoundBlock(_NONE, self._down, missing=True))

    def close(self) -> None:
        """No more blocks."""
        self._closed = True
        with self._changed:
            self._changed.notify()

    def _put(self, piece: _SoundBlock) -> None:
        self._pieces.append(piece)
        self._waiting += len(piece.frames)
        if self._waiting > KEPT_SECONDS * RATE:
            self._pieces.clear()
            self._waiting = 0
            self._pieces.append(_SoundBlock(_NONE, self._down, missing=True))
        self._changed.notify()

    def _next(self) -> tuple[Frames, bool]:
        """The pieces that wait, as far as the button is the same in them and nothing is missing."""
        with self._changed:
            if not self._pieces:
                self._changed.wait(BLOCK_WAIT_SECONDS)
            if not self._pieces:
                return _NONE, False
            first = self._pieces.popleft()
            self._held = first.held
            found = [first.frames]
            while not first.missing and self._pieces and self._same(self._pieces[0], first):
                found.append(self._pieces.popleft().frames)
            frames = np.concatenate(found)
            self._waiting -= len(frames)
            return frames, first.missing

    @staticmethod
    def _same(piece: _SoundBlock, first: _SoundBlock) -> bool:
        return piece.held == first.held and not piece.missing
