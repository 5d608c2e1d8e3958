"""The talk key: held, or pressed twice, where only presses are seen."""

from __future__ import annotations

import numpy as np
import pytest

from fieldvoice.ears.sound import RATE
from fieldvoice.ears.talk_key import KeyHeld, Presses

BLOCK = np.ones(1600, np.int16)


def states(presses: str, seconds: float = 0.125) -> str:
    """Down (x) or up (.) at each moment, from the presses seen in it (a digit; . for none)."""
    coming = iter(presses)
    time = iter(np.arange(len(presses)) * seconds)
    key = Presses(lambda: int(next(coming).replace(".", "0")), lambda: float(next(time)))
    return "".join("x" if key() else "." for _ in presses)


@pytest.mark.parametrize(
    ("what", "presses", "down"),
    [
        ("held: a wait, repeats, release", ".1....333333......", ".xxxxxxxxxxxxx...."),
        ("pressed twice", "..1.........1......", "..xxxxxxxxxxxxx...."),
        ("pressed once", ".1........", ".xxxxxxxxx"),
        ("a second utterance", "1...1......1....1....", "xxxxxxx....xxxxxxxx.."),
        ("pressed once, then held", ".1......1...1111......", ".xxxxxxxxxx..........."),
        ("pressed once and forgotten", "1" + 100 * ".", 96 * "x" + 5 * "."),
        ("a double press by mistake", ".2........", ".xxx......"),
    ],
)
def test_one_rule_for_a_key_that_is_held_and_one_that_is_pressed_twice(what: str, presses: str, down: str) -> None:
    """Repeats keep it down; the end comes 0.3 s after the last press, from the second press on."""
    assert states(presses) == down, what


def keyed(pattern: str, longest: float = 24.0) -> list[tuple[int, bool]]:
    """The length and end of each cut from blocks during which the key is down (x) or up (.)."""
    signs = iter(pattern)
    taker = KeyHeld(lambda: next(signs) == "x", longest)
    return [(len(cut.frames), cut.ended) for _ in pattern for cut in taker.take(BLOCK)]


def test_an_utterance_is_what_came_while_the_key_was_down() -> None:
    """With the block in which it was let go; nothing after, and before it only what is kept of that."""
    assert keyed("xx..") == [(1600, False), (1600, False), (1600, True)]


def test_the_first_word_isnt_cut_off_by_a_late_press() -> None:
    """What came half a second before the key went down belongs to the call; the rest, and what was said before a gap,
    don't.
    """
    assert keyed("......xx..x.") == [
        (5 * 1600 + 1600, False),
        (1600, False),
        (1600, True),
        (2 * 1600, False),
        (1600, True),
    ]
    taker = KeyHeld(iter([False, False, True]).__next__)
    assert not [*taker.take(BLOCK), *taker.take(BLOCK)]
    taker.interrupted()
    assert not list(taker.take(BLOCK)), "the key was down when sound was missing"


def test_what_was_under_way_when_the_key_went_down_belongs_to_it_whole() -> None:
    """However late the press, up to a second: the call begins in a pause and never in a word, in a quiet room and
    beside a machine; words before that pause are no part of it.
    """
    dice = np.random.default_rng(7)
    for machine in (8.0, 300.0):
        for late in np.arange(0.0, 1.01, 0.05):
            room = dice.normal(0, machine, 4 * RATE)
            room[RATE // 2 : RATE] += 2_000 * np.sin(np.arange(RATE // 2) / 9)  # somebody else, before
            words = slice(2 * RATE, 2 * RATE + round(1.4 * RATE))
            spoken = 2_000 * np.sin(np.arange(round(1.4 * RATE)) / 5)
            for gap in (0.45, 0.9, 1.2):  # between words there is less than a pause
                spoken[round(gap * RATE) : round((gap + 0.08) * RATE)] = 0.0
            room[words] += spoken
            sound, down = room.astype(np.int16), iter((np.arange(0, 4 * RATE, 320) >= (2 + late) * RATE).tolist())
            taker = KeyHeld(down.__next__)
            cuts = [cut.frames for at in range(0, len(sound), 320) for cut in taker.take(sound[at : at + 320])]
            begins = len(sound) - sum(map(len, cuts))
            assert RATE + RATE // 10 < begins <= 2 * RATE, (machine, late, begins / RATE)


def test_a_key_that_stays_down_ends_an_utterance_by_the_clock() -> None:
    """What follows is another one: no memory without bound, and nothing lost."""
    assert [ended for _, ended in keyed("xxxxxx.", longest=0.3)] == [False, False, True, False, False, True, True]


def test_stopping_forgets_the_press() -> None:
    """When the assistant speaks meanwhile, the release of the key ends nothing, and the rest is no call."""
    taker = KeyHeld(iter([True, True, False, True]).__next__)
    assert len(list(taker.take(BLOCK))) == 1
    taker.interrupted()
    assert [list(taker.take(BLOCK)) for _ in "xx"] == [[], []]
    assert len(list(taker.take(BLOCK))) == 1
