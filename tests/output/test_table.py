"""Readings and cuts as a table: every figure with its unit, every line with its board."""

import csv
import io
from dataclasses import replace

import pytest

from fieldvoice.dialogue.view import View
from fieldvoice.output.documents.boards import COLUMNS, write_table
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Circuit, Context, Dimension, Reading, Slot, Topic
from fieldvoice.records.trouble import Hinders, Hindrance
from fieldvoice.wording.captions import SO_FAR, circuit_as_said
from fieldvoice.wording.troubles import sentence
from tests.output.scene import DONE, EMPTY, GATHERING, line, reading


def _table(*views: View) -> list[dict[str, str]]:
    out = io.StringIO(newline="")
    count = write_table(views, out)
    rows = list(csv.DictReader(io.StringIO(out.getvalue(), newline="")))
    assert len(rows) == count
    return rows


def test_readings_stand_with_unit_standing_and_who() -> None:
    """`46 7/8 in`, accepted, by the hanger; a box keeps its words."""
    rows = {row["name"]: row for row in _table(DONE) if row["sort"] == "reading"}
    assert rows["width, top"]["value"] == "46 7/8 in"
    assert rows["width, middle"]["standing"] == "confirmed"
    assert rows["height, left"]["note"] == "strong, 1/32 in added"
    assert rows["box 1"]["value"] == "single gang, center 30 1/4 from left, center 48 from top"


def test_cuts_name_the_edge_they_are_measured_from() -> None:
    """Each mark is a line, and a rounding that isn't zero is shown."""
    cuts = [(row["name"], row["value"], row["note"]) for row in _table(DONE) if row["sort"] == "cut"]
    assert cuts[0] == ("right edge at top, from left", "46 3/4 in", "")
    assert cuts[1] == ("right edge at bottom, from left", "46 1/8 in", "1/32 in under exact")


def test_an_opening_has_its_four_sides_and_how_it_is_made() -> None:
    """With what was said of its circuit beside each figure."""
    rows = [row for row in _table(DONE) if row["sort"] == "opening"]
    assert [row["value"] for row in rows] == ["29 1/4 in", "31 1/4 in", "46 1/4 in", "49 3/4 in"]
    assert rows[2]["name"] == "box 1, top side, from top factory edge"
    assert {row["note"] for row in rows} == {"cut beforehand by hand; circuit: not said dead and tested, treat as live"}


def test_a_plan_so_far_says_so_on_every_figure_to_cut() -> None:
    """A table goes from hand to hand without the screen that it came from."""
    rows = [row for row in _table(replace(DONE, draft=True)) if row["sort"] in {"cut", "opening"}]
    assert len(rows) == 8
    assert all(row["note"].startswith(SO_FAR) for row in rows)


HELD = Hindrance(Hinders.HELD_BACK, box="box 1")


def test_boards_follow_each_other_and_one_without_a_plan_has_no_cuts() -> None:
    """Why there is no plan is a line of its own."""
    rows = _table(replace(GATHERING, plan_trouble=HELD), replace(DONE, board="3"))
    assert [row["board"] for row in rows] == sorted(row["board"] for row in rows)
    second = [row for row in rows if row["board"] == "2"]
    assert {row["sort"] for row in second} == {"setting", "reading", "no plan"}
    assert second[-1]["note"] == sentence(HELD)


def test_an_empty_job_is_a_heading() -> None:
    """The columns, and nothing else."""
    out = io.StringIO(newline="")
    assert write_table([EMPTY], out) == 0
    assert out.getvalue() == ",".join(COLUMNS) + "\r\n"


@pytest.mark.parametrize("figure", ["5/16", "-1/16", "12", "46 7/8"])
def test_no_figure_can_be_taken_for_a_date_or_a_sum(figure: str) -> None:
    """Each has its unit behind it, in inches and in millimeters."""
    for unit in Unit:
        (row,) = _table(replace(EMPTY, unit=unit, readings=(line(Reading(Length(figure), Dimension.WIDTH, Slot.TOP)),)))
        assert row["value"].endswith(f" {unit.value}")


def test_a_name_can_not_become_a_formula() -> None:
    """What people said goes into a spreadsheet as text."""
    (row,) = _table(replace(EMPTY, board="=1+1", readings=(line(reading("42", Dimension.WIDTH, Slot.TOP)),)))
    assert row["board"] == "'=1+1"


def test_a_setting_that_is_no_length_gets_no_unit() -> None:
    """Two layers are not 2 in."""
    (row,) = (
        row for row in _table(replace(DONE, context=(line(Context(Topic.LAYERS, 2)),))) if row["sort"] == "setting"
    )
    assert row["value"] == "2"


@pytest.mark.parametrize("state", list(Circuit))
def test_a_table_says_of_a_circuit_what_was_said_and_no_more(state: Circuit) -> None:
    """Where nobody said anything it isn't told as said."""
    assert ("as was said" in circuit_as_said(state)) is (state is not Circuit.UNKNOWN)
    assert ("treat as live" in circuit_as_said(state)) is (state is Circuit.UNKNOWN)
