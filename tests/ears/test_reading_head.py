"""The reading head: sums over every way of saying a string, the search inside the language, and the weights as
shipped.
"""

from __future__ import annotations

import itertools
import shutil
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldvoice.ears.reading_head import head as head_module
from fieldvoice.ears.reading_head.head import (
    BLANK,
    FACTS,
    WEIGHTS,
    Floats,
    ReadingHead,
    likeliest,
    log_probability,
    network,
    word_log_probabilities,
)
from fieldvoice.errors import NotHere

LABELS = {"forty": 1, "four": 2}


@dataclass(frozen=True)
class Toy:
    """A language: "forty", "forty four", "four", "four four"."""

    start: int = 0
    finals: frozenset[int] = frozenset({1, 2})
    arcs: tuple[Mapping[str, int], ...] = ({"forty": 1, "four": 1}, {"four": 2}, {})


def frames(seed: int, count: int = 5, labels: int = 4) -> Floats:
    """Any distributions, one a frame."""
    scores = np.random.default_rng(seed).normal(0, 2, (count, labels))
    return np.asarray(scores - np.log(np.exp(scores).sum(axis=1, keepdims=True)))


def said(path: tuple[int, ...]) -> tuple[int, ...]:
    """What a path through the frames says: repeats are one, blanks nothing."""
    return tuple(label for label, _ in itertools.groupby(path) if label != BLANK)


def by_hand(log_probabilities: Floats) -> dict[tuple[int, ...], float]:
    """Every string's probability, summed over every path there is."""
    sums: dict[tuple[int, ...], float] = {}
    count, labels = log_probabilities.shape
    for path in itertools.product(range(labels), repeat=count):
        chance = float(np.exp(sum(log_probabilities[frame, label] for frame, label in enumerate(path))))
        sums[said(path)] = sums.get(said(path), 0.0) + chance
    return sums


@settings(deadline=None)
@given(st.integers(0, 10_000))
def test_a_strings_probability_is_the_sum_over_its_paths(seed: int) -> None:
    """Repeated words, the empty string and single words agree with counting every path."""
    heard = frames(seed)
    sums = by_hand(heard)
    strings = [(), (1,), (2,), (1, 2), (2, 2), (1, 1, 2), (3,)]
    assert np.exp(log_probability(heard, strings)) == pytest.approx([sums.get(s, 0.0) for s in strings])


def test_all_strings_together_are_certain() -> None:
    """What is missing to 1 is other talk: the probabilities are absolute."""
    assert sum(by_hand(frames(3)).values()) == pytest.approx(1.0)


@settings(deadline=None)
@given(st.integers(0, 10_000))
def test_the_search_finds_the_likeliest_of_the_language(seed: int) -> None:
    """With a beam wider than the language nothing is lost, and nothing outside it is found."""
    heard = frames(seed)
    sums = by_hand(heard)
    found = likeliest(heard, network(Toy(), LABELS), count=4)
    best = max([(1,), (2,), (1, 2), (2, 2)], key=lambda string: sums[string])
    assert sums[found[0]] == pytest.approx(sums[best], rel=1e-3)
    assert set(found) <= {(1,), (2,), (1, 2), (2, 2)}


def test_a_word_without_a_label_closes_its_paths_only() -> None:
    """An acceptor with a word that the head lacks still hears the rest."""
    assert set(likeliest(frames(1), network(Toy(), {"x": 1, "four": 2}), count=4)) == {(2,), (2, 2)}
    assert likeliest(frames(1), network(Toy(), {"x": 1, "y": 2}), count=4) == []


def test_long_sound_stays_in_range() -> None:
    """Ten minutes of frames neither overflow nor vanish."""
    heard = frames(5, count=3_000)
    assert set(likeliest(heard, network(Toy(), LABELS), count=4)) == {(1,), (2,), (1, 2), (2, 2)}
    assert np.isfinite(log_probability(heard, [(1, 2)])[0])


def test_the_shipped_head_gives_distributions() -> None:
    """Each frame's probabilities add up to 1, over the blank, every word and "some other word"."""
    head = ReadingHead.load()
    heard = head.log_probabilities(np.zeros((7, 384), np.float32))
    assert heard.shape == (7, len(head.labels) + 2)
    assert np.exp(heard).sum(axis=1) == pytest.approx(1.0)


def test_the_head_hears_no_further_than_its_filters() -> None:
    """What happens further on than all filters together reach leaves a frame as it was."""
    head = ReadingHead.load()
    reach = sum(weight.shape[-1] // 2 for name, weight in head.weights.items() if name.endswith("over_time.weight"))
    encoded = np.random.default_rng(1).normal(0, 1, (2 * reach + 40, 384)).astype(np.float32)
    later = encoded.copy()
    later[reach + 20 :] = encoded[: reach + 20]
    before, after = (word_log_probabilities(one, head.weights) for one in (encoded, later))
    assert before[:20] == pytest.approx(after[:20], rel=1e-4)
    assert not np.allclose(before[20 : reach + 20], after[20 : reach + 20])


def test_missing_words_are_named() -> None:
    """A word that was never trained is named, so that nobody believes it can be heard."""
    assert ReadingHead.load().missing(["forty", "zyzzyva"]) == ("zyzzyva",)


def test_an_empty_decoding_is_no_reading() -> None:
    """A language of which no word is known gives no hypothesis."""
    head = ReadingHead.load()
    nothing = head.network(Toy(arcs=({"zyzzyva": 1}, {}, {})))
    decoding = head.decode(np.zeros((9, 384), np.float32), nothing)
    assert decoding.hypotheses == ()


def test_changed_weights_are_refused(tmp_path: Path) -> None:
    """One byte changed is another head."""
    source = Path(str(head_module.__file__)).parent
    for name in (FACTS, WEIGHTS):
        shutil.copy(source / name, tmp_path / name)
    raw = bytearray((tmp_path / WEIGHTS).read_bytes())
    raw[-1] ^= 1
    (tmp_path / WEIGHTS).write_bytes(raw)
    with pytest.raises(NotHere, match="checksum"):
        ReadingHead.load(tmp_path)


@pytest.mark.parametrize("facts", ["", "{", "[]", "{}"])
def test_a_head_half_there_is_refused(tmp_path: Path, facts: str) -> None:
    """Missing weights or facts that say nothing: the text names the other ear."""
    (tmp_path / FACTS).write_text(facts)
    (tmp_path / WEIGHTS).write_bytes(b"")
    with pytest.raises(NotHere, match="--ear vosk"):
        ReadingHead.load(tmp_path)
