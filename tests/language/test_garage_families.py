"""What the garage's calls stand for, made of families: each with all that it may mean, typed and spoken."""

from __future__ import annotations

from itertools import product

import pytest

from fieldvoice.language.phrases import read_back
from fieldvoice.language.understanding import understand
from fieldvoice.records.hearing import Source
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import FIVE_IN_EIGHT_FEET, Box, Context, Danger, Edge, Neighbor, Topic
from fieldvoice.records.utterance import Answer, Part, Status

BOTH = (Source.TYPED, Source.SPOKEN)
ROOMS = ("porch", "garage", "hall", "laundry", "attic", "bonus room", "closet", "basement")
BOXES = ("outlet", "light box", "switch", "single gang", "round box", "light switch")
WHERE = "center twenty from left, forty up"


@pytest.mark.parametrize("room", ROOMS)
def test_a_room_right_before_a_box_may_be_part_of_its_name(room: str) -> None:
    """It is asked whether we are there; with a word that leads there we are, and with a call between them, too."""
    for box, source in product(BOXES, BOTH):
        asked = understand(f"{room} {box} {WHERE}", source)
        assert asked.status is Status.UNCLEAR, (room, box)
        told = {any(isinstance(each, Context) for each in way) for way in asked.alternatives}
        assert told == {True, False}
        assert all(any(isinstance(each, Box) for each in way) for way in asked.alternatives)
        led = understand(f"we're in the {room}, {box} {WHERE}", source)
        assert Context(Topic.ROOM, room) in led.meanings, (room, box)
        between = understand(f"{room}, wall on the left, {box} {WHERE}", source)
        assert Context(Topic.ROOM, room) in between.meanings, (room, box)


@pytest.mark.parametrize("where", [f"{way} {there}" for way in ("up", "down", "over") for there in ("here", "there")])
def test_where_somebody_points_is_no_distance(where: str) -> None:
    """What is forty "up there" is the top's, or how far a box is up: it is no answer, though "forty up" is one."""
    for value, source in product(("forty", "forty and a half", "seven eighths", "twelve"), BOTH):
        found = understand(f"{value} {where}", source)
        assert not any(isinstance(each, Part) for each in found.meanings), (value, where)
    assert understand(f"forty {where.split()[0]}", Source.SPOKEN).meanings


@pytest.mark.parametrize("tester", ["tester", "my tester", "the pen", "meter", "probe"])
@pytest.mark.parametrize("how", ["{}'s lit up", "{} is lit up", "{} just lit up", "{} lit up", "{} is still lit up"])
def test_a_tester_that_lights_up_says_danger_and_nothing_else(tester: str, how: str) -> None:
    """The "up" of it answers no question."""
    for source in BOTH:
        found = understand(how.format(tester), source)
        assert found.danger, (tester, how)
        assert all(isinstance(each, Danger) for each in found.meanings), (tester, how)


@pytest.mark.parametrize("what", ["beam", "soffit", "post", "column"])
def test_a_beam_is_no_slip_of_a_seam(what: str) -> None:
    """It is covered, or stays in sight: asked."""
    for way, edge in product(("{1} is a {0}", "{0} on the {1}", "there's a {0} on the {1}"), Edge):
        for source in BOTH:
            found = understand(way.format(what, edge), source)
            ways = {(Context(Topic.NEIGHBOR, each, edge),) for each in (Neighbor.WALL, Neighbor.TRIM)}
            assert set(found.alternatives) == ways, (way, edge)


@pytest.mark.parametrize("none", ["no boxes", "no box", "no holes", "no outlets"])
def test_a_room_behind_no_boxes_is_no_word_of_another_room(none: str) -> None:
    """There is no box two in "no box for this room two", and no room two."""
    for where, source in product(("in this", "for this", "on this", "here"), BOTH):
        assert understand(f"{none} {where}", source).meanings, (none, where)
        for room in ("room two", "kitchen"):
            taken = understand(f"{none} {where} {room}", source).meanings
            assert not any(isinstance(each, Context) for each in taken), (none, where, room)


DID = ("I did", "we did", "I tested it", "yes I tested it", "yes I did I tested it", "I have")
DID_NOT = ("I didn't", "I did not", "I haven't", "we didn't")


@pytest.mark.parametrize(("words", "yes"), [*((each, True) for each in DID), *((each, False) for each in DID_NOT)])
def test_who_did_something_says_it_alone(words: str, yes: bool) -> None:
    """It is an answer to whether somebody did something, and nothing where more follows; danger beside it counts."""
    for source in BOTH:
        (said,) = understand(words, source).meanings
        assert said == Answer(yes=yes, of_doing=True)
        for more in ("top forty", "center", "left wall", "box one center twelve from left"):
            assert said not in understand(f"{words} {more}", source).meanings, (words, more)
        for danger in ("it's hot", "it's not dead", "box one is live"):
            for way in (f"{words} {danger}", f"{words} and {danger}", f"{danger} {words}"):
                found = understand(way, source)
                assert found.danger, way
                assert said not in found.meanings, way


@pytest.mark.parametrize("words", ["eighth", "sixteenth"])
def test_a_part_of_an_inch_alone_is_an_answer(words: str) -> None:
    """As with its article; "quarter" and "half" alone may be more, and are asked about."""
    for source in BOTH:
        assert understand(words, source).meanings == understand(f"a {words}", source).meanings
        assert not understand("quarter", source).meanings


@pytest.mark.parametrize("side", [None, Edge.LEFT, Edge.RIGHT])
@pytest.mark.parametrize("what", ["studs", "joists are", "the joists", "trusses", "the framing is", "spacing is"])
def test_five_spaces_in_eight_feet_are_exactly_so_wide(what: str, side: Edge | None) -> None:
    """They are called 19.2, which no tape has; a figure beside it is its own, and in millimeters it is one of those."""
    spaced = Context(Topic.SPACING, FIVE_IN_EIGHT_FEET, side)
    assert spaced.value == Length(96) / 5
    behind = f" from the {side}" if side else ""
    for said, source in (("19.2", Source.TYPED), ("nineteen point two", Source.SPOKEN)):
        assert understand(f"{what} {said} on center{behind}", source).meanings == (spaced,)
        assert not understand(f"{what} {said} on center{behind}", source, Unit.MM).meanings
    for beside in ("19 3/16", "19 7/32", "19.25", "24.5", "16"):
        taken = understand(f"{what} {beside} on center{behind}", Source.TYPED).meanings
        assert not taken or taken == (Context(Topic.SPACING, Length(beside), side),)
    for unit in Unit:
        assert understand(read_back(spaced, unit), Source.SPOKEN, unit).meanings == (spaced,)


def test_what_is_nineteen_point_two_apart_is_said() -> None:
    """Alone it may be a box's center, and no fraction of a tape is taken for it, nor with what the studs are of."""
    for said, source in (("19.2", Source.TYPED), ("nineteen point two", Source.SPOKEN)):
        alone = understand(f"{said} on center", source)
        assert (alone.meanings, alone.alternatives) == ((), ())
        steel = understand(f"steel studs {said} on center", source).meanings
        assert steel == (Context(Topic.FRAMING, "steel"), Context(Topic.SPACING, FIVE_IN_EIGHT_FEET))
