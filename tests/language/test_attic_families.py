"""What the attic's calls stand for, made of families: each with all that it may mean, typed and spoken."""

from __future__ import annotations

from itertools import product

import pytest

from fieldvoice.language.understanding import understand
from fieldvoice.records.hearing import Source
from fieldvoice.records.length import ZERO, Length
from fieldvoice.records.meaning import (
    Context,
    Dimension,
    Edge,
    Incomplete,
    Lack,
    Neighbor,
    Opening,
    OpeningKind,
    Reading,
    Slot,
    Topic,
)
from fieldvoice.records.utterance import Ask, Correction, Status

BOTH = (Source.TYPED, Source.SPOKEN)
FIGURES = {"thirty six and a half": "36 1/2", "fifty one": "51", "ninety two and three eighths": "92 3/8"}
VALUES = {said: Length(value) for said, value in FIGURES.items()}
SLOTS = {"top": Dimension.WIDTH, "bottom": Dimension.WIDTH, "left": Dimension.HEIGHT, "right": Dimension.HEIGHT}
PAIRS = (("top", "bottom"), ("left", "right"))


def readings(*called: tuple[str, str]) -> tuple[Reading, ...]:
    """Figures at their places."""
    return tuple(Reading(VALUES[said], SLOTS[slot], Slot(slot)) for slot, said in called)


@pytest.mark.parametrize("way", ["stands {v} on the {s}", "it stands {v} at the {s}", "the {s} stands {v}"])
def test_how_tall_it_stands_says_nothing_of_how_the_sheet_lies(way: str) -> None:
    """The height alone; "it stands up" is how it lies."""
    for (said, source), slot in product(product(VALUES, BOTH), ("left", "right")):
        assert understand(way.format(v=said, s=slot), source).meanings == readings((slot, said)), (way, slot)
    assert understand("this one stands up", Source.SPOKEN).meanings == (Context(Topic.LIES, "standing"),)


@pytest.mark.parametrize(
    "way",
    [
        "the {s} looks to be {v}",
        "what i've got for the {s} is {v}",
        "{v} is what i've got on the {s}",
        "let me see, {s} is {v}",
        "let me read it, {s} {v}",
        "under the stairs here, {s} is {v}",
        "{s} is {v} to me",
    ],
)
def test_chatter_round_a_call_changes_nothing(way: str) -> None:
    """The value at its place, and nothing else."""
    for said, slot, source in product(VALUES, SLOTS, BOTH):
        assert understand(way.format(v=said, s=slot), source).meanings == readings((slot, said)), (way, slot, source)


@pytest.mark.parametrize("way", ["{a} and {b} {v} each", "{v} each, {a} and {b}", "{a} and {b} are {v} apiece"])
def test_each_of_two_places_has_the_value(way: str) -> None:
    """Said once for both."""
    for said, (one, other), source in product(VALUES, PAIRS, BOTH):
        found = understand(way.format(v=said, a=one, b=other), source).meanings
        assert found == readings((one, said), (other, said)), (way, one, source)


@pytest.mark.parametrize("mend", ["sorry", "no wait", "i mean", "scratch that", "no that's the", "correction"])
def test_a_value_moves_to_the_place_it_was_meant_for(mend: str) -> None:
    """In the same breath: of what was said first nothing stands."""
    for said, (one, other), source in product(VALUES, product(SLOTS, SLOTS), BOTH):
        if one != other:
            found = understand(f"{said} {one}, {mend} {other}", source).meanings
            assert found == readings((other, said)), (mend, one, other, source)


@pytest.mark.parametrize("mend", ["no", "scratch that", "no wait", "i mean"])
def test_a_figure_is_put_right_before_its_place_comes(mend: str) -> None:
    """Where it is whole; an end alone is asked about."""
    for (first, then), slot, source in product(product(VALUES, VALUES), SLOTS, BOTH):
        found = understand(f"{first}, {mend}, {then} {slot}", source)
        assert found.meanings == readings((slot, then)), (first, then, slot, source)
    for end, slot, source in product(("three", "five eighths", "a half"), SLOTS, BOTH):
        assert not understand(f"forty two, {mend}, {end} {slot}", source).meanings, (end, slot)


@pytest.mark.parametrize(
    "way",
    ["bring the {s} up to {v}", "take the {s} down to {v}", "swap that {s} for {v}", "let's call the {s} {v} instead"],
)
def test_a_value_is_changed_in_the_words_of_the_trade(way: str) -> None:
    """And is no new one."""
    for said, slot, source in product(VALUES, SLOTS, BOTH):
        found = understand(way.format(v=said, s=slot), source).meanings
        assert found == tuple(map(Correction, readings((slot, said)))), (way, slot, source)


@pytest.mark.parametrize(
    "way", ["short side is the {s}, {v}", "the tall end is the {s}, {v}", "{s}'s the short one, {v}"]
)
def test_one_side_of_a_slope_is_its_height(way: str) -> None:
    """What the other has comes by itself."""
    for said, slot, source in product(VALUES, ("left", "right"), BOTH):
        assert understand(way.format(v=said, s=slot), source).meanings == readings((slot, said)), (way, slot)


def test_a_slope_is_called_from_side_to_side() -> None:
    """Its two heights, which differ; with no word that it slopes it may be an opening's edges."""
    low, high = "thirty six and a half", "fifty one"
    for way, source in product(("goes from {} on the left to {} on the right", "from {} left up to {} right"), BOTH):
        assert understand(way.format(low, high), source).meanings == readings(("left", low), ("right", high))
        assert not understand(way.format(low, low), source).meanings
    assert not understand(f"starts at {low} left, ends at {high} right", Source.SPOKEN).meanings


@pytest.mark.parametrize(
    "way", ["board on all sides", "board on every side", "butts board on all four", "boards all around"]
)
def test_four_edges_in_a_word(way: str) -> None:
    """All four, and no more."""
    for source in BOTH:
        found = understand(way, source).meanings
        assert set(found) == {Context(Topic.NEIGHBOR, Neighbor.BOARD, edge) for edge in Edge}


@pytest.mark.parametrize("verb", ["take", "shave", "trim", "knock"])
def test_what_is_taken_off_a_side_may_be_the_board_s_edge(verb: str) -> None:
    """No height at that side is worked out of it; of a width or height that is named it is."""
    for slot, source in product(SLOTS, BOTH):
        asked = understand(f"{verb} a quarter off the {slot}", source)
        assert asked.ask is not None, (verb, slot)
        assert (asked.ask.about, asked.ask.relative) == (Ask.RELATIVE, None), (verb, slot)
        told = understand(f"{verb} a quarter off the {slot} {SLOTS[slot]}", source)
        assert told.ask is not None
        assert told.ask.relative is not None
        assert (told.ask.relative.at, told.ask.relative.by) == (Slot(slot), Length("-1/4")), (verb, slot)


@pytest.mark.parametrize(
    "words",
    [
        "box one isn't",
        "box one ain't",
        "it lit up",
        "back on",
        "he reset it",
        "somebody reset it",
        "no router",
        "hands off",
    ],
)
def test_a_lone_word_of_a_circuit_is_danger(words: str) -> None:
    """Whatever was said before it."""
    for source in BOTH:
        assert understand(words, source).danger, words
    assert not understand("box one isn't twelve from left, it's thirteen", Source.TYPED).meanings


def test_volts_on_a_box_are_danger_and_inches_are_none() -> None:
    """As in "I've got one twenty on it", which may be of a tape, and is asked; that somebody may mean volts counts."""
    for volts in ("one eighteen", "one twenty", "two forty"):
        found = understand(f"i've got {volts} on it", Source.SPOKEN)
        assert found.danger, volts
        assert found.status is Status.UNCLEAR or volts == "two forty", "no board is so wide"
    assert not understand("i've got forty two on it", Source.SPOKEN).danger


def test_a_round_thing_is_changed_in_its_size_and_its_place() -> None:
    """As a window is: by its name, or as the only one."""
    for name, known in (("the light", ""), ("light one", "light 1")):
        for way in ("change {} to 6 inches", "{} is 6 inches", "{} should be 6 inch across"):
            (found,) = understand(way.format(name), Source.TYPED).meanings
            wanted = Incomplete(OpeningKind.LIGHT, diameter=Length(6), name=known)
            assert found == Correction(wanted), (way, name)
    (whole,) = understand("light one 6 inches center 20 from left center 12 down", Source.TYPED).meanings
    assert isinstance(whole, Opening)
    assert (whole.name, whole.diameter) == ("light 1", Length(6))


@pytest.mark.parametrize("kind", ["window", "door"])
def test_how_high_an_opening_is_to_be_is_its_own_height(kind: str) -> None:
    """And no place of it, where it is changed."""
    (found,) = understand(f"change the {kind} to 42 high", Source.TYPED).meanings
    assert found == Correction(Incomplete(OpeningKind(kind), height=Length(42)))


def test_a_typed_n_between_two_calls_may_be_and() -> None:
    """As in "t 42 n b 43", which isn't bottom alone."""
    found = understand("t 42 n b 43", Source.TYPED)
    assert found.status is Status.UNCLEAR
    assert {len(way) for way in found.alternatives} == {1, 2}


@pytest.mark.parametrize("way", ["notch {}", "there's a notch in the {} corner", "{} notch", "notch out the {}"])
def test_a_notch_begun_by_its_corner_lacks_its_size_alone(way: str) -> None:
    """And a size by itself belongs to it then, where it was a sheet's."""
    for (down, across), source in product(product(("top", "bottom"), ("left", "right")), BOTH):
        (found,) = understand(way.format(f"{down} {across}"), source).meanings
        assert isinstance(found, Incomplete)
        assert (found.kind, found.lacks) == (OpeningKind.NOTCH, (Lack.SIZE,))
        assert {(each.value, each.start) for each in found.distances} == {(ZERO, Edge(down)), (ZERO, Edge(across))}


@pytest.mark.parametrize(
    ("way", "plain"),
    [
        ("right side stays open", "right is open"),
        ("ceiling's up already", "top is ceiling"),
        ("the lid's already hung", "top is ceiling"),
        ("eight foot walls", "floor to ceiling eight foot"),
        ("cut it from a four by twelve", "sheet four by twelve"),
        ("that number was for the bottom", "that's the bottom"),
        ("next number, bottom, thirty one and a half", "bottom thirty one and a half"),
        ("switch goes six from the right, forty eight up", "switch six from right forty eight up"),
        (
            "square hole six by six, center twenty from left, thirty up",
            "opening six by six, center twenty from left, thirty up",
        ),
        (
            "hole for the drain, three inch, center twelve from right, nineteen up",
            "three inch pipe center twelve from right nineteen up",
        ),
        ("say that slower", "slower"),
        ("ready for the cuts", "done"),
        ("hang tight", "hold on"),
        ("run it back to me", "read it back"),
    ],
)
def test_more_ways_mean_what_the_plain_call_does(way: str, plain: str) -> None:
    """Typed and spoken."""
    for source in BOTH:
        wanted = understand(plain, source).meanings
        assert wanted, plain
        assert understand(way, source).meanings == wanted, way


@pytest.mark.parametrize(
    "none", ["no {n} on the {e}, it's open", "no {n}, {e} is open", "no {n} up here, {e} side's open"]
)
def test_an_edge_where_what_might_stand_is_missing_is_open(none: str) -> None:
    """A ceiling is missing above, a floor below; two edges are not one."""
    at = {"wall": ("left", "right"), "board": ("left", "top"), "ceiling": ("top",), "floor": ("bottom",)}
    for neighbor, source in product(at, BOTH):
        for edge in ("left", "right", "top", "bottom"):
            found = understand(none.format(n=neighbor, e=edge), source)
            opened = Context(Topic.NEIGHBOR, Neighbor.OPEN, Edge(edge))
            if edge in at[neighbor] or neighbor in {"wall", "board"}:
                assert found.meanings == (opened,), (none, neighbor, edge)
            else:
                assert opened not in found.meanings, (none, neighbor, edge)
    for words in ("no wall on the left, right is open", "no ceiling", "no wall, it's open"):
        found = understand(words, Source.TYPED)
        assert Context(Topic.NEIGHBOR, Neighbor.OPEN, Edge.LEFT) not in found.meanings, words


@pytest.mark.parametrize("lies", ["lying down", "we're laying it down", "standing", "standing it up"])
def test_how_thick_it_is_is_said_behind_how_it_lies(lies: str) -> None:
    """As that of a board; a fraction alone may be anything."""
    way = Context(Topic.LIES, "standing" if "stand" in lies else "lying")
    for thick in ("half inch board", "five eighths drywall"):
        value = Length("1/2") if "half" in thick else Length("5/8")
        for source in BOTH:
            found = understand(f"{lies}, {thick}", source).meanings
            assert found == (way, Context(Topic.THICKNESS, value)), (lies, thick)
    for thick in ("half inch", "one half", "half", "three eighths gap"):
        found = understand(f"{lies}, {thick}", Source.SPOKEN).meanings
        assert not any(isinstance(one, Context) and one.topic is Topic.THICKNESS for one in found), (lies, thick)
