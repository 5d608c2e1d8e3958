"""What the cellar's calls stand for, made of families: each with all that it may mean, typed and spoken."""

from __future__ import annotations

from itertools import permutations, product

import pytest

from fieldvoice.language.understanding import understand
from fieldvoice.records.hearing import Source
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import (
    BoxKind,
    Context,
    DeadAndTested,
    Dimension,
    Edge,
    Incomplete,
    Neighbor,
    Point,
    Reading,
    Slot,
    Topic,
)
from fieldvoice.records.utterance import Ask, Correction, Part, Status

BOTH = (Source.TYPED, Source.SPOKEN)
HIGH = (("left", Dimension.HEIGHT), ("right", Dimension.HEIGHT))
WIDE = (("top", Dimension.WIDTH), ("bottom", Dimension.WIDTH))


def stands(edge: str, what: str) -> Context:
    """What stands at an edge."""
    return Context(Topic.NEIGHBOR, Neighbor(what), Edge(edge))


def of(place: str, value: int) -> Reading:
    """A reading of so many inches."""
    return Reading(Length(value), Dimension.HEIGHT if place in {"left", "right"} else Dimension.WIDTH, Slot(place))


@pytest.mark.parametrize("edges", ["{0} wall, {1} board", "wall {0}, board {1}", "wall on the {0}, board on the {1}"])
@pytest.mark.parametrize("behind", [False, True])
def test_edges_and_figures_stand_in_any_order(edges: str, behind: bool) -> None:
    """Figures before their places, one or several, behind the edges or before them: all of it, and nothing else."""
    for (one, other), source in product(permutations(("left", "right")), BOTH):
        called = edges.format(one, other)
        for places in (("top",), ("top", "bottom"), ("bottom", "left", "right"), ("top", "bottom", "left", "right")):
            values = [41 + 10 * count for count in range(len(places))]
            words = ("forty one", "fifty one", "sixty one", "seventy one")
            figures = ", ".join(f"{word} {place}" for word, place in zip(words, places, strict=False))
            said = f"{figures}, {called}" if behind else f"{called}, {figures}"
            found = understand(said, source)
            expected = {stands(one, "wall"), stands(other, "board"), *map(of, places, values)}
            assert set(found.meanings) == expected, (said, source)
            alone = understand(said.replace(called, called.partition(",")[0]), source)
            assert set(alone.meanings) == expected - {stands(other, "board")}, (said, source)


@pytest.mark.parametrize("way", ["{0} {1} and {2} forty", "{0}, {1} and {2} all forty", "forty {0}, {1} and {2}"])
def test_three_places_have_one_figure_in_any_order(way: str) -> None:
    """Top, middle and bottom, or left, middle and right."""
    for places, dimension in (
        (("top", "middle", "bottom"), Dimension.WIDTH),
        (("left", "middle", "right"), Dimension.HEIGHT),
    ):
        for order, source in product(permutations(places), BOTH):
            found = understand(way.format(*order), source).meanings
            assert {one.at for one in found if isinstance(one, Reading)} == set(map(Slot, places)), (order, source)
            assert {one.dimension for one in found if isinstance(one, Reading)} == {dimension}


@pytest.mark.parametrize("verb", ["breaks", "lands", "ends", "stops", "falls"])
def test_an_end_on_a_stud_may_be_a_joint_or_stay_open(verb: str) -> None:
    """It is asked which of the two; nothing is taken."""
    for edge, way, source in product(
        ("left", "right"), ("{0} {1} on a stud", "{0} side {1} on the stud", "{1} on a stud on the {0}"), BOTH
    ):
        found = understand(way.format(edge, verb), source)
        assert found.status is Status.UNCLEAR
        assert set(found.alternatives) == {(stands(edge, "board"),), (stands(edge, "open"),)}


@pytest.mark.parametrize("verb", ["sits on", "lands on", "rests on", "stands on", "sits on top of"])
def test_what_stands_on_a_board_has_one_below(verb: str) -> None:
    """Whatever carries it, and with or without its bottom named."""
    for board, source in product(("lower board", "other sheet", "bottom piece"), BOTH):
        for words in (f"it {verb} the {board}", f"bottom {verb} the {board}"):
            assert understand(words, source).meanings == (stands("bottom", "board"),), words


@pytest.mark.parametrize("way", ["butting {}", "butts {}", "butted {}", "butts a board {}"])
def test_what_butts_on_both_sides_has_two_boards(way: str) -> None:
    """At its two sides, and nowhere else."""
    for sides, source in product(("on both sides", "on each side", "left and right"), BOTH):
        if way == "butts a board {}" and sides == "left and right":
            continue
        found = set(understand(way.format(sides), source).meanings)
        assert found == {stands("left", "board"), stands("right", "board")}, (way, sides)


@pytest.mark.parametrize("lead", ["", "that was ", "measured ", "i'm measuring "])
def test_to_which_point_a_box_was_measured_may_be_told_by_what_it_is_not(lead: str) -> None:
    """As in "edge, not center": the near edge."""
    for one, other, point in (("center", "edge", Point.CENTER), ("edge", "center", Point.NEAR)):
        for source in BOTH:
            found = understand(f"{lead}to the {one}, not the {other}", source).meanings
            assert found == (Part(point),), (lead, one)


@pytest.mark.parametrize("way", ["box one, make it {}", "box one, no, {}", "box one {} instead", "put box one at {}"])
def test_a_box_is_put_elsewhere(way: str) -> None:
    """The rest of it stays: it lacks its kind and its other distance."""
    for distance, source in product(("fifteen over", "fifteen and a half from left", "eighty down"), BOTH):
        found = understand(way.format(distance), source)
        assert found.objects or any(isinstance(one, Correction) for one in found.meanings)
        (changed,) = (one.new if isinstance(one, Correction) else one for one in found.meanings)
        assert isinstance(changed, Incomplete)
        assert (changed.name, changed.kind, len(changed.distances)) == ("box 1", None, 1)


@pytest.mark.parametrize("size", ["four inch", "six inch", "6 inch", "eight inch"])
def test_the_size_of_a_light_stands_before_its_place(size: str) -> None:
    """With a pause between them or without."""
    wide = Length(int({"four": 4, "six": 6, "eight": 8, "6": 6}[size.split()[0]]))
    for light, between in product(("can light", "recessed light", "can"), (" ", ", ")):
        found = understand(f"{light} {size}{between}24 over, 30 down", Source.TYPED).meanings
        assert len(found) == 1
        assert isinstance(found[0], Incomplete)
        assert found[0].diameter == wide, (light, between)


def test_a_mud_ring_of_no_gang_on_a_box_is_not_guessed() -> None:
    """It may be for one device or two; with its gang it is that ring."""
    for source in BOTH:
        assert not understand("four square with a mud ring, center thirty from left, forty down", source).meanings
        (found,) = understand(
            "four square with a single gang mud ring, center thirty from left, forty down", source
        ).meanings
        assert getattr(found, "kind", None) is BoxKind.MUD_RING


@pytest.mark.parametrize("lie", ["laying down", "lying down", "standing up", "horizontal"])
def test_how_a_sheet_lies_stands_behind_its_thickness(lie: str) -> None:
    """With its length before both, and with no sheet named."""
    for thick in ("half inch", "five eighths"):
        for words in (f"twelve foot sheet, {thick}, {lie}", f"{thick}, {lie}"):
            found = {one.topic for one in understand(words, Source.TYPED).meanings if isinstance(one, Context)}
            assert {Topic.THICKNESS, Topic.LIES} <= found, words


@pytest.mark.parametrize("old", ["the old stuff", "old drywall", "the existing board", "plaster", "the old plaster"])
def test_what_goes_over_old_board_is_a_thickness(old: str) -> None:
    """And no distance "over"."""
    for thick, source in product(("quarter inch", "half inch", "five eighths"), BOTH):
        (found,) = understand(f"{thick} over {old}", source).meanings
        assert isinstance(found, Context)
        assert found.topic is Topic.THICKNESS


@pytest.mark.parametrize(
    "ask", ["quit asking", "stop asking", "don't ask", "no more asking", "don't ask me", "quit asking me"]
)
def test_nobody_is_asked_for_the_middle_any_more(ask: str) -> None:
    """It is a habit, told in any way."""
    for about, source in product(("about the middle", "for the middle"), BOTH):
        assert understand(f"{ask} {about}", source).meanings == (Context(Topic.MIDDLE_WIDTH, "no"),)


@pytest.mark.parametrize(
    "way", ["give me {}", "let's use {}", "back to {}", "i want {}", "talk in {}", "go {}", "use {}"]
)
def test_the_unit_of_the_job_is_wished_in_any_way(way: str) -> None:
    """And is no reading's."""
    for word, unit in (("millimeters", Unit.MM), ("metric", Unit.MM), ("inches", Unit.INCH)):
        for source in BOTH:
            assert understand(way.format(word), source).meanings == (Context(Topic.UNIT, unit),), (way, word)


@pytest.mark.parametrize(
    "words",
    [
        "i don't know",
        "don't know yet",
        "dunno",
        "can't get to it",
        "haven't measured it yet",
        "don't have it yet",
    ],
)
def test_who_cannot_tell_yet_says_no_to_nothing(words: str) -> None:
    """Nothing is taken, and what was read back isn't contested."""
    for source in BOTH:
        found = understand(words, source)
        assert (found.status, found.meanings, found.objects) == (Status.UNCLEAR, (), False)
        assert found.ask is not None
        assert found.ask.about is Ask.NOT_KNOWN


@pytest.mark.parametrize(
    "way", ["{0} is dead on with the {1}", "{0} is even with the {1}", "{0}'s right on with the {1}"]
)
def test_dead_on_with_another_place_is_its_figure_and_no_word_of_a_circuit(way: str) -> None:
    """The "dead" of it says nothing of a box."""
    for (one, _), (other, _) in (*permutations(WIDE), *permutations(HIGH)):
        for source in BOTH:
            found = understand(way.format(one, other), source)
            assert found.meanings == understand(f"{one} same as {other}", source).meanings
            assert not any(isinstance(each, DeadAndTested) for each in found.meanings)


@pytest.mark.parametrize("off", ["it's locked out", "locked out", "box is dead", "that box is dead", "box is off"])
def test_what_is_off_is_not_said_to_be_tested(off: str) -> None:
    """It is dead by somebody's word, and no tool goes into it."""
    for source in BOTH:
        assert understand(off, source).meanings == (DeadAndTested(tested=False, count=1),)


@pytest.mark.parametrize(
    "words",
    [
        "this goes on top of the first layer",
        "it goes over the first layer",
        "second layer over the first",
        "going on top of the base layer",
    ],
)
def test_what_goes_over_the_first_layer_is_the_second(words: str) -> None:
    """The first layer is named in it, and isn't meant."""
    for source in BOTH:
        assert understand(words, source).meanings == (Context(Topic.LAYER, 2),)


@pytest.mark.parametrize("way", ["{} match, forty", "{} are the same, forty", "both the same, forty, {}"])
def test_two_places_that_match_have_one_figure(way: str) -> None:
    """Of both, and of nothing else."""
    for (one, other), source in product((("top", "bottom"), ("left", "right")), BOTH):
        assert set(understand(way.format(f"{one} and {other}"), source).meanings) == {of(one, 40), of(other, 40)}


@pytest.mark.parametrize("way", ["goes clear to the {}", "runs all the way to the {}"])
def test_what_goes_all_the_way_has_that_at_its_edge(way: str) -> None:
    """The floor below, the ceiling above."""
    for (what, edge), source in product((("floor", "bottom"), ("ceiling", "top")), BOTH):
        assert understand(way.format(what), source).meanings == (stands(edge, what),)


@pytest.mark.parametrize("lead", ["my ", "all my ", "all the ", ""])
def test_measurements_of_boxes_are_a_habit(lead: str) -> None:
    """As boxes are."""
    for word, source in product(("measurements", "numbers", "marks"), BOTH):
        said = understand(f"{lead}box {word} are to the center", source).meanings
        assert said == understand("all my boxes are to the center", source).meanings
