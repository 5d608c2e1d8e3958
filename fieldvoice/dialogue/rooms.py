"""What the dialogue asks of the other rooms, as functions, so that its rules are tried without them; and the rooms as
they are, joined to it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from fieldvoice.cutting.oddities import oddities
from fieldvoice.cutting.solving import missing, solve
from fieldvoice.cutting.tables import stand_off
from fieldvoice.fastening.plans import fasten_plan
from fieldvoice.fastening.table import in_force
from fieldvoice.language.choosing import choose, danger_in
from fieldvoice.language.typed import says_again
from fieldvoice.language.verdict import LEAST_SHARE, Expectation, Finding, judge
from fieldvoice.records.board import Board
from fieldvoice.records.facts import Oddity
from fieldvoice.records.fastening import FasteningPlan
from fieldvoice.records.hearing import Hearing, Source
from fieldvoice.records.ledger import Notice
from fieldvoice.records.length import Unit
from fieldvoice.records.meaning import Danger
from fieldvoice.records.plan import CutPlan, Missing
from fieldvoice.records.utterance import Meaning, Utterance
from fieldvoice.wording.aloud import all_in_time


@dataclass(frozen=True, slots=True)
class Judged:
    """What an utterance was taken for. `rival` is another meaning that it may have had, `likelier` whether it is far
    less likely than the one taken; `unsure` that the recognizers doubt it without naming another. `danger` is all that
    was heard likely enough of circuits that aren't known to be dead. `sure` are words that were typed, or heard by one
    hypothesis beside which hardly any other is possible, whatever they mean.
    """

    utterance: Utterance
    rival: tuple[Meaning, ...] | None = None
    unsure: bool = False
    likelier: bool = False
    danger: tuple[Danger, ...] = ()
    sure: bool = False

    @property
    def doubtful(self) -> bool:
        """Whether it is to be asked about, whatever it means."""
        return self.unsure or self.rival is not None


@dataclass(frozen=True, slots=True)
class Rooms:
    """The functions of the language, the cutting room, the fastening and the wording. `judged` is also told what the
    dialogue waits for. `again` tells whether words say again what other words said that could not be taken. `in_time`
    tells whether all of the notices are said aloud within the time that an answer has.
    """

    judged: Callable[[Sequence[Hearing], Expectation], Judged]
    again: Callable[[str, str], bool]
    solve: Callable[[Board], CutPlan]
    missing: Callable[[Board], tuple[Missing, ...]]
    oddities: Callable[[Board], tuple[Oddity, ...]]
    fasten: Callable[[CutPlan], FasteningPlan]
    in_time: Callable[[Sequence[Notice], Unit], bool]


def fastened(plan: CutPlan) -> FasteningPlan:
    """How the board of a plan is fastened, by the table in force. Raises `NoRule`."""
    return fasten_plan(plan, stand_off(plan.board, plan.board.framing.counted_from), in_force())


LIKELIER = 2
"""How often likelier the meaning taken must be than its rival for a plain yes to settle it (our own rule)."""


def rooms() -> Rooms:
    """The rooms as they are."""
    return Rooms(judged, says_again, solve, missing, oddities, fastened, all_in_time)


def judged(hearings: Sequence[Hearing], expected: Expectation) -> Judged:
    """What an utterance is taken for, as one or more recognizers took it, beside what is waited for."""
    unit, verdict = expected.unit, judge(hearings, expected)
    rival = verdict.rivals[0] if verdict.finding is Finding.DOUBT and verdict.rivals else None
    danger = tuple(dict.fromkeys((*verdict.utterance.danger, *danger_in(hearings, unit))))
    likelier = rival is not None and _likelier(hearings, rival, unit)
    return Judged(
        verdict.utterance,
        rival,
        verdict.finding is Finding.DOUBT and rival is None,
        likelier,
        danger,
        _is_sure(hearings),
    )


def _is_sure(hearings: Sequence[Hearing]) -> bool:
    """Whether the recognizer that is trusted most has heard these words and hardly any others: noise and talk that
    isn't meant are heard in several ways, or in none that is likely.
    """
    return any(
        first.source is Source.TYPED or any(one.probability >= LEAST_SHARE for one in first.hypotheses)
        for first in hearings[:1]
    )


def _likelier(hearings: Sequence[Hearing], rival: tuple[Meaning, ...], unit: Unit) -> bool:
    """Whether every recognizer takes the best meaning for far likelier than its rival."""
    lead = choose(hearings[0], unit).candidates
    best = lead[0].mass if lead else 0.0
    others = [
        one.mass
        for hearing in hearings
        for one in choose(hearing, unit).candidates
        if rival in {one.utterance.meanings, *one.utterance.alternatives}
    ]
    return best >= LIKELIER * max(others, default=0.0)
