"""What is said in pieces: a piece is of what its speaker named last, and of an open question only where nothing was
named since that was put.
"""

from __future__ import annotations

import pytest

from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Box, Reading
from tests.dialogue.talk import Wall, wall_after

FOUR = ("top 42", "bottom 42", "left 90", "right 90")
QUESTIONS = {"top 44": "top", "bottom 40": "bottom", "left 95": "left", "m 46": "middle"}
NAMED = {
    "top": ("top", "top 41 1/64", "the top is wrong", "scratch the top"),
    "bottom": ("bottom", "bottom 41 1/64", "the bottom is wrong", "scratch the bottom"),
    "left": ("height left", "left 90 1/64", "the left is wrong", "scratch the left"),
    "right": ("right height", "right 90 1/64", "the right is wrong", "scratch the right"),
}
SHOWN = ("outlet 12 from left 14 up", "center", "outlet 30 from left 14 up", "center")
FIGURES = {"top": "41 7/8", "bottom": "41 7/8", "left": "89 7/8", "right": "89 7/8"}


def _places(wall: Wall, figure: str) -> set[str]:
    """Where that figure stands, waits or may belong, as far as it is no longer denied or replaced."""
    state = wall.session.state
    there = [one.fact for one in state.calls.values() if one.waits or one.in_force or one.queued]
    there += [fact for doubt in state.doubts for way in doubt.ways for fact in way]
    return {str(one.at) for one in there if isinstance(one, Reading) and one.value == Length(figure)}


@pytest.mark.parametrize("question", QUESTIONS)
@pytest.mark.parametrize("named", NAMED)
def test_a_figure_under_a_question_is_of_the_place_named_since(question: str, named: str) -> None:
    """However that was named: alone, with a figure that no tape has, or as what is wrong. Where the place may not be
    meant, both are told; no figure goes to the question in silence.
    """
    if QUESTIONS[question] == named:
        return
    for words in NAMED[named]:
        wall = wall_after(*FOUR, question, words)
        asked = bool(wall.session.state.doubts)  # scratched is what spoke for the question
        answer = wall.types(FIGURES[named])
        assert named in _places(wall, FIGURES[named]), words
        either = {named, QUESTIONS[question]} if asked and words in NAMED[named][2:] else {named}
        assert _places(wall, FIGURES[named]) == either, words
        assert ("Say which" in answer) is (len(either) > 1), words


@pytest.mark.parametrize("question", ["top 44", "bottom 40", "left 95"])
def test_a_figure_where_nothing_was_named_answers_the_question(question: str) -> None:
    """And so does the next one, behind one that went to the place that was named."""
    place, named = QUESTIONS[question], "right" if question == "left 95" else "left"
    figure = FIGURES[place]
    wall = wall_after(*FOUR, question)
    wall.types(figure)
    assert _places(wall, figure) == {place}
    wall = wall_after(*FOUR, question)
    for line in (NAMED[named][0], "89 3/4", figure):
        wall.types(line)
    assert _places(wall, "89 3/4") == {named}
    assert _places(wall, figure) == {place}


BEGUN = {
    "outlet center 12 from left": ("box one", "outlet"),
    "window 10 by 12": ("window one", "window"),
    "window 10 by 12 left edge 12 from left": ("window one",),
    "light 6 inch center 12 from left": ("light 6 inch",),
}


@pytest.mark.parametrize("begun", BEGUN)
@pytest.mark.parametrize("by_name", [False, True])
def test_the_distance_that_lacks_is_of_the_thing_however_it_is_named(begun: str, *, by_name: bool) -> None:
    """Nothing of what was called is lost, and no second thing begins."""
    for name in BEGUN[begun] if by_name else ("",):
        wall = wall_after(*FOUR, begun)
        for distance in ("12 from left", "14 up"):
            if f"center {distance}" not in begun and f"edge {distance}" not in begun:
                wall.types(f"{name} {distance}".strip())
        (thing,) = (one for one in wall.session.state.known("1").values() if one.key.name)
        size = {"window": "10 wide by 12 high", "light": "6 across"}.get(begun.split()[0], "single gang")
        told = wall.types("say again")
        assert size in told, (begun, name)
        assert "12 from left" in told, (begun, name, thing)
        assert "14 from bottom" in told, (begun, name, thing)


BOX = "box one single gang center 12 from left center 14 up"
OPEN = {
    "asked about": (BOX, "light 6 inch center 13 from left center 14 up"),
    "asked for its part": ("outlet center 12 from left",),
    "put off": ("outlet 12 from left 14 up", "top 42 1/8"),
    "behind a question": ("top 44", BOX),
}


@pytest.mark.parametrize("open_as", OPEN)
@pytest.mark.parametrize("who", ["hanger", "partner"])
def test_a_change_of_a_thing_that_is_open_changes_that(open_as: str, who: str) -> None:
    """Whoever says it: what was called of it else stays, and none is said not to be there."""
    wall = wall_after(*FOUR, *OPEN[open_as])
    told = wall.types("change box one to 20 from left", who=who)
    assert "There is no box" not in told
    for line in ("center", "yes") if open_as == "put off" else ("14 up", "center", "yes"):
        if wall.session.state.open.get(who) and wall.session.state.open[who].doubts:
            assert wall.types(line, who=who) != "20: center or edge?", "it was called to the center"
    wall.types("yes")
    wall.types("done", who=who)
    (box,) = (one.fact for one in wall.session.state.known("1").values() if isinstance(one.fact, Box))
    assert (box.x.value, box.y.value) == (Length(20), Length(14))


@pytest.mark.parametrize("habit", [("boxes are always to the near edge",), SHOWN])
def test_a_habit_ends_with_the_box_that_is_denied_it(habit: tuple[str, ...]) -> None:
    """The next box is asked about, here and on the next board."""
    for going in ((), ("next board",)):
        wall = wall_after(*FOUR, *habit, "outlet 20 from left 40 up")
        wall.types("no center" if habit is not SHOWN else "no the edge")
        for line in going:
            wall.types(line)
        assert "center or edge?" in wall.types("outlet 36 from left 40 up")


@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize("corner", ["top", "bottom"])
def test_a_notch_in_pieces_is_one_notch(side: str, corner: str) -> None:
    """Its size first and then its corner, or the other way; the corner alone behind a no is the right one."""
    told = f"near side 0 from {side}, near side 0 from {corner}"
    for lines in (("notch 4 by 6", f"{corner} {side}"), (f"notch {corner} {side}", "4 by 6")):
        wall = wall_after(*FOUR, *lines)
        assert f"4 wide by 6 high, {told}" in wall.types("say again")
    for other in ("top left", "top right", "bottom left", "bottom right"):
        if other != f"{corner} {side}":
            assert (
                told in wall_after(*FOUR, f"notch 4 by 6 {other}").types(f"no {corner} {side}").partition("instead")[0]
            )
    assert "side 0" not in wall_after(*FOUR, "outlet", f"{corner} {side}").types("say again")


def test_a_door_that_broke_off_behind_its_width_has_its_height_next() -> None:
    """And no reading of the board has it."""
    wall = wall_after(*FOUR, "door 32 wide", "80 high", "4 from left")
    assert "door, 32 wide by 80 high, near side 4 from left, near side 0 from bottom" in wall.types("on the floor")
    assert not _places(wall, "80")


EDGES = {"bottom edge 14 up": "near side 14 from bottom", "top edge 16 up": "far side 16 from bottom"}


@pytest.mark.parametrize("edge", EDGES)
def test_an_edge_that_is_named_says_nothing_of_the_other_distance(edge: str) -> None:
    """Which is asked for, in one breath and in two, and "center" is of that one alone."""
    for lines in ((f"outlet 12 from left {edge}",), ("outlet 12 from left", edge), ("outlet", edge, "12 from left")):
        if lines[1:] and edge.startswith("top"):
            continue
        wall = wall_after(*FOUR, *lines)
        assert wall.asks, lines
        assert f"center 12 from left, {EDGES[edge]}" in wall.types("center"), lines


def test_two_people_who_begin_a_box_of_one_name_have_a_box_each() -> None:
    """Each part is of the box of its speaker, and neither is gone without a word."""
    wall = wall_after(*FOUR, "box one 18 from left")
    assert "Box 2 waits for its missing part" in wall.types("box one 12 1/4 from left", who="partner")
    for who in ("hanger", "partner"):
        for line in ("single gang", "center", "14 up"):
            wall.types(line, who=who)
    boxes = [one.fact for one in wall.session.state.known("1").values() if isinstance(one.fact, Box)]
    assert {(one.name, one.x.value) for one in boxes} == {("box 1", Length("12 1/4")), ("box 2", Length(18))}


ELSEWHERE = {
    ("left 89", "no right"): ("Height, left is 90 again", "Height, right: 89"),
    ("right is wall", "right is board", "no, left"): ("right edge is wall again", "Left edge: board"),
    ("right wall", "left wall", "right gap 1/4", "no, left"): (
        "clearance, right, 1/4 in, is out",
        "Clearance, left: 1/4 in",
    ),
    ("top gap 1/4", "no, right"): ("clearance, top, 1/4 in, is out", "Clearance, right: 1/4 in"),
    ("over is from the right", "no, left"): ("Over: left, instead of right",),
    ("over is from the right", "no", "over is from the left"): ("Over: left",),
    ("over is from the right", "no, right"): ("Over: right: you said no, then the same again",),
    ("boxes to the edge", "no, center"): ("Box point: center, instead of near",),
    ("studs 16 on center from the left", "no, right"): ("16 in on center from the right, instead of",),
    ("studs 16 on center from the left", "no, left"): ("from the left: you said no, then the same again",),
    ("tapered edge left", "no, right"): ("factory edge, left, is out", "Factory edge: right"),
    ("back bevel left", "no, right"): ("back bevel, left, is out", "Back bevel: right"),
    ("north wall 144 by 96", "start from the left", "no, right"): ("Layout: full sheets from the right on",),
    ("right is wall", "no, right"): ("Right edge: wall: you said no, then the same again",),
    ("upper course", "no, lower"): ("Course: lower, instead of upper",),
    ("lower course", "no, upper"): ("Course: upper, instead of lower",),
}


@pytest.mark.parametrize("lines", ELSEWHERE)
def test_no_and_another_place_moves_what_was_read_back(lines: tuple[str, ...]) -> None:
    """And what stood at its own stands again."""
    told = wall_after("top 42", "bottom 42", "left 90", *lines[:-1]).types(lines[-1])
    assert all(each.lower() in told.lower() for each in ELSEWHERE[lines])


@pytest.mark.parametrize("which", ["first", "last"])
def test_a_board_by_its_order_is_no_value_of_the_one_that_is_up(which: str) -> None:
    """Where that was measured and another one may be meant; a board on which nothing was called is that of its row."""
    two = (
        *FOUR,
        "next board",
        "top 40",
        "bottom 40",
        "left 90",
        "right 90",
        *(("board one",) if which == "last" else ()),
    )
    wall = wall_after(*two)
    assert "is that of board" in wall.types(f"the {which} board top is 41 1/2")
    assert not _places(wall, "41 1/2")
    assert "Width, top: 40" in wall_after(*FOUR, "next board").types("the first board top is 40")


@pytest.mark.parametrize("order", [("scratch box one", "scratch box nine"), ("next board", "last board")])
def test_a_no_to_an_order_that_another_is_asked_about_is_of_that_alone(order: tuple[str, str]) -> None:
    """What its speaker had read back before stays."""
    wall = wall_after(*FOUR, BOX).twin()
    wall.speaks(*order, who="partner")
    assert "What is it?" not in wall.types("no")
    assert wall.session.state.boxes("1") == ("box 1",)


SPOKEN = ("top forty two", "bottom forty two", "left eighty eight", "right eighty eight")


PARTS = {"fifteen up": "center 15 from bottom", "thirteen from left": "center 13 from left"}


@pytest.mark.parametrize("part", PARTS)
@pytest.mark.parametrize("denial", ["", "no "])
def test_a_part_of_the_one_thing_that_was_read_last_changes_it(denial: str, part: str) -> None:
    """Of two that have it none is changed."""
    for boxes in (1, 2):
        wall = Wall()
        names = ("one single gang center twelve", "two single gang center thirty")[:boxes]
        for line in (*SPOKEN, *(f"box {each} from left fourteen up" for each in names), "done"):
            wall.speaks(line)
        assert (PARTS[part] in wall.speaks(f"{denial}{part}")) is (boxes == 1)


def test_the_same_height_is_the_part_that_a_box_lacks() -> None:
    """Of the boxes that are there, as far as they have one."""
    wall = wall_after(*FOUR, "outlet center 12 from left 14 up", "outlet center 30 from left")
    assert "Box 2: single gang, center 30 from left, center 14 from bottom" in wall.types("same height")
    two = ("outlet center 12 from left 14 up", "outlet center 20 from left 40 up")
    wall = wall_after(*FOUR, *two, "outlet center 30 from left")
    assert "Box 3: single gang" not in wall.types("same height")


@pytest.mark.parametrize("behind", [(), ("box two single gang center 30 from left center 14 up",), ("top 42 1/8",)])
def test_a_no_with_a_name_is_of_what_has_it(behind: tuple[str, ...]) -> None:
    """Whatever was read back since, which stays; and the figure behind it is of that, too."""
    wall = wall_after(*FOUR, BOX, *behind, "no box one")
    assert "Box 1: single gang, center 13 from left" in wall.types("center 13 from left")
    assert len(wall.session.state.boxes("1")) == 1 + ("box two" in "".join(behind))


@pytest.mark.parametrize(("name", "number"), [("two", 2), ("seven", 7)])
def test_a_no_with_a_name_that_nothing_has_names_what_was_read_back(name: str, number: int) -> None:
    """It is the same box under that name, and none is left under the other."""
    wall = wall_after(*FOUR, BOX)
    wall.types(f"no, that's box {name}")
    assert wall.session.state.boxes("1") == (f"box {number}",)
