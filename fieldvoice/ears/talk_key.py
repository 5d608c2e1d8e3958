"""What tells that somebody speaks to fieldvoice: a key in place of the speech detector, where noise is too loud for
one; or, at an open microphone, a wake phrase: only what begins with it is taken.
"""

from __future__ import annotations

from collections.abc import Callable, Container, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from time import monotonic

import numpy as np

from fieldvoice.ears.endpoint import NOTHING, Patience, Portion
from fieldvoice.ears.sound import RATE, Frames, NoiseFloor, block_levels
from fieldvoice.records.hearing import Arcs, Hearing, Outlook, WordNetwork

RELEASE_SECONDS = 0.3
"""A key that repeats and then doesn't for so long is up: terminals repeat every 0.03 to 0.1 s."""
FIRST_REPEAT_SECONDS = 0.7
"""A key that is held repeats for the first time before so long; terminals wait 0.25 to 0.66 s."""
ONE_PRESS_SECONDS = 12.0
"""One press that nothing follows is over by then; no call is so long."""


BEFORE_SECONDS, LATEST_SECONDS = 0.5, 1.5
"""So much from before a press belongs to the call, and where words were under way then all of them back to a pause, of
the longer time. With 0.3 s alone 4 of 16 calls whose key came half a second late were taken without their place ("box
five dead and tested" as "dead and tested"), with 0.5 s alone 6 of 24 that came 0.7 s late and 5 of 24 a second late
("thirty six and five eighths" as "six and five eighths").
"""
PAUSE_SECONDS, PAUSE_DB = 0.3, 4.0
"""A pause is so long, and within so many dB of the quietest fifth of what is remembered. With 0.2 s and 6 dB 2 of 24
calls beside a saw still lost their place where the key came a second late; with these none.
"""
_STEP_SECONDS = 0.02


class KeyHeld:
    """An utterance lasts from the key's pressing to its release, or to the longest that an utterance may be. People
    begin to speak while or before they press, so what came just before belongs to it, back to a pause.
    """

    def __init__(self, held: Callable[[], bool], longest: float = Patience().longest) -> None:
        self._held = held
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
            self._remembered = np.concatenate([self._remembered, block])[-round(LATEST_SECONDS * RATE) :]
            return
        sound, self._remembered = np.concatenate([since_a_pause(self._remembered), block]), NOTHING
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


def since_a_pause(sound: Frames) -> Frames:
    """The end of the sound that belongs to a call whose key goes down behind it: what begins in the middle of a word,
    or behind the first, would be another call.
    """
    usual = len(sound) - round(BEFORE_SECONDS * RATE)
    longest = round(PAUSE_SECONDS / _STEP_SECONDS)
    levels = block_levels(sound, _STEP_SECONDS)
    if usual <= 0 or not len(levels):
        return sound
    quiet = levels[: usual // round(_STEP_SECONDS * RATE)] <= np.percentile(levels, 20) + PAUSE_DB
    if quiet[-longest:].all():
        return sound[usual:]
    if len(quiet) < longest:
        return sound
    pauses = np.flatnonzero(np.convolve(quiet, np.ones(longest), "valid") == longest)
    return sound[round((pauses[-1] + longest / 2) * _STEP_SECONDS * RATE) :] if len(pauses) else sound


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


@dataclass(frozen=True, slots=True)
class Awakened:
    """A language in which every utterance begins with the phrase."""

    start: int
    finals: Container[int]
    arcs: Arcs


class _Preceded:
    """The arcs of a network with those of more states before them: -1 is the last of these."""

    def __init__(self, arcs: Arcs, more: Sequence[Mapping[str, int]]) -> None:
        self._arcs = arcs
        self._more = more

    def __getitem__(self, state: int) -> Mapping[str, int]:
        return self._arcs[state] if state >= 0 else self._more[state]


def awakened(network: WordNetwork, phrase: str) -> Awakened:
    """The network with the words of `phrase` before its start."""
    words = phrase.split()
    first = -len(words)
    leads = [*range(first + 1, 0), network.start]
    chain = tuple({word: target} for word, target in zip(words, leads, strict=True))
    return Awakened(first, network.finals, _Preceded(network.arcs, chain))


def after_wake(hearing: Hearing, phrase: str) -> Hearing:
    """The hearing of what follows the wake phrase; hypotheses that don't begin with it are left out."""
    said = tuple(
        replace(one, words=rest)
        for one in hearing.hypotheses
        if one.words.startswith(f"{phrase} ") and (rest := one.words[len(phrase) + 1 :])
    )
    return replace(hearing, hypotheses=said)


HEARD = 0.01
"""The least probability of the phrase with something behind it that counts as heard. The reading ear finds words of its
language in any talk, less than a thousandth as likely: who isn't spoken to must not answer, not even that nothing was
understood.
"""


def addressed(hearings: tuple[Hearing, ...], phrase: str | None) -> tuple[Hearing, ...]:
    """The hearings of what follows the phrase, all as they are where there is none; no hearing at all where no
    recognizer heard the phrase.
    """
    if phrase is None:
        return hearings
    after = tuple(after_wake(hearing, phrase) for hearing in hearings)
    heard = any(sum(one.probability for one in hearing.hypotheses) >= HEARD for hearing in after)
    return after if heard else ()


def outlook_after(words: str, phrase: str | None, outlook: Callable[[str], Outlook]) -> Outlook:
    """What `outlook` says of the words after the phrase; while the phrase is still being said more must come."""
    if phrase is None or not words:
        return outlook(words)
    if f"{phrase} ".startswith(f"{words} "):
        return Outlook.MUST_GO_ON
    return outlook(words[len(phrase) + 1 :]) if words.startswith(f"{phrase} ") else Outlook.MAY_GO_ON
