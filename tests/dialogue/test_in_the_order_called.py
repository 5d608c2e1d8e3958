"""What waits for its turn is taken in the order in which it was called: nothing that was called behind it goes before
it, and nothing that was called before gives way to it.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import product
from types import ModuleType

import pytest

from fieldvoice.dialogue import taking_up, usable
from tests.dialogue.talk import Wall, wall_after

FIRST = ("top 42", "bottom 42", "left 90", "right 90")
QUESTION = "top 44"
"""No wall leans that far: it is asked about, and what comes now waits."""
WAITS = {
    "height, left": ("left 91", "91"),
    "height, right": ("right 89 1/2", "89 1/2"),
    "width, bottom": ("bottom 42 1/4", "42 1/4"),
}
PUT_RIGHT = ("no {}", "actually {}", "sorry, {}", "change {}")
RIGHT = {"height, left": "90 1/2", "height, right": "89 3/4", "width, bottom": "42 1/8"}


def _figures(wall: Wall) -> dict[str, str | None]:
    return {place: wall.value(place) for place in (*WAITS, "width, top")}


def _behind(*lines: str) -> Wall:
    """The wall at which these were called behind a question that is answered with yes now; behind P: the partner's."""
    wall = wall_after(*FIRST, QUESTION)
    for line in lines:
        wall.types(line.removeprefix("P:"), who="partner" if line.startswith("P:") else "hanger")
    wall.types("yes")
    return _agreed(wall)


def _agreed(wall: Wall) -> Wall:
    """With a yes to all that is asked."""
    for _ in range(5):
        if wall.asks:
            wall.types("yes")
    return wall


@pytest.mark.parametrize(("place", "form"), list(product(WAITS, PUT_RIGHT)))
def test_what_waits_is_put_right_behind_it(place: str, form: str) -> None:
    """The right value stands, and not the one that waited and was wrong."""
    at = place.split(", ")[1]
    words = f"{at} to {RIGHT[place]}" if form.startswith("change") else f"{at} {RIGHT[place]}"
    wall = _behind(WAITS[place][0], form.format(words))
    assert _figures(wall)[place] == RIGHT[place], wall.said


@pytest.mark.parametrize(("place", "who"), list(product(WAITS, ("P:", "P:no "))))
def test_an_older_call_gives_way_to_what_another_called_since(place: str, who: str) -> None:
    """It stands as not taken, which is told, and no plan is settled past it."""
    at = place.split(", ")[1]
    wall = _behind(WAITS[place][0], f"{who}{at} {RIGHT[place]}")
    assert _figures(wall)[place] == RIGHT[place]
    wall.types("done")
    assert any("Not taken" in say.text for say in wall.said), wall.said
    assert wall.view.draft


TOLD = {
    "right same as left": ("left 91", "height, right", "91"),
    "left same as right": ("right 89 1/2", "height, left", "89 1/2"),
    "add an eighth to the left": ("left 91", "height, left", "91 1/8"),
    "take a quarter off the bottom width": ("bottom 42 1/4", "width, bottom", "42"),
}


@pytest.mark.parametrize("told", TOLD)
def test_what_is_told_by_what_waits_has_its_figure(told: str) -> None:
    """Not that of the value that stood there before."""
    first, place, value = TOLD[told]
    wall = _behind(first, told)
    assert _figures(wall)[place] == value, wall.said


def test_a_box_at_the_height_of_one_that_waits_is_at_its_height() -> None:
    """Both are moved together."""
    wall = wall_after(*FIRST, "box one single gang center 12 from left center 14 up", QUESTION)
    wall.types("change box one to 20 up", "outlet center 30 from left same height as box one", "yes")
    assert "center 20 from bottom" in str(wall.value("box 2"))


@pytest.mark.parametrize(
    "behind", ["left 89", "no left 89", "add an eighth to the left", "left same as the top", "right is wall"]
)
@pytest.mark.parametrize("order", ["board one", "next board"])
def test_nothing_passes_a_change_of_board(behind: str, order: str) -> None:
    """What is called behind it is of the board that it leads to, and the one that is left stays as it is."""
    wall = wall_after(*FIRST, "next board", *FIRST, QUESTION)
    before = {key: call.fact for key, call in wall.session.state.known("2").items() if str(key.at) != "top"}
    wall.types(order, behind, "right 89 3/4", "yes")
    _agreed(wall)
    after = {key: call.fact for key, call in wall.session.state.known("2").items() if str(key.at) != "top"}
    assert after == before, wall.said
    assert wall.session.state.board != "2"


@pytest.mark.parametrize("query", ["what's missing", "say again", "help"])
def test_a_query_takes_nothing_up(query: str) -> None:
    """Nor does it carry out an order that waited."""
    wall = wall_after(*FIRST, QUESTION, "next board", "left 91")
    wall.types("top 42 1/8", who="partner")
    wall.types(query)
    assert wall.session.state.board == "1"
    assert wall.value("height, left") == "90"


def test_lost_words_hold_nothing_up() -> None:
    """What waited is taken with the answer, whatever wasn't understood between."""
    wall = _agreed(_behind("left 91", "right plus an eighth", "yes"))
    assert wall.value("height, left") == "91"


def _passes() -> None:
    test_what_is_told_by_what_waits_has_its_figure("right same as left")


def _older_wins() -> None:
    test_an_older_call_gives_way_to_what_another_called_since("height, left", "P:")


@pytest.mark.parametrize("between", ["left 90 1/2", "left 91"])
@pytest.mark.parametrize("asks", ["", "top 43 3/8"])
def test_what_waits_last_of_a_place_is_the_last(between: str, asks: str) -> None:
    """Also where it is what was called first, and something is asked between them."""
    wall = wall_after(*FIRST, "bottom 45 3/8", "left 90", between, *filter(None, (asks,)), "left 90", "yes")
    _agreed(wall)
    assert wall.value("height, left") == "90", wall.said


@pytest.mark.parametrize("query", ["what's missing", "say again", "help"])
@pytest.mark.parametrize(("one", "other"), [("hanger", "partner"), ("partner", "hanger")])
def test_a_no_behind_a_query_is_of_what_was_told_before_it(query: str, one: str, other: str) -> None:
    """Of what the other one called last, and not of the speaker's own before that."""
    wall = wall_after(*FIRST)
    wall.types("left 90 1/2", who=one)
    wall.types("bottom 41 7/8", who=other)
    wall.types(query, who=one)
    wall.types("no", who=one)
    assert wall.value("height, left") == "90 1/2"
    assert any("idth, bottom" in say.text for say in wall.said), wall.said


@pytest.mark.parametrize(
    ("module", "name", "then"), [(usable, "_comes_behind", _passes), (taking_up, "_called_since", _older_wins)]
)
def test_a_mutant_is_caught(
    module: ModuleType, name: str, then: Callable[[], None], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where what is told by another goes first, or the older replaces the newer, these tests tell."""
    monkeypatch.setattr(module, name, lambda *_: None)
    with pytest.raises(AssertionError):
        then()
