"""What is called belongs where its speaker is, and is asked about where that may be elsewhere."""

from __future__ import annotations

from itertools import product

import pytest

from fieldvoice.records.ledger import OpenKind
from tests.dialogue.talk import Wall, wall_after

FULL = ("t 46 7/8", "m 46 7/8", "b 46 7/8", "l 96", "r 96")
LED = [
    (("t 46 5/8",), "P:next board", "1", "2"),
    ((*FULL, "done", "next board", "t 46 5/8"), "P:board 1", "2", "1"),
    (("t 46 5/8",), "P:north wall 144 by 96", "1", "the north wall"),
]
CALLS = [
    "~bottom forty six and five eighths",
    "b 46 5/8",
    "46 5/8",
    "left 90",
    "box 1 single gang center 20 from left 30 down",
    "scratch bottom",
]


@pytest.mark.parametrize(("led", "called"), [*product(LED, CALLS)])
def test_what_is_called_behind_another_ones_going_elsewhere_is_of_neither_board(
    led: tuple[tuple[str, ...], str, str, str], called: str
) -> None:
    """Before its speaker says which one is meant: there it is taken, and the other stays as it was."""
    before, goes, mine, other = led
    wall = wall_after(*before)
    wall.says(goes)
    stood = {board: wall.session.state.settled(board) for board in (mine, wall.session.state.board)}
    said = wall.says(called)
    assert f"is that of board {mine} or of {other if ' ' in other else f'board {other}'}?" in said
    assert stood == {board: wall.session.state.settled(board) for board in stood}
    wall.types(f"board {mine}")
    assert "is that of" not in wall.says(called)
    assert not [one for one in wall.session.state.not_taken(mine) if one.words == called.strip("~")]


@pytest.mark.parametrize("back", ["P:board 1", "board 1", "board 1 l 95"])
def test_who_is_at_the_board_again_is_asked_nothing(back: str) -> None:
    """Whoever went there."""
    wall = wall_after("t 46 5/8")
    wall.says("P:next board")
    assert "is that of" not in wall.says(back)
    assert "Width, bottom: 46 5/8" in wall.types("b 46 5/8")


def test_who_had_settled_the_board_that_was_left_is_asked_nothing() -> None:
    """Nor who went to the next one by their own word, nor whoever called nothing on the last one."""
    for before in ((*FULL, "done", "P:next board"), (*FULL, "next board"), ("P:t 46", "P:next board")):
        wall = Wall()
        for line in before:
            wall.says(line)
        assert "Width, top: 46 1/8" in wall.types("t 46 1/8")


CHANGES = ["change {}", "change the {}", "redo {}", "i need to change the {}"]
AROUND = ["{} again", "the {} was off", "we're at the {} of the stairs"]
LABELS = {"top": "width, top", "bottom": "width, bottom", "left": "height, left", "right": "height, right"}


@pytest.mark.parametrize("words", CHANGES + AROUND)
@pytest.mark.parametrize("place", LABELS)
def test_a_figure_behind_the_only_place_that_was_named_goes_to_no_other(words: str, place: str) -> None:
    """Where more was said behind that place it is asked."""
    wall = wall_after("t 46", "b 46", "l 46", "r 46", words.format(place), "46 1/8")
    assert wall.asks == (words in AROUND)
    wall.types(*["yes"] * wall.asks)
    stands = {label: wall.value(label) for label in LABELS.values()}
    assert stands == {**dict.fromkeys(LABELS.values(), "46"), LABELS[place]: "46 1/8"}
    assert wall.value("width, middle") is wall.value("height, middle") is None
    assert not [one for one in wall.view.open if one.kind is OpenKind.NOT_TAKEN]


@pytest.mark.parametrize("words", ["one by one", "~one by one", "just one by one", "one at a time", "go one by one"])
def test_one_by_one_is_an_order_and_no_sheet(words: str) -> None:
    """A sheet of a foot by a foot is none."""
    wall = Wall()
    wall.says(words)
    assert wall.session.state.prompting
    assert not wall.settings


@pytest.mark.parametrize("long", range(1, 17))
@pytest.mark.parametrize("words", ["1 by {}", "{}x1"])
def test_two_sides_of_which_one_is_a_foot_are_no_sheet(words: str, long: int) -> None:
    """Of two feet by any length they are."""
    assert not wall_after(words.format(long)).settings
    assert "sheet" in wall_after(words.replace("1", "2").format(max(long, 2))).settings


DENIED = {
    ("t 46",): ("not 46, 45", "width, top", "45"),
    ("t 46 ",): ("~not forty six but forty five", "width, top", "45"),
    ("t 46", "P:l 96"): ("not 96 but 95", "height, left", "95"),
}


@pytest.mark.parametrize("before", DENIED)
@pytest.mark.parametrize("asked", ["b 44", "b 49", "box 1 single gang 20 from left", "b 12"])
def test_a_figure_said_not_to_be_is_that_of_its_reading_and_no_answer(before: tuple[str, ...], asked: str) -> None:
    """Whatever is asked of another place."""
    no, label, right = DENIED[before]
    wall = Wall()
    for line in (*before, asked):
        wall.says(line)
    (doubt,) = wall.session.state.doubts
    other = wall.session.state.call_of(doubt)
    wall.says(no)
    assert wall.value(label) == right
    assert other is not None
    now = wall.session.state.calls[other.number]
    assert now.waits
    assert now.fact == other.fact


@pytest.mark.parametrize("answer", ["yes", "no", "45"])
def test_a_figure_said_not_to_be_that_waits_has_its_turn(answer: str) -> None:
    """Behind the call that it puts right."""
    wall = wall_after("t 46", "b 44", "l 95", "not 95, 96")
    assert wall.asks
    wall.types(*{"no": ("no", "45 1/2")}.get(answer, (answer,)))
    assert wall.value("height, left") == "96"


def test_a_figure_said_not_to_be_is_the_one_asked_about() -> None:
    """As before."""
    assert wall_after("t 46", "b 44", "not 44, 45").value("width, bottom") == "45"


CUT = {"left": "cut edge", "right": "cut edge", "top": "cut end", "bottom": "cut end"}
TAPERED = ("taper on the {}", "taper goes on the {}", "taper to the {} side", "~taper at the {}", "taper is on the {}")


@pytest.mark.parametrize("edge", CUT)
@pytest.mark.parametrize("words", TAPERED)
@pytest.mark.parametrize("answer", ["cut the {}", "factory edge on the {}"])
def test_whether_a_taper_is_cut_or_kept_is_asked(edge: str, words: str, answer: str) -> None:
    """A hanger says it of the edge that is cut on a slant, and of the one that stays as it came."""
    wall = Wall()
    assert wall.says(words.format(edge)) == f"{CUT[edge].capitalize()} {edge}, or factory edge {edge}? Say which."
    assert not wall.settings
    wall.types(answer.format(edge))
    assert wall.settings == {CUT[edge] if "cut" in answer else "factory edge": edge}


@pytest.mark.parametrize("edge", CUT)
@pytest.mark.parametrize("words", ["taper {}", "taper the {}", "cut the {}", "keep the taper on the {}"])
def test_a_taper_of_which_it_was_said_is_asked_nothing(edge: str, words: str) -> None:
    """To cut it, or to keep it."""
    assert wall_after(words.format(edge)).settings == {"factory edge" if "keep" in words else CUT[edge]: edge}


FAR = [("l 84", "r 83 5/8", "37 5/8"), ("t 46 7/8", "b 46 7/8", "95 1/2"), ("l 96", "P:t 46", "70"), ("lying", "46")]


@pytest.mark.parametrize("calls", FAR)
@pytest.mark.parametrize("way", ["width", "height"])
@pytest.mark.parametrize("answer", ["{}", "{} {figure}", "middle {} {figure}", "~{}"])
def test_a_middle_near_no_reading_is_a_width_or_a_height_as_is_asked(
    calls: tuple[str, ...], way: str, answer: str
) -> None:
    """And no place but the middle."""
    *before, figure = calls
    wall = Wall()
    for line in before:
        wall.says(line)
    assert wall.says(f"m {figure}") == f"Width, middle {figure}, or height, middle {figure}? Say which."
    wall.says(answer.format(way, figure=figure))
    wall.types(*["yes"] * (wall.asks and "Say which" not in wall.said[-1].text))
    assert wall.value(f"{way}, middle") == figure
    other = {"width": "height", "height": "width"}[way]
    assert wall.value(f"{other}, middle") is None


@pytest.mark.parametrize(
    "calls", [("l 84", "m 80", "height"), ("t 46", "m 50", "width"), ("t 46", "l 96", "m 95", "height")]
)
def test_a_middle_near_a_reading_is_of_its_way(calls: tuple[str, ...]) -> None:
    """As before."""
    *lines, way = calls
    wall = wall_after(*lines)
    assert wall.value(f"{way}, middle") == lines[-1].split()[1]


NEXT = {("t 34",): ("width, top", "width, middle"), ("b 34", "l 34"): ("height, left", "height, right")}


@pytest.mark.parametrize("it", ["it's {}", "that's {}", "it is {}", "~it's {}", "P:it's {}"])
@pytest.mark.parametrize("before", NEXT)
@pytest.mark.parametrize("answer", [0, 1])
def test_it_is_what_was_read_back_last_or_the_next_place_as_is_asked(
    it: str, before: tuple[str, ...], answer: int
) -> None:
    """Until that is answered it is of neither."""
    places = NEXT[before]
    wall = wall_after(*before)
    asked = wall.says(it.format("thirty four and a quarter" if it.startswith("~") else "34 1/4"))
    first, second = (place.replace(",", "") for place in places)
    assert asked.replace(",", "") == f"{first.capitalize()} 34 1/4 or {second} 34 1/4? Say which."
    assert (wall.value(places[0]), wall.value(places[1])) == ("34", None)
    wall.types(places[answer].split()[1], who="partner" if it.startswith("P:") else "hanger")
    wall.types(*["yes"] * wall.asks)
    assert wall.value(places[answer]) == "34 1/4"


@pytest.mark.parametrize(
    ("lines", "label", "value"),
    [
        (("it's 46",), "width, top", "46"),
        (("the bottom", "it's 46"), "width, bottom", "46"),
        (("t 46", "no", "it's 45"), "width, top", "45"),
        (("t 46", "no it's 45"), "width, top", "45"),
        (("t 46", "it's 46 at the bottom"), "width, bottom", "46"),
        (("t 46", "it's 46"), "width, middle", None),
        (("box 1 single gang center 30 from left 48 down", "it's 31"), "width, top", None),
    ],
)
def test_it_is_where_it_was_asked_for(lines: tuple[str, ...], label: str, value: str | None) -> None:
    """And of no place where it is a thing's, or was called."""
    wall = wall_after(*lines)
    assert wall.value(label) == value


@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize("answer", ["{}", "the {} one", "~{}", "~the {} one", "~the {}"])
def test_the_side_that_is_asked_for_answers_as_it_is_said(side: str, answer: str) -> None:
    """A "right" may be a yes, which answers nothing where there are two; what was only heard needs a yes."""
    wall = Wall()
    wall.speaks("left ninety six", "right ninety six")
    said = wall.says(answer.format(side))
    assert said in {f"Height, {side}: 96.", f"Height, {side}: 96: is that right?"}
    wall.types(*["yes"] * wall.asks)
    assert wall.value(f"height, {side}") == "96"
    other = {"left": "right", "right": "left"}[side]
    assert wall.value(f"height, {other}") is None


@pytest.mark.parametrize("before", [(), ("t 46",), ("~top thirteen",)])
def test_a_lone_right_is_no_side_where_none_is_asked_for(before: tuple[str, ...]) -> None:
    """Nothing is taken of it, and no figure behind it goes there."""
    wall = Wall()
    for line in (*before, "~right"):
        wall.says(line)
    wall.types(*["yes"] * wall.asks, "95")
    assert wall.value("height, right") is None


KINDS = ("single gang", "double gang", "octagon", "round")


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("begun", ["box {}", "another box {}", "next box {}", "a box {}", "~box {}", "the next box {}"])
def test_a_box_begun_by_its_kind_goes_on_in_the_next_breath(kind: str, begun: str) -> None:
    """As one that is called by its number does."""
    wall = wall_after("t 46")
    wall.says(begun.format(kind))
    wall.types("center 22 from left 20 down", *["yes"] * begun.startswith("~"))
    assert wall.value("box 1") == f"{kind}, center 22 from left, center 20 from top"
    assert not [one for one in wall.view.open if one.kind is OpenKind.NOT_TAKEN]


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("called", ["outlet {} center 22 from left", "outlet {} center 22 from left 20 down"])
def test_an_outlet_of_a_kind_is_a_box_of_that(kind: str, called: str) -> None:
    """And lacks what wasn't said."""
    wall = wall_after(called.format(kind), *(() if "down" in called else ("20 down", "center")))
    assert wall.value("box 1") == f"{kind}, center 22 from left, center 20 from top"
