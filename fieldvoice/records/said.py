"""What is told, ready for eye and ear."""

from __future__ import annotations

from dataclasses import dataclass
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
