"""Whether a microphone brings no sound at all: it is muted, or nothing is plugged into it."""

from __future__ import annotations

from fieldvoice.ears.sound import RATE, Frames

SECONDS = 3.0
"""A microphone that works is never quite still for so long: its own hiss moves the last of 16 bits."""


class Stillness:
    """Counts samples that are zero, one after the other."""

    def __init__(self) -> None:
        self._still = 0

    def begins(self, raw: Frames) -> bool:
        """Takes the next samples; true once, when there was no sound at all in so many seconds of them. After a sound
        it may be said again.
        """
        if raw.any():
            self._still = 0
            return False
        before, self._still = self._still, self._still + len(raw)
        return before < SECONDS * RATE <= self._still
