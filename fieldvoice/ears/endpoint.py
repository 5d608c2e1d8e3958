"""Where an utterance begins and ends in a stream of sound."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from fieldvoice.ears.sound import RATE, Frames, NoiseFloor, level_db
from fieldvoice.records.hearing import Outlook

STEP_SECONDS = 0.02
STEP = round(RATE * STEP_SECONDS)
LOUD_PERCENTILE = 90
REACH_DB = 18.0
"""Within an utterance a step counts as speech where it is within so much of the loud ones before it (that percentile of
their levels): noise that comes and goes stands above the quietest of it, but mostly not so near to the words.
"""
FADING_DB_A_SECOND = 20.0
"""So fast an utterance that is over is forgotten as a measure of what is loud."""
NOTHING: Frames = np.zeros(0, np.int16)


@dataclass(frozen=True, slots=True)
class Patience:
    """Times in seconds. `quiet` is the shortest pause that ends a complete utterance; it grows with the gaps that the
    speaker makes between words, to `quiet_at_most`. `open` is waited where more may come ("forty two"), `unfinished`
    where more must ("forty two and"). A pause begins where the words grow weak, so a hissed ending counts to it.
    `before` is kept from before the first word; `longest` ends any utterance.
    """

    quiet: float = 0.3
    open: float = 1.4
    quiet_at_most: float = 0.8
    unfinished: float = 2.0
    before: float = 0.3
    longest: float = 24.0


_SETTLED = round(0.3 / STEP_SECONDS)
"""Steps without a voice after which a new call may begin where sound was missing."""
_BELIEVED = round(1.0 / STEP_SECONDS)
"""For so many steps without a pause the detector is believed that somebody speaks."""
_LOOK, _BETWEEN_LOOKS = round(0.6 / STEP_SECONDS), round(0.3 / STEP_SECONDS)
"""So many steps of doubtful sound are put to the ears together, and again with what comes in so many: the end of a call
beside a machine is seen 0.6 to 0.9 s after it. Of 24 pieces of machines so long 22 are surely nobody, of as many of a
second 22, of half a second 16; of 19 from the middle of calls one, none and one.
"""
_VOICED_OF_EIGHT = 5
"""Speech has a voice in so many of eight steps in a row: a knock is shorter."""


@dataclass(frozen=True, slots=True)
class Portion:
    """Samples that belong to the utterance, and whether it is over with them."""

    frames: Frames
    ended: bool = False


class Endpointer:
    """Speech detection over 20 ms steps: a kept detector (WebRTC's) and a level clearly above the running noise.

    `take` any block sizes; what is left of a step is kept for the next block. Quiet beyond the shortest pause is held
    back until words follow, so that what is looked at in a pause is what the utterance ends with. Memory is bounded by
    `patience`.

    The detector takes machines for speech where they throb nearly as loud as the voice. So where it has found no pause
    for longer than most calls are, or something follows a pause that was waited through, the sound is held back and
    the ears are asked whether anything was said in it. If not it counts as quiet.
    """

    def __init__(self, patience: Patience = Patience(), margin_db: float = 6.0) -> None:
        import webrtcvad

        self._detector = webrtcvad.Vad(2)
        self._patience = patience
        self._margin_db = margin_db
        self._left = NOTHING
        self._before = self._remembered()
        self._ready: list[Frames] = []
        self._held: list[Frames] = []
        self._quiet_steps = 0
        self._spoken_steps = 0
        self._hang_over = patience.quiet
        self._noise = NoiseFloor()
        self._levels: list[float] = []
        self._idle_steps = 0
        self._unsettled = 0
        self._doubted: list[tuple[Frames, bool]] = []
        self._unpaused_steps = 0
        self._unlooked_steps = _LOOK
        self.speaking = False

    @property
    def noise_db(self) -> float:
        """The running level of the noise, in dB of full scale."""
        return self._noise.db

    def take(
        self,
        block: Frames,
        outlook: Callable[[], Outlook] = lambda: Outlook.MAY_GO_ON,
        silent: Callable[[Frames], bool] = lambda _: False,
    ) -> Iterator[Portion]:
        """The cuts that a block makes. In a pause `outlook` is asked whether words may follow those of the cuts given
        so far, so each must be used before the next is asked for. `silent` is asked whether nobody speaks in samples
        that the detector can't tell from speech, at most three times for each second of sound.
        """
        sound = np.concatenate([self._left, block])
        whole = len(sound) // STEP * STEP
        self._left = sound[whole:]
        for at in range(0, whole, STEP):
            yield from self._step(sound[at : at + STEP], outlook, silent)
        yield from self._spoken()

    def interrupted(self) -> None:
        """Sound is missing here, as where the assistant itself has spoken: what had begun is forgotten, and nothing
        begins before a pause, since the end of a call alone would be another reading.
        """
        self._over()
        self._before.clear()
        self._levels = []
        self._left = NOTHING
        self._unsettled = _SETTLED

    def _step(
        self, step: Frames, outlook: Callable[[], Outlook], silent: Callable[[Frames], bool]
    ) -> Iterator[Portion]:
        voiced = self._voiced(step)
        self._unlooked_steps += 1
        if self._unsettled:
            self._settle(step, silent, voiced=voiced)
            return
        if not self.speaking:
            self._idle_steps += 1
            self._before.append((step, voiced))
            self._begin()
            return
        self._spoken_steps += 1
        self._unpaused_steps += 1
        if self._doubted or (voiced and self._doubtful()):
            self._doubted.append((step, voiced))
            yield from self._doubt(outlook, silent)
        elif voiced:
            self._go_on([step])
        else:
            yield from self._pause(step, outlook)
        if self.speaking and self._spoken_steps * STEP_SECONDS >= self._patience.longest:
            self._ready += [*self._held, *(step for step, _ in self._doubted)]
            yield from self._spoken()
            self._over()
            yield Portion(NOTHING, ended=True)

    def _begin(self) -> None:
        """Speech begins where it is longer than a knock."""
        if _speech_like(self._before):
            self._ready = [step for step, _ in self._before]
            self.speaking, self._quiet_steps, self._spoken_steps, self._unpaused_steps = True, 0, 0, 0
            self._levels = [level_db(step) for step, voiced in self._before if voiced]
            self._before = self._remembered()

    def _go_on(self, steps: Iterable[Frames]) -> None:
        """A gap between words, shorter than any pause that ends, makes the next ones safe with a little to spare."""
        gap = self._seconds_quiet()
        if 0.6 * self._hang_over < gap < self._hang_over:
            self._hang_over = min(self._patience.quiet_at_most, max(self._hang_over, gap + 0.1))
        self._ready += [*self._held, *steps]
        self._held = []
        self._quiet_steps = 0

    def _believe(self, steps: Iterable[tuple[Frames, bool]]) -> None:
        """Speech goes on in these steps, with the gaps that are in it."""
        for step, voiced in steps:
            if voiced:
                self._go_on([step])
            else:
                self._quiet_steps += 1
                self._held.append(step)

    def _pause(self, step: Frames, outlook: Callable[[], Outlook]) -> Iterator[Portion]:
        self._quiet_steps += 1
        quiet = self._seconds_quiet()
        (self._ready if quiet <= self._patience.quiet + 1e-9 else self._held).append(step)
        if not self._waited():
            return
        self._unpaused_steps = 0
        yield from self._spoken()
        if quiet + 1e-9 < self._wait(outlook()):
            return
        # A speaker who leaves shorter gaps is waited for less, step by step.
        self._hang_over = max(self._patience.quiet, self._hang_over - 0.02)
        self._over()
        yield Portion(NOTHING, ended=True)

    def _doubtful(self) -> bool:
        """Whether sound that the detector takes for speech may be something else."""
        return self._unpaused_steps > _BELIEVED or self._waited()

    def _doubt(self, outlook: Callable[[], Outlook], silent: Callable[[Frames], bool]) -> Iterator[Portion]:
        """Once it is known what the doubted steps are: those that speech goes on in are taken, the rest is a pause."""
        said = self._said(silent)
        if said is None:
            return
        if said == len(self._doubted):
            # It may be over in the last of them: these are looked at once more with what follows.
            later = max(0, said - _LOOK)
            self._believe(self._doubted[:later])
            self._doubted = self._doubted[later:]
            return
        self._believe(self._doubted[:said])
        steps, self._doubted = [step for step, _ in self._doubted], []
        for at, step in enumerate(steps[said:], said + 1):
            yield from self._pause(step, outlook)
            if not self.speaking:
                # The first word of a new call may have begun at the end of what no word was heard in.
                self._before = deque(((each, False) for each in steps[at:]), _LOOK)
                return

    def _said(self, silent: Callable[[Frames], bool]) -> int | None:
        """In how many of the doubted steps speech goes on, None while that can't be told. Where a pause follows a long
        call no look is needed, since the words before it will be asked for.
        """
        steps = len(self._doubted)
        voiced = max((at for at, (_, voiced) in enumerate(self._doubted, 1) if voiced), default=0)
        paused = (steps - voiced) * STEP_SECONDS + 1e-9 >= self._hang_over
        if paused and not self._waited():
            return voiced
        if paused and not _speech_like(self._doubted):
            return 0
        if self._unlooked_steps < _BETWEEN_LOOKS or not (paused or steps >= _LOOK):
            return None
        if self._nobody(silent):
            return 0
        if paused:
            return voiced
        # The end is seen in a shorter piece; a saw that whines like a voice is surely nobody in a longer one.
        return steps - _LOOK if steps > _LOOK and self._nobody(silent, _LOOK) else steps

    def _nobody(self, silent: Callable[[Frames], bool], last: int = 0) -> bool:
        """Whether the ears hear nobody in the doubted steps, or the last of them."""
        self._unlooked_steps = 0
        return silent(np.concatenate([step for step, _ in self._doubted[-last:]]))

    def _settle(self, step: Frames, silent: Callable[[Frames], bool], *, voiced: bool) -> None:
        """After a gap: waits for a pause, which in noise that sounds like speech the ears alone can tell."""
        self._unsettled = _SETTLED if voiced else self._unsettled - 1
        self._doubted.append((step, voiced))
        if len(self._doubted) >= _LOOK:
            if self._nobody(silent):
                self._before.extend((each, False) for each, _ in self._doubted)
                self._unsettled = 0
            self._doubted = []
        if not self._unsettled:
            self._doubted = []

    def _spoken(self) -> Iterator[Portion]:
        """What is ready, if anything is."""
        if self._ready:
            frames, self._ready = np.concatenate(self._ready), []
            yield Portion(frames)

    def _over(self) -> None:
        self.speaking = False
        self._idle_steps = 0
        self._ready, self._held, self._doubted = [], [], []

    def _remembered(self) -> deque[tuple[Frames, bool]]:
        """Empty, for what comes before the first word."""
        return deque(maxlen=round(self._patience.before / STEP_SECONDS))

    def _waited(self) -> bool:
        """Whether the pause is long enough to ask for the words before it."""
        return self._seconds_quiet() + 1e-9 >= self._hang_over

    def _seconds_quiet(self) -> float:
        return self._quiet_steps * STEP_SECONDS

    def _wait(self, outlook: Outlook) -> float:
        if outlook is Outlook.COMPLETE:
            return self._hang_over
        return self._patience.unfinished if outlook is Outlook.MUST_GO_ON else self._patience.open

    def _voiced(self, step: Frames) -> bool:
        """Whether a person speaks in this step: above the noise, nearly as loud as the words so far, like speech."""
        level = level_db(step)
        loud = self._noise.take(step) > self._margin_db
        voiced = loud and self._near(level) and bool(self._detector.is_speech(step.tobytes(), RATE))
        if voiced and self.speaking:
            self._levels.append(level)
        return voiced

    def _near(self, level: float) -> bool:
        """Whether a level is near to the words so far. For a moment after an utterance its own still count, so that
        what fades after it begins no other; anyone farther off is heard soon after.
        """
        if not self._levels:
            return True
        reach = REACH_DB + (0.0 if self.speaking else FADING_DB_A_SECOND * self._idle_steps * STEP_SECONDS)
        return level > float(np.percentile(self._levels, LOUD_PERCENTILE)) - reach


def _speech_like(steps: Iterable[tuple[Frames, bool]]) -> bool:
    """Whether any eight steps in a row have as many with a voice as speech has."""
    voiced = [voiced for _, voiced in steps]
    return any(sum(voiced[at : at + 8]) >= _VOICED_OF_EIGHT for at in range(max(1, len(voiced) - 7)))
