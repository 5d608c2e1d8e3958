"""Calls made of families (places, values, leans, orders, ways to say them), each with what it was made to mean."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from itertools import islice, product

import pytest

from fieldvoice.language.understanding import understand
from fieldvoice.records.hearing import Source
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import (
    Box,
    BoxKind,
    Context,
    Coordinate,
    Danger,
    Dimension,
    Distance,
    Edge,
    Incomplete,
    Neighbor,
    Opening,
    OpeningKind,
    Plumb,
    Point,
    Qualifier,
    Reading,
    Slot,
    Topic,
)
from fieldvoice.records.utterance import Answer, Ask, Correction, Meaning, Part, Status

COUNT = 1000
"""Calls of each kind, drawn with a fixed seed."""
SEED = 20

ONES = ("", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
TENS = {20: "twenty", 30: "thirty", 40: "forty", 50: "fifty", 60: "sixty", 70: "seventy", 80: "eighty", 90: "ninety"}
PARTS = {
    "": Fraction(0),
    "and a half": Fraction(1, 2),
    "and a quarter": Fraction(1, 4),
    "and three quarters": Fraction(3, 4),
    "and an eighth": Fraction(1, 8),
    "and seven eighths": Fraction(7, 8),
    "and three sixteenths": Fraction(3, 16),
    "and eleven sixteenths": Fraction(11, 16),
}
LEANS: dict[str, Qualifier | None] = {
    "": None,
    "strong": Qualifier.STRONG,
    "heavy": Qualifier.STRONG,
    "light": Qualifier.LIGHT,
    "shy": Qualifier.LIGHT,
}
LEAN = Length("1/32")

WIDTH, HEIGHT = Dimension.WIDTH, Dimension.HEIGHT
PLACES: dict[str, tuple[tuple[Dimension | None, Slot], ...]] = {
    "top": ((WIDTH, Slot.TOP),),
    "bottom": ((WIDTH, Slot.BOTTOM),),
    "left": ((HEIGHT, Slot.LEFT),),
    "right": ((HEIGHT, Slot.RIGHT),),
    "middle": ((None, Slot.MIDDLE),),
    "top and bottom": ((WIDTH, Slot.TOP), (WIDTH, Slot.BOTTOM)),
    "left and right": ((HEIGHT, Slot.LEFT), (HEIGHT, Slot.RIGHT)),
    "both sides": ((HEIGHT, Slot.LEFT), (HEIGHT, Slot.RIGHT)),
    "both widths": ((WIDTH, Slot.TOP), (WIDTH, Slot.BOTTOM)),
    "top middle and bottom": ((WIDTH, Slot.TOP), (WIDTH, Slot.MIDDLE), (WIDTH, Slot.BOTTOM)),
}
AT = {
    "top": ("at the top", "on top", "up top", "across the top"),
    "bottom": ("at the bottom", "on the bottom", "down low", "across the bottom"),
    "left": ("on the left", "on the left side", "down the left"),
    "right": ("on the right", "at the right", "up the right side"),
    "middle": ("in the middle", "at the middle"),
}
OPENINGS = ("", "here we go", "let me see", "okay let's see", "and then", "first up", "um so", "looks like")
TELLERS = (
    *("i'm seeing", "we're getting", "you're looking at", "i measured", "she measures", "it says", "we come up with"),
    *(
        "it comes out to",
        "i'll need",
        "it's gonna be",
        "you've got",
        "let's go with",
        "put down",
        "go ahead and record",
    ),
)
STRANGE_VERBS = (
    *(
        "comes in at",
        "comes out to",
        "is coming in at",
        "wants to be",
        "will be",
        "measured",
        "says",
        "it's",
        "we have",
    ),
    *("i'm getting", "you're looking at", "is gonna be", "works out to"),
)
NAMED = ("the {}", "my {}", "that {}", "the {} number", "{} measurement", "down here on the {}", "over on my {}")
HEDGES = ("i think", "probably", "i guess", "maybe", "i believe")
LEADS = ("", "okay", "gimme", "i got", "i've got", "need", "i need", "cut me a", "it's", "tape says", "give me")
VERBS = ("", "is", "reads", "comes to", "measures")

EDGES = {"left": Edge.LEFT, "right": Edge.RIGHT}
NEIGHBORS = {
    "wall": Neighbor.WALL,
    "joint": Neighbor.BOARD,
    "seam": Neighbor.BOARD,
    "board": Neighbor.BOARD,
    "inside corner": Neighbor.WALL,
    "outside corner": Neighbor.OUTSIDE_CORNER,
    "brick": Neighbor.MASONRY,
    "concrete": Neighbor.MASONRY,
    "door frame": Neighbor.JAMB,
    "trim": Neighbor.TRIM,
}
KINDS = {
    "single gang": BoxKind.SINGLE,
    "outlet": BoxKind.SINGLE,
    "switch": BoxKind.SINGLE,
    "three way switch": BoxKind.SINGLE,
    "double gang": BoxKind.DOUBLE,
    "two gang switch": BoxKind.DOUBLE,
    "octagon box": BoxKind.OCTAGON,
    "old work box": BoxKind.OLD_WORK,
    "smoke detector": BoxKind.ROUND,
}

Made = tuple[str, tuple[Meaning, ...]]


def whole(rng: random.Random) -> tuple[str, int]:
    """A number of two figures that is no teen and no ten, so that nothing sounds like it."""
    tens, ones = rng.choice(list(TENS)), rng.randrange(1, 10)
    return f"{TENS[tens]} {ONES[ones]}", tens + ones


def value(rng: random.Random, *, leans: bool = True) -> tuple[str, Length, Qualifier | None]:
    """A length as it is said, its value and how it was leaned."""
    said, number = whole(rng)
    part, fraction = rng.choice(list(PARTS.items()))
    lean, qualifier = rng.choice(list(LEANS.items())) if leans else ("", None)
    by = {None: Length("0"), Qualifier.STRONG: LEAN, Qualifier.LIGHT: -LEAN}[qualifier]
    return " ".join(f"{said} {part} {lean}".split()), Length(number + fraction) + by, qualifier


def readings(place: str, length: Length, lean: Qualifier | None) -> tuple[Meaning, ...]:
    """What is measured at the place."""
    return tuple(Reading(length, dimension, slot, lean) for dimension, slot in PLACES[place])


def place_first(rng: random.Random) -> Made:
    """As in "bottom comes to forty two and a half shy"."""
    place = rng.choice(list(PLACES))
    said, length, lean = value(rng)
    verb = rng.choice(VERBS) if len(PLACES[place]) == 1 else rng.choice(("", "both", "are")) if " and " in place else ""
    verb = "" if place == "top middle and bottom" else verb
    return f"{place} {verb} {said}", readings(place, length, lean)


def value_first(rng: random.Random) -> Made:
    """As in "gimme forty two and a half shy at the top"."""
    place = rng.choice(list(AT))
    said, length, lean = value(rng)
    return f"{rng.choice(LEADS)} {said} {rng.choice(AT[place])}", readings(place, length, lean)


def told(rng: random.Random) -> Made:
    """As in "let me see, you're looking at forty two and a half shy across the top"."""
    place = rng.choice([place for place in AT if place != "middle"])
    said, length, lean = value(rng)
    return f"{rng.choice(OPENINGS)} {rng.choice(TELLERS)} {said} {rng.choice(AT[place])}", readings(place, length, lean)


def named(rng: random.Random) -> Made:
    """As in "here we go, the left number comes out to ninety two"."""
    place = rng.choice(["top", "bottom", "left", "right"])
    said, length, lean = value(rng)
    words = f"{rng.choice(OPENINGS)} {rng.choice(NAMED).format(place)} {rng.choice(STRANGE_VERBS)} {said}"
    return words, readings(place, length, lean)


def two_at_once(rng: random.Random) -> Made:
    """As in "top forty two then left ninety one and a half"."""
    first, second = rng.sample(["top", "bottom", "left", "right"], 2)
    one, two = value(rng), value(rng)
    joint = rng.choice(("", "and", "then", "next"))
    return f"{first} {one[0]} {joint} {second} {two[0]}", readings(first, *one[1:]) + readings(second, *two[1:])


def corrected(rng: random.Random) -> Made:
    """As in "change the top to forty two", "my bad, bottom thirty one"."""
    place = rng.choice(["top", "bottom", "left", "right"])
    said, length, lean = value(rng)
    ((dimension, slot),) = PLACES[place]
    ways = (f"change the {place} to {said}", f"make that the {place} {said}", f"{place} should be {said}")
    return rng.choice(ways), (Correction(Reading(length, dimension, slot, lean)),)


def edges(rng: random.Random) -> Made:
    """As in "seam on the left", "left is a wall, right is open"."""
    (side, edge), (what, neighbor) = rng.choice(list(EDGES.items())), rng.choice(list(NEIGHBORS.items()))
    ways = (f"{what} on the {side}", f"{side} is {what}", f"{what} {side}", f"{side} hits the {what}")
    other, far = next((name, at) for name, at in EDGES.items() if at is not edge)
    said, meant = rng.choice(ways), (Context(Topic.NEIGHBOR, neighbor, edge),)
    beside = (*meant, Context(Topic.NEIGHBOR, Neighbor.OPEN, far))
    return rng.choice([(said, meant), (f"{said}, open on the {other}", beside)])


def boxes(rng: random.Random) -> Made:
    """As in "there's an outlet center thirty one from the left, forty two up"."""
    said, kind = rng.choice(list(KINDS.items()))
    (x, across, _), (y, down, _) = value(rng, leans=False), value(rng, leans=False)
    side, edge = rng.choice(list(EDGES.items()))
    way, start = rng.choice([("down", Edge.TOP), ("up", Edge.BOTTOM), ("off the floor", Edge.BOTTOM)])
    spots = rng.choice(
        (
            f"center {x} from the {side} center {y} {way}",
            f"{x} from the {side} {y} {way} to center",
            f"{x} from the {side}, {y} {way}, centers",
            f"centered {x} from the {side} and centered {y} {way}",
        )
    )
    head = rng.choice(("", "there's a ", "got a ", "we've got an "))
    box = Box(kind, Coordinate(Point.CENTER, across, edge), Coordinate(Point.CENTER, down, start))
    return f"{head}{said} {spots}", (box,)


def danger(rng: random.Random) -> Made:
    """As in "careful, box seven is still hot"."""
    number = rng.randrange(1, 10)
    ways = (
        "{} is live",
        "{} is still hot",
        "{} ain't dead",
        "there's power in {}",
        "{} might be live",
        "haven't tested {}",
        "got bit by {}",
        "hot wire in {}",
        "not sure if {} is dead",
        "{} tested hot",
    )
    way = rng.randrange(len(ways))
    unknown = ways[way].split()[0] in {"haven't", "not"} or "ain't" in ways[way]
    front = rng.choice(("", "hey joe, ", "careful, ", "top forty one, "))
    return front + ways[way].format(f"box {ONES[number]}"), (Danger(str(number), live=not unknown),)


def drawn(make: Callable[[random.Random], Made]) -> Iterator[Made]:
    """Calls of a kind without end, the same ones each time."""
    rng = random.Random(SEED)
    while True:
        yield make(rng)


def first(make: Callable[[random.Random], Made]) -> Sequence[Made]:
    """As many of them as are tried."""
    return list(islice(drawn(make), COUNT))


def differs(words: str, meant: tuple[Meaning, ...], source: Source) -> bool:
    """Whether the words are taken for anything else: asked about or refused is no wrong cut, but none here needs it."""
    found = understand(words, source)
    return found.status is not Status.UNDERSTOOD or found.meanings != meant


@pytest.mark.parametrize("make", [place_first, value_first, told, named, two_at_once, corrected, edges, boxes])
def test_calls_of_a_family_mean_what_they_were_made_of(make: Callable[[random.Random], Made]) -> None:
    """Typed, every one of them."""
    wrong = [words for words, meant in first(make) if differs(words, meant, Source.TYPED)]
    assert not wrong, (len(wrong), wrong[:10])


def test_what_is_hedged_is_asked_about() -> None:
    """Before or behind any call: no figure of it is taken."""
    for (words, _), hedge in product(first(place_first)[:200], HEDGES):
        for hedged in (f"{hedge} {words}", f"{words} {hedge}"):
            assert understand(hedged, Source.TYPED).status is not Status.UNDERSTOOD, hedged


def test_what_is_told_by_another_figure_is_asked_for() -> None:
    """The figure alone may be taken: the one that it is told by may be called anew."""
    for place, other in product(("top", "bottom", "left", "right"), ("top", "left")):
        for ways in (
            "{} is a quarter less than the {}",
            "{} same as the {} less a quarter",
            "{} a half inch over the {}",
        ):
            assert understand(ways.format(place, other), Source.TYPED).status is Status.UNCLEAR, (ways, place, other)


@pytest.mark.parametrize("words", ["nine inches over", "30 1/4 in over", "half an inch over"])
def test_what_a_box_is_over_by_is_told_by_no_other_figure(words: str) -> None:
    """It answers how far the box is from the left."""
    (meaning,) = understand(words, Source.TYPED).meanings
    assert isinstance(meaning, Part)
    assert isinstance(meaning.value, Distance)


@pytest.mark.parametrize("source", Source)
def test_no_wall_is_never_a_wall(source: Source) -> None:
    """As in "no wall on the right": whether there is none or that was a no is asked."""
    for what, edge, way in product(
        NEIGHBORS, (*EDGES, "both sides"), ("no {} on the {}", "no {} {}", "not a {} on the {}")
    ):
        words = way.format(what, edge).replace("the both", "both")
        assert understand(words, source).status is not Status.UNDERSTOOD, words


@pytest.mark.parametrize("but", [", ", " but ", ", but ", " it's ", ", it is "])
def test_not_that_but_this_is_a_no_and_the_right_value(but: str) -> None:
    """For every pair of values that differ, with their place and without; the same value twice is asked about."""
    values = [f"46 {part}" for part in ("1/8", "1/4", "13/16")] + ["47"]
    for wrong, right in product(values, repeat=2):
        said = understand(f"not {wrong}{but}{right}", Source.TYPED)
        placed = understand(f"top not {wrong}{but}{right}", Source.TYPED)
        if wrong == right:
            assert said.status is placed.status is Status.UNCLEAR
        else:
            assert said.meanings == (Answer(yes=False), Reading(Length(right)))
            assert placed.meanings == (Correction(Reading(Length(right), WIDTH, Slot.TOP)),)


@pytest.mark.parametrize("way", ["light {} inch", "{} inch light", "light {} inches", "light {}"])
def test_a_light_and_a_figure_that_is_light_are_told_apart(way: str) -> None:
    """For every size that lights come in it is asked; with its distances it is a light, by its number where it has no
    unit, and what is larger is a figure.
    """
    for size in range(2, 13):
        words = way.format(size)
        alone = understand(words, Source.TYPED)
        if way.endswith("light"):  # as a figure that is light is read back
            assert alone.meanings == (Reading(Length(size) - LEAN, qualifier=Qualifier.LIGHT),)
        else:
            assert alone.status is Status.UNCLEAR, words
        (hole,) = understand(f"{words} center 60 from left 24 down", Source.TYPED).meanings
        assert isinstance(hole, Opening | Incomplete)
        name, diameter = (f"light {size}", None) if way == "light {}" and size < 10 else ("", Length(size))
        assert (hole.kind, hole.name, hole.diameter) == (OpeningKind.LIGHT, name, diameter)
    for size in (14, 46, 95):
        assert understand(way.format(size), Source.TYPED).meanings == (
            Reading(Length(size) - LEAN, qualifier=Qualifier.LIGHT),
        )


def test_what_may_be_either_of_two_is_asked() -> None:
    """A wall that leans at the bottom, a row by its number, something tight, the one height of several."""
    for way, value in product(("in", "out"), ("a quarter", "1/2", "three eighths")):
        for edge, stands in product(("left", "right"), ("leans", "kicks", "is")):
            said = understand(f"{edge} wall {stands} {way} {value} at the bottom", Source.TYPED)
            leans = [
                each.value.inches for (each,) in said.alternatives if isinstance(each, Plumb) and each.edge == edge
            ]
            assert len(leans) == len(said.alternatives) == 2
            assert sum(leans) == 0
    for words in (
        "second row",
        "this is the second row",
        "first course",
        "tight to the ceiling",
        "it's snug to the floor",
    ):
        assert len(understand(words, Source.TYPED).alternatives) == 2, words
    for plural, value in product(("heights", "widths"), ("95 1/2", "46", "46 7/8")):
        assert understand(f"{plural} {value}", Source.TYPED).status is Status.UNCLEAR


@pytest.mark.parametrize("value", ["46 7/8", "46", "95 1/2", "1190 mm"])
def test_places_by_what_is_there_and_sides_by_how_far_they_go(value: str) -> None:
    """Lines of the ceiling and the floor, the base, wide and tall."""
    length = Length.of(1190, Unit.MM) if value.endswith("mm") else Length(value)
    for place, slot in (("ceiling line", Slot.TOP), ("the floor line", Slot.BOTTOM), ("at the base", Slot.BOTTOM)):
        for between in (" ", " is "):
            assert understand(f"{place}{between}{value}", Source.TYPED).meanings == (Reading(length, WIDTH, slot),)
    wide, tall = Reading(length, WIDTH), Reading(Length(90), HEIGHT)
    assert understand(f"wide {value}", Source.TYPED).meanings == (wide,)
    assert understand("tall 90", Source.TYPED).meanings == (tall,)
    bare = "90 in" if value.endswith("mm") else "90"  # without its unit it may be in millimeters as well
    for between, high in product((" ", ", ", " and "), ("high", "tall")):
        assert understand(f"wide {value}{between}{high} {bare}", Source.TYPED).meanings == (wide, tall)


def test_the_first_of_two_distances_is_across() -> None:
    """Where the second says that it is up or down: which edge the first is from is asked then, and not guessed."""
    for kind, over, point in product(("outlet", "single gang", "switch"), ("14 1/2 in", "14 1/2"), ("", ", center")):
        (box,) = understand(f"{kind} {over}, 16 up{point}", Source.TYPED).meanings
        assert isinstance(box, Incomplete)
        across, up = box.distances
        assert (across.value, across.start, up.value, up.start) == (Length("14 1/2"), None, Length(16), Edge.BOTTOM)
    for thing in ("box", "window", "door", "opening"):
        assert not understand(f"{thing} 14, 16 up", Source.TYPED).meanings


def test_danger_counts_in_every_way_and_place() -> None:
    """Of the box that was named, whatever stands before it."""
    missed = [words for words, meant in first(danger) if understand(words, Source.SPOKEN).danger != meant]
    assert not missed, (len(missed), missed[:10])


@pytest.mark.parametrize("lean", [lean for lean in LEANS if lean])
def test_a_part_of_an_inch_never_changes_with_its_lean(lean: str) -> None:
    """For every fraction: 1/32 more or less than the same words without the lean."""
    for part, place in product([part for part in PARTS if part], ("top", "left")):
        plain, leaned = (understand(f"{place} forty one {part} {each}".strip(), Source.TYPED) for each in ("", lean))
        (one,), (other,) = plain.meanings, leaned.meanings
        assert isinstance(one, Reading)
        assert isinstance(other, Reading)
        assert abs(other.value - one.value) == LEAN


PASSING = ("let me see", "lemme see", "you know", "yeah", "in here", "here", "on this one", "this time", "there we go")


@pytest.mark.parametrize("aside", PASSING)
def test_what_is_said_in_passing_changes_nothing(aside: str) -> None:
    """Before, behind or between the parts of a call: it is what it is without, or nothing of it is taken."""
    taken = 0
    for words, meant in (*first(place_first)[:60], *first(edges)[:40]):
        place, _, rest = words.partition(" ")
        for said in (f"{words}, {aside}", f"{place}, {aside}, {rest}"):
            found = understand(said, Source.TYPED)
            taken += found.status is Status.UNDERSTOOD
            assert found.status is not Status.UNDERSTOOD or found.meanings == meant, said
    assert taken >= 100


def test_right_here_is_no_right_side() -> None:
    """The figure alone is taken, at most."""
    for words in ("forty six and a half right here", "46 7/8 right there", "right here forty six"):
        assert not any(isinstance(one, Reading) and one.at for one in understand(words, Source.TYPED).meanings), words


@pytest.mark.parametrize("wall", ["left wall", "right wall", "the right wall", "left jamb", "wall on the left"])
def test_out_alone_is_out_of_plumb(wall: str) -> None:
    """Which way is asked; it is told by a verb that leans, or by where it is out."""
    for figure in ("a quarter", "an eighth", "3/8", "half an inch"):
        for way in ("{} is out {}", "{} out {}", "{}'s out {}"):
            assert understand(way.format(wall, figure), Source.TYPED).status is Status.UNCLEAR, (way, figure)
        for way in ("{} leans out {}", "{} is leaning out {}", "{} is out {} at the top", "{} kicks out {}"):
            assert understand(way.format(wall, figure), Source.TYPED).status is Status.UNDERSTOOD, (way, figure)


@pytest.mark.parametrize(("way", "at"), [("wide", ("left", "right")), ("tall", ("top", "bottom"))])
def test_nothing_is_wide_at_a_side_or_tall_at_an_end(way: str, at: tuple[str, str]) -> None:
    """A value is never taken at a place that is of the other way."""
    for place in at:
        for words in (f"forty six {way} on the {place}", f"{place} forty six {way}", f"46 {way} {place}"):
            assert understand(words, Source.TYPED).status is not Status.UNDERSTOOD, words


@pytest.mark.parametrize("inches", [13, 46, 95])
def test_nothing_leans_by_a_boards_width(inches: int) -> None:
    """What "comes out" to so much is a reading, and what leans so much is none."""
    for side in ("left", "right"):
        (found,) = understand(f"{side} comes out {inches} 1/4", Source.TYPED).meanings
        assert isinstance(found, Reading)
        assert understand(f"{side} wall leans out {inches} 1/4", Source.TYPED).status is not Status.UNDERSTOOD
        assert understand(f"{side} wall is out {inches} 1/4", Source.TYPED).status is not Status.UNDERSTOOD


@pytest.mark.parametrize(
    "words",
    ["left wall is dead plumb", "right wall dead plumb", "floor is dead level", "the ceiling is perfectly level"],
)
def test_what_is_dead_plumb_or_level_leans_by_nothing(words: str) -> None:
    """As if it were said without the word."""
    edge = {"left": Edge.LEFT, "right": Edge.RIGHT, "floor": Edge.BOTTOM, "the": Edge.TOP}[words.split()[0]]
    assert understand(words, Source.TYPED).meanings == (Plumb(edge, Length(0)),)


@pytest.mark.parametrize(
    ("words", "ask"),
    [
        ("wall twelve foot by eight foot", Ask.WALL_NAME),
        ("north wall is the south wall", Ask.WALL_KEEPS_NAME),
        ("call it the south wall", Ask.WALL_KEEPS_NAME),
        ("rename the kitchen north wall to the south wall", Ask.WALL_KEEPS_NAME),
        ("the wall is twelve by eight", Ask.WALL_NAME),
        ("box two same height", Ask.HEIGHT_OF_WHAT),
        ("outlet same height, center ten from left", Ask.HEIGHT_OF_WHAT),
        ("outlet center ten from left, same height", Ask.HEIGHT_OF_WHAT),
    ],
)
def test_what_lacks_a_name_is_asked_for_it(words: str, ask: Ask) -> None:
    """A wall's, or that of the box whose height is meant."""
    for source in Source:
        found = understand(words, source)
        assert found.ask is not None
        assert found.ask.about is ask


@pytest.mark.parametrize("where", ["on this wall", "everywhere", "in here", "for this room"])
def test_a_thickness_of_a_wall_is_no_fraction_alone(where: str) -> None:
    """It is never the fraction that a question asked for."""
    for source in Source:
        assert understand(f"five eighths {where}", source).meanings in (
            (),
            (Context(Topic.THICKNESS, Length(Fraction(5, 8))),),
        )
