"""A board called as bare figures, each asked for by its place, and the order in which a crew measures."""

from __future__ import annotations

from itertools import permutations

import pytest

from fieldvoice.dialogue.events import Awaited
from fieldvoice.records.meaning import Dimension, Edge, Slot
from tests.dialogue.talk import Wall, wall_after

VALUES = {
    Slot.TOP: "46 7/8",
    Slot.MIDDLE: "46 3/4",
    Slot.BOTTOM: "46 5/8",
    Slot.LEFT: "95 1/2",
    Slot.RIGHT: "95 3/8",
}
SPOKEN = {
    Slot.TOP: "forty six and seven eighths",
    Slot.MIDDLE: "forty six and three quarters",
    Slot.BOTTOM: "forty six and five eighths",
    Slot.LEFT: "ninety five and a half",
    Slot.RIGHT: "ninety five and three eighths",
}
ORDERS = [
    order
    for count in (4, 5)
    for order in permutations(Slot, count)
    if {Slot.TOP, Slot.BOTTOM, Slot.LEFT, Slot.RIGHT} <= set(order)
]


HEIGHT_TYPED, HEIGHT_SPOKEN = "95 7/16", "ninety five and seven sixteenths"


def figures(order: tuple[Slot, ...], *, spoken: bool = False) -> dict[Slot, str]:
    """What is measured at each place: a middle goes with what is called before it, the first with the next."""
    found = {slot: (SPOKEN if spoken else VALUES)[slot] for slot in order}
    if Slot.MIDDLE in order:
        place = order.index(Slot.MIDDLE)
        beside = order[place - 1] if place else order[1]
        if beside in {Slot.LEFT, Slot.RIGHT}:
            found[Slot.MIDDLE] = HEIGHT_SPOKEN if spoken else HEIGHT_TYPED
    return found


def called(wall: Wall) -> dict[Slot, str]:
    """The readings of the board at hand by their places."""
    hole = wall.view.hole
    assert hole is not None
    return {at: each.value.text() for each in (*hole.widths, *hole.heights) if isinstance(at := each.at, Slot)}


def asked(told: str) -> Slot | None:
    """The place that was asked for last."""
    last = told.split()[-1].strip("?").lower() if told.endswith("?") else ""
    return Slot.MIDDLE if last in set(Dimension) else Slot(last) if last in set(Slot) else None


@pytest.mark.parametrize("order", ORDERS, ids=" ".join)
def test_bare_figures_land_where_they_were_asked_for(order: tuple[Slot, ...]) -> None:
    """Whatever the order of measuring: each figure answers the place that was asked."""
    wall = wall_after(f"we measure {', '.join(order)}")
    told = wall.types("go one by one")
    for slot in order:
        assert asked(told) is slot
        told = wall.types(figures(order)[slot])
    assert asked(told) is None
    wall.types("left wall, right wall")
    assert called(wall) == figures(order)


@pytest.mark.parametrize("order", ORDERS[::7], ids=" ".join)
def test_a_row_follows_the_order(order: tuple[Slot, ...]) -> None:
    """Typed at once, or spoken with "then" between the figures."""
    typed, spoken = Wall(), Wall()
    for wall in (typed, spoken):
        wall.types(f"we measure {', '.join(order)}")
    typed.types(", ".join(figures(order).values()))
    spoken.speaks(" then ".join(figures(order, spoken=True).values()))
    for wall in (typed, spoken):
        wall.types("left wall, right wall")
        assert called(wall) == figures(order)


def test_without_an_order_it_goes_from_top_to_bottom_and_left_to_right() -> None:
    """The middle width too, unless the crew measures none."""
    for habit, order in (
        ("okay", list(Slot)),
        ("no middle width", [Slot.TOP, Slot.BOTTOM, Slot.LEFT, Slot.RIGHT]),
        ("full sheet", [Slot.LEFT, Slot.RIGHT]),
    ):
        wall = wall_after(habit)
        told = wall.types("go one by one")
        for slot in order:
            assert asked(told) is slot
            told = wall.types(VALUES[slot])
        assert asked(told) is None


def test_what_is_said_with_its_place_is_asked_for_no_more() -> None:
    """A place may be called out of turn, and the one at hand is asked for again."""
    wall = wall_after("go one by one")
    assert asked(wall.types("left 95 1/2")) is Slot.TOP
    wall.types("46 7/8")
    assert asked(wall.types("bottom 46 5/8")) is Slot.MIDDLE
    assert asked(wall.types("46 3/4")) is Slot.RIGHT


def test_no_with_another_figure_mends_the_one_before() -> None:
    """And the next place is asked for again."""
    wall = wall_after("go one by one", "46 7/8")
    assert asked(wall.types("no, 46 3/4")) is Slot.MIDDLE
    wall.types("left wall")
    assert called(wall) == {Slot.TOP: "46 3/4"}


def test_what_is_not_understood_takes_no_place() -> None:
    """The same place is asked for again, and the words stand as not taken."""
    wall = wall_after("go one by one")
    assert asked(wall.types("top of the morning")) is Slot.TOP
    assert wall.session.state.not_taken("1")


def test_a_question_comes_before_the_next_place() -> None:
    """A box that lacks its point is asked about; the place is asked for once that is answered."""
    wall = wall_after("go one by one", "46 7/8")
    assert asked(wall.types("outlet 14 1/2 from the left, 80 1/4 down")) is None
    assert asked(wall.types("center")) is Slot.MIDDLE


def test_it_ends_by_a_word_and_lasts_over_boards_and_a_restart() -> None:
    """It is kept in the journal like everything else."""
    wall = wall_after("go one by one", "46 7/8", "next board")
    assert asked(wall.types("left wall")) is Slot.TOP
    wall.restart()
    assert wall.session.state.prompting
    assert asked(wall.types("46 7/8")) is Slot.MIDDLE
    assert asked(wall.types("stop one by one")) is None
    assert asked(wall.types("right board")) is None


def test_a_figure_is_awaited_only_while_a_place_is_asked_for() -> None:
    """What the ears are told to expect."""
    wall = Wall()
    assert not wall.session.state.awaited
    wall.types("go one by one")
    assert set(wall.session.state.awaited.values()) == {Awaited(Dimension.WIDTH, Slot.TOP)}
    wall.types("stop one by one")
    assert not wall.session.state.awaited


BACKWARDS = ("right 95 3/8", "left 95 1/2", "bottom 46 5/8", "top 46 7/8")


def test_the_second_same_order_is_the_crews() -> None:
    """Two boards measured in the same unusual order set it, aloud; the third takes bare figures so."""
    wall = wall_after(*BACKWARDS, "next board")
    told = wall.types(*BACKWARDS, "next board")
    assert "right left bottom top" in told
    wall.types("95 3/8, 95 1/2, 46 5/8, 46 7/8", "left wall")
    assert called(wall) == {slot: VALUES[slot] for slot in (Slot.RIGHT, Slot.LEFT, Slot.BOTTOM, Slot.TOP)}


def test_other_orders_and_the_usual_one_set_nothing() -> None:
    """Nothing is told, and nothing stands."""
    usual = ("top 46 7/8", "bottom 46 5/8", "left 95 1/2")
    for first, second in ((usual, usual), (BACKWARDS, usual)):
        wall = wall_after(*first, "next board")
        assert "measuring" not in wall.types(*second, "next board")


def test_a_rip_is_asked_for_as_an_opening() -> None:
    """Whether the board or the opening is so wide was not said, so nothing is cut to it, and it stays open."""
    wall = Wall()
    assert "opening" in wall.types("rip it at 34 1/2")
    assert wall.refuses
    assert wall.session.state.not_taken("1")


def test_the_edge_across_from_a_factory_edge_is_cut() -> None:
    """Said in words, as if the side to cut had been named."""
    for kept, cut in (("left", Edge.RIGHT), ("right", Edge.LEFT)):
        wall = wall_after(
            "joint both sides", f"tapered edge {kept}", "46 7/8 top and bottom", "95 1/2 both sides", "done"
        )
        assert wall.view.plan is not None
        edges = {step.edge for step in wall.view.plan.steps if step.marks}
        assert cut in edges
        assert Edge(kept) not in edges


def test_the_last_board_is_kept_and_shown() -> None:
    """Which board of its row it is."""
    wall = Wall()
    assert "last" in wall.types("last board, wall on the right")
    assert not wall.refuses
