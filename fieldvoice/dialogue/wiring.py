"""The dialogue joined to the language, the cutting room and the fastening."""

from __future__ import annotations

from collections.abc import Sequence

from fieldvoice.cutting.oddities import oddities
from fieldvoice.cutting.solving import missing, solve
from fieldvoice.cutting.tables import stand_off
from fieldvoice.dialogue.rooms import Awaiting, Judged, Rooms
from fieldvoice.fastening.plans import fasten_plan
from fieldvoice.fastening.table import in_force
from fieldvoice.language.choosing import choose, danger_in
from fieldvoice.language.typed import says_again
from fieldvoice.language.verdict import Expectation, Finding, judge
from fieldvoice.records.fastening import FasteningPlan
from fieldvoice.records.hearing import Hearing
from fieldvoice.records.length import Unit
from fieldvoice.records.meaning import Edge
from fieldvoice.records.plan import CutPlan
from fieldvoice.records.utterance import Meaning
from fieldvoice.wording.aloud import all_in_time


def fastened(plan: CutPlan) -> FasteningPlan:
    """How the board of a plan is fastened, by the table in force. Raises `NoRule`."""
    return fasten_plan(plan, stand_off(plan.board, Edge.LEFT), in_force())


LIKELIER = 2
"""How often likelier the meaning taken must be than its rival for a plain yes to settle it (our own rule)."""


def rooms() -> Rooms:
    """The rooms as they are."""
    return Rooms(judged, says_again, solve, missing, oddities, fastened, all_in_time)


def judged(hearings: Sequence[Hearing], awaiting: Awaiting) -> Judged:
    """What an utterance is taken for, as one or more recognizers took it, beside what is waited for."""
    unit = awaiting.unit
    verdict = judge(hearings, Expectation(awaiting.answer, unit, awaiting.number, awaiting.circuit))
    rival = verdict.rivals[0] if verdict.finding is Finding.DOUBT and verdict.rivals else None
    danger = tuple(dict.fromkeys((*verdict.utterance.danger, *danger_in(hearings, unit))))
    likelier = rival is not None and _likelier(hearings, rival, unit)
    return Judged(verdict.utterance, rival, verdict.finding is Finding.DOUBT and rival is None, likelier, danger)


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
