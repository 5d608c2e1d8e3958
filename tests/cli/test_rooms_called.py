"""Rooms and houses as jobs: called by voice and planned from a file, each in a process of its own, from one day to the
next.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from fieldvoice import data_folder
from tests.cli.program import Ran, fieldvoice

CALLED = """north wall twelve foot four by eight foot and five eighths
window forty from left thirty six up thirty six by forty eight
studs sixteen on center from the left
next board
top 63 7/8
bottom 63 3/4
left 47 3/4
right 47 7/8
"""


def test_the_layout_stands_beside_the_boards() -> None:
    """As `room` prints it; the board knows its course and sheet without a word."""
    ran = fieldvoice("cut", "--json", "-", stdin=CALLED.encode())
    document = json.loads(ran.out)
    assert ran.status == 0, ran.err
    (surface,) = document["room"]["surfaces"]
    assert (surface["name"], len(surface["pieces"])) == ("north wall", 4)
    (board,) = document["boards"]
    assert (board["course"], board["lies"]) == ("upper", "lying")
    assert surface["pieces"][0]["sheet"] == f"48 x {board['sheet']['length']}"


def test_a_reading_far_from_the_layout_ends_a_file() -> None:
    """Nobody is there to say yes to it."""
    ran = fieldvoice("cut", "-", stdin=CALLED.replace("63 3/4", "36 3/4").encode())
    assert ran.status == 1
    assert "but the layout has 64 here" in ran.err


LAKE_HOUSE = (data_folder("houses") / "lake_house.toml").read_text(encoding="utf-8")


def at_the_house(folder: Path, *lines: str, text: str = LAKE_HOUSE) -> Ran:
    """Type lines in the job of a house whose file says `text`; jobs are kept in the folder."""
    file = folder / "lake.toml"
    file.write_text(text, encoding="utf-8")
    typed = "\n".join(lines).encode()
    return fieldvoice("type", "--quiet", "--house", str(file), stdin=typed, XDG_DATA_HOME=str(folder))


def test_the_same_command_goes_on_with_the_house_the_next_day(tmp_path: Path) -> None:
    """The job has the name of its file; what was cut yesterday is known, and so is what comes next."""
    first = at_the_house(tmp_path, "kitchen north wall", "next board", "top 143 7/8")
    assert "Lake house: 16 walls and ceilings" in first.out
    assert "Board 1, piece 1 of the kitchen north wall" in first.out
    assert [path.name for path in tmp_path.rglob("*.job")] == ["lake.job"]
    second = at_the_house(tmp_path, "next board")
    assert "lake.toml hasn't changed. Going on where you left off." in second.out
    assert "Board 2, piece 2 of the kitchen north wall" in second.out


def test_a_file_that_changed_since_is_told_by_its_walls(tmp_path: Path) -> None:
    """And the job goes on as it was."""
    at_the_house(tmp_path, "kitchen north wall")
    again = at_the_house(tmp_path, "next board", text=LAKE_HOUSE.replace('width = "132"', 'width = "130"', 1))
    assert "lake.toml has changed since this job took it: bedroom north wall." in again.out
    assert "piece 1 of the kitchen north wall: about 144 wide" in again.out


def test_a_bad_file_is_told_by_table_and_key_and_nothing_of_it_is_taken(tmp_path: Path) -> None:
    """A wall without a height, and a key that nobody knows: both are named, and there is no job."""
    bad = LAKE_HOUSE.replace('height = "96 1/2"\n', "", 1) + 'shade = "white"\n'
    ran = at_the_house(tmp_path, "next board", text=bad)
    assert ran.status == 65
    assert "wall 1, height: It isn't there. Add it." in ran.err
    assert "shade: No such key is known here." in ran.err
    assert not list(tmp_path.rglob("*.job"))
    assert not ran.out


def test_a_house_without_a_layout_says_why_and_leaves_nothing(tmp_path: Path) -> None:
    """A sheet that is too short for the studs it would have to end on."""
    short = LAKE_HOUSE.replace('"48 x 96", "48 x 120", "48 x 144"', '"48 x 96"')
    ran = at_the_house(tmp_path, text=short.replace('studs = "16 on center from left"', "studs = [7]"))
    assert ran.status == 1
    assert "layout" in ran.err
    assert "16 walls" not in ran.out


def test_replay_begins_with_a_house_as_well(tmp_path: Path) -> None:
    """So that recordings can be tried on one; its layout stands beside the boards."""
    lines = tmp_path / "lines.txt"
    lines.write_text("bathroom east wall\nnext board\ntop 61 1/8\n", encoding="utf-8")
    house = tmp_path / "lake.toml"
    house.write_text(LAKE_HOUSE, encoding="utf-8")
    ran = fieldvoice("replay", "--json", "--house", str(house), str(lines))
    document = json.loads(ran.out)
    assert len(document["room"]["surfaces"]) == 16
    assert ("bath", "east wall") in {(each["room"], each["name"]) for each in document["room"]["surfaces"]}


WALL = "north wall 144 by 96\nstuds 16 on center from left\nstanding\nbox 1 single gang center 20 from {} 40 down\n"
FIRST_BOARD = "next board\ntop 48\nmiddle 48\nbottom 48\nleft 96\nright 96\n"


@pytest.mark.parametrize(("side", "there"), [("left", True), ("right", False)])
def test_a_box_called_at_a_wall_in_a_file_is_on_its_board_or_told(side: str, *, there: bool) -> None:
    """A file that ends without the board that it lies on has no plan to cut from in silence."""
    ran = fieldvoice("cut", "-", stdin=(WALL.format(side) + FIRST_BOARD).encode())
    assert ran.status == (0 if there else 1)
    assert ("nobody has said that it is dead and tested" in ran.out) is there
    assert ("is on none of these boards" in ran.err) is not there
