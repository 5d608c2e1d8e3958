"""What crews on other sites say, made of families: each with all that it may mean, typed and spoken."""

from __future__ import annotations

from itertools import product

import pytest

from fieldvoice.language.understanding import understand
from fieldvoice.records.hearing import Source
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import (
    Box,
    BoxKind,
    Context,
    Coordinate,
    Dimension,
    Edge,
    Incomplete,
    Neighbor,
    Opening,
    OpeningKind,
    Point,
    Reading,
    Slot,
    Topic,
)
from fieldvoice.records.utterance import Action, Ask, Command, Correction, Misplaced, Status

BOTH = (Source.TYPED, Source.SPOKEN)
SHEETS = {(900, 1800): "nine hundred by eighteen hundred", (1200, 2400): "twelve hundred by twenty four hundred"}


@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize(
    "way", ["{n} {b} to the {s}", "on to the {n} {b} to the {s}", "{n} {b} on the {s}", "{n} {b} {s}"]
)
def test_the_next_board_beside_this_one_has_it_at_its_other_edge(way: str, side: str) -> None:
    """Alone it is an order; with a verb, or behind another edge, it is what stands there."""
    other = Edge.LEFT if side == "right" else Edge.RIGHT
    for new, board, source in product(("next", "new"), ("board", "sheet"), BOTH):
        said = way.format(n=new, b=board, s=side)
        want = (Command(Action.NEXT_BOARD), Context(Topic.NEIGHBOR, Neighbor.BOARD, other))
        assert understand(said, source).meanings == want, said
    stands = Context(Topic.NEIGHBOR, Neighbor.BOARD, Edge(side))
    for said in (
        f"next board's on the {side}",
        f"next board is to the {side}",
        f"top ceiling, next board on the {side}",
    ):
        assert understand(said, Source.SPOKEN).meanings[-1] == stands, said


@pytest.mark.parametrize("what", ["cans", "can lights", "six inch cans", "outlets", "switches", "double gang boxes"])
@pytest.mark.parametrize("first", [True, False])
def test_two_of_a_kind_stand_at_two_distances_one_way_and_one_the_other(what: str, *, first: bool) -> None:
    """Whole with a point and a size, else each lacks what wasn't said; two at one distance are none."""
    for point, side, way, source in product(("", "center at "), ("left", "right"), ("up", "down"), BOTH):
        across, down = f"{point}twelve and forty from the {side}", f"both sixteen {way}"
        said = f"two {what}, " + (f"{across}, {down}" if first else f"{down}, {across}")
        found = understand(said, source).meanings
        assert len(found) == 2, (said, understand(said, source))
        for one, far in zip(found, (12, 40), strict=True):
            assert isinstance(one, Box | Opening | Incomplete)
            assert isinstance(one, Incomplete) is not (bool(point) and ("six" in what or "can" not in what)), said
            spots = (
                one.distances
                if isinstance(one, Incomplete)
                else (one.x, one.y)
                if isinstance(one, Box)
                else (
                    *one.xs,
                    *one.ys,
                )
            )
            values = {(each.value, each.start) for each in spots}
            assert values == {(Length(far), Edge(side)), (Length(16), Edge.BOTTOM if way == "up" else Edge.TOP)}, said
            assert {each.point for each in spots} == ({Point.CENTER} if point else {None}), said
    assert not understand(f"two {what} at twelve and twelve from the left, both sixteen up", Source.SPOKEN).meanings


@pytest.mark.parametrize("flat", ["left", "right"])
@pytest.mark.parametrize("up", ["bottom", "top"])
def test_a_box_by_two_edges_is_from_the_sides_that_they_are_of(flat: str, up: str) -> None:
    """With "at" and without it, in either order."""
    for at, source in product(("", "at ", "is at "), BOTH):
        one, other = f"{flat} edge {at}thirty", f"{up} edge {at}forty eight"
        want = Box(
            BoxKind.SINGLE,
            Coordinate(Point.NEAR, Length(30), Edge(flat)),
            Coordinate(Point.NEAR, Length(48), Edge(up)),
            "box 2",
        )
        for said in (f"box two single gang {one}, {other}", f"box two single gang {other}, {one}"):
            assert understand(said, source).meanings == (want,), said


@pytest.mark.parametrize("sides", SHEETS)
def test_a_sheet_in_millimeters_needs_no_unit(sides: tuple[int, int]) -> None:
    """In a job kept in inches too, where no sheet has so many; what no sheet has is no sheet."""
    short, long = sides
    want = (Context(Topic.SHEET, (Length.of(short, Unit.MM), Length.of(long, Unit.MM))),)
    for words, source in (
        (f"{short} by {long}", Source.TYPED),
        (f"{short}x{long}", Source.TYPED),
        (SHEETS[sides], Source.SPOKEN),
    ):
        for way, unit in product(("{}", "sheet {}", "{} board"), Unit):
            if (unit is Unit.INCH or source is Source.TYPED) and way != "sheet {}":
                assert understand(way.format(words), source, unit).meanings == want, (way, words, unit)
    assert not understand(f"{short + 1} by {long}", Source.TYPED).meanings
    assert not understand(f"{short} by {long + 1}", Source.TYPED).meanings


@pytest.mark.parametrize("way", ["box one {w} {f}", "move box one {w} {f}", "slide box one {f} {w}"])
def test_how_far_a_box_is_moved_is_asked_for_as_where_it_is(way: str) -> None:
    """It is told by where it stands: never so far from an edge."""
    for where, far, source in product(
        ("up", "down", "left", "right", "over"), ("an inch", "two inches", "a half"), BOTH
    ):
        found = understand(way.format(w=where, f=far), source)
        assert (found.meanings, found.alternatives) == ((), ()), found
    (placed,) = understand("box one up sixteen inches", Source.SPOKEN).meanings
    assert isinstance(placed, Incomplete)


@pytest.mark.parametrize("beside", ["door", "window", "opening"])
@pytest.mark.parametrize(
    "way", ["off the {}", "from the {}", "off the {} edge", "left of the {}", "to the right of the {}"]
)
def test_what_is_measured_off_an_opening_is_asked_for_from_the_board(beside: str, way: str) -> None:
    """And no figure of it is taken from an edge."""
    for head, rest, source in product(
        ("switch", "box two", "six inch can", "outlet center"), ("", ", forty eight up"), BOTH
    ):
        found = understand(f"{head} nine inches {way.format(beside)}{rest}", source)
        assert (found.status, found.meanings) == (Status.UNCLEAR, ()), found
        assert found.ask is not None
        assert found.ask.about is Ask.OFF_OPENING, found


def test_slopes_by_their_points() -> None:
    """The other point is at the other end; which of two sides is which is asked where none was named."""
    for at, other, source in (("left", "right", Source.SPOKEN), ("right", "left", Source.TYPED)):
        heights = {
            Reading(Length(96), Dimension.HEIGHT, Slot(at)),
            Reading(Length(60), Dimension.HEIGHT, Slot(other)),
        }
        for said in (
            f"long point's on the {at}, ninety six, short point sixty",
            f"long point {at} ninety six, short point sixty",
            f"short point sixty, long point on the {at} ninety six",
        ):
            assert set(understand(said, source).meanings) == heights, said
        wrong = understand(f"long point's on the {at}, sixty, short point ninety six", source)
        assert wrong.ask is not None
        assert wrong.ask.about is Ask.HOW_SLOPED
        unsaid = understand("long point ninety six, short point sixty", source)
        assert unsaid.ask is not None
        assert unsaid.ask.about is Ask.HOW_SLOPED


def test_framing_a_gap_and_a_kind_said_shortly() -> None:
    """What framing usually is apart needs no "on center"; another figure may be where one stands."""
    for source in BOTH:
        for said, apart in (("sixteen", 16), ("twenty four", 24), ("twelve", 12)):
            assert understand(f"studs {said}", source).meanings == (Context(Topic.SPACING, Length(apart)),)
            assert understand(f"{said} on center joists", source).meanings == (Context(Topic.SPACING, Length(apart)),)
        assert not understand("studs thirty", source).meanings
        for side in Edge:
            want = (Context(Topic.CLEARANCE, Length("1/8"), side),)
            assert understand(f"gap's an eighth on the {side}", source).meanings == want
            assert understand(f"eighth gap on the {side}", source).meanings == want
        wide = understand("fifty four inch wide twelve foot board", source).meanings
        assert wide == (Context(Topic.SHEET, (Length(54), Length(144))),)
        lid = understand("five eighths on this lid", source).meanings
        assert set(lid) == {Context(Topic.THICKNESS, Length("5/8")), Context(Topic.SURFACE, "ceiling")}
        (tv,) = understand("tv box center forty from the left sixty up", source).meanings
        assert isinstance(tv, Incomplete)
        assert tv.kind is None


def test_a_value_behind_where_it_was_measured() -> None:
    """Down is a width there, over from the left a height."""
    for source in BOTH:
        for said, want in (
            ("twenty four down it's forty six and a half", Reading(Length("46 1/2"), Dimension.WIDTH, Length(24))),
            ("sixteen in from the left it's ninety six tall", Reading(Length(96), Dimension.HEIGHT, Length(16))),
        ):
            assert understand(said, source).meanings == (want,), said
        assert not understand("sixteen in from the right it's ninety six tall", source).meanings
        assert not understand("twenty four up it's forty six and a half", source).meanings


@pytest.mark.parametrize(("at", "was"), [("top", "bottom"), ("bottom", "top"), ("left", "right"), ("right", "left")])
def test_not_here_but_there(at: str, was: str) -> None:
    """Whichever is named first; "not right, left" is a no and the left."""
    for way, source in product(("not {w}, {a}", "no not {w}, {a}", "not the {w} but the {a}", "{a}, not {w}"), BOTH):
        if was == "right" and "not {w}" in way and "{a}, not" not in way:
            continue
        assert understand(way.format(a=at, w=was), source).meanings == (Misplaced(Slot(at), Slot(was)),), way


def test_a_kind_and_the_one_that_it_is_not() -> None:
    """Of a box by its name; one that isn't named is asked for."""
    for source in BOTH:
        (found,) = understand("box one is a double gang, not a single", source).meanings
        assert found == Correction(Incomplete(BoxKind.DOUBLE, name="box 1"))
        assert not understand("box one is a double gang, not a double", source).meanings
        for said in ("change outlet to switch", "make the outlet a double gang", "turn that switch into an outlet"):
            asked = understand(said, source)
            assert asked.ask is not None, said
            assert asked.ask.about is Ask.WHICH_BOX, said


@pytest.mark.parametrize(
    ("said", "about"),
    [
        ("redo", Ask.REDO),
        ("skip this one", Ask.SKIP_WHAT),
        ("stop", Ask.STOP_WHAT),
        ("print", Ask.PRINT_HOW),
        ("print me the cut sheet", Ask.PRINT_HOW),
        ("print board two", Ask.PRINT_HOW),
        ("from the offcut", Ask.WHICH_OFFCUT),
        ("cut it out of the scrap", Ask.WHICH_OFFCUT),
        ("another one sixteen further right", Ask.LIKE_WHICH),
        ("box two same height, sixteen further right", Ask.LIKE_WHICH),
        ("copy box one to forty from the left", Ask.LIKE_WHICH),
    ],
)
def test_what_no_order_does_says_what_does(said: str, about: Ask) -> None:
    """With a question of its own, and nothing is taken."""
    for source in BOTH:
        found = understand(said, source)
        assert found.ask is not None, said
        assert (found.ask.about, found.meanings) == (about, ()), said


@pytest.mark.parametrize("way", ["it's {} {}", "this one {} {}", "{} {}"])
def test_how_a_board_hangs_by_its_verb(way: str) -> None:
    """Whatever verb it is told with."""
    ways = {"lying": ("horizontal", "sideways", "flat"), "standing": ("vertical", "upright")}
    verbs = ("running", "hung", "hanging", "goes", "going")
    for (lies, hows), verb, source in product(ways.items(), verbs, BOTH):
        for how in hows:
            assert understand(way.format(verb, how), source).meanings == (Context(Topic.LIES, lies),), (verb, how)
    assert understand("this one lays down", Source.TYPED).meanings == (Context(Topic.LIES, "lying"),)


def test_a_hole_for_something_is_as_wide_as_it_is_called() -> None:
    """The size before "hole" is the cut's own, whatever comes through."""
    spots = (Coordinate(Point.CENTER, Length(16), Edge.LEFT),), (Coordinate(Point.CENTER, Length(18), Edge.BOTTOM),)
    for what, a, source in product(
        ("drain", "pipe", "dryer vent", "shower valve", "gas line"), ("", "a ", "there's a "), BOTH
    ):
        said = f"{a}two and a half inch hole for the {what}, center sixteen from left eighteen up"
        want = (Opening(OpeningKind.HOLE, *spots, diameter=Length("2 1/2")),)
        assert understand(said, source).meanings == want, said


def test_another_of_a_kind_lacks_what_was_not_said_anew() -> None:
    """Its own distances are taken; what "same size" means is asked for where the kind doesn't tell it."""
    for source in BOTH:
        (light,) = understand("another can, same size, center forty from left, twenty down", source).meanings
        assert isinstance(light, Incomplete)
        assert [lack.value for lack in light.lacks] == ["size"]
        (found,) = understand("another outlet, same kind, center forty from left, twenty down", source).meanings
        assert isinstance(found, Box)


def test_small_ways_to_say_what_was_known() -> None:
    """Each as its plain form."""
    plain = {
        "start board seven": "board seven",
        "tick it off": "tick it",
        "read me the board": "read it back",
        "give me an eighth all the way around": "leave an eighth all around",
        "make it a double gang": "it's a double gang",
        "wait, that was the left": "that was the left",
        "top forty, same at the bottom": "top forty, bottom forty",
        "supply vent six by ten, left edge twenty from left, top edge five down": (
            "vent six by ten, left edge twenty from left, top edge five down"
        ),
        "window's forty from the left, thirty six wide, sill at thirty six, head at eighty": (
            "window forty from the left, thirty six wide, sill at thirty six, head at eighty"
        ),
    }
    for (said, known), source in product(plain.items(), BOTH):
        assert understand(said, source).meanings == understand(known, source).meanings != (), said
