"""What becomes of each sound where the dialogue waits for what was said: taken, asked about, refused, or taken for
something else; and whether the leading recognizer's likeliest meaning was right, so that a row tells what the gates
cost and what the ear does.
"""

from __future__ import annotations

import gzip
import json
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from hashlib import sha256
from pathlib import Path
from typing import Any

from benchmarks.hearing.corpus import Item
from benchmarks.hearing.corpus import Kind as SoundKind
from benchmarks.hearing.hearing import Case
from benchmarks.hearing.recognizers import head_sha
from benchmarks.hearing.store import document_of, hearing_of
from fieldvoice.language import choosing, surety, verdict
from fieldvoice.language.automaton import automaton, vocabulary
from fieldvoice.language.choosing import choose, danger_in
from fieldvoice.language.understanding import understand
from fieldvoice.language.verdict import WEIGHED, Expectation, Finding, Gates, judge
from fieldvoice.records.hearing import Hearing, Source
from fieldvoice.records.length import Unit
from fieldvoice.records.meaning import Reading
from fieldvoice.records.utterance import Answer, Meaning


class Became(StrEnum):
    """Of one sound."""

    RIGHT = "right"
    ASKED = "asked"
    REFUSED = "refused"
    WRONG = "wrong"


@dataclass(frozen=True, slots=True)
class Outcome:
    """What one sound became; `likeliest`: whether the leading recognizer thought likeliest what was said; `heard`: the
    words that it was wrongly taken for; `danger`: whether word of danger was said, and whether it counts.
    """

    became: Became
    likeliest: bool
    heard: str = ""
    danger: tuple[bool, bool] = (False, False)


EVERY = (Expectation(), Expectation(answer=True), Expectation(number=True))


def awaited(meant: Sequence[Meaning]) -> Expectation:
    """What the dialogue waits for where this is said: an answer before a yes or a no, a figure before a bare one."""
    answer = any(isinstance(one, Answer) for one in meant)
    bare = [isinstance(one, Reading) and one.dimension is None and one.at is None for one in meant]
    return Expectation(answer=answer, number=bool(bare) and all(bare))


def outcome(case: Case, recognizers: Sequence[str] = WEIGHED, gates: Gates | None = None) -> Outcome:
    """Of a sound that these have heard. Whatever is awaited, it must not be taken for something else."""
    hearings, own = case.of(recognizers), awaited(case.meant)
    likeliest = _likeliest(hearings[0]) == _plain(case.meant) and bool(case.meant)
    danger = says_danger(case.item.words), bool(danger_in(hearings, Unit.INCH))
    for expected in (own, *EVERY):
        judged = judge(hearings, expected, gates)
        if judged.finding is Finding.ACCEPT and _plain(judged.utterance.meanings) != _plain(case.meant):
            return Outcome(Became.WRONG, likeliest, judged.utterance.heard, danger)
    found = judge(hearings, own, gates).finding
    became = {Finding.ACCEPT: Became.RIGHT, Finding.DOUBT: Became.ASKED, Finding.REFUSE: Became.REFUSED}[found]
    return Outcome(became, likeliest, danger=danger)


def says_danger(words: str) -> bool:
    """Whether there is word of danger in what was said, which counts whatever the rest of it may be."""
    return bool(words) and bool(understand(words, Source.SPOKEN).danger)


def _likeliest(hearing: Hearing) -> tuple[Meaning, ...]:
    candidates = choose(hearing).candidates
    return _plain(candidates[0].utterance.meanings) if candidates else ()


def _plain(meanings: Sequence[Meaning]) -> tuple[Meaning, ...]:
    """Whether a yes was plain or mere agreement isn't heard wrongly: it is asked about where that matters."""
    return tuple(replace(one, agreed=False, plain=True) if isinstance(one, Answer) else one for one in meanings)


def rows(named: Iterable[tuple[str, Case]], gates: Gates | None = None) -> dict[str, Any]:
    """By the name of a row how many sounds, of how many the likeliest meaning was right, and what they became, how many
    said danger, with how many of these it counts and with how many others; every one that was taken for something else,
    with its row, its words, what it was taken for and the voice; and what falsely counts as danger.
    """
    counts: dict[str, Counter[str]] = {}
    wrong, falsely = [], []
    for name, case in named:
        found, row = outcome(case, gates=gates), counts.setdefault(name, Counter())
        row.update(("of", found.became, _OF_DANGER[found.danger]) + (("likeliest",) if found.likeliest else ()))
        if found.danger == (False, True):
            falsely.append([name, case.item.words, case.item.voice])
        if found.became is Became.WRONG:
            wrong.append([name, case.item.words, found.heard, case.item.voice])
    names = ("of", "likeliest", *Became, *list(_OF_DANGER.values())[:3])
    made = {name: {one: row[one] for one in names} for name, row in counts.items()}
    return {"rows": made, "wrong": wrong, "falsely danger": falsely}


def no_call(case: Case) -> bool:
    """Whether nobody called it, or not all of it: what is taken of these hangs on every word that calls may have."""
    return case.item.kind in {SoundKind.TALK, SoundKind.SPOILT}


def keep(named: Iterable[tuple[str, Case]], file: Path) -> None:
    """Keeps what both usual recognizers heard of some sounds, each under the name of its row."""
    lines = [
        {
            "row": name,
            "key": case.item.key,
            "words": case.item.words,
            "voice": case.item.voice,
            "level": case.item.level,
        }
        | {"kind": case.item.kind, "heard": {one: _short(case.hearings[one]) for one in WEIGHED}}
        for name, case in named
    ]
    text = "".join(json.dumps(line) + "\n" for line in lines)
    file.write_bytes(gzip.compress(text.encode(), mtime=0))


def _short(hearing: Hearing) -> dict[str, Any]:
    """With probabilities of four figures, which is as much as anything hangs on."""
    facts = document_of(hearing)
    return facts | {"hypotheses": [[words, float(f"{probability:.4g}")] for words, probability in facts["hypotheses"]]}


def kept(file: Path) -> list[tuple[str, Case]]:
    """What `keep` kept: the cases, whose words mean what they mean today."""
    found = []
    for line in gzip.decompress(file.read_bytes()).decode().splitlines():
        facts = json.loads(line)
        kind = SoundKind(facts["kind"])
        item = Item(facts["key"], kind, facts["level"], facts["words"], facts["voice"])
        heard = {one: hearing_of(document) for one, document in facts["heard"].items()}
        found.append((facts["row"], Case(item, item.meant, heard)))
    return found


def judged_by() -> dict[str, str]:
    """What outcomes hang on beside the sounds and what words mean: the ear, the lone words that it listens for, which
    other talk is most easily taken for, the bounds for taking, and those of danger; each changes with what it names.
    """
    bounds = [file.read_bytes() for file in (verdict.TABLE, surety.TABLE)]
    facts = [{name: one for name, one in json.loads(each).items() if name != "run"} for each in bounds]
    danger = [choosing.LIKELY, choosing.LIKELY_BESIDE, choosing.MOST, choosing.SEVERAL_WORDS]
    return {
        "ear": head_sha()[:12],
        "lone words to listen for": sha256(" ".join(_alone()).encode()).hexdigest()[:12],
        "bounds for taking": sha256(json.dumps(facts, sort_keys=True).encode()).hexdigest()[:12],
        "bounds for word of danger": json.dumps(danger),
    }


def _alone() -> list[str]:
    """Each word that ears listen for with nothing before or behind it."""
    net = automaton()
    led = ((word, net.arcs[net.start].get(word)) for word in vocabulary())
    return [word for word, state in led if state is not None and state in net.finals]


_OF_DANGER = {
    (True, True): "danger counts",
    (True, False): "danger missed",
    (False, True): "danger falsely",
    (False, False): "no danger",
}
