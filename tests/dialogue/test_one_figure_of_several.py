"""One figure that was called once for several places is one thing until somebody names one of them."""

from __future__ import annotations

from itertools import product

import pytest

from fieldvoice.records.ledger import Concern, Doubt
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Reading, Slot
from tests.dialogue.talk import Wall, unsure, wall_after

PLACES = {
    "both sides": ("height, left", "height, right"),
    "top and bottom": ("width, top", "width, bottom"),
    "top middle and bottom": ("width, top", "width, middle", "width, bottom"),
}
DENIED = {
    ("no", "20 1/2"): "20 1/2",
    ("no", "no 20 1/2"): "20 1/2",
    ("no 20 1/2",): "20 1/2",
    ("no, three eighths",): "30 3/8",
    ("change that to 20 1/2",): "20 1/2",
}
"""What is said to it, and what stands at every one of its places then."""


@pytest.mark.parametrize("places", PLACES)
@pytest.mark.parametrize("again", ["", "restart"])
@pytest.mark.parametrize(("said", "heard"), [*product(DENIED, ("twin", "typed", "unsure"))])
def test_a_figure_without_a_place_is_of_all_of_them(places: str, said: tuple[str, ...], heard: str, again: str) -> None:
    """Read back in one breath, denied, or asked about as one; told with each of its places."""
    wall = Wall()
    if heard == "unsure":
        wall.rooms = unsure(wall.rooms)
        wall.restart()
    told = wall.types(f"{places} 30 1/4") if heard == "typed" else wall.speaks(f"{places} thirty and a quarter")
    wall.rooms = Wall().rooms
    if again:
        wall.restart()
    assert ("?" in told) is (heard != "typed")
    for line in said:
        told = wall.types(line)
    assert told.count(DENIED[said]) == len(PLACES[places]), told
    assert {wall.value(each) for each in PLACES[places]} == {DENIED[said]}, told
    assert not wall.session.state.not_taken("1")
    wall.types("yes")
    assert not wall.asks


@pytest.mark.parametrize("places", PLACES)
def test_no_and_the_same_figure_is_a_contradiction_at_all_of_them(places: str) -> None:
    """One question, and one yes."""
    wall = wall_after(f"{places} 30 1/4")
    assert wall.types("no 30 1/4").count("?") == 1
    wall.types("yes")
    assert {wall.standing(each) for each in PLACES[places]} == {"confirmed"}


@pytest.mark.parametrize("said", [("no", "95"), ("no 95",)])
def test_a_figure_after_several_is_asked_where(said: tuple[str, ...]) -> None:
    """It may be any of theirs; those of one figure are one of the ways."""
    wall = wall_after("top 46, both sides 96 1/4", *said)
    assert wall.asks
    stands = [call.fact for call in wall.session.state.settled("1").values()]
    assert not any(isinstance(fact, Reading) and fact.value.inches == 95 for fact in stands)
    (doubt,) = wall.session.state.open["hanger"].doubts
    if said == ("no 95",):
        assert {len(way) for way in doubt.ways} == {1, 2}


@pytest.mark.parametrize("heard", ["both sides", "left and right", "top and bottom"])
@pytest.mark.parametrize("rival", ["left", "right", "top"])
def test_a_figure_after_a_no_to_either_is_asked_where(heard: str, rival: str) -> None:
    """Neither was meant, and how many places were is not known."""
    wall = Wall()
    wall.speaks(f"{heard} ninety six", f"{rival} ninety six")
    wall.types("no")
    assert "where?" in wall.types("95")


def test_the_same_figure_called_three_times_is_three() -> None:
    """Bare, one after another: a no is to the last."""
    wall = wall_after("46", "46", "46", "no 45 3/4", "yes")
    assert [wall.value(f"width, {each.value}") for each in (Slot.TOP, Slot.MIDDLE, Slot.BOTTOM)] == [
        "46",
        "46",
        "45 3/4",
    ]


@pytest.mark.parametrize("concern", Concern)
def test_no_question_is_asked_of_nothing(concern: Concern) -> None:
    """What asks of ways has one at least, and nothing is one of none."""
    with pytest.raises(ValueError, match="asks of nothing"):
        Doubt(concern, 1, ((),))
    if not concern.kind.of_ways:
        assert not Doubt(concern, 1).ways
        return
    with pytest.raises(ValueError, match="asks of nothing"):
        Doubt(concern, 1)


def test_one_of_the_places_that_were_denied_is_called_alone() -> None:
    """The other is still to be said: it isn't replaced by what is called elsewhere."""
    wall = Wall()
    wall.types("both sides 95 1/2", "no", "left 95")
    waits = [call for call in wall.session.state.not_taken("1") if isinstance(call.fact, Reading)]
    assert [call.fact.at for call in waits if isinstance(call.fact, Reading)] == [Slot.RIGHT]


EACH_FOR_ITSELF = {
    "t {0} b {0}": ("top", "bottom"),
    "l {0} r {0}": ("left", "right"),
    "t {0} m {0}": ("top", "middle"),
    "t {0} b {0} then l 96 then r 96": ("top", "bottom"),
    "t {0} m {0} then b 41 1/4": ("top", "middle"),
}
"""The same figure said for each place, in one breath."""


@pytest.mark.parametrize("row", EACH_FOR_ITSELF)
@pytest.mark.parametrize("which", [0, 1])
def test_a_figure_said_for_each_of_two_places_is_two_figures(row: str, which: int) -> None:
    """That they are equal by chance joins them to nothing: what is put right is asked, and changes one of them."""
    places = EACH_FOR_ITSELF[row]
    wall = wall_after(row.format("41 1/8"))
    stood = {line.call.key: line.call.fact for line in wall.view.readings}
    assert len(stood) == 2 + row.count("then"), wall.said
    assert "?" in wall.types("no 41 3/8")
    wall.types(places[which])
    now = {line.call.key: line.call.fact for line in wall.view.readings}
    changed = [fact for key, fact in now.items() if fact != stood[key]]
    assert [(fact.value, str(fact.at)) for fact in changed if isinstance(fact, Reading)] == [
        (Length("41 3/8"), places[which])
    ]


@pytest.mark.parametrize("row", EACH_FOR_ITSELF)
def test_what_it_is_not_is_asked_where_two_are_that(row: str) -> None:
    """Not 41 1/8, but 41 3/8: of the top or of the bottom."""
    wall = wall_after(row.format("41 1/8"))
    wall.types("not 41 1/8, 41 3/8")
    values = [line.call.fact.value for line in wall.view.readings if isinstance(line.call.fact, Reading)]
    assert values.count(Length("41 1/8")) == 2, wall.said
    assert Length("41 3/8") not in values


@pytest.mark.parametrize(("row", "said"), [("l 85 3/4 r 85 7/16", "left"), ("t 45 1/4 b 45 1/2", "top")])
def test_a_place_of_a_row_put_right_to_the_figure_beside_it_leaves_that(row: str, said: str) -> None:
    """Both were told; the one that was named is as much as the other."""
    figure = " ".join(row.split()[-2:])
    wall = wall_after(row)
    wall.types(f"no {said} {figure}")
    values = [line.call.fact.value for line in wall.view.readings if isinstance(line.call.fact, Reading)]
    assert values == [Length(figure)] * 2, wall.said
