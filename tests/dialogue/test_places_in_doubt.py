"""A figure whose place or unit isn't known goes nowhere in silence, and nothing that was said meanwhile is lost."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import product

import pytest

from fieldvoice.dialogue.rooms import Judged, Rooms, rooms
from fieldvoice.language.understanding import understand
from fieldvoice.language.verdict import Expectation
from fieldvoice.records.hearing import Hearing, Source
from fieldvoice.records.ledger import Call, OpenKind, Standing, Tell
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Reading, Slot
from fieldvoice.records.utterance import Spoilt, Status
from tests.dialogue.talk import Wall, unsure, wall_after

PLACES = {"bottom": "width, bottom", "middle": "width, middle", "right": "height, right"}


def slips(word: str) -> list[str]:
    """Every word that one finger makes of it, of those that nobody knows."""
    letters = "etx"
    one_less = {word[:at] + word[at + 1 :] for at in range(len(word))}
    one_more = {word[:at] + each + word[at:] for at in range(1, len(word)) for each in letters}
    swapped = {word[:at] + word[at + 1] + word[at] + word[at + 2 :] for at in range(len(word) - 1)}
    found = sorted((one_less | one_more | swapped) - {word})
    return [each for each in found if understand(each, Source.TYPED, Unit.INCH).spoilt is not None]


SLIPS = [(slip, place) for place in PLACES for slip in slips(place)]


@pytest.mark.parametrize("after", ["", " 46 and", " 46 9/8", " about 46"])
@pytest.mark.parametrize(("slip", "place"), SLIPS)
def test_a_figure_after_a_misspelled_place_is_asked_about(slip: str, place: str, after: str) -> None:
    """It is in force at no place before somebody says so, and then at the one that was meant."""
    wall = wall_after("t 46 7/8", f"{slip}{after}")
    wall.types("46 3/4")
    assert wall.asks, slip
    placed = [call for call in wall.session.state.on("1") if call.in_force or call.standing is Standing.READ_BACK]
    assert [call.key.at for call in placed] == [Slot.TOP]
    wall.types(f"the {place}" if wall.session.state.open["hanger"].doubts[0].ways else "yes", "yes")
    assert wall.value(PLACES[place]) == "46 3/4"
    assert not [one for one in wall.view.open if one.kind is OpenKind.NOT_TAKEN]


def test_there_are_slips_enough() -> None:
    """Of all three places."""
    assert len(SLIPS) > 25
    assert {place for _, place in SLIPS} == set(PLACES)


@pytest.mark.parametrize("words", ["xyzzy 46", "the gizmo 46 and", "qwerty"])
@pytest.mark.parametrize("answer", ["bottom", "the bottom", "bottom 46 3/4"])
def test_a_figure_after_words_that_nobody_knows_is_asked_where(words: str, answer: str) -> None:
    """The place alone answers, or all of it again."""
    wall = wall_after("t 46 7/8", words)
    assert "where?" in wall.types("46 3/4")
    wall.types(answer)
    assert wall.value("width, bottom") == "46 3/4"
    assert wall.value("width, middle") is None
    assert not [one for one in wall.view.open if one.kind is OpenKind.NOT_TAKEN]


def test_a_figure_that_was_spoilt_alone_has_the_next_place_as_before() -> None:
    """No place was in doubt: a bare one for a bare one."""
    wall = wall_after("t 46 7/8", "46 9/8")
    assert wall.types("46 3/4") == "Width, middle: 46 3/4."


CALLS = (
    "top 46",
    "height left 96",
    "box 1 single gang center 30 from left 48 down",
    "3 inch pipe center 22 from left 30 down",
)


@pytest.mark.parametrize("call", CALLS)
@pytest.mark.parametrize("again", ["no", "wrong"])
def test_no_and_the_same_again_is_a_contradiction(call: str, again: str) -> None:
    """Though the no was a breath of its own: it is asked, and a yes settles it."""
    wall = wall_after(call, again)
    assert "you said no, then the same again" in wall.types(call)
    wall.types("yes")
    assert [one for one in wall.session.state.on("1") if one.in_force]


@pytest.mark.parametrize(("first", "then"), [("top 46", "top 47"), ("unit mm", "unit inches"), ("tp 46", "top 47")])
def test_what_comes_after_a_no_takes_the_place_of_what_was_denied(first: str, then: str) -> None:
    """Nothing of it is open any more."""
    wall = wall_after(first, "no", then)
    assert not wall.asks
    assert not [one for one in wall.view.open if one.kind is OpenKind.NOT_TAKEN]


BOARD = {Unit.MM: ("top 1190", "bottom 1188", "left 2400", "right 2401"), Unit.INCH: ("top 46", "bottom 46", "left 96")}
ASKED = {"unitz millimeters": Unit.MM, "unitz inches": Unit.INCH}


@pytest.mark.parametrize(("asked", "spoken"), [*product(ASKED, (False, True))])
def test_a_question_about_the_unit_swallows_no_board(asked: str, spoken: bool) -> None:
    """What is called while it waits is taken with the answer, in the unit that was meant."""
    wall, unit = Wall(), ASKED[asked]
    wall.types(asked)
    assert wall.asks
    calls = BOARD[unit]
    for line in calls:
        said = wall.speaks(line.replace("46", "forty six").replace("96", "ninety six")) if spoken else wall.types(line)
        assert "answer first" in said
    if spoken and unit is Unit.MM:
        return  # figures are no words: kept, and told as open
    wall.types("yes")
    values = {call.fact.value for call in wall.session.state.known("1").values() if hasattr(call.fact, "at")}  # type: ignore[union-attr]
    assert values == {Length.of(int(line.split()[1]), unit) for line in calls}
    assert not [one for one in wall.view.open if one.kind is OpenKind.NOT_TAKEN]


def test_no_to_the_unit_leaves_the_figures_to_the_other_one() -> None:
    """They are read in inches then, and millimeters that are none are told."""
    wall = wall_after("unitz millimeters", "top 46 7/8", "bottom 1190", "no", "inches")
    assert wall.value("width, top") == "46 7/8"
    assert wall.value("width, bottom") is None
    kept = [one.call.words for one in wall.view.open if one.kind is OpenKind.NOT_TAKEN and one.call]
    assert kept == ["bottom 1190"]


def test_the_partner_waits_for_the_unit_too() -> None:
    """Whose figure it is: it has no unit before the hanger has answered. A query takes up nothing, a call does."""
    wall = wall_after("unitz millimeters")
    told = wall.types("left 2400", who="partner")
    assert "Hanger is asked" in told
    assert "Not taken: “left 2400”" in told
    wall.types("yes")
    assert wall.value("height, left") is None
    wall.types("say again", who="partner")
    assert wall.value("height, left") is None
    wall.types("right 2405", who="partner")
    assert (wall.value("height, left"), wall.value("height, right")) == ("2400", "2405")
    wall.restart()
    assert wall.value("height, left") == "2400"


def test_a_word_of_danger_waits_for_no_unit() -> None:
    """It is taken at once, whatever is asked."""
    wall = wall_after(
        "box 1 single gang center 30 from left 48 down", "box 1 dead and tested", "yes", "unitz millimeters"
    )
    wall.types("box 1 is live, top 46")
    assert "live" in {word.state.value for word in wall.session.state.circuits("1").values()}


def test_spoilt_words_tell_what_stood_before_the_figure() -> None:
    """A place as it was said, one that a slip was meant for, or something else; nothing where all was understood."""
    spoilt = {
        line: understand(line, Source.TYPED, Unit.INCH) for line in ("bottom 46 and", "botom 46 and", "xq 46 and")
    }
    assert [each.spoilt and (each.spoilt.at, each.spoilt.guessed) for each in spoilt.values()] == [
        (Slot.BOTTOM, False),
        (Slot.BOTTOM, True),
        (None, False),
    ]
    assert understand("bottom 46", Source.TYPED, Unit.INCH).spoilt is None
    assert understand("46 9/8", Source.TYPED, Unit.INCH).spoilt is None
    assert understand("bottom 46", Source.TYPED, Unit.INCH).status is Status.UNDERSTOOD
    assert Spoilt().at is None


@pytest.mark.parametrize("thing", ["outlet", "3 inch pipe", "window", "box 1 single gang center 30 from left 48 down"])
def test_a_figure_after_a_no_to_a_thing_goes_nowhere_in_silence(thing: str) -> None:
    """It may be a figure of that thing."""
    wall = wall_after("t 46 7/8", thing, "no")
    assert "where?" in wall.types("46 1/2")
    assert wall.value("width, middle") is None


@pytest.mark.parametrize("words", ["xyzzy 46", "botom 46 and"])
def test_what_was_not_taken_is_told_where_its_board_is_left(words: str) -> None:
    """Also where nothing else was called on it."""
    wall = Wall()
    assert words in wall.types(words, "next board")


@pytest.mark.parametrize("spoilt", ["b 46 9/8", "botom 46 and", "botom 46", "bottom 46 and seven", "b 460 1/2"])
@pytest.mark.parametrize("no", ["no", "no,", "wrong", "no it's"])
def test_a_no_with_a_figure_is_of_the_place_that_was_spoilt(spoilt: str, no: str) -> None:
    """And of nothing that was read back before it."""
    wall = wall_after("t 46 7/8", spoilt)
    wall.types(f"{no} 46 1/2", "yes")
    assert wall.value("width, top") == "46 7/8"
    assert wall.value("width, bottom") == "46 1/2"


@pytest.mark.parametrize("again", ["no 46", "no 46 7/8"])
def test_no_and_the_figure_that_is_asked_about_is_asked_again(again: str) -> None:
    """Neither a yes nor another place's figure."""
    wall = wall_after("top 45", f"botom {again.removeprefix('no ')}")
    wall.types(again)
    assert wall.asks
    assert wall.value("width, top") == "45"
    assert wall.value("width, bottom") is None


CALLED = (
    "top forty three and fifteen sixteenths",
    "middle forty four and a quarter",
    "bottom forty four and five sixteenths",
    "height left ninety five and a quarter",
    "height right ninety five and a half",
)
STOOD = {
    "width, top": "43 15/16",
    "width, middle": "44 1/4",
    "width, bottom": "44 5/16",
    "height, left": "95 1/4",
    "height, right": "95 1/2",
}
NO = {
    "top": ("width, top", "forty four and five eighths", "44 5/8", ("width, middle", "width, bottom")),
    "middle": ("width, middle", "forty four and five eighths", "44 5/8", ("width, bottom", "width, top")),
    "height left": ("height, left", "ninety five and three eighths", "95 3/8", ("height, right",)),
    "height right": ("height, right", "ninety five and three eighths", "95 3/8", ("height, left",)),
}


@pytest.mark.parametrize("calls", range(2, len(CALLED) + 1))
@pytest.mark.parametrize("place", NO)
@pytest.mark.parametrize("belongs", ["as called", "told"])
def test_a_no_at_a_place_that_was_not_just_said_is_asked_about(calls: int, place: str, belongs: str) -> None:
    """It may have been heard for a place that was: what stands at either goes only with an answer."""
    wall = Wall()
    wall.speaks(CALLED[0])
    for line in CALLED[1:calls]:
        wall.speaks(line)
    told = {call.key for note in wall.session.state.said for call in note.values if isinstance(call, Call)}
    own, words, value, others = NO[place]
    kind = own.split(",")[0]
    of_kind = {f"{key.of.value}, {key.at}" for key in told} & {*STOOD}
    wall.speaks(f"no {place} {words}")
    if own in of_kind or not any(one.startswith(kind) for one in of_kind):
        return
    assert wall.asks
    there = own if belongs == "as called" else next(one for one in others if one in of_kind)
    wall.speaks(f"{there.replace('width, ', '').replace(',', '')} {words}")
    for _ in range(3):
        if wall.asks:
            wall.speaks("yes")
    assert wall.value(there) == value
    stands = [one for one in STOOD if one != there and wall.value(one) is not None]
    assert all(wall.value(one) == STOOD[one] for one in stands)


WIDTHS = {
    "top": "forty six and seven eighths",
    "bottom": "forty six and three quarters",
}
IN_FIGURES = {"top": "46 7/8", "bottom": "46 3/4"}


@pytest.mark.parametrize(("far", "told"), [("top", "bottom"), ("bottom", "top")])
@pytest.mark.parametrize("meant", ["top", "bottom"])
@pytest.mark.parametrize("figure", ["five eighths", "nine sixteenths", "a half"])
def test_a_no_with_the_figure_of_a_third_place_takes_that_one_out_for_nobody(
    far: str, told: str, meant: str, figure: str
) -> None:
    """Heard with another place than it was meant for: the third stands, though it is asked about."""
    wall, middle = Wall(), f"forty six and {figure}"
    for line in (f"{far} {WIDTHS[far]}", f"{told} {WIDTHS[told]}", "left ninety six", f"middle {middle}"):
        wall.speaks(line)
    wall.speaks(f"no {far} {middle}")
    assert wall.asks
    assert not any(note.tell is Tell.TAKEN_BACK for note in wall.session.state.said)
    for line in (f"{meant} {middle}", "done"):
        wall.speaks(line)
        while wall.asks:
            wall.speaks("yes")
    own = wall.value("width, middle")
    assert own is not None
    other = {"top": "bottom", "bottom": "top"}[meant]
    assert wall.value(f"width, {meant}") == own
    assert wall.value(f"width, {other}") == IN_FIGURES[other]


HEARD_ONCE = ("top and bottom", "top middle and bottom", "top and middle", "both sides")
FIGURES = ("thirty and a quarter", "forty", "seventeen and a half", "eighty")
ROOMS = rooms()


def unsure_by_ear(its: Rooms) -> Rooms:
    """Rooms whose ears doubt all that they hear, and whose keys don't."""

    def judged(hearings: Sequence[Hearing], awaiting: Expectation) -> Judged:
        heard = its if hearings[0].source is Source.TYPED else unsure(its)
        return heard.judged(hearings, awaiting)

    return replace(its, judged=judged)


DOUBTING: dict[str, Callable[[Rooms], Rooms]] = {"twin": lambda its: its, "unsure": unsure_by_ear}


def in_question(wall: Wall) -> list[Call]:
    """The calls of the board at hand that are."""
    return list(wall.session.state.in_question("1"))


def heard_once(places: str, figure: str, doubting: str) -> tuple[Wall, int]:
    """A wall on which one figure was heard once for several places, with doubt; how many they are."""
    wall = Wall(its_rooms=DOUBTING[doubting](ROOMS))
    said = wall.speaks(f"{places} {figure}")
    assert said.count("?") == 1, said
    assert wall.types("what is missing").count("still has to answer") == 1
    return wall, len(in_question(wall))


@pytest.mark.parametrize(
    ("places", "figure", "doubting", "again"), list(product(HEARD_ONCE, FIGURES, DOUBTING, ("", "restart")))
)
def test_one_figure_heard_once_is_asked_once(places: str, figure: str, doubting: str, again: str) -> None:
    """One answer settles it at all its places: a yes, a no, all of it again, another figure. One of the places alone is
    another answer, and the question stays about the others.
    """
    other = "twenty and a half"
    whole = f"{places} {figure}"
    for answer in ("yes", "no", whole, f"yes {whole}", other, f"no {other}"):
        wall, several = heard_once(places, figure, doubting)
        assert several > 1
        if again:
            wall.restart()
        called = {call.number: call for call in in_question(wall)}
        said = wall.types(answer)
        assert not in_question(wall), (answer, said)
        now = [wall.session.state.calls[each].standing for each in called]
        if answer == "no":
            assert {each.about or each.key for each in wall.session.state.not_taken("1")} == {
                each.key for each in called.values()
            }
        elif other in answer:
            values = [
                call.fact.value for call in wall.session.state.known("1").values() if isinstance(call.fact, Reading)
            ]
            assert values == [Length("20 1/2")] * several
        else:
            assert set(now) == {Standing.CONFIRMED}, (answer, said)
    wall, several = heard_once(places, figure, doubting)
    _, *others = in_question(wall)
    wall.types(f"{others[0].key.of.value} {others[0].key.at} {other}")
    assert len(in_question(wall)) == several - 1
    wall.types("yes")
    assert not in_question(wall)


@pytest.mark.parametrize("doubting", DOUBTING)
@pytest.mark.parametrize("answer", ["yes", "no"])
def test_two_figures_of_one_call_are_asked_about_each_by_itself(answer: str, doubting: str) -> None:
    """A yes to the one says nothing of the other, nor of what was called before it."""
    wall = Wall(its_rooms=DOUBTING[doubting](ROOMS))
    wall.speaks("top thirty middle thirteen")
    wall.types(answer)
    (asked,) = wall.session.state.open["hanger"].doubts
    assert wall.session.state.calls[asked.call or 0].key.at is Slot.MIDDLE
    wall = Wall(its_rooms=ROOMS)
    wall.types("width top 46, middle 46")
    wall.speaks("left and right eighty")
    wall.types(answer)
    assert wall.value("width, top") == "46"


@pytest.mark.parametrize(("heard", "other"), [("left", "right"), ("right", "left")])
def test_a_figure_of_one_of_two_places_takes_the_place_of_nothing(heard: str, other: str) -> None:
    """It stood at neither before."""
    wall = Wall()
    wall.speaks(f"{heard} ninety", f"{other} ninety")
    said = wall.types(other)
    assert f"{other}: 90" in said
    assert "instead" not in said


HEIGHTS_OF_ONE_BREATH = (
    "l 96 r 46",
    "t 46 b 46 l 96 r 46",
    "t 40 b 40 l 96 r 41 1/2",
    "~left ninety six right forty six",
    "r 40 l 95 1/2",
    "t 30 b 30 l 96 r 60",
)


@pytest.mark.parametrize("row", HEIGHTS_OF_ONE_BREATH)
def test_a_height_far_from_another_of_its_breath_is_asked_about(row: str) -> None:
    """It may be a width, or the top would be steeper than a roof of common pitch."""
    wall = Wall()
    told = wall.says(row)
    assert " in less than " in told or " in more than " in told
    assert wall.asks


NO_QUESTION = (
    "l 96 r 95 1/2",
    "both sides 90",
    "~left ninety six right ninety five and a half",
    "left is sixty, right is eighty two and a half",
    "t 46 b 46 l 96 r 70",
)


@pytest.mark.parametrize("row", NO_QUESTION)
def test_heights_of_one_breath_that_may_be_a_slope_are_taken(row: str) -> None:
    """A wall is out by so much, or its top slopes, which its speaker knows."""
    wall = Wall()
    wall.says(row)
    assert not wall.asks, wall.said


ENDS = {"width": ("top", "bottom"), "height": ("left", "right")}
MEASURED = {"width": ("top 46", "bottom 46 1/8"), "height": ("left 95", "right 95 1/8")}
MIDDLES = {"width": ("middle width 46",), "height": ("middle height 95",)}


@pytest.mark.parametrize("words", ["{}", "i get {}", "{way} {}", "P:{}", "P:{way} {}"])
@pytest.mark.parametrize("middle", [False, True])
@pytest.mark.parametrize("both", [False, True])
@pytest.mark.parametrize("way", ENDS)
def test_a_figure_without_a_place_behind_both_ends_is_asked_about(
    way: str, both: bool, middle: bool, words: str
) -> None:
    """It is put at no place in silence; at the one that is named then, and at none with a no."""
    other = next(each for each in ENDS if each != way)
    lines = (*(MEASURED[other] if both else ()), *MEASURED[way], *(MIDDLES[way] if middle else ()), "type x")
    figure = {"width": "45 3/4", "height": "95 1/2"}[way]
    wall = wall_after(*lines)
    before = wall.readings
    who = "P:" if words.startswith("P:") else ""
    told = wall.says(words.format(figure, way=way))
    assert "where?" in told, told
    assert wall.readings == before
    for place in (*ENDS[way], "middle"):
        there = wall.twin()
        there.says(who + place)
        assert there.value(f"{way}, {place}") == figure, (place, there.said)
        assert {one.label for one in there.readings} <= {*(one.label for one in before), f"{way}, {place}"}
    wall.says(f"{who}no")
    assert wall.readings == before


@pytest.mark.parametrize("figures", ["95 1/2", "height 95 1/2", "95 1/2, 95 3/4"])
@pytest.mark.parametrize("middle", [(), ("middle 46",)])
def test_a_figure_near_none_of_what_is_measured_goes_to_the_ends_of_the_other_way(
    middle: tuple[str, ...], figures: str
) -> None:
    """And not to the middle that nobody measured."""
    wall = wall_after("top 46", *middle, "bottom 46")
    assert "Height, left: 95 1/2" in wall.types(figures)
    assert not wall.asks


def test_a_crew_that_measures_the_middle_last_is_not_asked() -> None:
    """It said so."""
    wall = wall_after("we measure top bottom middle left right", "46", "46 1/8")
    assert "Width, middle: 46 1/4" in wall.types("46 1/4")
