"""What is told, ready for eye and ear, and how the voice tells it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

from fieldvoice.records.meaning import Circuit


@dataclass(frozen=True, slots=True)
class Say:
    """One thing to tell: `text` for the screen and transcript, `spoken` for the voice (digits and words, no figures;
    empty where it is for the screen alone); `safety` goes first and is never cut short.
    """

    text: str
    spoken: str
    safety: bool = False


@dataclass(frozen=True, slots=True)
class BoxWord:
    """What `by` said of the circuit at `box`, and when. A "dead and tested" counts until `until`, any other word until
    another one.
    """

    box: str
    state: Circuit
    by: str
    at: datetime
    until: datetime | None = None


LOUDEST, SLOWEST = 3, 3


@dataclass(frozen=True, slots=True)
class Manner:
    """Steps from how it is spoken by default: `loudness` up to 3 louder, down to 2 softer; `slowness` up to 3 slower,
    down to 2 faster.
    """

    loudness: int = 0
    slowness: int = 0

    def louder(self, steps: int = 1) -> Manner:
        """So many steps louder, softer where negative; as far as it goes."""
        return replace(self, loudness=max(-2, min(LOUDEST, self.loudness + steps)))

    def slower(self, steps: int = 1) -> Manner:
        """So many steps slower, faster where negative; as far as it goes."""
        return replace(self, slowness=max(-2, min(SLOWEST, self.slowness + steps)))
