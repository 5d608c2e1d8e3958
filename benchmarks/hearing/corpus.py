"""The sounds of a split: job calls, forms of the grammar, spoilt phrases, talk and noise, each at its noise levels.

Voices, texts and noise machines are those of the split alone (`training.splits`); only the set phrases of a job ("yes",
"next board") are said in every split. Everything follows from the split, the counts and the seed.
"""

from __future__ import annotations

import json
import random
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass
from enum import StrEnum
from multiprocessing import get_context
from pathlib import Path
from typing import Any, Self

import numpy as np

from fieldvoice.ears.sound import Frames
from fieldvoice.language.automaton import vocabulary
from fieldvoice.language.understanding import understand
from fieldvoice.records.hearing import Source
from fieldvoice.records.utterance import Meaning, Status
from training.calls import alone, call, close, of_danger
from training.corpus import Clip, Order, say
from training.labels import Labels
from training.mixing import CLEAN_SNR, as_frames, draw_scene, noise_alone, on_site
from training.phrases import phrases
from training.splits import Split
from training.texts import Said, Sampler, Text, Texts, may_say, other_sentences, shouted
from training.voices import Voice, voices

LEVELS = {"clean": CLEAN_SNR, "20 dB": 20.0, "10 dB": 10.0, "5 dB": 5.0, "0 dB": 0.0}
_TALK = 8
_SLOW = "kokoro"
"""Its speakers are the most like people, but it takes three seconds for one of speech: its share is given."""
_SHARES = {"hibari": 0.2, "piper": 0.3, "flite": 0.15, "festival": 0.15, "espeak": 0.3}
"""Of the other clips."""


class Kind(StrEnum):
    """What a sound is. Calls and forms are heard at every level; the others once each, at levels of their own."""

    CALL = "call"
    FORM = "form"
    SPOILT = "spoilt"
    TALK = "talk"
    NOISE = "noise"


@dataclass(frozen=True, slots=True)
class Counts:
    """How many texts of each kind there are."""

    call: int
    form: int
    spoilt: int
    talk: int
    noise: int

    def part(self, share: float) -> Self:
        """So much of each, at least one."""
        return type(self)(**{kind: max(1, round(share * count)) for kind, count in asdict(self).items()})


@dataclass(frozen=True, slots=True)
class Plan:
    """What a split is made of: how many texts, the seed, and the share of clips (0 to 1) in the voices of `_SLOW`."""

    counts: Counts
    seed: int
    slow: float


# About half of either split is said by neural voices: hibari, piper and few of kokoro's in the test; tuning has only
# kokoro's. Gates were once chosen on flite and espeak nearly alone, which are harder to hear than people are: they
# asked about much that was right. They should be chosen on voices like those of people.
PLANS = {
    Split.TUNE: Plan(Counts(call=400, form=120, spoilt=100, talk=300, noise=200), seed=17, slow=0.5),
    Split.TEST: Plan(Counts(call=250, form=80, spoilt=60, talk=600, noise=400), seed=31, slow=0.07),
}


@dataclass(frozen=True, slots=True)
class Item:
    """One sound by name: its words (none for noise), whose voice, and the level it is heard at."""

    key: str
    kind: Kind
    level: str
    words: str
    voice: str

    @property
    def meant(self) -> tuple[Meaning, ...]:
        """What was said means; empty where it has no one meaning."""
        return understand(self.words, Source.SPOKEN).meanings if self.words else ()


@dataclass(frozen=True, slots=True)
class Sounds:
    """A split's dry speech, from which every item's sound is made when it is asked for."""

    split: Split
    seed: int
    counts: Counts
    clips: tuple[tuple[Kind, Clip], ...]

    @classmethod
    def load(cls, folder: Path) -> Self:
        """What `save` wrote."""
        facts = json.loads((folder / "corpus.json").read_text(encoding="utf-8"))
        split, clips = Split(facts["split"]), []
        with np.load(folder / "corpus.npz") as arrays:
            for (kind, said, words, engine, name), array in zip(facts["clips"], arrays.files, strict=True):
                clips.append((Kind(kind), Clip(Text(Said(said), words), Voice(engine, name, split), arrays[array])))
        return cls(split, facts["seed"], Counts(**facts["counts"]), tuple(clips))

    def save(self, folder: Path) -> None:
        """Write the speech, as it is, and its facts."""
        folder.mkdir(parents=True, exist_ok=True)
        np.savez(folder / "corpus.npz", *(clip.sound for _, clip in self.clips))
        clips = [
            [kind, clip.text.said, clip.text.words, clip.voice.engine, clip.voice.name] for kind, clip in self.clips
        ]
        facts = {"split": self.split, "seed": self.seed, "counts": asdict(self.counts), "clips": clips}
        (folder / "corpus.json").write_text(json.dumps(facts), encoding="utf-8")

    def facts(self) -> dict[str, Any]:
        """What it was made of."""
        spoken = Counter(f"{clip.voice.engine} {clip.voice.name}" for _, clip in self.clips)
        counts = {**Counter(kind for kind, _ in self.clips), Kind.NOISE: self.counts.noise}
        return {"split": self.split, "seed": self.seed, "texts": counts, "voices": dict(spoken.most_common())}

    def items(self) -> Iterator[tuple[Item, int]]:
        """Every item, with the number that its noise is drawn by; one level after the other."""
        levels = list(LEVELS)
        for at, level in enumerate(levels):
            for number, (kind, clip) in enumerate(self.clips):
                if kind in (Kind.CALL, Kind.FORM) or number % len(levels) == at:
                    voice = f"{clip.voice.engine} {clip.voice.name}"
                    yield Item(f"{kind}-{number}-{at}", kind, level, clip.text.words, voice), number * len(levels) + at
        for number in range(self.counts.noise):
            yield Item(f"noise-{number}", Kind.NOISE, "noise", "", ""), 1_000_000 + number

    def frames(self, item: Item, drawn_by: int) -> Frames:
        """An item's sound; what a radio plays in it is talk, never a call."""
        dice = np.random.default_rng((self.seed, drawn_by))
        spoken = [clip for kind, clip in self.clips if kind is Kind.TALK]
        talk = [spoken[int(one)].wave for one in dice.integers(len(spoken), size=_TALK)] if spoken else []
        if item.kind is Kind.NOISE:
            return as_frames(noise_alone(draw_scene(dice, 0.0).kinds, self.split, dice, talk))
        _, clip = self.clips[int(item.key.split("-")[1])]
        return as_frames(on_site(clip.wave, draw_scene(dice, LEVELS[item.level]), self.split, dice, talk))


CALLS: dict[str, Callable[[], Sampler]] = {
    "close": lambda: close,
    "danger": lambda: of_danger(phrases().of("danger")),
    "alone": lambda: alone,
}
"""Calls of one sort, each for a folder of its own: what is most easily taken for another, word of danger, and lone
words, with thrice as many bits of talk that are as short.
"""
_SHORT_TALK = {"alone": 3}
"""By the sort of calls, so many bits of short talk for each."""


def sounds(split: Split, share: float, processes: int, calls: str | None = None, seed: int = 0) -> Sounds:
    """The split's voices saying its texts, or a share of them, or as many `CALLS`; an engine that can't say one leaves
    it out. Another seed than none is another draw.
    """
    plan = PLANS[split]
    seed = (seed or plan.seed) + (1 + list(CALLS).index(calls) if calls else 0)
    counts, dice = plan.counts.part(share), random.Random(seed)  # noqa: S311 - a corpus, not a secret
    texts = list(_texts(split, counts, dice))
    if calls:
        counts = Counts(counts.call, 0, 0, counts.call * _SHORT_TALK.get(calls, 0), 0)
        drawn = CALLS[calls]()
        texts = [(Kind.CALL, _phrase(drawn, split, dice)) for _ in range(counts.call)]
        texts += [(Kind.TALK, _short(split, dice)) for _ in range(counts.talk)]
    dice.shuffle(texts)
    orders = [Order(_voice(split, dice, plan.slow), (text,), dice.randrange(1 << 30)) for _, text in texts]
    with get_context("spawn").Pool(processes) as pool:
        spoken = zip(texts, pool.imap(say, orders), strict=True)
        clips = tuple((kind, clip) for (kind, _), said in spoken for clip in said)
    return Sounds(split, seed, counts, clips)


def _voice(split: Split, dice: random.Random, slow: float) -> Voice:
    """An engine by its share, then one of its voices."""
    by_engine: dict[str, list[Voice]] = {}
    for voice in voices(split):
        by_engine.setdefault(voice.engine, []).append(voice)
    slowest = by_engine.pop(_SLOW, [])
    if slowest and dice.random() < slow:
        return dice.choice(slowest)
    engine = dice.choices(list(by_engine), [_SHARES[engine] for engine in by_engine])[0]
    return dice.choice(by_engine[engine])


def _texts(split: Split, counts: Counts, dice: random.Random) -> Iterator[tuple[Kind, Text]]:
    form = phrases()
    other = Texts(call, call, vocabulary(), other_sentences(Labels.of(vocabulary()).knows))
    makers: dict[Kind, Callable[[], Text]] = {
        Kind.CALL: lambda: _phrase(call, split, dice),
        Kind.FORM: lambda: _phrase(form, split, dice),
        Kind.SPOILT: lambda: _other(Said.SPOILT, other, split, dice),
        Kind.TALK: lambda: _other(Said.TALK, other, split, dice),
    }
    for kind, make in makers.items():
        for _ in range(asdict(counts)[kind]):
            yield kind, make()


def _phrase(drawn: Sampler, split: Split, dice: random.Random) -> Text:
    """One with one meaning, of the split or said in every split."""
    while True:
        words = drawn(dice)
        if may_say(split, words) and understood(words):
            return Text(Said.PHRASE, words)


def _short(split: Split, dice: random.Random) -> Text:
    """A bit of talk of few words that means nothing."""
    while True:
        words = shouted(dice)
        if may_say(split, words) and not understood(words):
            return Text(Said.TALK, words)


def _other(said: Said, texts: Texts, split: Split, dice: random.Random) -> Text:
    """Spoilt, whatever it may mean, or talk that means nothing, so that what is taken of it is taken wrongly."""
    while True:
        text = texts.draw(dice, split)
        if text.said is said and (said is Said.SPOILT or not understood(text.words)):
            return text


def understood(words: str) -> bool:
    """Whether the words have one meaning."""
    return understand(words, Source.SPOKEN).status is Status.UNDERSTOOD
