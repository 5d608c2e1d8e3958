"""Choosing the verdict's gates on the tuning split: most right, subject to no silent error, with a margin.

Every sound counts twice, once with a yes or no awaited and once without, since what is taken for an answer must not
depend on nobody having asked. A gate is allowed where no wrong meaning of its kind would pass it even if each of its
bounds were `MARGIN` times laxer in odds; among those allowed the one that lets most right meanings through is chosen,
and then a second one, which may lean on the other recognizers, for what the first leaves. Kinds that need more (teens
and tens, answers, circuits, lone digits) are held to the errors of all plain meanings too.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Any

import numpy as np
from numpy.typing import NDArray

from benchmarks.hearing.hearing import Case
from fieldvoice.language.choosing import choose
from fieldvoice.language.verdict import Expectation, Kind, evidence, kind_of
from fieldvoice.records.meaning import Answer, Status

MARGIN = 4.0
"""In odds. With 2, 4 and 10 there were 7, 4 and 2 silent errors in 1,110 sounds of the tuning split when each voice was
left out of the choice in turn with a third of the others, and 79, 76 and 72 % of the calls were right.
"""
FLOORS = {"reading": 0.1, "whisper": 0.1, "vosk": 0.1}
"""Less than this is no ground for a question: of an earlier trial, for what is worth asking is no matter of errors."""

_PROBABLE = (0.003, 0.01, 0.02, 0.05, 0.1, 0.2, 0.35, 0.5, 0.7, 0.8, 0.9, 0.95, 0.98, 0.99, 0.995, 0.999, 0.9999)
_SHARES = (0.5, 0.7, 0.8, 0.9, 0.95, 0.97, 0.98, 0.99, 0.995, 0.998, 0.999, 0.9995, 0.9999, 0.99999)
_SUPPORT = (0.05, 0.2, 0.4, 0.6, 0.8, 0.95)
_SURETY = (-1.0, -0.7, -0.5, -0.4, -0.3, -0.2)
_SURETY_MARGIN = 0.05

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Event:
    """One sound judged once: the kind and the evidence of its best meaning, and whether that is what was meant.
    `gains` is False for a right meaning under an expectation that isn't its own; a no may come unasked.
    """

    kind: Kind
    evidence: dict[str, float]
    right: bool
    gains: bool


def events(cases: Sequence[Case], recognizers: Sequence[str]) -> Iterator[Event]:
    """Of all sounds for which these recognizers have a meaning to offer, the first of them leading."""
    for case in cases:
        if not all(name in case.hearings for name in recognizers):
            continue
        hearings = case.of(recognizers)
        choices = [choose(hearing) for hearing in hearings]
        best = choices[0].candidates[0] if choices[0].candidates else None
        if best is None or best.utterance.status is not Status.UNDERSTOOD or best.mass < _PROBABLE[0] / (2 * MARGIN):
            continue
        found, right = evidence(hearings, choices), best.utterance.meanings == case.meant
        answers = [one.yes for one in case.meant if isinstance(one, Answer)]
        for asked in (False, True):
            gains = right and (asked or not any(answers)) and (bool(answers) or not asked)
            yield Event(kind_of(choices[0], Expectation(answer=asked)), found, right, gains)


def gates(found: Sequence[Event], recognizers: Sequence[str]) -> dict[str, list[dict[str, float]]]:
    """The gates of every kind for these recognizers; a kind that no gate is safe for has none."""
    lead, *others = recognizers
    chosen = {}
    for kind in Kind:
        wrong = [one for one in found if not one.right and one.kind in {kind, Kind.PLAIN}]
        gain = [one for one in found if one.gains and one.kind is kind]
        chosen[kind] = list(_chosen(wrong, gain, _shapes(lead, others)))
    return chosen


def _shapes(lead: str, others: Sequence[str]) -> Iterator[dict[str, Sequence[float]]]:
    """What each gate may bound, and by which values: the leading recognizer alone, then with one of the others."""
    alone: dict[str, Sequence[float]] = {lead: _PROBABLE, "share": _SHARES}
    if "vosk" in others:
        alone["unopposed"] = (0.0, 0.3, 0.7, 0.95)
    if lead == "whisper":
        alone["surety"] = _SURETY
    yield alone
    for other in others:
        yield {**alone, other: _SUPPORT, **({"surety": _SURETY} if "whisper" in (lead, other) else {})}


def _chosen(
    wrong: Sequence[Event], gain: Sequence[Event], shapes: Iterator[dict[str, Sequence[float]]]
) -> Iterator[dict[str, float]]:
    for shape in shapes:
        names = list(shape)
        bad, good = _table(wrong, names), _table(gain, names)
        best, most = None, 0
        for bounds in product(*shape.values()):
            let_through = int((good >= bounds).all(axis=1).sum())
            if let_through > most and not (bad >= _laxer(names, bounds)).all(axis=1).any():
                best, most = bounds, let_through
        if best is not None:
            gate = dict(zip(names, best, strict=True))
            yield gate
            gain = [one for one in gain if any(one.evidence.get(name, -np.inf) < least for name, least in gate.items())]


def _table(these: Sequence[Event], names: Sequence[str]) -> Floats:
    rows = [[one.evidence.get(name, -np.inf) for name in names] for one in these]
    return np.array(rows, dtype=np.float64).reshape(-1, len(names))


def _laxer(names: Sequence[str], bounds: Sequence[float]) -> list[float]:
    return [_lax(name, least) for name, least in zip(names, bounds, strict=True)]


def _lax(name: str, least: float) -> float:
    if name == "surety":
        return least - _SURETY_MARGIN
    odds = least / (1 - least) / MARGIN if least < 1 else np.inf
    return float(odds / (1 + odds))


def table(cases: Sequence[Case], sets: Sequence[Sequence[str]]) -> dict[str, Any]:
    """The gates of every set of recognizers that heard the split."""
    made = {}
    for recognizers in sets:
        found = list(events(cases, recognizers))
        if found:
            made["+".join(recognizers)] = gates(found, recognizers)
    return {"floors": FLOORS, "gates": made}
