"""Boards cut out of paper by nothing but the words of their steps, and hung into holes drawn from the room."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest

from fieldvoice.cutting.solving import solve
from fieldvoice.records.plan import CutPlan
from tests.cutting.by_the_words import read_all
from tests.cutting.everyday import KINDS, ODD, Case
from tests.cutting.looked_over import Found, faults_of
from tests.cutting.rooms import says
from tests.cutting.true_rooms import Hand, hang

EVERY = {**KINDS, **ODD}
SIX = (
    "first_board_from_a_wall_that_leans",
    "sloped_ceiling",
    "both_leans_said",
    "lower_course",
    "ceiling_between_four_walls",
    "gable",
)
"""A side cut on the left, a rake after the side, both sides, a course over the floor, side and end overhead, a peak."""


def cut_by_words(plan: CutPlan) -> Hand:
    """A hand that has the texts and no more."""
    hand = Hand()
    hand.work(replace(plan, steps=tuple(read_all(says(plan)))))
    return hand


def looked_at(case: Case, plan: CutPlan) -> list[str]:
    """What is wrong with the paper board in its hole."""
    return faults_of(case, plan, hang(cut_by_words(plan), case.room), Found())


@pytest.mark.parametrize("name", SIX)
def test_six_boards_cut_by_their_words_alone(name: str) -> None:
    """Each fits its hole, its gaps are as said and its boxes come through."""
    case = EVERY[name](Random(11))
    assert looked_at(case, solve(case.board)) == []


@pytest.mark.parametrize("name", EVERY)
def test_every_kind_can_be_read(name: str) -> None:
    """No step says anything that a reader can't do."""
    for seed in range(3):
        case = EVERY[name](Random(seed))
        assert looked_at(case, solve(case.board)) == []


def test_words_that_are_spoilt_are_seen() -> None:
    """An inch written wrong in one sentence is a board that doesn't fit: the words are what is tried here."""
    case = EVERY["first_board_from_a_wall_that_leans"](Random(11))
    plan = solve(case.board)
    mark = next(text for text in says(plan) if text.startswith("Left edge: from"))
    figure = next(word for word in mark.split() if word.isdigit())
    spoilt = [text.replace(f" {figure} ", f" {int(figure) + 1} ") if text == mark else text for text in says(plan)]
    hand = Hand()
    hand.work(replace(plan, steps=tuple(read_all(spoilt))))
    assert faults_of(case, plan, hang(hand, case.room), Found()) != []
