"""What to heed at a plan and at its steps, as values; worded in `wording.cautions`."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from fieldvoice.records.board import CircuitWord
from fieldvoice.records.fastening import Handling
from fieldvoice.records.length import Unit


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
