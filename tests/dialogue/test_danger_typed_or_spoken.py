"""What may be about a circuit and isn't understood ends "dead and tested", surely heard or typed."""

from __future__ import annotations

from functools import cache
from itertools import product

import pytest

from fieldvoice.records.hearing import EarKind, Hearing, Hypothesis
from fieldvoice.records.ledger import Tell
from fieldvoice.records.meaning import Circuit
from tests.dialogue.talk import Wall, wall_after

TESTED = ("top 42", "bottom 42", "left 90", "right 90", "box 1 single gang center 12 from left 14 up", "yes")
CLAIM = ("box 1 dead and tested", "yes")
POWER = (
    "power",
    "current",
    "the breaker",
    "circuit two",
    "a wire",
    "the fuse",
    "the panel",
    "the line side",
)
SAID_OF_IT = ("was somewhere", "for the neighbor", "went another way", "is in")
SWITCHED = [
    " ".join(one) for one in product(("turn", "flip", "switching", "put"), ("it", "that", "them"), ("back on",))
]
OF_A_BOX = ("box one alive", "electrician has rewired box one", "it's box two that is dead", "i tested the wrong one")
CALLED_OUT = ("stop", "danger", "watch out", "fire", "the fuses are in", "switched leg", "somebody is at the panel")
WORDS = (*(f"{one} {said}" for one, said in product(POWER, SAID_OF_IT)), *SWITCHED, *OF_A_BOX, *CALLED_OUT)


@cache
def _tested(*since: str) -> Wall:
    return wall_after(*TESTED, *CLAIM, *since)


def _dead(wall: Wall) -> bool:
    state = wall.session.state
    return any(word.state is Circuit.DEAD for boxes in state.words.values() for word in boxes.values())


def _heard(wall: Wall, *hypotheses: tuple[str, float]) -> None:
    ways = tuple(Hypothesis(words, share) for words, share in hypotheses)
    wall.session.take(Hearing(ways, "ear", kind=EarKind.READING), "hanger")


@pytest.mark.parametrize("since", [(), ("done",)], ids=["right behind", "behind done"])
@pytest.mark.parametrize("words", WORDS)
def test_it_ends_the_claim_either_way(words: str, since: tuple[str, ...]) -> None:
    """Each word of circuits with each thing that may be said of it."""
    for said in (Wall.types, Wall.speaks):
        wall = _tested(*since).twin()
        assert _dead(wall)
        said(wall, words)
        assert not _dead(wall), (said.__name__, words)


@pytest.mark.parametrize("words", ["smoke", "three way switch", "hand me that", "what time is lunch", "the blorp"])
def test_right_behind_the_claim_whatever_is_not_understood_ends_it(words: str) -> None:
    """Talk in which nothing is known, and a kind of box with nothing else."""
    for said in (Wall.types, Wall.speaks):
        wall = _tested().twin()
        said(wall, words)
        assert not _dead(wall), (said.__name__, words)


@pytest.mark.parametrize("board", ["two", "three"])
def test_a_test_that_was_of_another_board_counts_for_none(board: str) -> None:
    """Nobody knows of which box it was."""
    for said in (Wall.types, Wall.speaks):
        wall = _tested("done").twin()
        said(wall, f"that was for board {board}")
        assert not _dead(wall), said.__name__


@pytest.mark.parametrize("share", [0.05, 0.3, 0.6, 0.9])
@pytest.mark.parametrize("words", [*WORDS[::5], *CALLED_OUT])
def test_what_is_heard_in_several_ways_or_in_none_that_is_likely_ends_nothing(words: str, share: float) -> None:
    """Noise of a site is heard so: it would end the claim at random. What is word of danger by itself counts by its
    own shares.
    """
    wall = _tested("done").twin()
    _heard(wall, *sorted((("hand me that", 0.95 - share), (words, share)), key=lambda one: -one[1]))
    assert _dead(wall) or wall.session.state.said[0].tell is Tell.NOT_DEAD
    if words in CALLED_OUT:  # no word of danger by itself
        assert _dead(wall)


@pytest.mark.parametrize("words", ["what time is lunch", "hand me that", "the blorp", "over here please"])
def test_talk_of_nothing_known_ends_no_claim_once_work_went_on(words: str) -> None:
    """As spoken, by one sure hypothesis: no word of a circuit is in it."""
    wall = _tested("done").twin()
    wall.speaks(words)
    assert _dead(wall)


@pytest.mark.parametrize(
    "words", ["box two single gang center five six from", "box one single gang", "top forty two and", "box three"]
)
def test_a_call_that_is_spoilt_or_begun_is_about_no_circuit(words: str) -> None:
    """Once work went on."""
    wall = _tested("done").twin()
    wall.speaks(words)
    assert _dead(wall)
