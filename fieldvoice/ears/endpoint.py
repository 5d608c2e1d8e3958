"""Where an utterance begins and ends in a stream of sound."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from fieldvoice.ears.sound import RATE, SILENCE_DB, Frames, level_db

STEP_SECONDS = 0.02
STEP = round(RATE * STEP_SECONDS)
_NOTHING: Frames = np.zeros(0, np.int16)


class Outlook(StrEnum):
    """Whether words may follow those heard so far."""

    COMPLETE = "complete"
    MAY_GO_ON = "may go on"
    MUST_GO_ON = "must go on"


@dataclass(frozen=True, slots=True)
class Patience:
    """Times in seconds. `quiet` is the shortest pause that ends a complete utterance, `open` one that may go on
    ("forty two"); both grow with the pauses that the speaker makes, to `quiet_at_most`. `unfinished` is waited where
    more must come ("forty two and"). `longest` ends any utterance.
    """

    quiet: float = 0.3
    open: float = 0.6
    quiet_at_most: float = 0.8
    unfinished: float = 1.6
    before: float = 0.3
    longest: float = 24.0


@dataclass(frozen=True, slots=True)
class Cut:
    """What a block brought: samples that belong to the utterance, and whether it is over with them."""

    frames: Frames
    ended: bool = False


class Endpointer:
    """Speech detection over 20 ms steps: a kept detector (WebRTC's) and a level clearly above the running noise.

    `take` any block sizes; what is left of a step is kept for the next block. Memory is bounded by `patience.before`.
    """

    def __init__(self, patience: Patience = Patience(), margin_db: float = 6.0) -> None:
        import webrtcvad

        self._detector = webrtcvad.Vad(2)
        self._patience = patience
        self._margin_db = margin_db
        self._left = _NOTHING
        self._before: deque[tuple[Frames, bool]] = deque(maxlen=round(patience.before / STEP_SECONDS))
        self._speaking = False
        self._quiet_steps = 0
        self._spoken_steps = 0
        self._hang_over = patience.quiet
        self.noise_db = SILENCE_DB

    def take(self, block: Frames, outlook: Callable[[], Outlook] = lambda: Outlook.MAY_GO_ON) -> Cut:
        """The next samples. `outlook` is asked at a pause: whether words may follow those heard so far."""
        sound = np.concatenate([self._left, block])
        whole = len(sound) // STEP * STEP
        kept: list[Frames] = []
        for at in range(0, whole, STEP):
            ended = self._step(sound[at : at + STEP], kept, outlook)
            if ended:
                self._left = sound[at + STEP :]
                return Cut(np.concatenate(kept), ended=True)
        self._left = sound[whole:]
        return Cut(np.concatenate(kept) if kept else _NOTHING)

    def stop(self) -> None:
        """Forgets an utterance that has begun, as where the assistant itself starts to speak."""
        self._speaking = False
        self._before.clear()
        self._left = _NOTHING

    def _step(self, step: Frames, kept: list[Frames], outlook: Callable[[], Outlook]) -> bool:
        """One step; returns whether it ended the utterance."""
        voiced = self._voiced(step)
        if not self._speaking:
            self._before.append((step, voiced))
            self._begin(kept)
            return False
        kept.append(step)
        self._spoken_steps += 1
        if voiced:
            self._learn_pause()
            self._quiet_steps = 0
            return self._too_long()
        self._quiet_steps += 1
        return self._over(outlook) or self._too_long()

    def _begin(self, kept: list[Frames]) -> None:
        """Speech begins with five voiced steps among the last eight: a knock is shorter."""
        recent = [voiced for _, voiced in self._before][-8:]
        if sum(recent) >= 5:
            kept.extend(step for step, _ in self._before)
            self._before.clear()
            self._speaking, self._quiet_steps, self._spoken_steps = True, 0, 0

    def _over(self, outlook: Callable[[], Outlook]) -> bool:
        quiet = self._quiet_steps * STEP_SECONDS + 1e-9
        if quiet < self._hang_over or quiet < self._wait(outlook()):
            return False
        self._speaking = False
        # A speaker who no longer pauses inside readings is waited for less, step by step.
        self._hang_over = max(self._patience.quiet, self._hang_over - 0.02)
        return True

    def _wait(self, outlook: Outlook) -> float:
        if outlook is Outlook.COMPLETE:
            return self._hang_over
        return self._patience.unfinished if outlook is Outlook.MUST_GO_ON else self._patience.open

    def _too_long(self) -> bool:
        if self._spoken_steps * STEP_SECONDS < self._patience.longest:
            return False
        self._speaking = False
        return True

    def _learn_pause(self) -> None:
        """A pause that turned out to lie inside an utterance makes the next ones safe with a little to spare."""
        pause = self._quiet_steps * STEP_SECONDS
        if pause > 0.6 * self._hang_over:
            self._hang_over = min(self._patience.quiet_at_most, max(self._hang_over, pause + 0.1))

    def _voiced(self, step: Frames) -> bool:
        level = level_db(step)
        loud = level > self.noise_db + self._margin_db
        # The noise is followed down at once and up slowly (3 dB a second), so that words don't become noise.
        first = self.noise_db == SILENCE_DB
        self.noise_db = level if first or level < self.noise_db else min(level, self.noise_db + 3 * STEP_SECONDS)
        return loud and bool(self._detector.is_speech(step.tobytes(), RATE))


def pauses_cut(frames: Frames, patience: Patience = Patience()) -> list[Frames]:
    """A whole recording cut into its utterances; one that the end of the recording interrupts counts as ended there."""
    endpointer = Endpointer(patience)
    utterances: list[Frames] = []
    running: list[Frames] = []
    silence = np.zeros(round(RATE * (patience.unfinished + 0.1)), np.int16)
    for block in (*np.array_split(frames, max(1, len(frames) // 1600)), *np.array_split(silence, 16)):
        cut = endpointer.take(block)
        running.append(cut.frames)
        if cut.ended:
            utterances.append(np.concatenate(running))
            running = []
    return utterances
