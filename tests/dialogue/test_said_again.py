"""What is said again settles: by one plain question, never by the same one without end, never in silence."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import pytest

from fieldvoice.dialogue.rooms import Judged, Rooms, rooms
from fieldvoice.language.understanding import understand
from fieldvoice.language.verdict import Expectation
from fieldvoice.records.hearing import Hearing, Source
from fieldvoice.records.ledger import AnsweredBy, OpenKind
from fieldvoice.records.length import Unit
from fieldvoice.records.meaning import Opening
from fieldvoice.wording.notices import answer
from tests.dialogue.talk import A_BOARD, Wall, wall_after

BOXES = (
    (
        "box one single gang center fourteen and a half from left seventy nine and three quarters down",
        "fourteen",
        "forty",
    ),
    ("box one single gang center thirty and a half from right sixteen up", "thirty", "thirteen"),
    ("two inch pipe center sixteen and a quarter from left eighteen up", "sixteen", "sixty"),
    ("six inch can light center nineteen from left eighty down", "nineteen", "ninety"),
)
"""A call, a word of it, and what sounds like that word."""
READINGS = (
    ("top forty six and seven eighths", "forty six", "forty seven"),
    ("height left ninety five and a half", "five", "nine"),
    ("bottom thirty", "thirty", "thirteen"),
)


def asked_by(wall: Wall) -> AnsweredBy | None:
    """What answers the question that is open."""
    mine = wall.session.state.open.get("hanger")
    return mine.doubts[0].answered_by if mine is not None and mine.doubts else None


def doubting(words: dict[str, str], *, unsure: bool = False) -> Callable[[Rooms], Rooms]:
    """Rooms that hear these words with that rival, or with none but without being sure."""

    def changed(its: Rooms) -> Rooms:
        def judged(hearings: Sequence[Hearing], awaiting: Expectation) -> Judged:
            found = its.judged(hearings, awaiting)
            rival = words.get(found.utterance.heard)
            if rival is None or hearings[0].source is Source.TYPED:
                return found
            meant = understand(rival, Source.SPOKEN, awaiting.unit).meanings
            return Judged(found.utterance, None if unsure else meant, unsure=unsure)

        return replace(its, judged=judged)

    return changed


@pytest.mark.parametrize(("call", "word", "twin"), BOXES)
def test_a_lone_figure_says_which_of_two_boxes(call: str, word: str, twin: str) -> None:
    """Either of them: the figure that only one of the two has."""
    for meant in (word, twin):
        wall = wall_after(*A_BOARD)
        wall.speaks(call, call.replace(word, twin, 1))
        assert asked_by(wall) is AnsweredBy.ONE_OF
        part = call.split(meant if meant == word else word, 1)[1].split(" from")[0]
        told = wall.speaks(f"{meant}{part}")
        assert asked_by(wall) is not AnsweredBy.ONE_OF, told
        things = [line for line in wall.readings if line.label.split()[0] in {"box", "pipe", "light"}]
        assert len(things) == 1, told
        there = understand(f"{meant}{part}", Source.SPOKEN).meanings[0].value  # type: ignore[union-attr]
        assert str(there) in things[0].value, things


@pytest.mark.parametrize(("call", "word", "twin"), [*BOXES, *READINGS])
def test_an_unclear_call_said_again_is_asked_about_by_yes_or_no(call: str, word: str, twin: str) -> None:
    """However often: one question, one call, and a yes settles it."""
    wall = wall_after("middle width 46 3/4")
    other = call.replace(word, twin, 1)
    wall.speaks(call, other)
    for _ in range(3):
        wall.speaks(call, other)
        assert asked_by(wall) is AnsweredBy.YES_OR_NO
        mine = wall.session.state.open["hanger"]
        assert len([doubt for doubt in mine.doubts if doubt.call is not None]) == 1
    for _ in range(3):
        wall.speaks("yes")
    assert not wall.asks
    meant = understand(call, Source.SPOKEN).meanings
    assert any(one.fact is not None and _same(one.fact, meant[0]) for one in wall.session.state.settled("1").values())


def _same(fact: object, meant: object) -> bool:
    return getattr(fact, "value", None) == getattr(meant, "value", 0) or (
        getattr(fact, "x", None) == getattr(meant, "x", 0) or getattr(fact, "xs", None) == getattr(meant, "xs", 0)
    )


@pytest.mark.parametrize(("call", "word", "twin"), [*BOXES, *READINGS])
@pytest.mark.parametrize("unsure", [False, True])
def test_what_is_said_again_with_doubt_waits_for_a_yes(call: str, word: str, twin: str, unsure: bool) -> None:
    """Two hearings of one voice in one noise go wrong together: a repeat alone settles nothing, a yes does."""
    wall = Wall(its_rooms=doubting({call: call.replace(word, twin, 1)}, unsure=unsure)(rooms()))
    wall.types("middle width 46 3/4")
    wall.speaks(call)
    assert wall.asks
    wall.speaks(call)
    assert wall.asks
    assert asked_by(wall) is AnsweredBy.YES_OR_NO
    for _ in range(3):
        wall.speaks("yes")
    assert not wall.asks


def test_the_first_of_two_ways_may_be_the_right_one() -> None:
    """Said again clearly it is taken; it used to go round in a circle."""
    call, other = "top forty six and seven eighths", "top forty seven and one eighth"
    wall = Wall(its_rooms=doubting({call: other})(rooms()))
    wall.speaks(call)
    assert asked_by(wall) is AnsweredBy.ONE_OF
    wall.speaks("forty six and seven eighths")
    assert not wall.asks
    assert wall.value("width, top") == "46 7/8"


@pytest.mark.parametrize("order", ["done", "what's missing", "next board", "undo", "read it all back"])
def test_an_unsure_order_is_done_by_a_yes_or_said_again(order: str) -> None:
    """The same as when it was sure; a no leaves all as it was, and a yes of somebody else does nothing."""
    sure, yes, again, no, other = (Wall(its_rooms=doubting({order: order}, unsure=True)(rooms())) for _ in range(5))
    for wall in (sure, yes, again, no, other):
        wall.types(*A_BOARD)
    sure.types(order)
    for wall in (yes, again, no, other):
        asked = wall.speaks(order)
        assert wall.asks
        assert order in asked
    yes.speaks("yes")
    again.speaks(order)
    before = no.session.state
    no.speaks("no")
    other.speaks("yes", who="partner")
    assert no.session.state.calls == before.calls
    for wall in (yes, again):
        assert wall.session.state.said == sure.session.state.said
        assert wall.session.state.board == sure.session.state.board
    assert other.session.state.said != sure.session.state.said


def test_a_yes_to_an_open_question_is_no_yes_to_an_order() -> None:
    """While something is asked the order is only said again."""
    call = "top forty six and seven eighths"
    wall = Wall(its_rooms=doubting({"undo": "undo", call: call}, unsure=True)(rooms()))
    wall.speaks(call)
    assert wall.asks
    assert "again" in wall.speaks("undo")
    wall.speaks("yes")
    assert wall.value("width, top") == "46 7/8"


def test_a_call_of_which_a_part_was_heard_is_told_whole() -> None:
    """Both sides, heard as the top or as the left alone: the whole of it said again is the answer, and both stand."""
    both = "both sides thirty four and a half"
    wall = wall_after("top 35 7/8", "bottom 35 3/4")
    wall.speaks("top thirty four and a half", "height left thirty four and a half")
    assert asked_by(wall) is AnsweredBy.ONE_OF
    assert "Width, top 34 1/2, or height, left 34 1/2? Say which." in answer(wall.view.last.answer, Unit.INCH)  # type: ignore[union-attr]
    wall.speaks(both)
    assert not wall.asks
    assert [wall.value(f"height, {side}") for side in ("left", "right")] == ["34 1/2", "34 1/2"]
    assert wall.value("width, top") == "35 7/8"


@pytest.mark.parametrize("answer", ["no width bottom forty six and an eighth", "width bottom forty six and an eighth"])
@pytest.mark.parametrize("how", ["speaks", "types"])
def test_where_none_of_the_ways_is_right_the_call_with_its_place_is(answer: str, how: str) -> None:
    """With a no before it or without: the old question is closed, and nothing of it stands."""
    wall = wall_after("top 46 1/4")
    wall.speaks("width middle forty six and a half", "width bottom forty six and a half")
    assert asked_by(wall) is AnsweredBy.ONE_OF
    getattr(wall, how)(answer)
    if how == "speaks" and wall.asks:
        wall.speaks("yes")
    assert not wall.asks, wall.view.last
    assert wall.value("width, bottom") == "46 1/8"
    assert wall.value("width, middle") is None
    assert wall.value("width, top") == "46 1/4"


@pytest.mark.parametrize("how", ["speaks", "types"])
def test_a_no_with_another_place_leaves_what_stood_at_the_first(how: str) -> None:
    """A call heard for another place: that place keeps its value, which is asked about."""
    wall = wall_after("left 54")
    wall.speaks("height left fifty three", "height left fifty four and a half")
    assert asked_by(wall) is AnsweredBy.ONE_OF
    getattr(wall, how)("no height right fifty four and a half")
    for _ in range(2):
        if wall.asks:
            wall.speaks("yes")
    assert not wall.asks
    assert (wall.value("height, left"), wall.value("height, right")) == ("54", "54 1/2")


def test_a_no_that_picks_one_of_the_ways_is_that_way() -> None:
    """No, the second."""
    wall = wall_after("left 54")
    wall.speaks("top thirty", "top thirteen")
    wall.speaks("no top thirteen")
    wall.speaks("yes")
    assert not wall.asks
    assert wall.value("width, top") == "13"


def test_a_no_as_unclear_as_the_call_is_asked_for_otherwise() -> None:
    """Not the same question for ever: what it is, and the figure alone is the answer."""
    wall = wall_after("right 54")
    wall.speaks("height left thirty", "height left thirteen")
    assert asked_by(wall) is AnsweredBy.ONE_OF
    told = wall.speaks("no height left thirty", "no height left thirteen")
    assert "What is it?" in told
    assert asked_by(wall) is None
    wall.speaks("fifty four and a half")
    assert wall.value("height, left") == "54 1/2"
    assert len([one for one in wall.session.state.calls.values() if one.standing.value == "doubtful"]) == 0


def test_the_next_pipe_takes_no_place_of_one_that_waits() -> None:
    """Called while another question is open it is kept for itself; both are there in the end."""
    wall = Wall(its_rooms=doubting({"top forty six": "top forty seven"})(rooms()))
    wall.types("two inch pipe center 16 1/4 from left, 18 up")
    wall.speaks("top forty six")
    assert wall.asks
    wall.types("three inch pipe center 20 1/2 from left, 12 up")
    for _ in range(3):
        if wall.asks:
            wall.types("top forty six")
    pipes = [one.fact for one in wall.session.state.known("1").values() if isinstance(one.fact, Opening)]
    assert len(pipes) == 2, pipes


def test_a_no_as_unclear_to_one_way_is_asked_for_otherwise() -> None:
    """Also where only one of the ways is left to be said yes to: no second question beside it."""
    call = "two inch pipe center sixteen and a quarter from left eighteen up"
    other = call.replace("eighteen", "eighty")
    wall = Wall()
    wall.speaks(call, other)
    wall.speaks(call, other)
    assert asked_by(wall) is AnsweredBy.YES_OR_NO
    assert "What is it?" in wall.speaks(f"no {call}", f"no {other}")
    assert asked_by(wall) is None


SPOILT = ("{place} 46 9/8", "{place} about 46", "{place} 46 3/4 mumble", "{place} 460 1/2", "{place} 46 and")


@pytest.mark.parametrize("spoilt", SPOILT)
@pytest.mark.parametrize(("place", "label"), [("b", "Width, bottom"), ("m", "Width, middle"), ("r", "Height, right")])
def test_a_bare_figure_belongs_to_the_place_whose_figure_was_spoilt(spoilt: str, place: str, label: str) -> None:
    """It goes to no other place, and what was spoilt is not open any more."""
    wall = wall_after("t 46 7/8", spoilt.format(place=place))
    assert f"{label}: 46 3/4" in wall.types("46 3/4")
    assert wall.view.open == tuple(one for one in wall.view.open if one.kind is not OpenKind.NOT_TAKEN)


@pytest.mark.parametrize("between", ["l 96", "P:l 96"])
def test_what_was_spoilt_and_never_said_again_stays_open(between: str) -> None:
    """A value for another place doesn't stand for it."""
    wall = wall_after("t 46 7/8", "b 46 9/8")
    wall.types(between.removeprefix("P:"), who="partner" if between.startswith("P:") else "hanger")
    assert [one.call.words for one in wall.view.open if one.kind is OpenKind.NOT_TAKEN and one.call] == ["b 46 9/8"]


@pytest.mark.parametrize("agreed", ["that's right", "you got it", "sounds good", "sure"])
def test_only_a_yes_counts_for_a_circuit_by_voice(agreed: str) -> None:
    """What is live sounds like what is right: it is asked once more, and a yes or a typed word counts."""
    wall = wall_after("t 46 7/8", "b 46 7/8", "l 96", "r 96", "box 1 single gang center 30 from left 48 down", "yes")
    wall.speaks("box one dead and tested")
    assert "Only a yes counts." in wall.speaks(agreed)
    assert not wall.session.state.circuits("1")
    wall.speaks("yes")
    assert wall.session.state.circuits("1")


PLACES = ("top", "bottom", "left", "right")
FIGURES = {
    "": {"width": ("46 7/8", "26 7/8", "46 1/8"), "height": ("95", "15", "94 1/4")},
    " mm": {"width": ("1190", "890", "1170"), "height": ("2410", "1510", "2390")},
}
"""By unit and way: what was called, what is far from it, and what is near enough to be the same read anew."""
SURE = rooms()


def called_at(place: str, which: int, unit: str, form: str = "{at} {value}") -> str:
    """A reading at that place: the first, the one far from it, or the one near it."""
    way = "width" if place in {"top", "bottom"} else "height"
    return form.format(at=place, value=f"{FIGURES[unit][way][which]}{unit}")


@pytest.mark.parametrize("unit", FIGURES)
@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("form", ["{at} {value}", "{value} {at}"])
@pytest.mark.parametrize("between", [(), ("yes",), ("restart",), ("upper course",), ("undo", "first")])
@pytest.mark.parametrize("who", ["hanger", "partner"])
def test_what_is_far_from_what_it_replaces_is_asked(
    unit: str, place: str, form: str, between: Sequence[str], who: str
) -> None:
    """Whoever calls it and whatever was said between: nothing that far takes a place without a yes or a word that the
    first was wrong. What is near was read anew.
    """
    far, near = called_at(place, 1, unit, form), called_at(place, 2, unit, form)
    for again, asks in ((far, True), (near, False), (called_at(place, 1, unit, "change {at} to {value}"), False)):
        wall = Wall(its_rooms=SURE)
        wall.types(first := called_at(place, 0, unit))
        for line in between:
            if line == "restart":
                wall.restart()
            else:
                wall.types(first if line == "first" else line)
        said = wall.types(again, who=who)
        assert wall.asks is asks, (again, said)
        if asks:
            assert wall.session.state.in_question("1")
            wall.types("yes", who=who)
            assert not wall.asks
