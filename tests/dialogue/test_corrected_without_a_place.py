"""A right value without its place: whose it is is asked, and nothing is settled past it."""

from __future__ import annotations

from itertools import product

import pytest

from fieldvoice.dialogue.rooms import rooms
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Reading
from tests.dialogue.talk import Wall, wall_after

ROOMS = rooms()
BOARD = ("wall right, board left", "top 46 7/8, middle 46 3/4, bottom 46 5/8", "left 95 1/4, right 95 1/2")
CORRECTIONS = ("no, {}", "make that {}", "change it to {}", "wrong, {}", "scratch that, {}")
"""What people say before a right value."""
LAST = {
    "width": ("top 40 7/8, middle 40 3/4, bottom 40 5/8", "40 1/2", ("top", "middle", "bottom")),
    "height": ("left 90 1/4, right 90 1/2", "90 3/8", ("left", "right")),
}
"""What was called last, what is right of it, and where it may belong."""


def last_called(kind: str) -> tuple[str, ...]:
    """A board whose readings of that kind were told last."""
    called, _, _ = LAST[kind]
    other = "left 95 1/4, right 95 1/2" if kind == "width" else "top 46 7/8, middle 46 3/4, bottom 46 5/8"
    return ("wall right, board left", other, called)


@pytest.mark.parametrize(
    ("correction", "kind", "before"), list(product(CORRECTIONS, LAST, (None, "yes", "restart", "what is missing")))
)
def test_whose_it_is_is_asked_and_nothing_is_settled_past_it(correction: str, kind: str, before: str | None) -> None:
    """Whether the readings wait still or are taken, and over a restart."""
    _, value, places = LAST[kind]
    wall = Wall(its_rooms=ROOMS)
    wall.types(*last_called(kind))
    if before == "restart":
        wall.restart()
    elif before is not None:
        wall.types(before)
    wall.types(correction.format(value))
    assert wall.asks or wall.refuses
    wall.types("done")
    assert wall.view.draft, "settled past an objection"
    wall.types(f"{places[-1]} {value}")
    assert wall.value(f"{kind}, {places[-1]}") == value
    for each in places[:-1]:
        assert wall.value(f"{kind}, {each}") != value


@pytest.mark.parametrize("correction", CORRECTIONS)
def test_of_one_reading_told_last_it_is_that_one_s(correction: str) -> None:
    """A correction of a correction is of the same place."""
    wall = Wall(its_rooms=ROOMS)
    wall.types("wall right, board left", "height 95 1/2 both sides", "no, left 95 1/4", correction.format("95 3/8"))
    assert not wall.asks
    assert (wall.value("height, left"), wall.value("height, right")) == ("95 3/8", "95 1/2")


def test_the_value_of_one_of_them_is_asked_of_the_other() -> None:
    """Top 46 7/8, bottom 46 5/8, "no, 46 5/8": it can only be the top that is wrong."""
    wall = Wall(its_rooms=ROOMS)
    wall.types("top 46 7/8, bottom 46 5/8", "no, 46 5/8")
    assert wall.asks
    wall.types("yes")
    assert (wall.value("width, top"), wall.value("width, bottom")) == ("46 5/8", "46 5/8")


def test_the_value_of_all_of_them_contradicts() -> None:
    """Both are 95 1/2, and so is what is said to be right: each is asked about."""
    wall = Wall(its_rooms=ROOMS)
    wall.types(*BOARD[:2], "height 95 1/2 both sides", "no, 95 1/2", "done")
    assert wall.asks
    assert wall.view.draft


@pytest.mark.parametrize(
    "words", ["change box 2 to 31 from left", "change box 7 to 12 down", "change it to 46 1/2", "make that 46 1/2"]
)
def test_a_correction_of_nothing_that_is_there_stands_as_not_taken(words: str) -> None:
    """It is told that nothing was changed, and the plan waits until that is settled."""
    wall = Wall(its_rooms=ROOMS)
    wall.types(*BOARD, "box 1 single gang center 30 from left 48 down", "yes", "box 1 is dead", words, "done")
    assert wall.view.draft


FIGURES = {"top": "47 1/2", "middle": "47 3/4", "bottom": "47 1/4", "left": "95", "right": "95 1/4"}
WAY = {"middle": "width "}
NOT_BUT = ("not {was}, {right}", "{right} not {was}", "not {was} but {right}")


@pytest.mark.parametrize("form", NOT_BUT)
@pytest.mark.parametrize("place", FIGURES)
@pytest.mark.parametrize("last", FIGURES)
def test_a_figure_that_was_said_not_to_be_names_its_reading(form: str, place: str, last: str) -> None:
    """Whichever was told last: the one that is that figure is put right, and no other."""
    wall = Wall()
    called = [*(at for at in FIGURES if at != last), last]
    wall.types(*(f"{WAY.get(at, '')}{at} {FIGURES[at]}" for at in called))
    was = Length(FIGURES[place])
    right = was + Length("1/8")
    wall.types(form.format(was=FIGURES[place], right=right.text()), "yes")
    facts = [call.fact for call in wall.session.state.known("1").values()]
    found = {str(fact.at): fact.value for fact in facts if isinstance(fact, Reading)}
    assert found == {at: right if at == place else Length(value) for at, value in FIGURES.items()}


@pytest.mark.parametrize("line", ["not 46, 47 3/8", "47 3/8 not 46", "top is 47 3/8 not 46", "top not 46, 47 3/8"])
def test_a_figure_that_is_no_readings_is_asked_about(line: str) -> None:
    """What was said not to be isn't there: nothing is changed, and which one is asked."""
    wall = wall_after("top 47 1/2", "bottom 47 1/4")
    before = [call.fact for call in wall.session.state.known("1").values()]
    wall.types(line)
    assert [call.fact for call in wall.session.state.known("1").values()] == before
    assert wall.refuses


@pytest.mark.parametrize("refused", ["all dead and tested", "banana", "top and banana"])
def test_a_yes_behind_what_wasnt_understood_takes_nothing(refused: str) -> None:
    """The word "taken" would sound as if that had been."""
    wall = wall_after("top 47 1/2", "box 1 single gang center 30 from left 48 down", refused)
    assert wall.refuses or wall.asks
    assert "Taken" not in wall.types("yes")


@pytest.mark.parametrize(("kind", "other"), [("width", "height"), ("height", "width")])
@pytest.mark.parametrize("no", ["no", "wrong", "that's wrong"])
def test_a_place_alone_is_that_of_what_was_said_no_to(kind: str, other: str, no: str) -> None:
    """Asked what the middle is, its place with a figure is that one, whichever the other readings are near to."""
    wall = wall_after(f"{other} top 46" if other == "width" else "height left 46", f"{kind} middle 44 7/8", no)
    wall.types("middle 44 1/2")
    assert wall.value(f"{kind}, middle") == "44 1/2"
    assert wall.value(f"{other}, middle") is None


REFUSED = {
    "left 90 1/3": ("height, left", "90 3/8"),
    "bottom about 42": ("width, bottom", "42 1/4"),
    "bottom 900": ("width, bottom", "42 1/4"),
    "bottom 42 1/64": ("width, bottom", "42 1/16"),
    "bottom 42 1/4, bottom 42 1/2": ("width, bottom", "42 1/2"),
}
"""Each isn't taken, and names its place."""


@pytest.mark.parametrize("then", ["{0}", "make it {0}", "change it to {0}", "no {0}", "it's {0}"])
@pytest.mark.parametrize("refused", REFUSED)
def test_it_is_what_was_refused_with_its_place(refused: str, then: str) -> None:
    """And no value that was read back before."""
    place, value = REFUSED[refused]
    wall = wall_after("top 42", "bottom 42", "left 90", "right 90", "top 42 1/8", refused, then.format(value))
    assert wall.value(place) == value, wall.said
    assert (wall.value("width, top"), wall.value("height, right")) == ("42 1/8", "90")


@pytest.mark.parametrize("refused", REFUSED)
@pytest.mark.parametrize("then", ["add an eighth", "take an eighth off that", "make it an eighth less"])
def test_no_figure_is_made_from_what_was_refused(refused: str, then: str) -> None:
    """Nor from what was read back before it."""
    lines = ("top 42", "bottom 42", "left 90", "right 90", "top 42 1/8", refused)
    wall = wall_after(*lines)
    before = {key: call.fact for key, call in wall.session.state.known("1").items()}
    wall.types(then, "yes")
    assert {key: call.fact for key, call in wall.session.state.known("1").items()} == before, wall.said


OF_A_KIND = (
    "make the {0} {1}",
    "change the {0} to {1}",
    "{0} should be {1}",
    "the {0} is really {1}",
    "no, the {0} is {1}",
    "add an eighth to the {0}",
)
"""What is right of "the width" or "the height", without its place."""
CALLED = {"width": {"top": "46", "middle": "46 1/4", "bottom": "46 1/2"}, "height": {"left": "95", "right": "95 1/4"}}
ORDERS = [
    ("top", "left"),
    ("left", "top"),
    ("top", "bottom", "left"),
    ("left", "right", "top"),
    ("left", "top", "middle", "bottom"),
    ("top", "bottom", "left", "right"),
]


@pytest.mark.parametrize("form", OF_A_KIND)
@pytest.mark.parametrize("kind", CALLED)
@pytest.mark.parametrize("order", ORDERS, ids="-".join)
def test_a_width_is_of_a_width_and_a_height_of_a_height(form: str, kind: str, order: tuple[str, ...]) -> None:
    """Whatever was told last: of the only one of its kind it is that, of several which is asked."""
    kinds = {at: each for each, places in CALLED.items() for at in places}
    called = {f"{kinds[at]}, {at}": CALLED[kinds[at]][at] for at in order}
    wall = wall_after(*(f"{kinds[at]} {at} {CALLED[kinds[at]][at]}" for at in order))
    wall.types(form.format(kind, "46 1/8" if kind == "width" else "95 1/8"))
    own = [at for at in called if at.startswith(kind)]
    told_last = f"{kinds[order[-1]]}, {order[-1]}"
    if form.startswith("no") and told_last in own:
        own = [told_last]
    elif form.startswith("no"):
        del called[told_last]  # what the no is about is in question, too
    assert wall.refuses or wall.asks or len(own) == 1, wall.said
    if len(own) == 1:
        if wall.asks:
            wall.types("yes")
        called[own[0]] = "46 1/8" if kind == "width" else "95 1/8"
    for place, value in called.items():
        assert wall.value(place) == value, wall.said
