"""What is read back means what was meant: for every mark of the tape, for drawn meanings and for made-up utterances."""

from __future__ import annotations

import random
from fractions import Fraction
from itertools import permutations
from typing import get_args

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from fieldvoice.language.automaton import vocabulary
from fieldvoice.language.meanings.readings import MOST_LEAN
from fieldvoice.language.phrases import _said, read_back
from fieldvoice.language.sampling import sample
from fieldvoice.language.speaking import length_words
from fieldvoice.language.understanding import understand
from fieldvoice.records.board import EdgesTold
from fieldvoice.records.hearing import Source
from fieldvoice.records.length import Length, Unit, lean_unit
from fieldvoice.records.meaning import (
    Box,
    BoxKind,
    Context,
    Coordinate,
    Course,
    Danger,
    DeadAndTested,
    Diagonal,
    Dimension,
    Distance,
    Edge,
    Incomplete,
    LayoutWish,
    Neighbor,
    Opening,
    OpeningKind,
    Plumb,
    Point,
    Qualifier,
    Reading,
    Slot,
    SurfaceCall,
    Topic,
    Wish,
)
from fieldvoice.records.utterance import (
    ALL,
    Action,
    Answer,
    Basis,
    Command,
    Correction,
    Meaning,
    Misplaced,
    OffcutTold,
    Ordinal,
    Part,
    SameAgain,
    SameHeight,
    SameSurface,
    ThingName,
)

TYPED_ONLY = {
    Action.OFFCUT,
    Action.QUIT,
    Action.FASTENING,
    Action.WEIGHT,
    Action.PIECES_LEFT,
    Action.SHEETS,
    Action.RACK,
}
NEEDS_TARGET = {Action.OFFCUT, Action.GO_TO_BOARD, Action.GO_TO_SURFACE, Action.TICK, Action.TAKE_OUT, Action.SCRATCH}
marks = st.integers(1, 192 * 32).map(lambda count: Length(Fraction(count, 32)))
leans = marks.filter(lambda value: value <= MOST_LEAN)
millimeters = st.integers(255, 48760).map(lambda tenths: Length.of(Fraction(tenths, 10), Unit.MM))
slots = st.sampled_from(
    [(Dimension.WIDTH, slot) for slot in (Slot.TOP, Slot.MIDDLE, Slot.BOTTOM, None)]
    + [(Dimension.HEIGHT, slot) for slot in (Slot.LEFT, Slot.MIDDLE, Slot.RIGHT, None)]
    + [(None, None), (None, Slot.MIDDLE)]
)
lengths = marks.filter(lambda value: value >= Length(1))
readings = st.builds(lambda value, place: Reading(value, *place), lengths | millimeters, slots)
called = st.builds(Reading, lengths, st.sampled_from(Dimension), marks.filter(lambda at: at > Length(1)))
leaning = st.builds(
    lambda value, lean: Reading(value + Length(Fraction(1 if lean is Qualifier.STRONG else -1, 32)), qualifier=lean),
    marks.filter(lambda value: value > Length(1)),
    st.sampled_from(Qualifier),
)
across = st.builds(Coordinate, st.sampled_from(Point), marks, st.sampled_from([Edge.LEFT, Edge.RIGHT]))
down = st.builds(Coordinate, st.sampled_from(Point), marks, st.sampled_from([Edge.TOP, Edge.BOTTOM]))
names = st.none() | st.integers(1, 99).map(str)
kinds = st.sampled_from([kind for kind in BoxKind if kind is not BoxKind.CALLED])
called_names = names.map(lambda name: name or "")
boxes = st.builds(Box, kinds, across, down, called_names, st.booleans())


def both(start: Edge, near: Length, size: Length) -> tuple[Coordinate, Coordinate]:
    """The near and the far side of a box."""
    return Coordinate(Point.NEAR, near, start), Coordinate(Point.FAR, near + size, start)


boxes_by_sides = st.builds(
    lambda kind, x, y, name, plugged: Box(kind, x[0], y[0], name, plugged, (x[1], y[1])),
    st.sampled_from(BoxKind),
    st.builds(both, st.sampled_from([Edge.LEFT, Edge.RIGHT]), marks, marks),
    st.builds(both, st.sampled_from([Edge.TOP, Edge.BOTTOM]), marks, marks),
    called_names,
    st.booleans(),
)
states = st.one_of(st.builds(Danger, names, st.booleans()), st.builds(DeadAndTested, names))
plumbs = st.builds(
    lambda edge, value, sign: Plumb(edge, value * sign), st.sampled_from(Edge), leans, st.sampled_from([1, -1, 0])
)
contexts = st.one_of(
    st.builds(Context, st.just(Topic.NEIGHBOR), st.sampled_from(Neighbor), st.sampled_from(Edge)),
    st.builds(Context, st.just(Topic.CLEARANCE), marks, st.none() | st.sampled_from(Edge)),
    st.builds(Context, st.just(Topic.THICKNESS), marks.filter(lambda thick: thick <= Length(2))),
    st.builds(Context, st.just(Topic.FLOOR_TO_CEILING), marks),
    st.builds(Context, st.just(Topic.SPACING), marks.filter(lambda apart: apart >= Length(4))),
    st.builds(
        Context,
        st.just(Topic.STUDS),
        st.lists(st.integers(4 * 32, 60 * 32), min_size=1, max_size=4).map(
            lambda steps: tuple(Length(Fraction(sum(steps[: count + 1]), 32)) for count in range(len(steps)))
        ),
    ),
    st.builds(
        Context,
        st.sampled_from([Topic.TAPER, Topic.FACTORY_EDGE, Topic.BACK_BEVEL]),
        st.none(),
        st.sampled_from(Edge),
    ),
    st.builds(Context, st.just(Topic.COURSE), st.sampled_from(["upper", "middle", "lower", "only"])),
    st.builds(Context, st.just(Topic.MARKS_BY), st.sampled_from(["center and sides", "center", "sides"])),
    st.builds(Context, st.sampled_from([Topic.ABOVE_FLOOR, Topic.RIP, Topic.BASE]), marks),
    st.builds(Context, st.just(Topic.ORDER), st.sampled_from(["first", "last", "2"])),
    st.builds(Context, st.just(Topic.LAYER), st.integers(1, 3)),
    st.builds(Context, st.just(Topic.BOXES), st.sampled_from(["none", "no more"])),
    st.builds(Context, st.just(Topic.SHEET_WIDTH), st.sampled_from([Length(48), Length(54), Length.of(1200, Unit.MM)])),
    st.builds(
        Context,
        st.just(Topic.SHEET_LENGTH),
        st.sampled_from([Length(96), Length(144), Length.of(3000, Unit.MM)]),
    ),
    st.just(Context(Topic.FULL, "full")),
    st.just(Context(Topic.IN_PLACE, "in place")),
    st.builds(
        lambda number, letter: Context(Topic.CUT_FROM, f"{number}{letter}"), st.integers(1, 99), st.sampled_from("ABCD")
    ),
    st.just(Context(Topic.CUT_FROM, "new sheet")),
    st.builds(
        Context,
        st.just(Topic.SPACING),
        marks.filter(lambda apart: apart >= Length(4)),
        st.sampled_from([Edge.LEFT, Edge.RIGHT]),
    ),
    st.builds(Context, st.sampled_from([Topic.BOARD, Topic.ROOM]), st.integers(1, 99).map(str)),
)
points = st.none() | st.sampled_from(Point)
distances_across = st.builds(Distance, marks, points, st.sampled_from([Edge.LEFT, Edge.RIGHT, None]))
distances_down = st.builds(Distance, marks, points, st.sampled_from([Edge.TOP, Edge.BOTTOM]))
several_distances = st.one_of(
    st.tuples(distances_across.filter(lambda one: one.start)),
    st.tuples(distances_down),
    st.tuples(distances_across, distances_down).filter(
        lambda two: (two[0].point is None) == (two[1].point is None) and (two[0].start is None or two[0].point is None)
    ),
)
unfinished = st.builds(Incomplete, kinds, several_distances, name=called_names, plugged_in=st.booleans()) | st.builds(
    Incomplete, st.none(), several_distances, name=called_names.filter(bool)
)
of_all = st.builds(Part, st.sampled_from([*Point, BoxKind.SINGLE, BoxKind.ROUND]), st.sampled_from([ALL, 2]))
of_one = st.builds(Incomplete, st.none(), name=called_names.filter(bool), point=st.sampled_from(Point))
parts = st.builds(
    Part,
    st.one_of(
        st.integers(1, 31).map(lambda count: Length(Fraction(count, 32))),
        st.sampled_from(Point),
        st.sampled_from(Edge),
        st.sampled_from([Course.UPPER, Course.LOWER]),
        st.sampled_from(Dimension),
        st.sampled_from(Ordinal),
        st.sampled_from(Basis),
        st.builds(ThingName, st.sampled_from(["box 1", "box 12", "pipe 2", "window 3", "light 4"])),
        st.sampled_from(Neighbor),
        st.sampled_from([BoxKind.SINGLE, BoxKind.DOUBLE, BoxKind.TRIPLE, BoxKind.FOUR, BoxKind.ROUND, BoxKind.OCTAGON]),
        (distances_across.filter(lambda one: one.start and one.point is not Point.FAR) | distances_down).filter(
            lambda one: one.value >= Length(1) and one.point is not Point.FAR
        ),
    ),
)
same = st.builds(lambda place: SameAgain(*place), slots.filter(lambda place: place[1] is not None))
heights = st.builds(SameHeight, st.none() | st.integers(1, 99).map(str), st.integers(1, 99).map(str))
habits = st.sampled_from(
    [
        *(Context(Topic.BOX_POINT, point) for point in ("center", "near")),
        *(Context(Topic.OVER, edge) for edge in ("left", "right")),
        *(Context(Topic.MIDDLE_WIDTH, each) for each in ("yes", "no")),
    ]
)
large = st.integers(61 * 32, 380 * 32).map(lambda count: Length(Fraction(count, 32)))
surfaces = st.builds(SurfaceCall, st.just("wall"), st.sampled_from(["north", "back", "3"]), large, large) | st.builds(
    SurfaceCall, st.just("ceiling"), st.just("ceiling"), large, large
)
wishes = st.sampled_from(
    [
        LayoutWish(Wish.START, Edge.RIGHT),
        LayoutWish(Wish.STANDING),
        LayoutWish(Wish.LYING),
        LayoutWish(Wish.LENGTH, None, Length(144)),
    ]
)
orders = st.sampled_from([Command(action) for action in Action if action not in NEEDS_TARGET]) | st.builds(
    lambda one, other, edges: Command(Action.OFFCUT, str(OffcutTold(one, other, edges))),
    lengths,
    lengths,
    st.sampled_from(EdgesTold),
)
fragments = st.one_of(unfinished, parts, of_all, of_one, same, heights, habits, surfaces, wishes, orders)
others = st.builds(Answer, st.booleans()) | st.builds(Diagonal, marks, st.none() | st.booleans())
# A small value without its place is asked about: it may be the end of the right one.
corrections = st.builds(Correction, readings.filter(lambda new: new.at or new.dimension or new.value >= Length(10)))
moved = st.builds(
    lambda name, distance: Correction(
        Incomplete(None, (Distance(distance.value, distance.point, distance.start),), name=name)
    ),
    st.integers(1, 99).map(str),
    across | down,
)
meanings = st.one_of(
    readings, called, leaning, boxes, boxes_by_sides, states, plumbs, contexts, others, corrections, moved, fragments
)


def test_every_kind_of_meaning_has_words() -> None:
    """`parse` says each of them, so one without words would end it in a fault of our own."""
    assert [kind.__name__ for kind in get_args(Meaning) if _said.dispatch(kind) is _said.dispatch(object)] == []


SIDES = (Slot.TOP, Slot.BOTTOM, Slot.LEFT, Slot.RIGHT)
"""Where a value can be said to belong: "that's the middle" is of a box's center."""


@pytest.mark.parametrize("unit", list(Unit))
@pytest.mark.parametrize(
    "meaning",
    [
        *(SameSurface(name, like) for name, like in permutations(("north", "south", "east", "west"), 2)),
        *(Misplaced(at, was) for at in SIDES for was in (None, *SIDES) if at is not was),
    ],
    ids=str,
)
def test_a_wall_like_another_and_a_value_of_another_place_are_read_back_as_themselves(
    meaning: Meaning, unit: Unit
) -> None:
    """Whatever the unit of the job."""
    assert understand(read_back(meaning, unit), Source.SPOKEN, unit).meanings == (meaning,)


@given(meanings)
def test_what_is_read_back_means_the_same(meaning: Meaning) -> None:
    """Any meaning, read back in inches, is understood as itself."""
    assert understand(read_back(meaning, Unit.INCH), Source.SPOKEN).meanings == (meaning,)


@pytest.mark.parametrize("number", range(1, 100))
def test_a_box_of_any_number_and_kind_is_read_back_as_itself(number: int) -> None:
    """What is written twenty four, square could be box twenty, four square."""
    here = Coordinate(Point.CENTER, Length(12), Edge.LEFT), Coordinate(Point.CENTER, Length(48), Edge.TOP)
    for kind in BoxKind:
        box = Box(kind, *here, str(number))
        if kind is not BoxKind.CALLED:
            assert understand(read_back(box, Unit.INCH), Source.SPOKEN).meanings == (box,)


def _without_lean(meaning: Reading) -> Length:
    """The value before what was said of it."""
    return meaning.value - Length(Fraction(1 if meaning.qualifier is Qualifier.STRONG else -1, 32))


@given(meanings, st.sampled_from(Unit))
def test_millimeters_mean_the_same(meaning: Meaning, kept_in: Unit) -> None:
    """Any meaning, read back in millimetres, is understood as itself, whichever unit the job is kept in."""
    # 12 1/2 in is 317.5 mm, and "strong" adds half a millimetre to that in such a job: 1/32 in is never said of it.
    if isinstance(meaning, Reading) and meaning.qualifier is not None:
        assume(lean_unit(_without_lean(meaning), Unit.MM) is lean_unit(meaning.value, Unit.MM))
    assert understand(read_back(meaning, Unit.MM), Source.SPOKEN, kept_in).meanings == (meaning,)


@given(meanings)
def test_read_backs_use_the_words_of_the_language(meaning: Meaning) -> None:
    """The voice says no word that its hearer couldn't say; of what is typed only it says nothing."""
    assume(not isinstance(meaning, Command) or meaning.action not in TYPED_ONLY)
    assume(not isinstance(meaning, Context) or meaning.topic is not Topic.CUT_FROM)  # it tells what is on the sheet
    said = read_back(meaning, Unit.INCH).replace(",", " ").split()
    assert set(said) <= set(vocabulary())


WRITTEN = (lambda length: read_back(Reading(length), Unit.INCH), lambda length: length_words(length, Unit.INCH))


@pytest.mark.parametrize("spoken", WRITTEN)
@pytest.mark.parametrize("step", [5, pytest.param(1, marks=pytest.mark.slow)])
def test_every_mark_of_the_tape(spoken: object, step: int) -> None:
    """From 1/32 to 192 inches by 1/32, in words and figure by figure; every fifth has every fraction thirty times."""
    assert callable(spoken)
    every = [Length(Fraction(count, 32)) for count in range(1, 192 * 32 + 1, step)]
    meant = {length: Part(length) if length < Length(1) else Reading(length) for length in every}
    wrong = [str(length) for length in every if understand(spoken(length), Source.SPOKEN).meanings != (meant[length],)]
    assert wrong == []


def test_made_up_utterances_come_back() -> None:
    """What the sampler makes is read back, and that is understood as the same."""
    rng = random.Random(7)
    for made in (sample(rng) for _ in range(300)):
        back = [understand(read_back(meaning, Unit.INCH), Source.SPOKEN).meanings for meaning in made.meanings]
        assert back == [(meaning,) for meaning in made.meanings], made.words


@pytest.mark.parametrize(
    ("value", "said"),
    [
        ("13", "one three inches"),
        ("13 1/16", "one three inches and one sixteenth"),
        ("30", "three zero inches"),
        ("7/8", "seven eighths of an inch"),
        ("104 3/8", "one zero four inches and three eighths"),
    ],
)
def test_figures_are_said_one_by_one(value: str, said: str) -> None:
    """A doubtful value is said figure by figure."""
    assert length_words(Length(value), Unit.INCH) == said


def test_a_teen_is_read_back_figure_by_figure() -> None:
    """Thirteen is never read back as thirteen, which could be thirty again."""
    assert read_back(Reading(Length(13), Dimension.WIDTH, Slot.TOP), Unit.INCH) == "top width, one three inches"


@pytest.mark.parametrize("opening", ["window two", "door one", "opening eighteen"])
@pytest.mark.parametrize("part", ["thirty two wide", "forty tall", "thirty by forty", "twenty from the left"])
def test_what_an_opening_is_otherwise_is_read_back_under_its_name(opening: str, part: str) -> None:
    """And to take it out as well."""
    for words in (f"{opening} is {part}", f"scratch {opening}"):
        (meaning,) = understand(words, Source.SPOKEN).meanings
        assert understand(read_back(meaning, Unit.INCH), Source.SPOKEN).meanings == (meaning,)


@pytest.mark.parametrize("number", [1, 4, 12, 28, 31, 40, 99])
@pytest.mark.parametrize("unit", Unit)
def test_a_light_called_as_a_numbered_box_is_read_back_under_its_number(number: int, unit: Unit) -> None:
    """With its diameter, which follows the number."""
    places = (Coordinate(Point.CENTER, Length(24), Edge.LEFT), Coordinate(Point.CENTER, Length("30 1/2"), Edge.TOP))
    for diameter in (Length(4), Length("6 1/2"), Length(40)):
        light = Opening(OpeningKind.LIGHT, places[:1], places[1:], diameter=diameter, name=str(number))
        assert understand(read_back(light, unit), Source.SPOKEN, unit).meanings == (light,)
