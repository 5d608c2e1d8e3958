"""What came of calls that were practiced, and of fitting the reading ear to them; worded in `wording.practice`."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from enum import StrEnum

Counts = Counter[str]
"""How many calls were "right", "asked" again, and "wrong": taken for something else without a question."""


@dataclass(frozen=True, slots=True)
class Tried:
    """One call and how it was taken, by the words of `Counts`. Seconds run from the last sample to the verdict; the
    noise is in dB of full scale.
    """

    call: str
    heard: str
    taken: str
    seconds: float
    noise_db: float | None = None


class Objection(StrEnum):
    """Why a fit isn't kept."""

    TOO_FEW = "too few"
    NEWLY_WRONG = "newly wrong"
    OTHERS_NEWLY_WRONG = "others newly wrong"
    OTHERS_WORSE = "others worse"
    WORSE = "worse"
    BY_CHANCE = "by chance"


@dataclass(frozen=True, slots=True)
class FitOutcome:
    """What came of fitting: the objection to keeping it, if there is one; how many calls could be made out, and how
    many must be; in how many of them, held back, the words became likelier.

    The counts are of calls held back while the rest was fitted to, and of the recordings that come with fieldvoice, as
    shipped and changed.
    """

    objection: Objection | None
    calls: int
    likelier: int = 0
    least: int = 0
    before: Counts = field(default_factory=Counter)
    after: Counts = field(default_factory=Counter)
    others_before: Counts = field(default_factory=Counter)
    others_after: Counts = field(default_factory=Counter)
