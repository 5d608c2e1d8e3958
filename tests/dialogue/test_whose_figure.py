"""A figure alone that puts something right: whose it is of two people's readings, where it may be of either; and what
it is after a no, though another question waits.
"""

from __future__ import annotations

from itertools import product

import pytest

from fieldvoice.dialogue import figure_alone
from fieldvoice.records.length import Length
from tests.dialogue.talk import Wall, wall_after

PAIRS = (("left 92 5/8", "right 93 1/8"), ("right 86 1/8", "left 85 7/8"), ("top 46", "bottom 45 1/4"))
NAMES = {
    "left": "height, left",
    "right": "height, right",
    "top": "width, top",
    "bottom": "width, bottom",
}
RIGHT = (("it's {}",), ("make that {}",), ("sorry {}",), ("no {}",), ("no it's {}",), ("wrong", "{}"), ("no", "{}"))


def said(wall: Wall, who: str, *lines: str) -> str:
    """What was answered to the last of them."""
    return [wall.types(line, who=who) for line in lines][-1]


@pytest.mark.parametrize(("pair", "how"), tuple(product(PAIRS, RIGHT)))
@pytest.mark.parametrize("off", ["1/8", "3", "the other's"])
@pytest.mark.parametrize("me", ["hanger", "partner"])
def test_behind_the_other_s_call_it_is_asked_whose_is_put_right(
    pair: tuple[str, str], how: tuple[str, ...], off: str, me: str
) -> None:
    """Neither has changed before the answer, and the one that is named has changed alone."""
    (mine, old), (theirs, last) = (one.split(" ", 1) for one in pair)
    other = "partner" if me == "hanger" else "hanger"
    figure = {"1/8": Length(old) + Length("1/8"), "3": Length(old) - Length(3), "the other's": Length(last)}[off].text()
    wall = wall_after()
    said(wall, me, pair[0])
    said(wall, other, pair[1])
    told = said(wall, me, *(one.format(figure) for one in how))
    assert "Say which" in told, told
    assert wall.value(NAMES[mine]) == old
    assert wall.value(NAMES[theirs]) == last
    for named, kept, stays in ((mine, theirs, last), (theirs, mine, old)):
        twin = wall.twin()
        said(twin, me, named)
        assert twin.value(NAMES[named]) == figure, twin.said
        assert twin.value(NAMES[kept]) == stays


@pytest.mark.parametrize("how", RIGHT[1:])
def test_what_is_near_one_alone_is_no_question(how: tuple[str, ...]) -> None:
    """A width and a height are told apart by their figures."""
    wall = wall_after("top 46")
    said(wall, "partner", "left 96")
    told = said(wall, "partner", *(one.format("95 1/2") for one in how))
    assert "Say which" not in told
    assert wall.value("height, left") == "95 1/2"
    assert wall.value("width, top") == "46"


A_PIECE = ("north wall 144 by 96", "studs 16 on center from left", "standing", "next board")


@pytest.mark.parametrize("breath", ["t 46 b 46 l 90 r 90", "t and b 46, l and r 90", "t 46 b 46 l 90"])
@pytest.mark.parametrize("figure", ["48", "47 7/8", "48 1/4", "90"])
@pytest.mark.parametrize("how", ["{}", "it's {}", "make that {}", "no {}"])
def test_right_behind_a_no_a_figure_is_what_was_denied(breath: str, figure: str, how: str) -> None:
    """Of both places that were asked about as one; the question that waits behind it is put then."""
    wall = wall_after(*A_PIECE, breath)
    assert "Width, top: 46, but the layout has 48 here" in " ".join(say.text for say in wall.said)
    assert "What is it?" in wall.types("no")
    wall.types(how.format(figure))
    assert wall.value("width, top") == wall.value("width, bottom") == figure, wall.said
    assert wall.value("height, left") == "90"
    assert wall.asks
    wall.types("no")
    assert (wall.value("width, top") is None) is (figure == "90")


def test_mutants_are_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without the rules the other's is put right, and the heights have the width's figure."""
    monkeypatch.setattr(figure_alone, "_of_either", lambda *_: None)
    monkeypatch.setattr(figure_alone, "_of_what_was_denied", lambda *_: None)
    wall = wall_after("left 92 5/8")
    said(wall, "partner", "right 93 1/8")
    assert "Say which" not in wall.types("it's 93")
    wall = wall_after(*A_PIECE, "t 46 b 46 l 90 r 90", "no", "48")
    assert wall.value("width, top") is None
