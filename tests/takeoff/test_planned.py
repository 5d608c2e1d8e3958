"""Rooms as they are planned: an own check, from file and document alone, finds nothing wrong with their fasteners, nor
with the take-off of `fieldvoice room`, read back as another program would.
"""

from __future__ import annotations

import csv
import io
import json
import random
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import pytest

from fieldvoice.errors import CannotCut
from fieldvoice.layout.planning import plan
from fieldvoice.takeoff import corner_inches, joint_inches
from tests.cli.program import fieldvoice
from tests.layout.houses import house_of, house_text, plan_at_once, printed_with_its_work, wide_open_text
from tests.layout.test_plans import DEN, JOB, wall
from tests.takeoff.check import INCH, joint_feet, problems, tape


def test_a_den_with_a_door_and_two_windows() -> None:
    """Nothing is wrong, and every quantity is there."""
    document = printed_with_its_work(plan(house_of(DEN)))
    assert problems(DEN, document) == []
    assert [one["what"] for one in document["takeoff"] if one["what"] != "sheets"] == [
        "fasteners",
        "tape",
        "compound",
        "compound",
    ]


def test_joints_by_the_identity_of_perimeters() -> None:
    """Four plain walls: joints are half of what the perimeters have over the outline, corners are four heights and the
    tops.
    """
    text = JOB + wall("north", "144") + wall("east", "180") + wall("south", "144") + wall("west", "180")
    made = plan(house_of(text))
    document = printed_with_its_work(made)
    joints = sum((joint_inches(one) for one in made.surfaces), Fraction(0))
    assert joints / 12 == joint_feet(document)
    tape = next(one for one in document["takeoff"] if one["what"] == "tape")
    assert Fraction(tape["quantity"]) - (joints + corner_inches(made)) / 12 < Fraction(1, 10)
    assert corner_inches(made) == 4 * 96 + 2 * (144 + 180)


@pytest.mark.parametrize("drawn", [house_text, wide_open_text])
def test_the_tape_of_drawn_houses(drawn: Callable[[random.Random], str]) -> None:
    """Peaks, layers, openings at an end and up to the top: as much as counted from the boards' places alone."""
    counted = 0
    for seed in range(40):
        text = drawn(random.Random(seed))
        try:
            document = printed_with_its_work(plan_at_once(house_of(text)))
        except CannotCut:
            continue
        (told,) = (one for one in document["takeoff"] if one["what"] == "tape")
        inches = tape(text, document) / float(INCH[document["unit"]])
        wanted = inches * 0.0254 if told["unit"] == "m" else inches / 12
        assert wanted - 0.01 <= float(told["quantity"]) <= wanted * 1.001 + 0.2, text
        counted += 1
    assert counted > 20


def test_the_take_off_as_a_spreadsheet_reads_it() -> None:
    """The same quantities as the document has, in lines of as many cells as the heading."""
    table, document = (
        fieldvoice("room", "--csv", "-", stdin=DEN.encode()),
        fieldvoice("room", "--json", "-", stdin=DEN.encode()),
    )
    assert (table.status, document.status) == (0, 0)
    heading, *rows = list(csv.reader(io.StringIO(table.out)))
    assert all(len(row) == len(heading) for row in rows)
    printed = json.loads(document.out)
    assert [(row[0], row[2], row[3]) for row in rows] == [
        (one["name"], one["quantity"], one["unit"]) for one in printed["takeoff"]
    ]
    assert all(Fraction(row[1]) <= Fraction(row[2]) <= int(row[5]) for row in rows)
    assert problems(DEN, printed) == []


def test_one_form_at_a_time(tmp_path: Path) -> None:
    """A table and a document at once are refused, status 2."""
    assert fieldvoice("room", "--csv", "--json", "-", stdin=DEN.encode()).status == 2


def test_the_list_has_it_after_the_layout() -> None:
    """Take-off, fastening and the order of work."""
    out = fieldvoice("room", "-", stdin=DEN.encode()).out
    places = [out.index(head) for head in ("Rules kept", "Take-off", "Fastening", "Before covering", "After hanging")]
    assert places == sorted(places)
