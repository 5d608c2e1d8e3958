"""What a job takes and in which order it is done, against where it is published, or marked as practice."""

from __future__ import annotations

from fractions import Fraction

import pytest

from fieldvoice.fastening.table import built_in
from fieldvoice.records.fastening import Confidence
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.room_plan import RoomPlan
from fieldvoice.records.takeoff import KILOGRAMS, METRIC, Measure, Supply, Task
from fieldvoice.takeoff import (
    AFTER,
    BEAD_WIDTH,
    BEFORE,
    COMPOUND,
    COMPOUND_READY_MIXED,
    ROUND,
    TUBE,
    WASTE,
    fasten_room,
    net_area,
    order_of_work,
    take_off_room,
)
from fieldvoice.wording.takeoff import task_text
from tests.layout.houses import lake_plan

THOUSAND = 1000


@pytest.fixture(scope="module")
def house() -> RoomPlan:
    """A whole house, planned."""
    return lake_plan()


def square_feet(house: RoomPlan) -> Fraction:
    """What of it is board that is seen."""
    return sum((net_area(one.surface) for one in house.surfaces), Fraction(0)) / 144


def test_compound_by_the_pound() -> None:
    """.053 lb a square foot by one trade page (thebalancesmb.com), 12 to 14 lb per 100 by another
    (howtobuildplans.com): a factor of 2.6. Both are kept, each with its source.
    """
    assert (COMPOUND.least, COMPOUND.most) == (Fraction("0.053"), Fraction("0.14"))
    assert round(float(COMPOUND.most / COMPOUND.least), 1) == 2.6
    assert {source.confidence for source in COMPOUND.sources} == {Confidence.REPORTED}


def test_compound_ready_mixed() -> None:
    """Several pages: 5 to 11 gallons per 1,000 square feet, 9 to 11 credible."""
    assert (COMPOUND_READY_MIXED.least * THOUSAND, COMPOUND_READY_MIXED.most * THOUSAND) == (Fraction(5), Fraction(11))


def test_waste() -> None:
    """Three trade pages (allmartz.com, thebalancesmb.com, verydays.com): 10 to 15 percent."""
    assert (WASTE.least, WASTE.most) == (Fraction(1, 10), Fraction(15, 100))


def test_tape_from_the_joints_lies_where_pages_put_it(house: RoomPlan) -> None:
    """Pages have 370 to 750 ft per 1,000 square feet of board; here it is measured along the joints."""
    (tape,) = (one for one in take_off_room(house, fasten_room(house, built_in())) if one.supply is Supply.TAPE)
    assert tape.least == tape.most
    assert 370 <= tape.most / square_feet(house) * THOUSAND <= 750


def test_screws_from_the_places_are_no_fewer_than_pages_have(house: RoomPlan) -> None:
    """Pages have 1,000 to 1,125 per 1,000 square feet at 16 in; ends at 12 in and small pieces take more, and within a
    fifth of it.
    """
    (screws,) = (one for one in take_off_room(house, fasten_room(house, built_in())) if one.supply is Supply.FASTENERS)
    assert 1000 <= screws.most / square_feet(house) * THOUSAND <= 1125 * Fraction(6, 5)


def test_a_bead_of_adhesive() -> None:
    """NAVEDTRA 14044, page 164: 3/8 in on every member. A tube of 28 fl oz is 50.53 cubic inches (the gallon is 231 by
    definition; the size common practice, no source): 38 ft of it, never said to be more.
    """
    assert Fraction(3, 8) == BEAD_WIDTH
    assert round(float(TUBE), 2) == 50.53
    feet = TUBE / (ROUND * (BEAD_WIDTH / 2) ** 2) / 12
    assert 38 < feet < Fraction(TUBE) / (Fraction(314159, 100_000) * (BEAD_WIDTH / 2) ** 2) / 12 < Fraction(39)


def test_meters_kilograms_and_liters_are_exact() -> None:
    """The foot and the pound by the agreement of 1959, the US gallon of 231 cubic inches, the inch of 25.4 mm (SP 811
    appendix B, from memory, high; the inch as the IRC's notes have it).
    """
    assert METRIC[Measure.FEET] == (Measure.METERS, Fraction(12 * 254, 10_000))
    assert METRIC[Measure.POUNDS] == (Measure.KILOGRAMS, KILOGRAMS)
    assert Fraction("0.45359237") == KILOGRAMS
    assert METRIC[Measure.GALLONS] == (Measure.LITERS, 231 * Fraction(254, 1000) ** 3 / 1)


def test_ceilings_are_first_then_walls_from_the_top(house: RoomPlan) -> None:
    """Trade pages (civilengineeringx.com) and a board maker's guide, page 103."""
    hung = [item.task for item in order_of_work(house) if item.pieces]
    last_ceiling = max(number for number, task in enumerate(hung) if task is Task.HANG_CEILING)
    assert all(task is Task.HANG_CEILING for task in hung[: last_ceiling + 1])
    for room in {item.surface.room for item in order_of_work(house) if item.surface is not None}:
        tasks = [item.task for item in order_of_work(house) if item.surface is not None and item.surface.room == room]
        both = [task for task in tasks if task in {Task.HANG_UPPER, Task.HANG_LOWER}]
        assert both == sorted(both, key=[Task.HANG_UPPER, Task.HANG_LOWER].index)


@pytest.mark.parametrize(
    ("task", "limit", "told"),
    [
        (Task.SET_OUT_BOXES, "1/4", "no more than 1/4 in behind the face"),
        (Task.CHECK_SET_BACK, "1/4", "No box stands more than 1/4 in behind the face"),
        (Task.CHECK_BOX_GAP, "1/8", "No gap around a box is over 1/8 in. A larger plate doesn't cure it."),
        (Task.CHECK_GAPS, "1/4", "No gap at a joint is over 1/4 in"),
    ],
)
def test_what_is_looked_at_has_its_figure(task: Task, limit: str, told: str) -> None:
    """NEC 314.20: 1/4 in of set-back in a noncombustible surface; 314.21: gaps of 1/8 in, and no larger plate instead
    (both as quoted in trade forums); an older residential guide: joints of 1/4 in.
    """
    (item,) = (one for one in (*BEFORE, *AFTER) if one.task is task)
    assert item.limit == Length(limit)
    assert item.source.confidence is Confidence.REPORTED
    assert told in task_text(item, Unit.INCH)


def test_nothing_is_covered_before_it_was_inspected() -> None:
    """IRC R109, from memory (high); who inspects is the authority having jurisdiction."""
    (item,) = (one for one in BEFORE if one.task is Task.HAVE_INSPECTED)
    assert item.source.confidence is Confidence.MEMORY_HIGH
    assert "authority having jurisdiction" in task_text(item, Unit.INCH)
    assert BEFORE[-1] is item


def test_practice_is_marked_as_practice() -> None:
    """Photographs, marks, insulation and depth: common practice, no source."""
    practice = {Task.PHOTOGRAPH, Task.MARK_FRAMING, Task.INSULATE, Task.CHECK_DEPTH}
    assert {one.task for one in (*BEFORE, *AFTER) if one.source.confidence is Confidence.PRACTICE} == practice
