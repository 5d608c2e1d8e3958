"""Somebody says which offcut a board is cut from: it is that one, once, as large as it is, or no plan is shown."""

from __future__ import annotations

from fractions import Fraction
from random import Random

import pytest

from fieldvoice.dialogue.view import View
from fieldvoice.records.board import Offcut
from fieldvoice.records.plan import CutPlan, No, NoPlan
from tests.dialogue.talk import Wall

SHEET = Fraction(48 * 96)


def board(width: int, height: str = "95 1/2") -> tuple[str, ...]:
    """The calls of a board between a wall and a joint, done."""
    return f"top {width}", f"bottom {width}", f"height {height}", "wall on the left", "board on the right", "done"


@pytest.fixture
def wall() -> Wall:
    """A board of 30 in is cut: it leaves 1A, 18 in wide."""
    one = Wall()
    assert "write “1A” on 18 1/8 x 95 in" in one.types(*board(30))
    return one


def shown(wall: Wall) -> dict[str, CutPlan]:
    """The plans that may be cut from now, by board."""
    return {view.board: view.plan for view in wall.session.views() if view.plan is not None and not view.draft}


def why_not(view: View) -> No | None:
    """The reason why the board at hand has no plan."""
    return view.plan_trouble.no if isinstance(view.plan_trouble, NoPlan) else None


@pytest.mark.parametrize(
    "words",
    [
        "cut board 2 from offcut 1A",
        "use offcut 1A for this one",
        "cut it from the 1A piece",
        "this one comes out of 1a",
        "from 1A",
    ],
)
@pytest.mark.parametrize("first", [True, False])
def test_a_board_is_cut_from_the_offcut_that_is_named_before_or_after_it_is_measured(
    wall: Wall, words: str, *, first: bool
) -> None:
    """Its marks are from the offcut, it takes no sheet, and the offcut is off the rack."""
    wall.types("next board", *((words,) if first else ()), *board(15))
    if not first:
        assert "Cut it from the offcut “1A”, 18 1/8 x 95 in" in wall.types(words)
        wall.types("done")
    plan = shown(wall)["2"]
    assert plan.from_offcut == "1A"
    assert (str(plan.sheet.length), str(plan.sheet.width)) == ("95", "18 1/8")
    assert plan.steps[0].offcut == "1A"
    assert not wall.view.rack


def test_by_voice_it_is_read_back_and_checked_once_more(wall: Wall) -> None:
    """A wrong offcut would be a wrong cut."""
    wall.types("next board", *board(15))
    wall.speaks("use offcut one a")
    assert any("offcut one a" in say.spoken for say in wall.said)
    assert "cut from 1A. All right?" in wall.types("done")
    assert not shown(wall).get("2")
    wall.types("yes")
    assert shown(wall)["2"].from_offcut == "1A"


@pytest.mark.parametrize(
    ("called", "words", "no", "told"),
    [
        (board(22), "use offcut 1A", No.TOO_BIG_FOR_OFFCUT, "is 18 1/8 by 95 in as it hangs standing: too small"),
        (board(19), "use 1A", No.TOO_BIG_FOR_OFFCUT, "The piece is 18 7/8 by 95 in"),
        (board(15), "use offcut 7B", No.NO_OFFCUT, "There is no offcut “7B”. On the rack: “1A”."),
        (("5/8 board", *board(15)), "use 1A", No.OFFCUT_UNLIKE, "is 1/2 in regular, and this board is 5/8 in regular"),
    ],
)
def test_an_offcut_that_it_cant_come_from_is_refused_with_the_reason(
    wall: Wall, called: tuple[str, ...], words: str, no: No, told: str
) -> None:
    """There is no plan until another one is named, a sheet, or nothing; the job is the same when it is opened again."""
    wall.types("next board", *called)
    assert told in wall.types(words)
    wall.types("done")
    wall.restart()
    assert why_not(wall.view) is no
    assert "2" not in shown(wall)
    wall.types("undo", "done")
    assert shown(wall)["2"].from_offcut is None


def test_one_offcut_is_cut_once(wall: Wall) -> None:
    """Whoever said it first has it; a sheet instead, or an undo, gives it back."""
    wall.types("next board", *board(15), "use 1A", "next board", *board(12))
    assert "The offcut “1A” is for board 2 already" in wall.types("use 1A")
    wall.types("done")
    assert why_not(wall.view) is No.OFFCUT_TAKEN
    wall.types("go to board 2", "from a new sheet", "done", "go to board 3", "done")
    assert {name: plan.from_offcut for name, plan in shown(wall).items()} == {"1": None, "2": None, "3": "1A"}


def test_what_a_board_leaves_is_nothing_to_cut_that_board_from(wall: Wall) -> None:
    """Nor what is left of that."""
    wall.types("next board", *board(9), "use 1A", "done")
    assert [one.name for one in wall.view.rack] == ["2A"]
    wall.types("go to board 1")
    assert "what this very board leaves, or comes from that" in wall.types("use 2A")
    assert "1" not in shown(wall)


def test_a_board_is_told_that_its_offcut_is_otherwise(wall: Wall) -> None:
    """What it leaves itself goes by it, and it has no plan where it doesn't come out any more."""
    wall.types("next board", *board(9), "use 1A", "done", "next board", "use 1A", "go to board 1")
    said = wall.types("top 28", "yes", "bottom 28", "yes", "done")
    assert "Board 2 is cut from the offcut 1A, which isn't as it was" in said
    assert "Board 3" not in said, "it can't be cut from what is for board 2"
    assert {one.name: str(one.width) for one in wall.view.rack} == {"2A": "11 1/4"}
    wall.types("top 40", "yes", "bottom 40", "yes", "done", "go to board 2")
    assert why_not(wall.view) is No.TOO_BIG_FOR_OFFCUT
    assert {one.name: str(one.width) for one in wall.view.rack} == {"1A": "8 1/8"}


def talked(wall: Wall, chance: Random) -> None:
    """Something that people say of boards and offcuts."""
    boards = wall.view.boards
    names = [f"{chance.choice(boards)}{letter}" for letter in "AB"]
    what = chance.choice(["new", "new", "from", "from", "sheet", "undo", "back", "change", "done", "restart"])
    if what == "new" and len(boards) < 5:
        wall.types("next board", *board(chance.randint(8, 40), chance.choice(["80", "90", "95 1/2"])))
    elif what == "change":
        width = chance.randint(8, 40)
        wall.types(f"top {width}", "yes", f"bottom {width}", "yes", "done")
    elif what == "restart":
        wall.restart()
    else:
        said = {"from": f"use {chance.choice(names)}", "sheet": "from a new sheet", "done": "done", "undo": "undo"}
        wall.types(said.get(what, f"go to board {chance.choice(boards)}"), *(("done",) if what == "from" else ()))


def area(one: CutPlan | Offcut) -> Fraction:
    """Square inches: of a plan those of its board, at the least."""
    if isinstance(one, Offcut):
        return one.length.inches * one.width.inches
    xs, ys = [point.x.inches for point in one.outline], [point.y.inches for point in one.outline]
    return (max(xs) - min(xs)) * (max(ys) - min(ys))


@pytest.mark.parametrize("seed", range(24))
def test_whatever_is_said_no_offcut_is_cut_twice_and_nothing_comes_out_of_less_than_it_is(seed: int) -> None:
    """Boards and offcuts are counted by their area: what comes from a sheet is no more than the sheet."""
    chance, wall = Random(seed), Wall()
    wall.types(*board(30))
    for _ in range(12):
        talked(wall, chance)
        plans = shown(wall)
        used = [plan.from_offcut for plan in plans.values() if plan.from_offcut is not None]
        assert len(used) == len(set(used)), f"{used} after {seed}"
        rack = {one.name: one for one in wall.view.rack}
        assert not rack.keys() & set(used)
        for name, plan in plans.items():
            mine = [one for one in rack if one.rstrip("ABCD") == name]
            rest = sum((area(rack[one]) for one in mine), Fraction(0))
            out = [other for other in plans.values() if (other.from_offcut or "").rstrip("ABCD") == name]
            taken = sum((area(other) for other in out), Fraction(0))
            whole = plan.sheet.length.inches * plan.sheet.width.inches
            assert area(plan) + rest + taken <= whole, (name, seed)
            if plan.from_offcut is not None:
                assert plan.from_offcut.rstrip("ABCD") != name
                assert whole < SHEET
        wall_again = {name: (plan.from_offcut, plan.sheet, plan.steps) for name, plan in plans.items()}
        wall.restart()
        assert {name: (p.from_offcut, p.sheet, p.steps) for name, p in shown(wall).items()} == wall_again
        assert {one.name: one for one in wall.view.rack} == rack


@pytest.mark.parametrize("words", ["what's on the rack", "what offcuts do we have", "list the offcuts"])
def test_the_rack_is_told_as_it_is(wall: Wall, words: str) -> None:
    """Nothing before a board is cut; then each offcut with its size, and for which board somebody has it; what is cut
    from is off, until its board is cut from another sheet.
    """
    assert Wall().types(words) == "Nothing is on the rack."
    there = "On the rack: “1A”, 18 1/8 x 95 in, factory edges: one tapered edge and one end"
    assert wall.types(words) == f"{there}."
    wall.types("next board", *board(15)[:-1])
    assert wall.types("use offcut 1A", words) == f"{there}, for board 2."
    assert wall.types("done", words) == "Nothing is on the rack."  # 3 in of it are a scrap
    assert wall.types("from a new sheet", words).startswith(there)


def test_the_rack_says_what_the_next_piece_of_the_layout_is_cut_from() -> None:
    """A piece is opened, and has its offcut of another board's, before anything is measured on it."""
    lines = ("north wall 200 by 96 1/2", "studs 16 on center from the left", "window 40 from left 36 up 36 by 48")
    there = Wall()
    there.types(
        *lines, "next board", "top 63 7/8", "bottom 63 7/8", "left height 47 7/8", "right height 47 7/8", "done"
    )
    assert there.types("what's on the rack").endswith("one end.")
    assert "Cut it from the offcut “1A”" in there.types("next board", "next board", "next board")
    assert there.types("what's on the rack").endswith("one end, for board 4.")
