"""What the boards called by sound take for right: planted faults are seen, and the order of calls is none."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from benchmarks.boards_by_sound.clips import Clips
from benchmarks.boards_by_sound.comparing import differences
from benchmarks.boards_by_sound.hanger import MOST_TRIES, Hanger
from benchmarks.boards_by_sound.scripts import Script, of_facts, scripts
from benchmarks.boards_by_sound.truth import Typed, otherwise, unfit
from benchmarks.dialogue.boards import board, misheard
from fieldvoice.dialogue.session import Session
from fieldvoice.records.facts import Fact
from fieldvoice.records.hearing import EarKind, Hearing, Hypothesis
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Box, BoxKind, Coordinate, Dimension, Edge, Point, Reading, Slot
from training.noises import Wave
from training.splits import Split
from training.voices import Voice


def _width(at: Slot, value: str) -> Reading:
    return Reading(Length(value), Dimension.WIDTH, at)


def _height(at: Slot, value: str) -> Reading:
    return Reading(Length(value), Dimension.HEIGHT, at)


def _box(name: str, across: str, start: Edge, down: str) -> Box:
    x, y = Coordinate(Point.CENTER, Length(across), start), Coordinate(Point.CENTER, Length(down), Edge.TOP)
    return Box(BoxKind.SINGLE, x, y, name)


READINGS = (
    _width(Slot.TOP, "40 1/4"),
    _width(Slot.MIDDLE, "40 1/8"),
    _width(Slot.BOTTOM, "40"),
    _height(Slot.LEFT, "95 1/2"),
    _height(Slot.RIGHT, "95 3/8"),
)
FIRST, SECOND = _box("box 1", "9 1/2", Edge.LEFT, "79 1/4"), _box("box 2", "28", Edge.LEFT, "79 1/4")
MEANT: tuple[Fact, ...] = (*READINGS, FIRST, SECOND)


class _Silent(Clips):
    """Clips that nobody made: what is said is told, and lasts no time."""

    def say(self, voice: Voice, text: str, take: int = 0) -> Wave:
        said.append(text)
        return np.zeros(0)


said: list[str] = []
VOICE = Voice("none", "none", Split.TEST)


def _clearly(words: str) -> tuple[Hearing, ...]:
    """As both ears hear what nobody could mistake."""
    ways = (Hypothesis(words, 0.9999),)
    first = Hearing(ways, "reading", kind=EarKind.READING, encoder="reading", above_noise_db=50.0)
    return first, Hearing(ways, "whisper", kind=EarKind.WHISPER, encoder="tiny.en", log_probability=-0.1)


def _by_voice(script: Script, mishears: Callable[[str, int], str | None]) -> Hanger:
    """The board called to ears that hear what `mishears` makes of each thing said and how often; None is no answer."""
    said.clear()
    hanger = Hanger(script, VOICE, _Silent(Path()), random.Random(1))
    talk = hanger.talk()
    try:
        next(talk)
        while True:
            heard = mishears(said[-1], said.count(said[-1]))
            talk.send(_clearly(heard) if heard is not None else None)
    except StopIteration:
        return hanger


BOXES = tuple(_box(f"box {one}", f"{6 * one} 1/8", Edge.LEFT, f"{20 + 7 * one} 3/16") for one in range(1, 6))


def test_a_last_read_back_of_many_parts_is_answered_part_by_part() -> None:
    """However many parts it has: a yes to each is no yes said in vain."""
    hanger = _by_voice(of_facts("many", (*READINGS, *BOXES)), lambda words, _: words)
    assert hanger.has_plan
    assert not hanger.wrong()
    assert said.count("yes") > MOST_TRIES
    assert not hanger.count.typed


@pytest.mark.parametrize("deaf", ["done", "yes"])
def test_what_is_never_answered_is_typed_in_the_end(deaf: str) -> None:
    """A yes or an end that no ear ever hears is given up, and the board has its plan all the same."""
    hanger = _by_voice(of_facts("deaf", (*READINGS, *BOXES)), lambda words, _: None if words == deaf else words)
    assert hanger.count.typed
    assert hanger.has_plan
    assert len(said) < 60


def _settled(facts: tuple[Fact, ...], *after: str) -> Session:
    """The session of a board whose every question was answered yes; what is called `after` comes behind its plan."""
    return _hung(of_facts("planted", facts), *after)


def _hung(script: Script, *after: str) -> Session:
    typed = Typed(script)
    for line in script.lines:
        typed.call(line)
    assert typed.done()
    for line in after:
        typed.call(line)
    assert not after or typed.done()
    return typed.session


def _planted() -> Iterator[tuple[str, tuple[Fact, ...]]]:
    yield "a box missing", (*READINGS, FIRST)
    yield "a box too much", (*MEANT, _box("box 3", "18", Edge.LEFT, "40"))
    yield "a box from the other side", (*READINGS, FIRST, _box("box 2", "28", Edge.RIGHT, "79 1/4"))
    yield "a box by a sixteenth", (*READINGS, FIRST, _box("box 2", "28 1/16", Edge.LEFT, "79 1/4"))
    yield "a box of another kind", (*READINGS, FIRST, replace(SECOND, kind=BoxKind.DOUBLE))
    yield "the sides swapped", _with(_height(Slot.LEFT, "95 3/8"), _height(Slot.RIGHT, "95 1/2"))
    yield "top for bottom", _with(_width(Slot.TOP, "40"), _width(Slot.BOTTOM, "40 1/4"))
    yield "a height", _with(_height(Slot.LEFT, "95 9/16"))
    yield "the middle left out", tuple(one for one in MEANT if one != MEANT[1])


def _with(*others: Reading) -> tuple[Fact, ...]:
    places = {(one.dimension, one.at): one for one in others}
    return tuple(places.get((one.dimension, one.at), one) if isinstance(one, Reading) else one for one in MEANT)


@pytest.mark.parametrize(("what", "facts"), [pytest.param(*one, id=one[0]) for one in _planted()])
def test_a_planted_fault_is_seen(what: str, facts: tuple[Fact, ...]) -> None:
    """By the plans alone, and by what was written down beforehand: each is enough."""
    stands = _settled(facts)
    assert differences(stands, _settled(MEANT)), what
    assert otherwise(of_facts("meant", MEANT), stands), what


def test_the_same_board_is_the_same_in_any_order() -> None:
    """Boxes called the other way round have each other's names, and nothing else is otherwise."""
    turned: tuple[Fact, ...] = (*reversed(READINGS), replace(SECOND, name="box 1"), replace(FIRST, name="box 2"))
    assert not differences(_settled(turned), _settled(MEANT))
    assert not otherwise(of_facts("meant", MEANT), _settled(turned))


def test_what_is_no_fact_of_the_board_is_seen_too() -> None:
    """What stands at an edge, what was said of a circuit, a draft, a second board."""
    meant = _settled(MEANT)
    assert differences(_settled(MEANT, "wall on the left"), meant)
    assert differences(_settled(MEANT, "box one is dead and tested"), meant)
    assert differences(_settled(MEANT, "five eighths board"), meant)
    draft = Typed(of_facts("draft", MEANT))
    for line in of_facts("draft", MEANT).lines:
        draft.call(line)
    assert differences(draft.session, meant)
    second = _settled(MEANT)
    for line in ("next board", "top twenty"):
        second.take(Hearing.typed(line), "hanger")
    assert differences(second, meant)


@pytest.mark.parametrize("seed", range(12))
def test_any_one_thing_misheard_is_seen(seed: int) -> None:
    """Boards at random, each call of each misheard once; what is then no board has no plan, which is seen as well."""
    dice = random.Random(seed)
    facts = board(dice).facts
    meant = of_facts("meant", facts)
    whole = _hung(meant)
    assert not otherwise(meant, whole)
    for at, fact in enumerate(facts):
        wrong = misheard(fact, dice)
        if wrong == fact or wrong in facts:
            continue
        spoiled = of_facts("spoiled", (*facts[:at], wrong, *facts[at + 1 :]))
        try:
            stands = _hung(spoiled)
        except (ValueError, AssertionError):
            continue
        assert differences(stands, whole), (fact, wrong)
        assert otherwise(meant, stands), (fact, wrong)


def test_a_crew_s_box_that_was_never_called_is_seen() -> None:
    """The same board with its boxes left out; every board that is played is as it was written down."""
    crew = [one for one in scripts(16, random.Random(3)) if not unfit(one)]
    assert len(crew) >= 12
    boxed = [one for one in crew if any("outlet" in line or "box" in line for line in one.lines)]
    assert boxed
    for one in boxed:
        less = replace(one, lines=tuple(line for line in one.lines if "outlet" not in line and "box" not in line))
        assert otherwise(one, _hung(less)), one.name
