"""The figures of a split: what every policy made of it, with intervals, and which value became which."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from statistics import median, quantiles
from typing import Any

from benchmarks.hearing.corpus import LEVELS, Kind
from benchmarks.hearing.hearing import Case
from benchmarks.hearing.policies import Policy, Result, Treated, treated
from fieldvoice.language.verdict import settled

GOALS = {"clean": (98, 0.0), "20 dB": (97, 0.0), "10 dB": (92, 0.3), "5 dB": (85, 0.5)}
"""Right at least and silently wrong at most, in per cent, on voices never trained or tuned on; none is set for 0 dB."""


def wilson(hits: int, of: int) -> list[float]:
    """The 95 % interval of a share in per cent, after Wilson (1927)."""
    if not of:
        return [0.0, 100.0]
    z, share = 1.96, hits / of
    middle, spread = share + z * z / (2 * of), z * math.sqrt(share * (1 - share) / of + (z / (2 * of)) ** 2)
    return [round(100 * (middle + sign * spread) / (1 + z * z / of), 2) or 0.0 for sign in (-1, 1)]


def figures(cases: Sequence[Case], policies: Mapping[str, Policy]) -> dict[str, Any]:
    """Of each policy whose recognizers have heard calls of every level, over the sounds that they heard.

    `calls` and `forms` by level: of how many, and for each result how many with the interval in per cent. `taken`: of
    how many spoilt phrases, bits of talk and noises, and which were taken for what. `wrong`: every silent error as
    level, words, words taken; `confusions`: which words became which, counted. `seconds`: from the last sample to the
    words of all recognizers.
    """
    results: dict[str, list[tuple[Case, Treated]]] = {name: [] for name in policies}
    # One sound after the other: what its words mean is then still known to the next policy.
    for case in cases:
        for name, policy in policies.items():
            if case.heard_by(policy.needs):
                results[name].append((case, treated(case.meant, case.of(policy.needs), policy.taking)))
    made = {name: _of_policy(found, policies[name].needs) for name, found in results.items()}
    return {name: one for name, one in made.items() if all(row["of"] for row in one["calls"].values())}


def _of_policy(results: Sequence[tuple[Case, Treated]], needs: Sequence[str]) -> dict[str, Any]:
    wrong = [
        [case.item.level, case.item.words, one.heard]
        for case, one in results
        if one.result is Result.WRONG and case.item.kind in (Kind.CALL, Kind.FORM)
    ]
    return {
        "calls": _by_level(results, Kind.CALL),
        "forms": _by_level(results, Kind.FORM),
        "taken": {kind: _taken(results, kind) for kind in (Kind.SPOILT, Kind.TALK, Kind.NOISE)},
        "wrong": wrong,
        "confusions": confusions(wrong),
        "seconds": times([sum(case.hearings[name].seconds for name in needs) for case, _ in results]),
    }


def settled_by(cases: Sequence[Case], first: str, other: str) -> dict[str, Any]:
    """Of how many calls at each level, and of how many other sounds, the verdict is settled once `first` has heard, so
    that `other` needn't.
    """
    found: dict[str, Any] = {}
    for case in (case for case in cases if case.heard_by([first])):
        row = found.setdefault(
            case.item.level if case.item.kind is Kind.CALL else case.item.kind, {"of": 0, "settled": 0}
        )
        row["of"] += 1
        row["settled"] += settled(case.of([first]), [other])
    return found


def _by_level(results: Sequence[tuple[Case, Treated]], kind: Kind) -> dict[str, Any]:
    rows = {}
    for level in LEVELS:
        these = [one.result for case, one in results if case.item.kind is kind and case.item.level == level]
        counts = Counter(these)
        rows[level] = {"of": len(these)} | {
            result: [counts[result], *wilson(counts[result], len(these))] for result in Result
        }
    return rows


def _taken(results: Sequence[tuple[Case, Treated]], kind: Kind) -> dict[str, Any]:
    """Spoilt phrases may have a meaning: such are right where it is taken."""
    these = [(case, one) for case, one in results if case.item.kind is kind]
    wrong = [[case.item.level, case.item.words, one.heard] for case, one in these if one.result is Result.WRONG]
    return {"of": len(these), "wrongly": len(wrong), "up to %": wilson(len(wrong), len(these))[1], "which": wrong}


def times(seconds: Sequence[float]) -> dict[str, float]:
    """Median and 95th percentile."""
    if len(seconds) < 2:
        return {}
    return {"median": round(median(seconds), 3), "p95": round(quantiles(seconds, n=20)[-1], 3)}


def confusions(wrong: Sequence[Sequence[str]]) -> list[list[Any]]:
    """Which words became which, counted: of every silent error what differs, most frequent first."""
    return [
        [*pair, count] for pair, count in Counter(_difference(said, heard) for _, said, heard in wrong).most_common()
    ]


def _difference(said: str, heard: str) -> tuple[str, str]:
    """The stretch of words that became another, without what is the same before and after it."""
    one, other = said.split(), heard.split()
    while one and other and one[0] == other[0]:
        one, other = one[1:], other[1:]
    while one and other and one[-1] == other[-1]:
        one, other = one[:-1], other[:-1]
    return " ".join(one) or "–", " ".join(other) or "–"
