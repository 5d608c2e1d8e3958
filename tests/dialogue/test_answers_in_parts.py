"""Pieces that answer a question: two at once, a size, which way a diagonal runs, how the sheet hangs."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest

from fieldvoice.dialogue.state import is_whole
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import (
    Box,
    BoxKind,
    Context,
    Coordinate,
    Diagonal,
    Dimension,
    Edge,
    Incomplete,
    Neighbor,
    Opening,
    Plumb,
    Point,
    Reading,
    Slot,
    Topic,
)
from tests.dialogue.talk import Wall, wall_after


class Talk(Wall):
    """Lines that are typed, and what waits or stands then."""

    def __init__(self, *lines: str) -> None:
        super().__init__()
        self.types(*lines)

    @property
    def asks(self) -> bool:
        """Whether an answer is awaited."""
        return self.session.state.asks

    def facts(self, *more: str) -> list[object]:
        """Everything whole that was called, after some lines more."""
        self.types(*more)
        state = self.session.state
        return [call.fact for call in state.known(state.board, doubtful=True).values() if is_whole(call)]


def box(side: Edge, point: Point) -> Box:
    """The outlet of these talks."""
    down = Coordinate(point, Length("80 1/4"), Edge.TOP)
    return Box(BoxKind.SINGLE, Coordinate(point, Length("14 1/2"), side), down, "box 1")


SIDES = {"left": Edge.LEFT, "the left": Edge.LEFT, "from the right": Edge.RIGHT, "right": Edge.RIGHT}
POINTS = {"center": Point.CENTER, "to center": Point.CENTER, "to the center": Point.CENTER, "near edge": Point.NEAR}


@pytest.mark.parametrize(("side", "point"), list(product(SIDES, POINTS)))
def test_edge_and_point_are_asked_and_answered_at_once(side: str, point: str) -> None:
    """In either order, with a comma or without."""
    for answer in (f"{side}, {point}", f"{side} {point}", f"{point}, {side}"):
        talk = Talk("outlet 14 1/2 over, 80 1/4 down", answer)
        assert box(SIDES[side], POINTS[point]) in talk.facts(), answer


def test_one_of_the_two_leaves_the_other_asked() -> None:
    """Nothing is guessed."""
    talk = Talk("outlet 14 1/2 over, 80 1/4 down", "center")
    assert talk.asks
    assert box(Edge.LEFT, Point.CENTER) in talk.facts("the left")


def test_both_distances_answer_where_a_box_is() -> None:
    """The point that holds for both is asked for then."""
    talk = Talk("box one single gang", "14 1/2 from left 80 1/4 down", "center")
    assert box(Edge.LEFT, Point.CENTER) in talk.facts()


def test_two_distances_of_which_one_was_called_otherwise_are_not_taken_by_halves() -> None:
    """The question stays."""
    talk = Talk("box one single gang center 14 1/2 from left", "15 from left 80 1/4 down")
    assert talk.asks
    assert box(Edge.LEFT, Point.CENTER) in talk.facts("80 1/4 down")


def test_a_second_distance_the_same_way_is_no_other_distance() -> None:
    """None is down, so that the question stays."""
    talk = Talk("box one single gang center 14 1/2 from left", "20 from right")
    assert talk.asks
    assert not talk.facts()


@pytest.mark.parametrize("words", ["32 by 81 1/4", "thirty two by eighty one and a quarter"])
def test_two_sides_answer_how_large_an_opening_is(words: str) -> None:
    """Though they would be no sheet's."""
    (door,) = Talk("door 6 from the left, 14 1/4 down", words).facts()
    assert isinstance(door, Opening)
    assert (door.width, door.height) == (Length(32), Length("81 1/4"))


@pytest.mark.parametrize(("word", "rising"), [("rising", True), ("falling", False), ("it's rising", True)])
def test_a_diagonal_is_kept_while_its_way_is_asked_for(word: str, rising: bool) -> None:
    """One word settles it."""
    assert Talk("diagonal 104 1/2", word).facts() == [Diagonal(Length("104 1/2"), rising=rising)]


def test_how_the_sheet_hangs_answers_that_it_would_not_reach() -> None:
    """The reading is weighed anew as if it had just been called."""
    found = Talk("top 60", "lying", "bottom 60").facts()
    assert Context(Topic.LIES, "lying") in found
    assert Reading(Length(60), Dimension.WIDTH, Slot.TOP) in found


def test_how_the_sheet_hangs_already_is_no_answer() -> None:
    """A reading that no standing sheet reaches stays in question."""
    assert Talk("top 60", "standing").asks


@pytest.mark.parametrize(
    ("edge", "way"), list(product(("left", "right"), ("in", "out", "it leans in", "out at the top")))
)
def test_a_lean_that_said_no_way_is_kept_while_its_way_is_asked_for(edge: str, way: str) -> None:
    """A bare "in" or "out" settles it; a yes doesn't."""
    talk = Talk(f"{edge} out of plumb 1/4", "yes")
    assert talk.asks
    sign = 1 if "in" in way.split() else -1
    assert talk.facts(way) == [Plumb(Edge(edge), Length("1/4") * sign)]


@pytest.mark.parametrize(
    ("level", "goes", "side"), list(product(("ceiling", "floor"), ("drops", "rises"), ("left", "right")))
)
def test_a_ceiling_or_floor_that_said_no_side_takes_the_side_alone(level: str, goes: str, side: str) -> None:
    """As if it had been said with it."""
    whole = Talk(f"{level} {goes} 1/4 to the {side}").facts()
    assert whole
    assert Talk(f"{level} {goes} 1/4", side).facts() == whole


BOARD = ("top 46 7/8", "middle 46 7/8", "bottom 46 7/8", "left 96", "right 96")
FAR = {"left": (Edge.LEFT, "48 down"), "right": (Edge.RIGHT, "48 down"), "top": (Edge.TOP, "30 from left")}


@pytest.mark.parametrize(("side", "before"), list(product(FAR, ((), BOARD))))
def test_a_figure_with_its_side_is_the_distance_that_is_asked_for(side: str, before: tuple[str, ...]) -> None:
    """In either order, with "from" or without, whether the edge alone is open or its figure too; the side in front
    where there are readings to tell it from.
    """
    start, other = FAR[side]
    for answer in (f"15 {side}", f"15 from {side}", *([f"{side} 15"] if before else [])):
        talk = Talk(*before, f"box 1 single gang center {other}", answer)
        found = [fact for fact in talk.facts() if isinstance(fact, Box)]
        assert [next(each for each in (one.x, one.y) if each.start is start).value for one in found] == [Length(15)]
        assert not talk.asks


@pytest.mark.parametrize("answer", ["left 95", "95 right", "top 46", "top 40 1/4", "bottom 24", "left 50"])
def test_a_figure_near_the_readings_is_no_distance(answer: str) -> None:
    """It is the reading that it is near, and the box is asked about again, or the question stays."""
    talk = Talk(*BOARD, "box 1 single gang center 48 down", answer)
    assert not [fact for fact in talk.facts() if isinstance(fact, Box)]
    assert talk.asks or talk.session.state.put_off("1")
    assert talk.session.state.not_taken("1")


@pytest.mark.parametrize("answer", ["left 15", "top 46 7/8", "top 40 1/4", "right 34", "bottom 46"])
def test_a_place_and_its_figure_may_be_the_first_reading(answer: str) -> None:
    """Where nothing was read yet it is no distance: it is kept, and the question stays."""
    talk = Talk("box 1 single gang", answer)
    assert talk.asks
    (begun,) = (one.fact for one in talk.session.state.calls.values() if isinstance(one.fact, Incomplete))
    assert not begun.distances
    assert any(isinstance(one.fact, Reading) for one in talk.session.state.not_taken("1"))


PARTS = {
    "the right": lambda one: replace(one, x=replace(one.x, start=Edge.RIGHT)),
    "from the right": lambda one: replace(one, x=replace(one.x, start=Edge.RIGHT)),
    "up": lambda one: replace(one, y=replace(one.y, start=Edge.BOTTOM)),
    "single gang": lambda one: replace(one, kind=BoxKind.SINGLE),
    "near edge": lambda one: replace(one, **{at: replace(getattr(one, at), point=Point.NEAR) for at in "xy"}),
    "32 from left": lambda one: replace(one, x=replace(one.x, value=Length(32))),
}


@pytest.mark.parametrize(("part", "no"), list(product(PARTS, ("", "no "))))
def test_a_part_said_while_its_box_waits_or_is_asked_about_mends_it(part: str, no: str) -> None:
    """A question of yes and no about the box takes what of it is otherwise; so does one about something else, where no
    other thing has such a part.
    """
    whole = "box 1 double gang center 30 from left 48 down"
    across, down = Coordinate(Point.CENTER, Length(30), Edge.LEFT), Coordinate(Point.CENTER, Length(48), Edge.TOP)
    here = Box(BoxKind.DOUBLE, across, down, "box 1")
    asked = Talk(*BOARD, "box 1 double gang center 12 from left 48 down", whole)
    assert asked.asks
    beside = Talk(*BOARD[:3], f"{whole}, left 16")
    assert beside.asks
    for talk in (asked, beside):
        assert PARTS[part](here) in talk.facts(f"{no}{part}")


@pytest.mark.parametrize("part", ["no left", "no down", "no double gang", "no center", "no 30 from left"])
def test_a_no_with_a_part_as_it_was_read_back_is_a_contradiction(part: str) -> None:
    """Asked, and nothing goes."""
    talk = Talk(*BOARD, "box 1 double gang center 30 from left 48 down")
    before = talk.facts()
    assert talk.facts(part) == before
    assert talk.asks
    assert "you said no" in " ".join(say.spoken for say in talk.said)


CHANGES = ("change box 1 to 20 from left", "change top to 46", "change box 1 to double gang", "move box 1 to 12 down")


@pytest.mark.parametrize("change", CHANGES)
def test_a_correction_called_under_a_question_is_one_when_it_is_taken_up(change: str) -> None:
    """It is asked about no more than if it had come alone."""
    start = (*BOARD, "box 1 single gang center 30 from left 48 down", "yes")
    alone, under = Talk(*start, change), Talk(*start, "box 1 is dead and tested", change)
    assert under.asks
    assert under.facts("yes") == alone.facts()
    assert under.asks == alone.asks


@pytest.mark.parametrize("what", ["window", "door", "opening"])
@pytest.mark.parametrize(
    ("how", "part"),
    [
        *product(
            ("change {} 1 to {}", "make {} 1 {}", "fix {} 1 to {}"), ("12 from left", "14 wide", "13 tall", "14 by 13")
        ),
        ("{} 1 should be {}", "12 from left"),
    ],
)
def test_a_part_of_an_opening_is_changed_by_its_name(what: str, how: str, part: str) -> None:
    """The rest of it stays, and it isn't asked whether it is another one."""
    talk = Talk(*BOARD, f"{what} 20 from left 30 up 10 by 12", "yes")
    (old,) = (fact for fact in talk.facts() if isinstance(fact, Opening))
    (new,) = (fact for fact in talk.facts(how.format(what, part)) if isinstance(fact, Opening))
    assert new != old
    assert not talk.asks
    there = {
        "12 from left": (Length(12), old.width, old.height),
        "14 wide": (old.xs[0].value, Length(14), old.height),
        "13 tall": (old.xs[0].value, old.width, Length(13)),
        "14 by 13": (old.xs[0].value, Length(14), Length(13)),
    }
    assert (new.xs[0].value, new.width, new.height) == there[part]
    assert (new.ys, new.name) == (old.ys, old.name)


WAYS = {
    "first": Neighbor.WALL,
    "the first one": Neighbor.WALL,
    "second": Neighbor.OUTSIDE_CORNER,
    "the second": Neighbor.OUTSIDE_CORNER,
}


@pytest.mark.parametrize("answer", WAYS)
@pytest.mark.parametrize("edge", [Edge.LEFT, Edge.RIGHT])
def test_which_of_several_is_answered_by_its_number(answer: str, edge: Edge) -> None:
    """In the order in which they were told; typed at once, spoken with a yes to the one alone."""
    talk = Talk(f"corner on the {edge}")
    assert talk.asks
    assert Context(Topic.NEIGHBOR, WAYS[answer], edge) in talk.facts(answer)
    spoken = Talk(f"corner on the {edge}")
    spoken.speaks(answer)
    assert spoken.asks
    assert Context(Topic.NEIGHBOR, WAYS[answer], edge) in spoken.facts("yes")


def test_a_number_that_no_way_has_leaves_the_question() -> None:
    """Two ways have no third."""
    talk = Talk("corner on the left", "the third one")
    assert talk.asks
    assert Context(Topic.NEIGHBOR, Neighbor.OUTSIDE_CORNER, Edge.LEFT) in talk.facts("outside corner")


@pytest.mark.parametrize("side", [Edge.LEFT, Edge.RIGHT])
@pytest.mark.parametrize("again", ["14 1/2 from {}", "14 1/2 from {}, 80 1/4 down", "80 1/4 down, 14 1/2 from {}"])
def test_a_distance_said_again_with_its_edge_completes_it(side: Edge, again: str) -> None:
    """As far as it says what is missing; the point is asked for as before."""
    talk = Talk("outlet 14 1/2 over, 80 1/4 down", again.format(side))
    assert talk.asks
    assert box(side, Point.CENTER) in talk.facts("center")


def test_another_distance_is_not_the_one_that_is_asked_about() -> None:
    """Neither another figure nor another way: the question stays, and nothing of it is taken."""
    for other in ("15 from left", "14 1/2 up", "80 1/4 from left", "14 1/2 from left, 81 down"):
        talk = Talk("outlet 14 1/2 over, 80 1/4 down", "center", other)
        assert talk.asks, other
        assert box(Edge.LEFT, Point.CENTER) in talk.facts("left"), other


def test_the_same_figure_up_is_the_other_distance() -> None:
    """Fourteen over and fourteen up are two."""
    talk = Talk("outlet 14 over", "center", "14 up")
    assert talk.asks
    (found,) = [fact for fact in talk.facts("left") if isinstance(fact, Box)]
    assert (found.x, found.y) == tuple(Coordinate(Point.CENTER, Length(14), edge) for edge in (Edge.LEFT, Edge.BOTTOM))


@pytest.mark.parametrize("no", ["", "no "])
@pytest.mark.parametrize("other", ["top", "middle", "bottom"])
@pytest.mark.parametrize("side", ["left", "the right"])
def test_a_place_alone_moves_the_figure_that_is_asked_about(no: str, other: str, side: str) -> None:
    """Whether a width of 95 1/2 is right is answered by where it is; what stood at the other place stands again."""
    for before in ((), (f"{other} 46",)):
        wall = wall_after("top 46 1/4", "bottom 46 1/8", *before)
        old = wall.value(f"width, {other}")
        wall.types(f"width {other} 95 1/2")
        assert wall.asks
        told = wall.types(f"{no}{side}")
        assert ("is that right?" in told) is (old is not None), "it stands again by a place that was said wrongly"
        assert wall.asks is (old is not None)
        wall.types("yes")
        assert wall.value(f"height, {side.removeprefix('the ')}") == "95 1/2"
        assert wall.value(f"width, {other}") == old
        assert not wall.session.state.not_taken("1")


@pytest.mark.parametrize("place", ["top", "left"])
def test_a_place_alone_moves_nothing_that_stood_before(place: str) -> None:
    """An objection puts in question what was in force: it stays at its place until its own word."""
    wall = wall_after("top 46 1/4", "middle 46", "yes", "no")
    assert wall.asks
    wall.types(place)
    assert wall.value("width, middle") == "46" or wall.session.state.not_taken("1")


UP = (
    "bottom edge is {} above the floor",
    "the bottom of the board is {} above the floor",
    "bottom edge is {} off the floor",
    "the bottom is {} from the floor",
    "bottom of the board is {} up",
    "the board starts {} up",
    "above the floor {}",
    "above floor {}",
)


@pytest.mark.parametrize("high", ["48", "48 1/2", "forty eight and a half"])
@pytest.mark.parametrize("line", UP)
def test_how_high_a_board_hangs_is_answered_in_the_words_of_the_question(line: str, high: str) -> None:
    """What was measured from the floor needs it, and its plan is there with it."""
    wall = wall_after("lying", "upper course", "top 90", "bottom 90", "box 1 single gang center 20 from left 60 up")
    assert "how high the board's bottom edge is above the floor" in wall.types("done")
    wall.types(line.format(high), "done")
    assert wall.view.plan is not None


PAIRS = (("three quarters", "three eighths"), ("a half", "an eighth"), ("one sixteenth", "fifteen sixteenths"))


@pytest.mark.parametrize("place", ["top", "height left"])
@pytest.mark.parametrize("named", [False, True])
@pytest.mark.parametrize("fractions", PAIRS)
def test_whole_inches_are_no_answer_to_which_fraction(fractions: tuple[str, str], place: str, named: bool) -> None:
    """Both have them: it is asked on, and the fraction alone settles it."""
    wall = Wall()
    wall.speaks(*(f"{place} forty two and {fraction}" for fraction in fractions))
    told = wall.speaks(f"{place} forty two" if named else "forty two")
    assert "That doesn't say which" in told
    assert not wall.session.state.not_taken("1")
    wall.speaks(fractions[1])
    (call,) = (one for one in wall.session.state.calls.values() if one.waits)
    assert call.fact == wall_after(f"{place} forty two and {fractions[1]}").session.state.calls[1].fact


def test_whole_inches_of_one_choice_are_asked_with_its_fraction() -> None:
    """They may be a figure of their own."""
    wall = Wall()
    wall.speaks("top forty three eighths")
    assert wall.speaks("forty three") == "Width, top: 43 3/8: is that right?"


def test_whole_inches_beside_a_single_figure_are_another_one() -> None:
    """There is nothing to choose from."""
    wall = wall_after(*BOARD, "bottom is an eighth less than the top")
    wall.types("bottom forty six")
    known = wall.session.state.known("1", doubtful=True)
    assert Reading(Length(46), Dimension.WIDTH, Slot.BOTTOM) in [call.fact for call in known.values()]


def test_a_value_that_none_of_the_choices_was_is_read_back_at_the_end() -> None:
    """It was heard once, beside two that differ."""
    wall = Wall()
    for line in ("top forty two", "bottom forty two", "height left eighty eight", "height right eighty eight"):
        wall.speaks(line)
    wall.speaks("top forty two and an eighth", "top forty two and a sixteenth")
    wall.speaks("forty two and a quarter")
    assert "width top 42 1/4" in wall.speaks("done")


FAR_OF_ONE = {
    "outlet right edge 12 from left 14 up": ("far", "center"),
    "outlet 12 from left top edge 16 up": ("center", "far"),
    "switch left edge 12 from right 48 up": ("far", "center"),
    "double gang right edge 12 from left 40 down": ("far", "center"),
}


@pytest.mark.parametrize("line", FAR_OF_ONE)
def test_the_far_side_is_that_of_one_distance(line: str) -> None:
    """To what the other one goes is asked, and answered for that one alone."""
    wall = wall_after(*BOARD)
    assert wall.types(line).endswith(": center or edge?")
    wall.types("center")
    (box,) = (call.fact for call in wall.session.state.calls.values() if call.waits)
    assert isinstance(box, Box)
    assert (box.x.point.value, box.y.point.value) == FAR_OF_ONE[line]


CHANGED = {
    "change box one to 33 from left": ("outlet 9 from left 40 up", "outlet 33 from left 40 up"),
    "no 33 from left": ("outlet 9 from left 40 up", "outlet 33 from left 40 up"),
    "change box one to a double gang": ("outlet 9 from left 40 up", "double gang 9 from left 40 up"),
    "change box one to 20 up": ("outlet 9 from left 40 up", "outlet 9 from left 20 up"),
    "change pipe one to 33 from left": ("pipe 9 from left 40 up", "pipe 33 from left 40 up"),
    "change window one to 12 by 14": ("window 10 by 12", "window 12 by 14"),
}
"""What is said anew of a thing that lacks a part, and how it would have been called at once."""


@pytest.mark.parametrize("change", CHANGED)
def test_what_lacks_a_part_keeps_what_is_not_said_anew(change: str) -> None:
    """Its kind and its other distance, and the question for what it lacks."""
    before, whole = CHANGED[change]
    wall, at_once = wall_after("top 42", "bottom 42", "left 90", "right 90", before), Wall()
    at_once.types("top 42", "bottom 42", "left 90", "right 90", whole)
    wall.types(change)
    (now,), (right,) = (
        [call.fact for call in one.session.state.waiting("hanger") if isinstance(call.fact, Box | Opening | Incomplete)]
        for one in (wall, at_once)
    )
    assert isinstance(now, Box | Opening | Incomplete)
    assert isinstance(right, Box | Opening | Incomplete)
    assert replace(now, name="") == replace(right, name=""), wall.said
    assert wall.asks


BEGUN = {
    "outlet 12 over 16 up": ("single gang", "it's a single gang", "16 up", "up"),
    "outlet center 12 over 16 up": ("center", "to the center", "single gang", "16 up"),
    "box center 12 from left 16 up": ("center", "12 from the left", "the left", "16 up"),
    "octagon center 12 from the left": ("octagon", "center", "12 from left", "left"),
    "three inch pipe 12 from left 16 up": ("12 from left", "16 up"),
}
"""What lacks a part, and what it has."""


@pytest.mark.parametrize(("call", "again"), [(call, one) for call, all_of in BEGUN.items() for one in all_of])
def test_what_was_called_already_is_no_answer_and_nothing_lost(call: str, again: str) -> None:
    """A piece said once more changes nothing and waits for nobody: the question stands."""
    wall = wall_after(call)
    before, asked = wall.session.state.call_of(wall.session.state.doubts[0]), wall.said
    wall.types(again)
    state = wall.session.state
    assert before is not None
    assert state.call_of(state.doubts[0]) == before
    assert wall.said[-1].text == asked[-1].text
    assert not [one.words for one in state.not_taken(state.board)]


@pytest.mark.parametrize("call", ["outlet 12 over 16 up", "octagon 12 over 16 up", "single gang 12 over 16 up"])
@pytest.mark.parametrize(("said", "kind"), [("two gang", BoxKind.DOUBLE), ("it's a round box", BoxKind.ROUND)])
def test_the_last_word_of_a_begun_box_is_its_kind(call: str, said: str, kind: BoxKind) -> None:
    """Another kind said before the box is whole is the kind that is read back."""
    talk = Talk(call, said)
    (only,) = talk.facts("left", "center")
    assert isinstance(only, Box)
    assert only.kind is kind
    assert f"{kind.value.replace('_', ' ')}" in " ".join(say.text for say in talk.said)


def test_a_kind_of_box_makes_no_box_of_an_opening() -> None:
    """A pipe isn't a single gang: the words stand as not taken."""
    wall = wall_after("pipe 12 over 16 up")
    wall.types("single gang")
    assert [one.words for one in wall.session.state.not_taken(wall.session.state.board)] == ["single gang"]
