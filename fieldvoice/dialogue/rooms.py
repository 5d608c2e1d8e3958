"""What the dialogue asks of the other rooms, as functions, so that its rules are tried without them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from fieldvoice.records.board import Board
from fieldvoice.records.facts import Oddity
from fieldvoice.records.fastening import FasteningPlan
from fieldvoice.records.hearing import Hearing
from fieldvoice.records.ledger import Notice
from fieldvoice.records.length import Unit
from fieldvoice.records.meaning import Danger
from fieldvoice.records.plan import CutPlan, Missing
from fieldvoice.records.utterance import Meaning, Utterance


@dataclass(frozen=True, slots=True)
class Judged:
    """What an utterance was taken for. `rival` is another meaning that it may have had, `likelier` whether it is far
    less likely than the one taken; `unsure` that the recognizers doubt it without naming another. `danger` is all that
    was heard likely enough of circuits that aren't known to be dead.
    """

    utterance: Utterance
    rival: tuple[Meaning, ...] | None = None
    unsure: bool = False
    likelier: bool = False
    danger: tuple[Danger, ...] = ()

    @property
    def doubtful(self) -> bool:
        """Whether it is to be asked about, whatever it means."""
        return self.unsure or self.rival is not None


@dataclass(frozen=True, slots=True)
class Awaiting:
    """What the dialogue waits for when an utterance comes: a yes or a no, a figure for the place that was asked about.
    `unit` is that of a number said without one. `circuit`: whether a box is dead and tested is asked.
    """

    answer: bool
    number: bool
    unit: Unit
    circuit: bool = False


@dataclass(frozen=True, slots=True)
class Rooms:
    """The functions of the language, the cutting room, the fastening and the wording. `judged` is also told what the
    dialogue waits for. `again` tells whether words say again what other words said that could not be taken. `in_time`
    tells whether all of the notices are said aloud within the time that an answer has.
    """

    judged: Callable[[Sequence[Hearing], Awaiting], Judged]
    again: Callable[[str, str], bool]
    solve: Callable[[Board], CutPlan]
    missing: Callable[[Board], tuple[Missing, ...]]
    oddities: Callable[[Board], tuple[Oddity, ...]]
    fasten: Callable[[CutPlan], FasteningPlan]
    in_time: Callable[[Sequence[Notice], Unit], bool]
