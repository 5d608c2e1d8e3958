"""Openings by their edges, corrections by "not", and what of it is asked: made of families, typed and spoken."""

from __future__ import annotations

from itertools import product

import pytest

from fieldvoice.language.phrases import read_back
from fieldvoice.language.understanding import understand
from fieldvoice.records.hearing import Source
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import (
    ON_THE_FLOOR,
    Box,
    BoxKind,
    Context,
    Coordinate,
    DeadAndTested,
    Distance,
    Edge,
    Incomplete,
    Opening,
    OpeningKind,
    Point,
    Topic,
)
from fieldvoice.records.utterance import Action, Answer, Ask, Command, Correction, Part, Status

BEGINS, ENDS, SILL, HEAD = 20, 57, 31, 82
"""An opening 37 wide and 51 high."""
FROM_A_SIDE = {
    "20 from the {0}, 37 wide": 20,
    "37 wide, starts 20 from the {0}": 20,
    "from 20 to 57 from the {0}": 20,
    "from 20 to 57 {0} side": 20,
}
FROM_NO_SIDE = (
    "starts at 20, 37 wide",
    "it's 37 wide, starts at 20",
    "from 20 to 57",
    "starts at 20, ends at 57",
)
UP = (
    "sill 31, head 82",
    "head at 82, sill at 31",
    "sill's 31 up, header's 82 up",
    "sill 31, 51 tall",
    "51 high, bottom at 31",
    "31 off the floor, 51 tall",
)
DOWN = (
    "head 14 down, sill 65 down",
    "14 down to the head, 65 down to the sill",
    "51 tall, head 14 down",
    "14 from the ceiling, 51 high",
)
NEITHER = (
    "sill 82, head 31",  # upside down, or from the ceiling
    "sill 31 up, head 14 down",  # two starts
    "sill 31, head 14 down",
    "head 82, 51 tall",  # over the floor, or under the ceiling
    "sill 31",  # how high isn't said
    "sill 31, 31 up, 51 tall",
)


def both_orders(one: str, other: str) -> tuple[str, str]:
    """The two in either order."""
    return f"{one}, {other}", f"{other}, {one}"


@pytest.mark.parametrize(("kind", "side"), [*product(("window", "opening", "door"), ("left", "right"))])
def test_an_opening_by_its_edges_is_what_they_leave(kind: str, side: str) -> None:
    """From whichever edge each was called, in either order, whole."""
    for across, (way, start, value) in product(
        FROM_A_SIDE, [*((each, Edge.BOTTOM, SILL) for each in UP), *((each, Edge.TOP, 14) for each in DOWN)]
    ):
        for said in both_orders(across.format(side), way):
            want = Opening(
                OpeningKind(kind),
                (Coordinate(Point.NEAR, Length(BEGINS), Edge(side)),),
                (Coordinate(Point.NEAR, Length(value), start),),
                Length(ENDS - BEGINS),
                Length(HEAD - SILL),
            )
            assert understand(f"{kind} {said}", Source.TYPED).meanings == (want,), said


@pytest.mark.parametrize(("side", "left", "right"), [("left", BEGINS, ENDS), ("right", ENDS, BEGINS)])
@pytest.mark.parametrize("way", ["left edge at {0}, right edge at {1}", "right side {1}, left side {0}"])
def test_both_edges_of_an_opening_tell_the_side_that_they_are_from(side: str, left: int, right: int, way: str) -> None:
    """That of the nearer one, as of a box; of one edge alone it is asked."""
    for upright in UP[:3]:
        (found,) = understand(f"window {way.format(left, right)}, {upright}", Source.TYPED).meanings
        assert isinstance(found, Opening)
        assert (found.xs, found.width) == ((Coordinate(Point.NEAR, Length(BEGINS), Edge(side)),), Length(37))
    (found_less,) = understand(f"window left edge {left}, 37 wide, sill 31, head 82", Source.TYPED).meanings
    assert isinstance(found_less, Incomplete)


@pytest.mark.parametrize("across", FROM_NO_SIDE)
def test_from_which_side_it_begins_is_asked_alone(across: str) -> None:
    """All else of it is kept."""
    for way, first in product((*UP, *DOWN), (True, False)):
        said = f"{across}, {way}" if first else f"{way}, {across}"
        found = understand(f"window {said}", Source.TYPED).meanings
        start, value = (Edge.BOTTOM, SILL) if way in UP else (Edge.TOP, 14)
        spots = (Distance(Length(BEGINS), Point.NEAR), Distance(Length(value), Point.NEAR, start))
        assert found == (Incomplete(OpeningKind.WINDOW, spots, Length(ENDS - BEGINS), Length(HEAD - SILL)),), said


SPANS = ("from {0} to {1} {2}", "{0} to {1} {2} side", "{0} to {1} from the {2}")
RISES = ("{0} to {1} up", "from {0} up to {1}", "{0} up to {1} up", "{0} to {1} down", "{0} down to {1} down")


@pytest.mark.parametrize(("span", "upright"), [*product(SPANS, RISES)])
def test_an_opening_from_edge_to_edge_has_all_four(span: str, upright: str) -> None:
    """In figures and in words, of any kind; the wrong way round, or with one span alone, it is none."""
    start = Edge.TOP if "down" in upright else Edge.BOTTOM
    figures = (("14", "28 1/2", "40", "54"), ("fourteen", "twenty eight and a half", "forty", "fifty four"))
    for kind, side, (a, b, c, d) in product(("niche", "window"), ("left", "right"), figures):
        source = Source.TYPED if a == "14" else Source.SPOKEN
        (found,) = understand(f"{kind} {span.format(a, b, side)}, {upright.format(c, d)}", source).meanings
        assert isinstance(found, Opening)
        assert [(each.value, each.point, each.start) for each in (*found.xs, *found.ys)] == [
            (Length(14), Point.NEAR, Edge(side)),
            (Length("28 1/2"), Point.FAR, Edge(side)),
            (Length(40), Point.NEAR, start),
            (Length(54), Point.FAR, start),
        ]
        for less in (
            f"{span.format(b, a, side)}, {upright.format(c, d)}",
            f"{span.format(a, b, side)}, {upright.format(d, c)}",
            span.format(a, b, side),
            f"{span.format(a, b, side)}, {upright.format(c, d).removesuffix('up').removesuffix('down')} over",
        ):
            assert not any(isinstance(one, Opening) for one in understand(f"{kind} {less}", source).meanings), less


@pytest.mark.parametrize("across", ["from 14 to 28 1/2", "14 to 28 1/2 over", "14 over to 28 1/2 over"])
def test_from_which_side_a_span_is_is_asked_alone(across: str) -> None:
    """The rest is kept."""
    for upright in RISES:
        start = Edge.TOP if "down" in upright else Edge.BOTTOM
        spots = (Distance(Length(14), Point.NEAR), Distance(Length(40), Point.NEAR, start))
        found = understand(f"niche {across}, {upright.format(40, 54)}", Source.TYPED).meanings
        assert found == (Incomplete(OpeningKind.OPENING, spots, Length("14 1/2"), Length(14)),), upright


@pytest.mark.parametrize("wide", [None, 37])
@pytest.mark.parametrize("way", UP[:4])
def test_a_sill_and_a_head_are_kept_until_it_is_said_where_it_is(way: str, wide: int | None) -> None:
    """With the width, where that was said."""
    for said in both_orders(way, "37 wide") if wide else (way,):
        found = understand(f"window {said}", Source.TYPED).meanings
        sill = Distance(Length(SILL), Point.NEAR, Edge.BOTTOM)
        width = Length(wide) if wide else None
        assert found == (Incomplete(OpeningKind.WINDOW, (sill,), width, Length(HEAD - SILL)),), said


@pytest.mark.parametrize("side", ["left", "right"])
def test_a_size_and_where_it_begins_want_nothing_between(side: str) -> None:
    """With the sill as with how far up."""
    wanted = understand(f"window 37 by 51, 20 from the {side}, 31 up", Source.TYPED).meanings
    assert isinstance(wanted[0], Opening)
    for down in ("sill 31", "sill at 31", "sill 31 up"):
        assert understand(f"window 37 by 51 20 from the {side} {down}", Source.TYPED).meanings == wanted, down


@pytest.mark.parametrize("way", NEITHER)
def test_what_edges_do_not_tell_is_never_taken(way: str) -> None:
    """Two starts, or one edge without the other."""
    for across in ("20 from the left, 37 wide", *FROM_NO_SIDE):
        for said in both_orders(across, way):
            found = understand(f"window {said}", Source.TYPED)
            assert not any(isinstance(one, Opening | Incomplete) for one in found.meanings), said


def test_a_figure_behind_a_figure_is_never_parted() -> None:
    """Nobody can hear where the one would end: "starts at twenty six wide" is no 6 wide at 20."""
    for tens, digit in product(("twenty", "thirty"), ("four", "six")):
        for said in (f"starts at {tens} {digit} wide", f"sill {tens} {digit} tall"):
            assert understand(f"window {said} 20 from the left", Source.SPOKEN).status is not Status.UNDERSTOOD


def test_a_door_by_its_head_is_so_high() -> None:
    """It stands on the floor, and where that is is asked."""
    for across in ("12 from the left, 38 wide", "38 wide, 12 from the left", "from 12 to 50 from the left"):
        found = understand(f"door {across}, head at 82 1/2", Source.TYPED).meanings
        spot = Distance(Length(12), Point.NEAR, Edge.LEFT)
        assert found == (Incomplete(OpeningKind.DOOR, (spot,), Length(38), Length("82 1/2")),)
    assert understand("on the floor", Source.SPOKEN).meanings == (Part(ON_THE_FLOOR),)


@pytest.mark.parametrize("unit", Unit)
def test_a_door_on_the_floor_is_read_back_so(unit: Unit) -> None:
    """Called whole, or as the answer to where it is."""
    here = Coordinate(Point.NEAR, Length(12), Edge.LEFT)
    assert ON_THE_FLOOR.whole is not None
    door = Opening(OpeningKind.DOOR, (here,), (ON_THE_FLOOR.whole,), Length(32), Length(80))
    assert understand("door thirty two by eighty, twelve from the left, on the floor", Source.SPOKEN).meanings == (
        door,
    )
    for meaning in (door, Part(ON_THE_FLOOR)):
        assert understand(read_back(meaning, unit), Source.SPOKEN, unit).meanings == (meaning,)


@pytest.mark.parametrize(
    ("words", "value", "start"),
    [
        ("46 down not 44", 46, Edge.TOP),
        ("it's 46 down, not 44 down", 46, Edge.TOP),
        ("that's 16 up, not 60", 16, Edge.BOTTOM),
        ("12 from the right not 20", 12, Edge.RIGHT),
        ("sixteen over, not fourteen", 16, None),
    ],
)
def test_a_distance_and_what_it_is_not(words: str, value: int, start: Edge | None) -> None:
    """A no, and the right distance: of the box in hand, or of one that is named."""
    right = Distance(Length(value), None, start)
    assert understand(words, Source.TYPED).meanings == (Answer(yes=False), Part(right))
    for name in ("box one", "first box", "the first box"):
        said = words.removeprefix("it's ").removeprefix("that's ")
        assert understand(f"{name}, {said}", Source.TYPED).meanings == (
            Correction(Incomplete(None, (right,), name="1")),
        )


@pytest.mark.parametrize(
    ("words", "ask"),
    [
        ("not forty two forty three", Ask.NOT_THEN),
        ("no not forty two, forty three", Ask.NOT_THEN),
        ("start this board over", Ask.START_OVER),
        ("start over", Ask.START_OVER),
        ("wipe the whole board", Ask.START_OVER),
        ("back up one", Ask.HOW_FAR_BACK),
        ("undo the last two", Ask.HOW_FAR_BACK),
        ("no the other side", Ask.OTHER_SIDE),
        ("wrong side", Ask.OTHER_SIDE),
        ("horizontal outlet 20 from the left, 42 down, center", Ask.TURNED_BOX),
        ("outlet lying sideways, 20 from the left, 42 down", Ask.TURNED_BOX),
        ("call it 47 even", Ask.VAGUE),
    ],
)
def test_what_has_no_safe_meaning_is_asked_about_with_what_to_say(words: str, ask: Ask) -> None:
    """Typed and spoken alike."""
    for source in Source if words.isalpha() else (Source.TYPED,):
        found = understand(words, source)
        assert found.ask is not None
        assert found.ask.about is ask


def test_not_a_figure_alone_is_no_two_figures() -> None:
    """A fraction behind "not" belongs to the figure before it."""
    for words in ("not 46 7/8", "not forty six and seven eighths", "not forty two"):
        ask = understand(words, Source.TYPED).ask
        assert ask is None or ask.about is not Ask.NOT_THEN


def test_a_step_by_its_number_is_ticked() -> None:
    """As "step four done" is."""
    for words, number in (("step four", "4"), ("step 12", "12")):
        assert understand(words, Source.TYPED).meanings == (Command(Action.TICK, number),)


@pytest.mark.parametrize("device", ["outlet", "the outlet", "switch", "the plug", "can light", "the light", "the can"])
def test_a_device_is_dead_and_tested_as_the_box_is(device: str) -> None:
    """Which box that is is for the dialogue: it asks where there are more; off alone says nothing of a test."""
    for source in Source:
        assert understand(f"{device} is dead and tested", source).meanings == (DeadAndTested(count=1),)
        assert understand(f"{device} is dead", source).status is not Status.UNDERSTOOD


@pytest.mark.parametrize("way", ["standing", "stood up", "lying down", "laid flat"])
def test_how_a_sheet_lies_stands_between_its_sides_and_its_thickness(way: str) -> None:
    """As it does before or behind them."""
    for source in Source:
        found = understand(f"four by eight {way} half inch", source).meanings
        assert set(found) == {
            *understand("four by eight half inch", source).meanings,
            *understand(way, source).meanings,
        }


def test_a_sheet_that_is_half_an_inch_too_long_is_so_thick() -> None:
    """No such sheet is made; what may be a piece by its width and height is asked about."""
    for words in ("54 inch by 9 foot half inch", "48 by 96 1/2"):
        (sheet, thick), _ = understand(words, Source.TYPED).alternatives
        assert sheet in understand(words.removesuffix(" half inch").removesuffix(" 1/2"), Source.TYPED).meanings
        assert thick == Context(Topic.THICKNESS, Length("1/2"))


@pytest.mark.parametrize("corner", list(product((Edge.LEFT, Edge.RIGHT), (Edge.TOP, Edge.BOTTOM))), ids=str)
def test_a_notch_has_no_edges_of_its_own(corner: tuple[Edge, Edge]) -> None:
    """What is read back as "and one half at the top" is the end of its size and its corner."""
    spots = [(Coordinate(Point.NEAR, Length(0), edge),) for edge in corner]
    for width, height in product(map(Length, ("5 1/2", "33 1/4", "70")), repeat=2):
        notch = Opening(OpeningKind.NOTCH, spots[0], spots[1], width, height)
        assert understand(read_back(notch, Unit.INCH), Source.SPOKEN).meanings == (notch,)


@pytest.mark.parametrize("across", ["from 10 to 42 from the left", "10 from the left, 32 wide"])
@pytest.mark.parametrize("reach", ["floor to 82", "from the floor to 82", "from the floor up to 82"])
def test_what_reaches_from_the_floor_is_so_high_if_it_is_a_door(across: str, reach: str) -> None:
    """It stands there. How near to the floor a window or an opening begins is asked for: neither is taken."""
    (door,) = understand(f"door {across}, {reach}", Source.TYPED).meanings
    stands = (_at(Point.NEAR, 0, Edge.BOTTOM),)
    assert door == Opening(OpeningKind.DOOR, (_at(Point.NEAR, 10, Edge.LEFT),), stands, Length(32), Length(82))
    for kind in ("window", "opening"):
        assert not understand(f"{kind} {across}, {reach}", Source.TYPED).meanings


ACROSS_AND_DOWN = {
    "left edge {a}, right edge {b}": Edge.LEFT,
    "right edge is at {b}, the left edge at {a}": Edge.LEFT,
    "left edge {b}, right edge {a}": Edge.RIGHT,
    "left edge {a} from left, right edge {b}": Edge.LEFT,
    "right edge {a} from the right, left edge {b} from the right": Edge.RIGHT,
    "bottom edge {a}, top edge {b}": Edge.BOTTOM,
    "bottom {a} up, top {b} up": Edge.BOTTOM,
    "top {a} down, bottom {b} down": Edge.TOP,
    "top edge {a}, bottom edge {b} down": Edge.TOP,
}
SIDEWAYS = [way for way, edge in ACROSS_AND_DOWN.items() if edge in {Edge.LEFT, Edge.RIGHT}]
UPRIGHT = [way for way in ACROSS_AND_DOWN if way not in SIDEWAYS]


@pytest.mark.parametrize(("across", "down"), [*product(SIDEWAYS, UPRIGHT)])
def test_a_box_by_its_four_edges_is_where_they_are(across: str, down: str) -> None:
    """The nearer edge of two tells the side that both are from."""
    for head, (near, far), (low, high) in product(("box one", "outlet"), ((12, 14), (7, 19)), ((40, 43), (5, 8))):
        for said in both_orders(across.format(a=near, b=far), down.format(a=low, b=high)):
            (box,) = understand(f"{head} {said}", Source.TYPED).meanings
            assert isinstance(box, Box), said
            side, up = ACROSS_AND_DOWN[across], ACROSS_AND_DOWN[down]
            assert (box.x, box.y) == (_at(Point.NEAR, near, side), _at(Point.NEAR, low, up)), said
            assert box.far == (_at(Point.FAR, far, side), _at(Point.FAR, high, up)), said
            assert box.kind == (BoxKind.SINGLE if head == "outlet" else BoxKind.CALLED)


def _at(point: Point, value: int, edge: Edge) -> Coordinate:
    return Coordinate(point, Length(value), edge)


@pytest.mark.parametrize(
    "edges",
    [
        "left edge 12, right edge 25, bottom edge 40, top edge 43",  # more than a box goes: each from its own side?
        "left edge 12, right edge 12, bottom edge 40, top edge 43",
        "left edge 12 from the right, right edge 14, bottom edge 40, top edge 43",
        "left edge 12 from the left, right edge 14 from the right, bottom edge 40, top edge 43",
        "left edge 12, right edge 14, bottom 40 down, top 43 up",
        "left edge 12, right edge 14, bottom 40, top 43",  # up or down?
        "left edge 12, right edge 14",
    ],
)
def test_edges_that_do_not_tell_where_a_box_is_are_never_taken(edges: str) -> None:
    """Whatever else is said of it."""
    for head in ("box one", "box", "outlet", "box two single gang"):
        assert understand(f"{head} {edges}", Source.TYPED).meanings == (), head


def test_an_opening_is_called_or_resized_by_its_number() -> None:
    """Whole, by its size alone, by one side; no kind has so many that ten is one's number."""
    where = "left edge 41 from left, bottom edge 30 up"
    for kind, number in product(("window", "door"), ("1", "one", "4", "nine")):
        name = f"{kind} {number.replace('one', '1').replace('nine', '9')}"
        width, height = Length(36), Length(48)
        x, y = _at(Point.NEAR, 41, Edge.LEFT), _at(Point.NEAR, 30, Edge.BOTTOM)
        opening = Opening(OpeningKind(kind), (x,), (y,), width, height, name=name)
        for size in ("36 wide 48 high", "36 by 48", "36 wide by 48 tall", "48 tall 36 wide"):
            said = f"{kind} {number} {size}"
            assert understand(f"{said} {where}", Source.TYPED).meanings == (opening,), said
            (part,) = understand(said, Source.TYPED).meanings
            assert part == Incomplete(OpeningKind(kind), (), width, height, name=name)
        (wide,) = understand(f"{kind} {number} 38 wide", Source.TYPED).meanings
        assert wide == Incomplete(OpeningKind(kind), (), Length(38), name=name)
        (high,) = understand(f"{kind} {number} 50 tall", Source.TYPED).meanings
        assert high == Incomplete(OpeningKind(kind), (), None, Length(50), name=name)
    assert not any(getattr(each, "name", "") for each in understand("window 36 48 wide", Source.TYPED).meanings)


def test_a_door_from_the_floor_up_stands_on_it() -> None:
    """And where its head alone is said, whether it stands there is asked."""
    for across, up in product(("10 from left, 32 wide", "from 10 to 42 from left"), ("floor to 82",)):
        for said in both_orders(across, up):
            (door,) = understand(f"door {said}", Source.TYPED).meanings
            x, y = _at(Point.NEAR, 10, Edge.LEFT), _at(Point.NEAR, 0, Edge.BOTTOM)
            assert door == Opening(OpeningKind.DOOR, (x,), (y,), Length(32), Length(82)), said
        for more in ("sill 3", "head 84"):
            for said in both_orders(across, f"{up}, {more}"):
                assert understand(f"door {said}", Source.TYPED).meanings == (), said
    (door,) = understand("door 10 from left, 32 wide, head 82", Source.TYPED).meanings
    assert isinstance(door, Incomplete)
    assert understand("window 10 from left, 32 wide, floor to 82", Source.TYPED).meanings == ()


@pytest.mark.parametrize("way", ACROSS_AND_DOWN)
def test_the_other_two_edges_of_a_box_are_asked_for(way: str) -> None:
    """Where two tell where it is one way, and not where they don't."""
    for head in ("box one", "box", "outlet", "box two single gang"):
        found = understand(f"{head} {way.format(a=12, b=14)}", Source.TYPED)
        assert (found.meanings, found.ask and found.ask.about) == ((), Ask.OTHER_EDGES), head
        far = understand(f"{head} {way.format(a=12, b=40)}", Source.TYPED)
        assert (far.meanings, far.ask and far.ask.about is Ask.OTHER_EDGES) in {((), None), ((), False)}, head
