"""No voice, text or noise machine is in two splits, or the figures would flatter."""

from __future__ import annotations

import itertools

import pytest

from training.splits import Split, machines_of, split_of_text


@pytest.mark.parametrize(("one", "other"), list(itertools.combinations(Split, 2)))
def test_machines_are_kept_apart(one: Split, other: Split) -> None:
    """A saw that was trained on is in no other split."""
    assert not set(machines_of(one)) & set(machines_of(other))


def test_a_text_is_in_one_split_and_stays_there() -> None:
    """The split is a function of the words; about 80, 10 and 10 in 100."""
    counts = dict.fromkeys(Split, 0)
    for number in range(2_000):
        words = f"top {number} and an eighth"
        assert split_of_text(words) is split_of_text(words)
        counts[split_of_text(words)] += 1
    assert 1_500 < counts[Split.TRAIN] < 1_700
    assert min(counts.values()) > 150
