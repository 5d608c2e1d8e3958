"""What is called under a question has its turn once that is answered: another value of the same place called
meanwhile takes it from none of them, and the next thing of a kind is another thing.
"""

from __future__ import annotations

from itertools import product

import pytest

from fieldvoice.records.ledger import Standing
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Box, Opening
from tests.dialogue.talk import Wall, wall_after

BOARD = ("top 42", "bottom 42", "left 90", "right 90")
ASKED = ("top 44", "swap bottom and top", "outlet center 41 1/2 from left 14 up")
"""Each ends in a question of yes and no."""
CALLED = (("left 95", "left 90 1/4"), ("bottom 41 7/8", "bottom 42 1/8"), ("right is board", "right is wall"))
"""What waits behind it, and what is called of the same place behind that."""


def _came(wall: Wall, line: str) -> bool:
    """Whether a line became a call of its own that was told."""
    calls = [call for call in wall.session.state.calls.values() if call.words == line and not call.queued]
    return any(call.standing is not Standing.NOT_TAKEN for call in calls)


@pytest.mark.parametrize("second", ["", "P:"])
@pytest.mark.parametrize(("asked", "called"), list(product(ASKED, CALLED)))
def test_what_waits_has_its_turn_whatever_else_is_called_of_its_place(
    asked: str, called: tuple[str, str], second: str
) -> None:
    """By its speaker or by another one, before the question is answered. What another one called since stands, and the
    older one is kept as not taken, so that no plan is settled past it.
    """
    wall = wall_after(*BOARD, asked, called[0], f"{second}{called[1]}")
    for _ in range(4):
        wall.types("yes")
        wall.types("yes", who="partner")
    assert _came(wall, called[1])
    kept = [call.words for call in wall.session.state.not_taken("1")]
    assert _came(wall, called[0]) or (second and called[0] in kept)


def _things(wall: Wall) -> list[str]:
    facts = [call.fact for call in wall.session.state.known("1").values()]
    across = [fact.x if isinstance(fact, Box) else fact.xs[0] for fact in facts if isinstance(fact, Box | Opening)]
    return sorted(str(place.value.inches) for place in across)


FIRST = {
    "outlet 12 from left 14 up": ("center",),
    "pipe 2 inch 12 from left 14 up": ("center",),
    "light 6 center 12 from left 14 up": ("6 inches",),
}
"""Each lacks a part, and what brings it."""
NEXT = (
    "outlet center 30 from left 14 up",
    "pipe 3 inch center 30 from left center 14 up",
    "light 4 inch center 30 from left center 14 up",
    "switch center 30 from left center 48 up",
)


@pytest.mark.parametrize(("first", "second"), list(product(FIRST, NEXT)))
def test_the_next_of_a_kind_is_another_one(first: str, second: str) -> None:
    """However much is still to be asked of the first: what is at one height is often of one kind."""
    wall = wall_after(*BOARD, first, second, "done", *FIRST[first], "yes", "yes")
    assert _things(wall) == ["12", "30"]


@pytest.mark.parametrize("second", NEXT)
@pytest.mark.parametrize("first", ["outlet", "pipe 2 inch", "light 6 inch"])
def test_the_next_of_a_kind_is_another_one_where_the_first_is_odd(first: str, second: str) -> None:
    """It takes the place and the name of none, nor does it answer for it."""
    wall = wall_after(*BOARD, f"{first} center 41 1/2 from left center 14 up", second, "yes", "yes")
    assert _things(wall) == ["30", "83/2"]


@pytest.mark.parametrize(
    ("first", "again"),
    [
        ("outlet 12 from left 14 up", "outlet center 12 from left 14 up"),
        (
            "~outlet center forty one and a half from left fourteen up",
            "~outlet center forty one and a half from right fourteen up",
        ),
    ],
)
def test_the_same_said_again_is_the_same(first: str, again: str) -> None:
    """With the part that it lacked, or from the side that was meant."""
    wall = wall_after(*BOARD, first)
    assert wall.asks
    wall.says(again)
    wall.types("yes")
    assert len(_things(wall)) == 1


TOLD_OF = {"top 44": "44", "add an eighth to the top": "42 1/8"}
TELLS = {"bottom same as top": "0", "same at the bottom": "0", "bottom is an eighth less than the top": "-1/8"}


@pytest.mark.parametrize("tells", TELLS)
@pytest.mark.parametrize("asked", TOLD_OF)
@pytest.mark.parametrize("answer", ["yes", "no 43"])
def test_what_is_told_by_a_value_in_question_has_its_figure_once_that_is_settled(
    tells: str, asked: str, answer: str
) -> None:
    """Neither what stood there before nor what was denied."""
    wall = wall_after("top 42", "bottom 42", "left 90", "right 90", asked)
    said = wall.types(tells)
    if "Not taken: “same" in said:  # it isn't known as which
        return
    assert "answer first" in said
    wall.types(answer, "yes", "yes", "yes")
    top = Length(TOLD_OF[asked] if answer == "yes" else "43")
    assert wall.value("width, top") == top.text(Unit.INCH)
    assert wall.value("width, bottom") == (top + Length(TELLS[tells])).text(Unit.INCH)


@pytest.mark.parametrize("tells", TELLS)
def test_what_is_told_by_a_value_that_another_one_is_asked_about_isnt_taken(tells: str) -> None:
    """They are named, and the words are kept."""
    wall = wall_after("top 42", "bottom 42", "left 90", "right 90", "top 44")
    assert "Hanger is asked, not you" in wall.types(tells, who="partner")
    assert [call.words for call in wall.session.state.not_taken("1")] == [tells]
    assert wall.value("width, bottom") == "42"


TESTED = ("box one single gang center 12 from left center 14 up", "box one dead and tested")


@pytest.mark.parametrize("behind", [(), ("left 90 1/4",), ("next board",), ("next board", "top 30")])
@pytest.mark.parametrize("then", ["bottom 41 7/8", "what's missing", "P:left 90 1/8", "done"])
def test_what_waited_behind_a_question_of_the_last_session_is_said_again(behind: tuple[str, ...], then: str) -> None:
    """The question of a circuit ends with the session: what waited behind it is named, and comes in behind nothing."""
    wall = wall_after(*BOARD, *TESTED, "bottom 42 1/4", *behind)
    before = wall.value("width, bottom")
    wall.restart()
    wall.says(then)
    assert wall.session.state.board == "1"
    assert wall.value("width, bottom") == ("41 7/8" if then == "bottom 41 7/8" else before)
    kept = {call.words for call in wall.session.state.not_taken("1")}
    called = {"bottom 42 1/4", *behind} - ({"bottom 42 1/4"} if then == "bottom 41 7/8" else set())
    assert kept >= called - ({"left 90 1/4"} if then == "P:left 90 1/8" else set()), kept
    assert wall.view.draft or then == "bottom 41 7/8"


def test_what_waits_behind_a_question_that_stays_waits_over_the_session() -> None:
    """The question is put again, and what waits comes in with its answer."""
    wall = wall_after(*BOARD, "top 44", "left 90 1/4")
    wall.restart()
    assert "90 1/4" not in str(wall.value("height, left"))
    wall.types("done", "yes")
    assert wall.value("height, left") == "90 1/4", wall.said


WHICH = {
    "window 6 by 8 left edge 15 from left bottom edge 22 up": ("light 4 inch center 6 from left center 20 down",),
    "~outlet center twelve from left center fourteen up|outlet center twenty from left center fourteen up": (
        "switch center 30 from left center 48 up",
        "outlet center 30 from left center 14 up",
        "window 10 in wide 12 in high left edge 15 from left bottom edge 22 up",
    ),
    "~notch four by six top right|notch four by six top left": ("notch 3 by 5 bottom left",),
    "~light six inch center twelve from left center forty up|light six inch center twenty from left center forty up": (
        "light 4 inch center 30 from left center 20 down",
        "pipe 2 inch center 30 from left center 20 down",
    ),
}
"""What may be one of two, and things called before that is answered, which are others."""


@pytest.mark.parametrize(("asked", "thing"), [(asked, thing) for asked, things in WHICH.items() for thing in things])
def test_the_next_thing_takes_no_place_of_one_that_may_be_one_of_two(asked: str, thing: str) -> None:
    """It waits, and both are there in the end."""
    wall = wall_after(*BOARD)
    if asked.startswith("~"):
        wall.speaks(*asked[1:].split("|"))
    else:
        wall.types(asked)
    wall.types(thing, "the first")
    for _ in range(3):
        wall.types("yes")
    things = [one.fact for one in wall.session.state.known("1").values() if isinstance(one.fact, Box | Opening)]
    assert len(things) == 2, (wall.said, things)
    assert len({one.name for one in things}) == 2


ENDS = ("box one is live", "change box one to 14 from left", "scratch box one")
"""What another one says that ends the question of a circuit without its answer."""


@pytest.mark.parametrize("ends", ENDS)
@pytest.mark.parametrize(("waits", "then"), [("bottom 42 1/4", "bottom 41 7/8"), ("left 89 7/8", "left 90 1/8")])
def test_what_waited_comes_before_what_is_said_once_another_one_ended_the_question(
    ends: str, waits: str, then: str
) -> None:
    """It was said before it: the newer value takes its place, and both are told."""
    wall = wall_after(*BOARD, *TESTED, waits)
    wall.types(ends, who="partner")
    told = wall.types(then)
    edge, figure = then.split(" ", 1)
    label = f"{'width' if edge == 'bottom' else 'height'}, {edge}"
    assert wall.value(label) == figure, told
    assert f"{figure}, instead of {waits.removeprefix(edge).strip()}" in told


@pytest.mark.parametrize("ends", ENDS)
def test_what_waited_is_asked_about_before_what_is_said_then(ends: str) -> None:
    """That waits behind it, and no yes that was of something else answers it."""
    wall = wall_after(*BOARD, *TESTED, "bottom 44")
    wall.types(ends, who="partner")
    wall.types("left 90 1/4")
    assert wall.asks
    assert wall.value("height, left") == "90"
    wall.types("yes")
    assert (wall.value("width, bottom"), wall.value("height, left")) == ("44", "90 1/4")
