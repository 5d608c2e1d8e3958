"""Push-to-talk: a key in place of the speech detector, where noise is too loud for one."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from time import monotonic

import numpy as np

from fieldvoice.ears.endpoint import NOTHING, Patience, Portion
from fieldvoice.ears.sound import RATE, Frames, NoiseFloor
from fieldvoice.records.hearing import Outlook

RELEASE_SECONDS = 0.3
"""A key that repeats and then doesn't for so long is up: terminals repeat every 0.03 to 0.1 s."""
FIRST_REPEAT_SECONDS = 0.7
"""A key that is held repeats for the first time before so long; terminals wait 0.25 to 0.66 s."""
ONE_PRESS_SECONDS = 12.0
"""One press that nothing follows is over by then; no call is so long."""


BEFORE_SECONDS = 0.5
"""So much from before a press belongs to the call. Of calls whose key came half a second late, 4 of 16 were taken
without their place or the name of their box where 0.3 s were kept ("box five dead and tested" as "dead and tested");
with half a second 19 of 22 were right and none wrong.
"""


class KeyHeld:
    """An utterance lasts from the key's pressing to its release, or to the longest that an utterance may be. People
    begin to speak while they press, so what came just before belongs to it: `before` seconds of it.
    """

    def __init__(
        self, held: Callable[[], bool], longest: float = Patience().longest, before: float = BEFORE_SECONDS
    ) -> None:
        self._held = held
        self._before = round(before * RATE)
        self._remembered = NOTHING
        self._longest = round(longest * RATE)
        self._taken = 0
        self._until_up = False
        self._noise = NoiseFloor()
        self.speaking = False

    @property
    def noise_db(self) -> float:
        """The running level of the noise, in dB of full scale."""
        return self._noise.db

    def take(
        self,
        block: Frames,
        _outlook: Callable[[], Outlook] = lambda: Outlook.COMPLETE,
        _silent: Callable[[Frames], bool] = lambda _: False,
    ) -> Iterator[Portion]:
        """The block where the key is down, behind what came before it when it went down; the block of its release ends
        the utterance.
        """
        self._noise.take(block)
        down, before = self._held(), self.speaking
        self._until_up = self._until_up and down
        now = down and not self._until_up
        self.speaking = now
        if not now and not before:
            self._remembered = np.concatenate([self._remembered, block])[-self._before :]
            return
        sound, self._remembered = np.concatenate([self._remembered, block]), NOTHING
        self._taken += len(block)
        ended = not now or self._taken >= self._longest
        self._taken = 0 if ended else self._taken
        yield Portion(sound, ended)

    def interrupted(self) -> None:
        """Sound is missing here: what was said since the key went down is forgotten, and so is the rest until it is let
        go, since the end of a call alone would be another reading.
        """
        self.speaking, self._until_up = False, True
        self._taken = 0
        self._remembered = NOTHING


class Presses:
    """Whether a key is down, where only presses are seen and none of its releases, as in a terminal.

    The first press puts it down. From the second on, it is up again when no press came for `RELEASE_SECONDS`. So a key
    that is held, and repeats, counts as up soon after it is let go; of two presses the first begins, the second ends.
    Where that second one is held after all, its repeats begin nothing: they would cut a call in its middle. One press
    that nothing follows is over after `ONE_PRESS_SECONDS`. `pressed` tells how many presses came since it was asked
    last.
    """

    def __init__(self, pressed: Callable[[], int], clock: Callable[[], float] = monotonic) -> None:
        self._pressed = pressed
        self._clock = clock
        self._down = False
        self._again = False
        self._last = -FIRST_REPEAT_SECONDS

    def __call__(self) -> bool:
        """Whether it is down now."""
        count, now = self._pressed(), self._clock()
        since = now - self._last
        if count:
            self._last = now
            if self._down or since >= FIRST_REPEAT_SECONDS:
                self._again = self._down or count > 1
                self._down = True
        elif since >= (RELEASE_SECONDS if self._again else ONE_PRESS_SECONDS):
            self._down = self._again = False
        return self._down
