"""What a room's document and list say beside its layout."""

from __future__ import annotations

from dataclasses import replace

from fieldvoice.output.room_work import room_work, room_work_document, room_work_lines
from fieldvoice.records.fastening import Direction
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Dimension
from fieldvoice.records.room import Members
from tests.takeoff.rooms import WINDOW, box, ceiling, room, surface, two_courses, wall

OVER = surface(ceiling(), [box(0, 0, 144, 48), box(0, 48, 144, 96), box(0, 96, 144, 144), box(0, 144, 144, 180)])
ROOM = room(two_courses(wall("north", 144, "96 1/2", WINDOW)), OVER, sheets=6)


def test_the_promised_keys() -> None:
    """Screws with count and length, and the take-off with what, quantity, unit, rule and source."""
    document = room_work_document(room_work(ROOM), Unit.INCH)
    screws = document["screws"]
    assert isinstance(screws, dict)
    assert screws["length"] == "1 1/4"
    assert screws["count"] == 92 + 3 * (2 * 5 + 8 * 5) + (2 * 4 + 8 * 4)
    takeoff = document["takeoff"]
    assert isinstance(takeoff, list)
    assert [one["what"] for one in takeoff] == ["sheets", "fasteners", "tape", "compound", "compound"]
    assert all({"what", "quantity", "unit", "rule", "source"} <= one.keys() for one in takeoff)
    assert document["no_rule"] is None


def test_every_piece_has_its_places() -> None:
    """As many as it counts, each on its board."""
    document = room_work_document(room_work(ROOM), Unit.INCH)
    pieces = document["fastening"]
    assert isinstance(pieces, list)
    assert [one["piece"] for one in pieces] == [
        "kitchen north 1",
        "kitchen north 2",
        *(f"kitchen ceiling {number}" for number in (1, 2, 3, 4)),
    ]
    for one in pieces:
        assert len(one["places"]) == one["count"]


def test_two_layers_have_two_lengths() -> None:
    """The first layer's screws go through one board, the second's through both."""
    boxes = [box(0, "48 1/2", 144, "96 1/2"), box(0, "1/2", 144, "48 1/2")] * 2
    double = surface(wall("north", layers=2), boxes, layers=[1, 1, 2, 2])
    document = room_work_document(room_work(room(double)), Unit.INCH)
    screws = document["screws"]
    assert isinstance(screws, dict)
    lengths = screws["lengths"]
    assert isinstance(lengths, dict)
    assert list(lengths) == ["1 1/4", "2"]
    assert sum(lengths.values()) == screws["count"]


def test_joists_along_the_length() -> None:
    """Members that run across the ceiling as it is drawn: its marks are at the left and right edges, its rows level."""
    lying = replace(ceiling(), joists=Members(Length(16), along=Dimension.HEIGHT))
    plan = room(surface(lying, [box(0, 0, 48, 144), box(48, 0, 96, 144), box(96, 0, 144, 144)]))
    work = room_work(plan)
    fastening = work.pieces[0].fastening
    assert {edge.value for mark in fastening.marks for edge in mark.edges} == {"left", "right"}
    assert [str(mark.distances[0]) for mark in fastening.marks][:2] == ["16", "32"]


def test_which_way_a_piece_lies_to_its_joists() -> None:
    """Lying sheets cross joists that are counted along the width, and run along those counted the other way."""
    boxes = [box(0, 0, 144, 48), box(0, 48, 144, 96), box(0, 96, 144, 144), box(0, 144, 144, 180)]
    for along, direction in ((Dimension.WIDTH, Direction.ACROSS), (Dimension.HEIGHT, Direction.ALONG)):
        turned = replace(ceiling(), joists=Members(Length(16), along=along))
        work = room_work(room(surface(turned, boxes)))
        assert {one.panel.case.direction for one in work.pieces} == {direction}


def test_the_list_for_the_eye() -> None:
    """Take-off, fastening by surface, and what to tick."""
    lines = room_work_lines(room_work(ROOM), Unit.INCH)
    assert lines[0] == "Take-off"
    assert "  kitchen north" in lines
    assert "    1. 46 screws, coarse thread. Up to 70 lb: hung by a sheet lift, or three people." in lines
    assert "Before covering" in lines
    assert "  [ ] kitchen ceiling: hang boards 1, 2, 3 and 4." in lines
