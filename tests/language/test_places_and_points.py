"""Where a value, a point or a fraction belongs that stands behind or between others: made of families."""

from __future__ import annotations

from fractions import Fraction
from itertools import permutations, product

import pytest

from fieldvoice.language.understanding import understand
from fieldvoice.records.hearing import Source
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Context, Dimension, Edge, Incomplete, Point, Reading, Slot, Topic
from fieldvoice.records.utterance import Ask, Part, Status, Utterance

WIDE = {"top": Slot.TOP, "bottom": Slot.BOTTOM}
TALL = {"left": Slot.LEFT, "right side": Slot.RIGHT}
NUMBERS = {
    "ninety": Fraction(90),
    "ninety four": Fraction(94),
    "forty one and a half": Fraction(83, 2),
    "eighty eight and three sixteenths": Fraction(1411, 16),
    "one twenty and a quarter": Fraction(481, 4),
}
POINTS = {"center": Point.CENTER, "near side": Point.NEAR, "far side": Point.FAR}
SIDES = {"left": Edge.LEFT, "right": Edge.RIGHT}
HOOKED = ("hooked on the", "measured from the", "pulled off the", "hooking over the")


def said(words: str, unit: Unit = Unit.INCH) -> Utterance:
    """Those words as typed and as heard: the same."""
    typed, spoken = understand(words, Source.TYPED, unit), understand(words, Source.SPOKEN, unit)
    assert (typed.status, typed.meanings) == (spoken.status, spoken.meanings), words
    return typed


@pytest.mark.parametrize("verb", ["", "is ", "comes in at "])
def test_a_number_at_a_place_may_say_which_way_it_runs(verb: str) -> None:
    """As in "left side is ninety four tall": it isn't 90, and then 4 tall."""
    for (place, slot), (number, value) in product([*WIDE.items(), *TALL.items()], NUMBERS.items()):
        way, dimension = ("wide", Dimension.WIDTH) if slot in WIDE.values() else ("tall", Dimension.HEIGHT)
        assert said(f"{place} {verb}{number} {way}").meanings == (Reading(Length(value), dimension, slot),)


def test_a_point_is_of_the_distance_that_it_stands_with() -> None:
    """Each of two distances with its point before or behind it, in whatever order of points."""
    for (one, across), (other, down) in product(POINTS.items(), repeat=2):
        for words in (
            f"outlet fourteen over to the {one} forty eight down to the {other}",
            f"switch on the right, fourteen over to the {one}, forty eight down to the {other}",
        ):
            found = said(words)
            if found.status is Status.UNDERSTOOD:
                (box,) = found.meanings
                points = (
                    tuple(each.point for each in box.distances)
                    if isinstance(box, Incomplete)
                    else (box.x.point, box.y.point)  # type: ignore[union-attr]
                )
                assert points == (across, down), words
            assert found.status is Status.UNDERSTOOD or across is Point.FAR, words


@pytest.mark.parametrize("hooked", HOOKED)
def test_the_hook_of_the_tape_tells_from_where_it_is(hooked: str) -> None:
    """Within a call, alone as an answer, and as a habit where it is said of everything."""
    for side, edge in SIDES.items():
        (box,) = said(f"outlet fourteen and a half {hooked} {side} forty eight down to center").meanings
        assert box.x.start is edge  # type: ignore[union-attr]
    assert said("hooked on the left").meanings == (Part(Edge.LEFT),)
    assert said("everything's hooked on the right").meanings == (Context(Topic.OVER, "right"),)


@pytest.mark.parametrize(("part", "value"), [("a quarter", "1/4"), ("an eighth", "1/8"), ("a sixteenth", "1/16")])
def test_what_is_said_behind_shy_is_how_much(part: str, value: str) -> None:
    """As in "forty six shy an eighth", where "shy" at the end would be a hair."""
    for number in (40, 46, 94):
        words = f"top {number} shy {part}"
        typed = understand(words, Source.TYPED).meanings
        assert typed == (Reading(Length(number) - Length(value), Dimension.WIDTH, Slot.TOP),), words


def test_the_order_of_facts_about_the_board_doesnt_matter() -> None:
    """What kind it is, how thick and of what sheet, one after the other: one meaning however it is parsed."""
    for order in permutations(("moisture resistant", "half inch", "four by eight")):
        found = understand(" ".join(order), Source.TYPED)
        assert len({frozenset(way) for way in found.alternatives}) == len(found.alternatives), order
        if found.status is Status.UNDERSTOOD:
            assert len({one.topic for one in found.meanings if isinstance(one, Context)}) == len(order)


@pytest.mark.parametrize("joint", ["", "and "])
def test_a_list_of_studs_takes_every_number_that_it_can(joint: str) -> None:
    """Of "stud is at 49 1/2 and 59 centers" nobody hears whether the studs or how far apart they are is 59."""
    for number in ("fifty nine", "sixteen", "twenty four"):
        assert understand(f"stud is at forty nine and a half and {joint}{number} centers", Source.SPOKEN).meanings == ()
        assert understand(f"studs are at sixteen and thirty two and {number} centers", Source.SPOKEN).meanings == ()
    assert len(said("studs are at sixteen and thirty two and forty eight").meanings) == 1


@pytest.mark.parametrize("what", ["it's", "she's", "opening is", "everything is", "this one is", "the hole is"])
def test_square_tells_no_value_and_is_asked_of_each_place(what: str) -> None:
    """What is square may be as wide below as above, or a box: nothing is taken of it."""
    for words in (f"{what} square", f"{what} all square"):
        ask = said(words).ask
        assert ask is not None
        assert ask.about is Ask.SQUARE


@pytest.mark.parametrize("whole", ["wall left", "no boxes", "five eighths board"])
@pytest.mark.parametrize("piece", ["bottom", "on the right side", "stud at"])
def test_what_broke_off_is_told_by_its_own_words(whole: str, piece: str) -> None:
    """Of a long line the piece that isn't whole."""
    ask = said(f"{whole} {piece}").ask
    assert ask is not None
    assert (ask.about, ask.values) == (Ask.BROKE_OFF, (piece,))


@pytest.mark.parametrize("number", ["two", "three", "nine"])
def test_a_hole_by_its_number_goes_with_another_call(number: str) -> None:
    """Behind one in the same breath as alone."""
    for kind, where in product(("pipe", "hole", "duct"), ("thirty up twelve from left", "twelve from left, thirty up")):
        alone, both = (said(f"{before}{kind} {number} {where}").meanings for before in ("", "top forty, "))
        assert both[1:] == alone
        assert isinstance(both[0], Reading)
