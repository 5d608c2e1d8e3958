"""An offcut from elsewhere is told onto the rack: by voice or in the house's file, used as what cuts leave is, and its
edges are cut ones unless somebody says otherwise.
"""

from __future__ import annotations

import json
from random import Random

import pytest

from fieldvoice.layout.planning import plan
from fieldvoice.output.documents.rooms import room_document, room_list
from fieldvoice.records.board import EdgesTold, OddOffcut
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Edge
from fieldvoice.records.plan import Code
from fieldvoice.stock.rack import told, told_name
from tests.dialogue.talk import Wall
from tests.dialogue.test_cut_from_an_offcut import board, shown
from tests.dialogue.test_house_taken import takes
from tests.layout.check import problems
from tests.layout.houses import house_of


def on_rack(wall: Wall) -> dict[str, tuple[str, str, int]]:
    """Across, along, and how many tapered edges, by name."""
    return {one.name: (str(one.width), str(one.length), one.tapered) for one in wall.view.rack}


@pytest.mark.parametrize(
    ("words", "there"),
    [
        ("got an offcut 30 by 48", ("48", "30", 0)),
        ("a piece left over 31 1/2 by 60 goes on the rack", ("31 1/2", "60", 0)),
        ("put a 20 by 70 scrap on the rack", ("20", "70", 0)),
        ("there's a leftover 2 by 4 from another job", ("48", "24", 0)),
        ("got an offcut 12 inches by 14 inches", ("12", "14", 0)),
        ("got an offcut 48 by 30 with both factory edges", ("48", "30", 2)),
        ("another drop 54 by 40, both tapered edges, on the rack", ("54", "40", 2)),
        ("offcut 20 by 60, a factory edge on the long side", ("20", "60", 1)),
        ("offcut 20 by 40, a factory edge on the short side", ("40", "20", 1)),
        ("offcut 30 by 48, cut all around", ("48", "30", 0)),
    ],
)
def test_it_is_on_the_rack_as_crews_tell_it(words: str, there: tuple[str, str, int]) -> None:
    """The words name it and what it counts as; an undo, a no, or its name takes it off again, a restart doesn't."""
    wall = Wall()
    for back in ("undo", "no", "take offcut K1 off the rack"):
        assert "write “K1”" in wall.types(words)
        wall.restart()
        assert on_rack(wall) == {"K1": there}
        assert "“K1”" in wall.types("what's on the rack")
        wall.types("undo") if back == "no" else wall.types(back)
        assert not wall.view.rack
    wall.types("undo")
    assert on_rack(wall) == {"K1": there}, "what was taken off is on it again"
    wall.types(words)
    assert on_rack(wall) == {"K1": there, "K2": there}
    assert wall.view.boards == ("1",)
    assert not wall.readings


@pytest.mark.parametrize("offcut", ["got an offcut 30 by 60", "got an offcut 12 inches by 14 inches"])
def test_behind_a_question_it_waits_for_the_answer(offcut: str) -> None:
    """It is on the rack, or off it, once that is given."""
    wall = Wall()
    wall.types("left 60", "right 84")
    assert wall.asks
    assert "answer first" in wall.types(offcut)
    assert not wall.view.rack
    wall.types("yes")
    assert list(on_rack(wall)) == ["K1"]
    wall.types("middle height 30", "take K1 off the rack")
    assert list(on_rack(wall)) == ["K1"]
    wall.types("yes")
    assert not wall.view.rack


@pytest.mark.parametrize(
    ("words", "why"),
    [
        ("got an offcut 5 by 60", "Nothing that small is kept"),
        ("got an offcut 60 by 70", "No sheet is that large"),
        ("got an offcut 40 by 60 with both factory edges", "a sheet's width apart"),
    ],
)
def test_what_no_sheet_leaves_is_refused(words: str, why: str) -> None:
    """Nothing is on the rack."""
    wall = Wall()
    assert why in wall.types(words)
    assert not wall.view.rack


def test_a_board_is_cut_from_it_and_told_when_it_is_gone() -> None:
    """All its edges are cut already; what is left of it is named after the board."""
    wall = Wall()
    wall.types("got an offcut 31 1/2 by 60", *board(20, "55"), "use offcut K1", "done")
    made = shown(wall)["1"]
    assert made.from_offcut == "K1"
    assert made.board.cut_before == frozenset(Edge)
    assert [one.edge for one in made.warnings if one.code is Code.CUT_JOINT] == [Edge.RIGHT], "its seam has a cut edge"
    assert [one.name for one in wall.view.rack] == ["1A"]
    assert "Board 1 is cut from the offcut K1, which isn't as it was" in wall.types("take K1 off the rack")
    assert "1" not in shown(wall)
    assert not wall.view.rack
    wall.types("got an offcut 30 by 60")
    assert list(on_rack(wall)) == ["K2"], "a name that a board goes by is no other offcut's"


def test_the_layout_is_made_anew_where_it_takes_less_sheet() -> None:
    """As soon as it is told, and back as soon as it is off; the plan is the file's with the same offcut."""
    wall, sheets = Wall(), []
    wall.types("north wall 18 foot by 8 foot", "16 on center from the left", "8 footers only")
    talk = ("what's on the rack", "got an offcut 57 by 48 with both factory edges", "undo")
    for words in (*talk, "got an offcut 57 by 48"):
        wall.types(words)
        assert wall.view.room_plan is not None
        sheets.append(sum(one.count for one in wall.view.room_plan.sheets))
    assert sheets == [5, 4, 5, 5], "its tapered edges have to be known: every piece of the wall is in a tapered seam"


WALL = """
[job]
sheets = ["48 x 96", "48 x 120"]
{offcuts}
[[wall]]
room = "hall"
name = "north"
width = "{width}"
height = "{height}"
studs = "16 on center from left"
"""


def told_in_file(chance: Random) -> str:
    """An offcut as a file has it."""
    edges = chance.choice([*EdgesTold, EdgesTold.UNKNOWN, EdgesTold.UNKNOWN])
    wide = 48 if edges is EdgesTold.BOTH else chance.randint(8, 48)
    long = chance.randint(wide, 54) if edges is EdgesTold.SHORT else chance.randint(49, 130)
    return f'[[offcut]]\nwidth = "{wide}"\nlength = "{long}"\nfactory_edges = "{edges.value}"\n'


@pytest.mark.parametrize("seed", range(16))
def test_a_house_takes_no_more_with_offcuts_and_no_seam_that_needs_an_edge_that_isnt_known(seed: int) -> None:
    """Held by the own check; what comes from an offcut whose edges nobody told has no tapered seam."""
    chance = Random(seed)
    size = {"width": chance.randint(90, 170), "height": chance.choice(["97", "100", "54", "108"])}
    text = "".join(told_in_file(chance) for _ in range(chance.randint(1, 3)))
    bare, house = house_of(WALL.format(offcuts="", **size)), house_of(WALL.format(offcuts=text, **size))
    made = plan(house, rack=house.offcuts)
    assert made.feet <= plan(bare).feet
    assert not problems(WALL.format(offcuts="", **size), json.loads(json.dumps(room_document(made))))
    pieces = {piece.name: piece for piece in made.pieces}
    for pattern in made.patterns:
        if pattern.offcut is not None:
            assert pattern.offcut in house.offcuts
            needed = [len(pieces[one.name].taped) for one in pattern.pieces]
            assert all(count <= pattern.offcut.tapered for count in needed), pattern
    assert all(f"offcut {one.name}, " in room_list(made) for one in house.offcuts)


def test_a_job_from_a_file_has_its_offcuts_on_the_rack() -> None:
    """Beside those that were told before, under another name; an undo isn't about them."""
    offcut = '[[offcut]]\nwidth = "48"\nlength = "60"\nfactory_edges = "both"\n'
    wall = Wall()
    wall.types("got an offcut 20 by 70")
    house = house_of(WALL.format(offcuts=offcut, width=100, height="97"))
    takes(wall, house)
    assert on_rack(wall) == {"K1": ("20", "70", 0), "K2": ("48", "60", 2)}
    wall.types("undo")
    assert list(on_rack(wall)) == ["K2"]


def test_what_is_told_of_its_edges_says_how_it_lay_on_its_sheet() -> None:
    """Of all sides and edges: tapered edges run along it, both are a sheet's width apart, and unknown ones are cut."""
    chance = Random(5)
    for _ in range(300):
        one, other = (Length(chance.choice([chance.randint(3, 60), 48, 54])) for _ in range(2))
        edges = chance.choice(list(EdgesTold))
        found = told("K1", (one, other), edges, Length("1/2"), "regular")
        if isinstance(found, OddOffcut):
            continue
        assert {found.width, found.length} == {one, other}
        if edges is EdgesTold.BOTH:
            assert found.tapered == 2
            assert found.width in (Length(48), Length(54))
        elif edges in {EdgesTold.UNKNOWN, EdgesTold.NONE}:
            assert not found.factory
        else:
            assert found.tapered == 1
            assert (found.length >= found.width) is (edges is EdgesTold.LONG) or one == other


def test_a_name_is_never_given_twice() -> None:
    """Neither one that is on the rack nor one that was."""
    assert told_name([]) == "K1"
    assert told_name(["1", "1A", "K2", "K10", "K"]) == "K11"
