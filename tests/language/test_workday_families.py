"""What the calls of a working day stand for, made of families: each with all that it may mean, typed and spoken."""

from __future__ import annotations

from itertools import product

import pytest

from fieldvoice.language.understanding import understand
from fieldvoice.records.hearing import Source
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import (
    Coordinate,
    Dimension,
    Distance,
    Edge,
    Incomplete,
    Opening,
    OpeningKind,
    Point,
    Reading,
    Slot,
)
from fieldvoice.records.utterance import Status

BOTH = (Source.TYPED, Source.SPOKEN)
THROUGH = ("pipe", "drain", "hose bib", "shower valve", "shower head", "tub spout", "dryer vent", "sprinkler head")
SIZES = {"two inch": "2", "four and a quarter inch": "4 1/4", "inch and a quarter": "1 1/4"}
WAYS = (
    "{t} {s} hole center thirty from left twenty down",
    "{t}, a {s} hole center thirty from left twenty down",
    "{t} center thirty from left twenty down, {s} hole",
)
CENTERED = (
    (Coordinate(Point.CENTER, Length(30), Edge.LEFT),),
    (Coordinate(Point.CENTER, Length(20), Edge.TOP),),
)


@pytest.mark.parametrize("way", WAYS)
def test_the_size_of_a_hole_is_the_cuts_own(way: str) -> None:
    """Whatever comes through it: no play is added to it as to a pipe or a duct, which are told by their own size."""
    for through, (said, size), source in product(THROUGH, SIZES.items(), BOTH):
        found = understand(way.format(t=through, s=said), source).meanings
        assert found == (Opening(OpeningKind.HOLE, *CENTERED, diameter=Length(size)),), (through, said, source)
    for said, size in SIZES.items():
        (found_pipe,) = understand(f"{said} pipe center thirty from left twenty down", Source.SPOKEN).meanings
        assert isinstance(found_pipe, Opening)
        assert (found_pipe.kind, found_pipe.diameter) == (OpeningKind.PIPE, Length(size))


@pytest.mark.parametrize("what", ["pipe hole", "duct hole", "vent hole"])
def test_a_hole_named_by_what_it_is_for_is_asked_about(what: str) -> None:
    """It may be so wide, or what comes through it; a light's is its own, and never one without a circuit."""
    for said, source in product(SIZES, BOTH):
        found = understand(f"{said} {what} center thirty from left twenty down", source)
        kinds = {one.kind for way in found.alternatives for one in way if isinstance(one, Opening)}
        assert found.status is Status.UNCLEAR, (what, said)
        assert len(kinds) == 2, (what, said)
        assert OpeningKind.HOLE in kinds, (what, said)
    for light in ("can light", "pot light", "wafer light"):
        found = understand(f"{light} center 30 from left 20 down, 4 1/4 hole", Source.TYPED)
        assert not any(isinstance(one, Opening) and one.kind is OpeningKind.HOLE for one in found.meanings), light


@pytest.mark.parametrize("side", ["left", "right"])
def test_a_figure_behind_box_that_may_be_its_number_is_no_distance(side: str) -> None:
    """One to nine: "box one measured from the right" has no distance yet; with "at" before it, or larger, it is one."""
    words = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
    for number, said in enumerate(words, start=1):
        for way, source in product(
            ("box {n} from the {s}", "box {n} measured from the {s}", "box {n} off the {s}"), BOTH
        ):
            found = understand(way.format(n=said, s=side), source).meanings
            assert not any(isinstance(one, Incomplete) and one.distances for one in found), (way, said)
        spot = Distance(Length(number), None, Edge(side))
        assert understand(f"box at {said} from the {side}", Source.SPOKEN).meanings == (Incomplete(None, (spot,)),)
    spot = Distance(Length(16), None, Edge(side))
    assert understand(f"box sixteen inches off the {side}", Source.SPOKEN).meanings == (Incomplete(None, (spot,)),)


@pytest.mark.parametrize("work", ["hooked up", "wired up", "tied in", "connected", "hooking up"])
def test_what_is_hooked_up_may_be_live(work: str) -> None:
    """A circuit, its wires, its panel, of whichever room; a tape that is hooked somewhere is none."""
    for who, room, what in product(
        ("they just", "somebody", "the electrician"), ("", "kitchen ", "bath "), ("circuit", "power", "wires", "panel")
    ):
        said = f"{who} {work} the {room}{what}"
        assert all(understand(said, source).danger for source in BOTH), said
    for words in ("hooked on the left", "i hooked up the tape", "tape is hooked over the right"):
        assert not any(understand(words, source).danger for source in BOTH), words


def test_shorthand_of_heights_and_of_openings() -> None:
    """As it is written on the board."""
    for short, at in (("lh", Slot.LEFT), ("rh", Slot.RIGHT)):
        want = Reading(Length("95 5/8"), Dimension.HEIGHT, at)
        assert understand(f"{short} 95 5/8", Source.TYPED).meanings == (want,)
    both = understand("both hts 95 3/4", Source.TYPED).meanings
    assert both == tuple(Reading(Length("95 3/4"), Dimension.HEIGHT, at) for at in (Slot.LEFT, Slot.RIGHT))
    for side, start in (("L", Edge.LEFT), ("R", Edge.RIGHT)):
        (found,) = understand(f"window 12 {side}, 30 w, 20 dn, 40 h", Source.TYPED).meanings
        assert isinstance(found, Opening)
        assert (found.xs, found.ys) == (
            (Coordinate(Point.NEAR, Length(12), start),),
            (Coordinate(Point.NEAR, Length(20), Edge.TOP),),
        )
        assert (found.width, found.height) == (Length(30), Length(40))


@pytest.mark.parametrize("shy", ["forty inches and {0} shy on top", "top forty inches and {0} shy"])
def test_inches_and_a_part_shy_are_asked_about(shy: str) -> None:
    """So much and a little less, or so much less than the inches; what is light, or without "inches", is not."""
    for part, source in product(("a sixteenth", "an eighth", "three sixteenths"), BOTH):
        assert understand(shy.format(part), source).status is Status.UNCLEAR, part
        assert understand(shy.format(part).replace("shy", "light"), source).status is Status.UNDERSTOOD, part
        assert understand(shy.format(part).replace(" inches", ""), source).status is Status.UNDERSTOOD, part
