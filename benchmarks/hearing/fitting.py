"""Choosing the verdict's gates on the tuning split: most right, subject to no silent error, with a margin.

Every sound counts twice, once with a yes or no awaited and once without, since what is taken for an answer must not
depend on nobody having asked; a lone figure once more, with one awaited. What another recognizer denies is taken by no
gate, so it counts in none. A gate is allowed where no wrong meaning of its kind would pass it even if each of its
bounds were so many times laxer in odds as the margin says; among those allowed the one that lets most right meanings
through is chosen, and then others, which may lean on how quiet it is and on the other recognizers, for what the first
leaves. Kinds that need more (teens and tens, answers, circuits, lone words) are held to the errors of all plain
meanings too, and to a larger margin.

No error of the split itself gets through, so how many are to be expected is told by voices that are left out: each in
turn is judged by gates chosen without it. By that figure the margin is chosen.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from benchmarks.hearing.corpus import Item
from benchmarks.hearing.corpus import Kind as Sound
from benchmarks.hearing.figures import GOALS
from benchmarks.hearing.hearing import Case
from benchmarks.hearing.people_sounds import LEVELS as PEOPLE
from benchmarks.hearing.policies import Result, Taking, judged, treated
from fieldvoice.language.choosing import choose
from fieldvoice.language.verdict import Expectation, Gate, Gates, Kind, denied, evidence, kind_of
from fieldvoice.records.utterance import Answer, Status

MARGINS = (2.0, 4.0, 10.0)
"""In odds, of which one is chosen. People differ more from these voices than they do from each other, so that there is
always one, though voices left out have no more silent errors without.
"""
STRICTER = 2.0
"""So many times the margin, for kinds that need more: of voices left out it was lone words that were taken for another
at 5 dB and quieter, no whole reading.
"""
FLOORS = {"reading": 0.1, "whisper": 0.1, "vosk": 0.1}
"""Less than this is no ground for a question: of an earlier trial, for what is worth asking is no matter of errors."""

# What the head far rather holds for other talk or silence is asked about, however little else it may mean.
_PROBABLE = (0.05, 0.1, 0.2, 0.35, 0.5, 0.7, 0.8, 0.9, 0.95, 0.98, 0.99, 0.995, 0.999, 0.9999)
# Where the head gives a twentieth to another meaning it is asked about, whoever else agrees: the one person measured
# had "fifty nine" taken for "sixty nine" by both recognizers (head 0.91, and 0.06 for what was said; Whisper 0.74).
_SHARES = (0.95, 0.97, 0.98, 0.99, 0.995, 0.998, 0.999, 0.9995, 0.9999, 0.99999)
_SUPPORT = (0.05, 0.2, 0.4, 0.6, 0.8, 0.95)
_SURETY = (-1.0, -0.7, -0.5, -0.4, -0.3, -0.2)
_SURETY_MARGIN = 0.05
_UNOPPOSED = (0.0, 0.3, 0.6, 0.8, 0.95)
_ABOVE_NOISE = (0.0, 9.0, 12.0, 15.0, 18.0, 21.0, 25.0, 30.0, 40.0)
_ABOVE_NOISE_MARGIN = 3.0

Counts = NDArray[np.int64]
Shape = Mapping[str, Sequence[float]]
"""What a gate bounds, and by which values, ascending."""
ByKind = dict[Kind, list[Gate]]


@dataclass(frozen=True, slots=True)
class Event:
    """One sound judged once: the kind and the evidence of its best meaning, whether that is what was meant, and whose
    voice it was. `gains` is False for a right meaning under an expectation that isn't its own; a no may come unasked.
    """

    kind: Kind
    evidence: Mapping[str, float]
    right: bool
    gains: bool
    voice: str = ""


def events(case: Case, recognizers: Sequence[str]) -> Iterator[Event]:
    """Of a sound for which these recognizers have a meaning to offer, the first of them leading; else none."""
    if not case.heard_by(recognizers):
        return
    hearings = case.of(recognizers)
    choices = [choose(hearing) for hearing in hearings]
    best = choices[0].candidates[0] if choices[0].candidates else None
    if best is None or best.utterance.status is not Status.UNDERSTOOD or best.mass < _PROBABLE[0] / (2 * MARGINS[-1]):
        return
    found, right = evidence(hearings, choices), best.utterance.meanings == case.meant
    answers = [one.yes for one in case.meant if isinstance(one, Answer)]
    for asked in (False, True):
        if not denied(hearings, choices, Expectation(answer=asked)):
            gains = right and (asked or not any(answers)) and (bool(answers) or not asked)
            yield Event(kind_of(choices[0], Expectation(answer=asked)), found, right, gains, case.item.voice)
    awaited = Expectation(number=True)
    if kind_of(choices[0], awaited) is Kind.FIGURE and not denied(hearings, choices, awaited):
        yield Event(Kind.FIGURE, found, right, right, case.item.voice)


def gates(found: Sequence[Event], recognizers: Sequence[str], margin: float) -> ByKind:
    """The gates of every kind for these recognizers; a kind that no gate is safe for has none."""
    lead, *others = recognizers
    chosen = {}
    for kind in Kind:
        wrong = [one for one in found if not one.right and one.kind in {kind, Kind.PLAIN}]
        gain = [one for one in found if one.gains and one.kind is kind]
        kept = margin if kind is Kind.PLAIN else STRICTER * margin
        chosen[kind] = list(_chosen(wrong, gain, _shapes(lead, others), kept))
    return chosen


def _shapes(lead: str, others: Sequence[str]) -> Iterator[Shape]:
    """What each gate may bound, and by which values: the leading recognizer alone, then where it is quieter, then where
    no other speaks against it; then with one of the others.
    """
    alone: dict[str, Sequence[float]] = {lead: _PROBABLE, "share": _SHARES}
    if lead == "whisper":
        alone["surety"] = _SURETY
    yield alone
    quiet = {**alone, "above_noise": _ABOVE_NOISE}
    yield quiet
    if others:
        yield {**quiet, "unopposed": _UNOPPOSED}
    for other in others:
        helped = {other: _SUPPORT, **({"surety": _SURETY} if "whisper" in (lead, other) else {})}
        yield {**alone, **helped}
        yield {**quiet, **helped, "unopposed": _UNOPPOSED}


def _chosen(wrong: Sequence[Event], gain: Sequence[Event], shapes: Iterator[Shape], margin: float) -> Iterator[Gate]:
    for shape in shapes:
        laxer = {name: [_lax(name, least, margin) for least in bounds] for name, bounds in shape.items()}
        let_through = np.where(_passing(wrong, laxer) == 0, _passing(gain, shape), 0)
        best = np.unravel_index(let_through.argmax(), let_through.shape)
        if let_through[best]:
            # A bound of nothing is none.
            gate = {
                name: bounds[int(at)] for (name, bounds), at in zip(shape.items(), best, strict=True) if bounds[int(at)]
            }
            yield gate
            gain = [one for one in gain if any(one.evidence.get(name, -np.inf) < least for name, least in gate.items())]


def _passing(these: Sequence[Event], shape: Shape) -> Counts:
    """How many of these pass each gate of the shape: an axis for each bound, in its order."""
    sizes = [len(bounds) + 1 for bounds in shape.values()]
    met = [
        np.searchsorted(bounds, [one.evidence.get(name, -np.inf) for one in these], side="right")
        for name, bounds in shape.items()
    ]
    counts = np.bincount(np.ravel_multi_index(met, sizes), minlength=int(np.prod(sizes))).reshape(sizes)
    for axis in range(counts.ndim):
        counts = np.flip(np.flip(counts, axis).cumsum(axis), axis)
    return counts[(slice(1, None),) * counts.ndim]


def _lax(name: str, least: float, margin: float) -> float:
    if name == "surety":
        return least - _SURETY_MARGIN
    if name == "above_noise":
        return least - _ABOVE_NOISE_MARGIN
    odds = least / (1 - least) / margin
    return odds / (1 + odds)


Row = dict[str, int]
Estimates = Mapping[float, Mapping[str, Row]]
"""By margin, then by level (calls and forms) or kind (all else): of how many sounds, and how many of each result."""


def left_out(cases: Sequence[Case], found: Sequence[Event], recognizers: Sequence[str]) -> Estimates:
    """What each margin comes to where every voice is judged by gates that were chosen without it, and without any voice
    that shares a speaker with it; noise, by gates chosen without noise.
    """
    heard = [case for case in cases if case.heard_by(recognizers)]
    takings: dict[str, dict[float, Taking]] = {}
    for voice in sorted({case.item.voice for case in heard}):
        others = [one for one in found if not speakers_of(one.voice) & speakers_of(voice)]
        by_margin = {margin: gates(others, recognizers, margin) for margin in MARGINS}
        takings[voice] = {
            margin: judged(Gates(FLOORS, {frozenset(recognizers): chosen})) for margin, chosen in by_margin.items()
        }
    rows: dict[float, dict[str, Row]] = {
        margin: {name: dict.fromkeys(("of", *Result), 0) for name in dict.fromkeys(_row(case.item) for case in heard)}
        for margin in MARGINS
    }
    for case in heard:
        for margin, taking in takings[case.item.voice].items():
            row = rows[margin][_row(case.item)]
            row["of"] += 1
            row[treated(case.meant, case.of(recognizers), taking).result] += 1
    return rows


def speakers_of(voice: str) -> frozenset[str]:
    """Of "kokoro one+other": each of the two."""
    engine, _, names = voice.partition(" ")
    return frozenset(f"{engine} {name}" for name in names.split("+"))


def _row(item: Item) -> str:
    return item.level if item.kind in (Sound.CALL, Sound.FORM) else item.kind


def best_margin(estimates: Estimates) -> float:
    """The laxest margin with which the voices left out keep the goals for silent errors; where none does, the one with
    the fewest.
    """
    beyond = {margin: sum(_beyond(name, row) for name, row in rows.items()) for margin, rows in estimates.items()}
    return min(beyond, key=lambda margin: (beyond[margin], margin))


def _beyond(name: str, row: Row) -> float:
    """By how many silent errors a row is worse than its goal; spoilt phrases and 0 dB have none, people none to err."""
    most = {level: wrong for level, (_, wrong) in GOALS.items()} | {Sound.TALK: 0.0, Sound.NOISE: 0.0}
    most |= dict.fromkeys(PEOPLE, 0.0)
    return max(0.0, row[Result.WRONG] - most.get(name, 100.0) / 100 * row["of"])


def table(cases: Sequence[Case], sets: Sequence[Sequence[str]]) -> tuple[dict[str, Any], dict[str, Any]]:
    """The gates of every set of recognizers that heard the split, with the margin chosen for the first set; and what
    each margin came to on voices left out.
    """
    found: dict[tuple[str, ...], list[Event]] = {tuple(recognizers): [] for recognizers in sets}
    # One sound after the other: what its words mean is then still known to the next set.
    for case in cases:
        for recognizers, these in found.items():
            these.extend(events(case, recognizers))
    first = tuple(sets[0])
    estimates = left_out(cases, found[first], first)
    margin = best_margin(estimates)
    made = {"+".join(names): gates(these, names, margin) for names, these in found.items() if these}
    return {"floors": FLOORS, "gates": made}, {"recognizers": first, "margin": margin, "margins": estimates}
