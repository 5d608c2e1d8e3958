"""What the dialogue asks of the other rooms, as functions, so that its rules are tried without them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from fieldvoice.records.board import Board
from fieldvoice.records.hearing import Hearing
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Meaning, Utterance
from fieldvoice.records.plan import CutPlan, Missing, Oddity


@dataclass(frozen=True, slots=True)
class Judged:
    """What an utterance was taken for. `rival` is another meaning that it may have had, `unsure` that the recognizers
    doubt it without naming another.
    """

    utterance: Utterance
    rival: tuple[Meaning, ...] | None = None
    unsure: bool = False

    @property
    def doubtful(self) -> bool:
        """Whether it is to be asked about, whatever it means."""
        return self.unsure or self.rival is not None


@dataclass(frozen=True, slots=True)
class Rooms:
    """The functions of the language and the cutting room; `judged` is also told whether a yes or no is waited for,
    and the unit that the board at hand is kept in.
    `number_words` takes 0 to 9999.
    """

    judged: Callable[[Sequence[Hearing], bool, Unit], Judged]
    digits_back: Callable[[Length, Unit], str]
    read_back: Callable[[Meaning, Unit], str]
    number_words: Callable[[int], str]
    solve: Callable[[Board], CutPlan]
    missing: Callable[[Board], tuple[Missing, ...]]
    oddities: Callable[[Board], tuple[Oddity, ...]]
