"""What is told, ready for eye and ear, and how the voice tells it; and what to heed at a plan and at its steps, as
values; worded in `wording.cautions`.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from enum import StrEnum

from fieldvoice.records.board import CircuitWord
from fieldvoice.records.fastening import Handling
from fieldvoice.records.length import Unit
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


class Care(StrEnum):
    """What is to be heeded; `AT_BOX` says of which box."""

    DEMONSTRATION = "demonstration"
    AT_BOX = "at box"
    SHUT_OFF = "shut off"
    DECIDE = "decide"
    BEHIND = "behind"
    KNIFE = "knife"
    DUST = "dust"
    HEAVY = "heavy"
    HIGH = "high"
    OLD_WALL = "old wall"


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution. At a box: its name, the word of its circuit that counts, and until when "dead and tested" does.
    Where it is heavy: who carries the sheet, and who hangs the board; `unit` is the job's.
    """

    care: Care
    box: str = ""
    word: CircuitWord | None = None
    until: datetime | None = None
    handling: tuple[Handling, ...] = ()
    unit: Unit = Unit.INCH

    @property
    def key(self) -> str:
        """What one who read it knows by it: with another word of a circuit, or more people to carry, it is another one;
        a pound more or less is none.
        """
        word = () if self.word is None else (self.word.state.value, self.word.by, self.word.at.isoformat())
        hands = (f"{each.crew.value} {each.people}" for each in self.handling)
        return "; ".join((self.care.value, *((self.box,) if self.box else ()), *word, *hands))
