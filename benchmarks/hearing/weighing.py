"""Fitting the weights of `fieldvoice/language/surety.json`: one figure of all evidence, by logistic regression on the
tuning split, its newer texts and its people.

A sound counts once: whether the leading recognizer's best meaning is what was said. What the figure is worth is told by
voices left out, each speaker judged by weights that were fitted without it; by that table the least figure of each kind
was chosen.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from benchmarks.hearing.fitting import speakers_of
from benchmarks.hearing.hearing import Case
from fieldvoice.language.choosing import Choice, choose
from fieldvoice.language.surety import WARNING, signs
from fieldvoice.language.verdict import (
    FEW,
    GATED_FIGURE,
    HARMLESS_FIGURE,
    WEIGHED,
    Expectation,
    Finding,
    Gates,
    Kind,
    at_once_by,
    barred,
    judge,
    kind_of,
)
from fieldvoice.records.hearing import Hearing
from fieldvoice.records.utterance import Status

LEAST: Mapping[str, float] = {
    Kind.PLAIN: 4.25,
    Kind.TWIN: 3.75,
    Kind.CIRCUIT: 4.25,
    Kind.LONE: 2.75,
    Kind.FIGURE: 1.75,
    Kind.UNASKED: 2.5,
    Kind.YES: 2.0,
    Kind.NO: 2.25,
    WARNING: 3.0,
}
"""So that of voices left out no kind takes more wrongly than it did by the weights before these, which knew them; of
lone words, awaited figures and circuits by 9,065 sounds of the tuning split that were heard when these weights were
there; a warning of several words by 4,239, of which none is wrong from -1.6 on.
"""
_TRIED = (2.0, 2.25, 2.5, 3.0, 3.5, 3.75, 4.0, 4.25, 4.5, 5.0)
_FOLDS = 6
_HELD = 2.0
"""How firmly weights are held to nothing."""

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Heard:
    """One sound judged under one expectation: its kind and signs, whether its meaning is right, whether the gates alone
    take it, from which figure on it is taken at once, whether a denial bars it whatever the figure.
    """

    kind: Kind
    signs: Mapping[str, float]
    right: bool
    gated: bool
    at_once: float
    barred: bool
    voice: str


def heard(cases: Sequence[Case], gates: Gates) -> list[Heard]:
    """Every sound for which the leading recognizer has a meaning to offer; with a yes or no awaited too where it heard
    one, and with a figure awaited where it heard a lone one.
    """
    found = []
    for case in (case for case in cases if case.heard_by(WEIGHED)):
        hearings = case.of(WEIGHED)
        choices = [choose(hearing) for hearing in hearings]
        if not choices[0].candidates or choices[0].candidates[0].utterance.status is not Status.UNDERSTOOD:
            continue
        seen: set[Kind] = set()
        for expected in (Expectation(), Expectation(answer=True), Expectation(number=True)):
            kind = kind_of(choices[0], expected)
            if kind not in seen:
                right = choices[0].candidates[0].utterance.meanings == case.meant
                gated = judge(hearings, expected, gates).finding is Finding.ACCEPT
                once = _at_once_from(hearings, choices, expected, gates)
                bars = barred(hearings, choices, expected)
                found.append(Heard(kind, signs(hearings, choices), right, gated, once, bars, case.item.voice))
            seen.add(kind)
    return found


def _at_once_from(hearings: Sequence[Hearing], choices: Sequence[Choice], expected: Expectation, gates: Gates) -> float:
    """The figure from which on the verdict takes it at once; none is so large where nothing does."""
    figures = (HARMLESS_FIGURE, GATED_FIGURE)
    return next((one for one in figures if at_once_by(one, hearings, choices, expected, gates)), float("inf"))


def fitted(these: Sequence[Heard]) -> dict[str, float]:
    """The weights by the names of signs: Newton's steps toward the likeliest, held to nothing by a square of each sign
    in its own spread.
    """
    names = list(these[0].signs)
    table = np.array([[one.signs[name] for name in names] for one in these])
    right = np.array([float(one.right) for one in these])
    middle, spread = table.mean(axis=0), table.std(axis=0) + 1e-6
    middle[0], spread[0] = 0.0, 1.0
    scaled, weights = (table - middle) / spread, np.zeros(len(names))
    hold = _HELD * np.eye(len(names))
    hold[0, 0] = 0.0
    for _ in range(50):
        likely = 1 / (1 + np.exp(-np.clip(scaled @ weights, -30, 30)))
        slope = scaled.T @ (right - likely) - hold @ weights
        bend = (scaled * (likely * (1 - likely))[:, None]).T @ scaled + hold
        weights += np.linalg.solve(bend, slope)
    plain = weights / spread
    plain[0] -= (weights * middle / spread)[1:].sum()
    return {name: round(float(value), 4) for name, value in zip(names, plain, strict=True)}


def table(cases: Sequence[Case], gates: Gates) -> tuple[dict[str, Any], dict[str, Any]]:
    """The weights with the least figures; and by kind, for voices left out, how many right and wrong meanings the gates
    alone take, and the figure from each of some values on with what is taken at once.
    """
    found = heard(cases, gates)
    weights: dict[str, Any] = {}
    left_out: dict[str, Any] = {}
    for name, these in (("calls", _of(found, few=False)), ("few", _of(found, few=True))):
        weights[name] = fitted(these)
        scores = _left_out(these)
        for kind in dict.fromkeys(one.kind for one in these):
            left_out[kind] = _row([(one, score) for one, score in zip(these, scores, strict=True) if one.kind is kind])
    return {**weights, "least": LEAST}, left_out


def _of(found: Sequence[Heard], *, few: bool) -> list[Heard]:
    return [one for one in found if (one.kind in FEW) is few]


def _left_out(these: Sequence[Heard]) -> Floats:
    """The figure of each by weights that were fitted without its speakers, or any fold that one of them is in."""
    speakers = sorted({speaker for one in these for speaker in speakers_of(one.voice)})
    fold = {speaker: number % _FOLDS for number, speaker in enumerate(speakers)}
    table = np.array([list(one.signs.values()) for one in these])
    scores = np.full(len(these), np.inf)
    for number in range(_FOLDS):
        held = np.array([any(fold[each] == number for each in speakers_of(one.voice)) for one in these])
        weights = fitted([one for one, out in zip(these, held, strict=True) if not out])
        scores[held] = np.minimum(scores[held], table[held] @ np.array(list(weights.values())))
    return scores


def _row(scored: Sequence[tuple[Heard, float]]) -> dict[str, Any]:
    def counted(these: Sequence[Heard]) -> list[int]:
        return [sum(one.right for one in these), sum(not one.right for one in these)]

    def taken(least: float) -> list[int]:
        return counted(
            [one for one, score in scored if score >= (one.at_once if one.barred else min(one.at_once, least))]
        )

    gates = counted([one for one, _ in scored if one.gated])
    of = sum(one.right for one, _ in scored)
    return {"right": of, "gates": gates, **{str(least): taken(least) for least in _TRIED}}
