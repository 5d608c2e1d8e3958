"""A reading that is told by another is worked out, shown and taken by a yes alone."""

from __future__ import annotations

from itertools import permutations, product

import pytest

from fieldvoice.records.ledger import Tell
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Dimension, Reading, Slot, SurfaceCall
from fieldvoice.records.utterance import Ask
from tests.dialogue.talk import Wall, wall_after

PLACES = {
    Slot.TOP: (Dimension.WIDTH, "46 1/2"),
    Slot.MIDDLE: (Dimension.WIDTH, "46 1/4"),
    Slot.BOTTOM: (Dimension.WIDTH, "46 3/8"),
}
LONGER = (("an eighth", "1/8"), ("3/16", "3/16"), ("half an inch", "1/2"))
OF_ANOTHER = (
    ("the {at}'s {by} bigger than the {like}", 1),
    ("{at} is {by} less than {like}", -1),
    ("{at} is shorter by {by} than {like}", -1),
    ("{at} is longer than {like} by {by}", 1),
    ("{at} same as {like} plus {by}", 1),
    ("{at} is the same as the {like} less {by}", -1),
    ("the {at} is {by} short the {like}", -1),
)
OF_ITSELF = (("add {by} to the {at}", 1), ("make the {at} {by} smaller", -1), ("make the {at} {by} less", -1))
OF_THE_LAST = (("make it {by} more", 1), ("take {by} off that", -1), ("shave {by} off", -1))


def _reading(wall: Wall, at: Slot) -> Reading | None:
    known = wall.session.state.known("1").values()
    found = [one.fact for one in known if isinstance(one.fact, Reading) and one.fact.at is at]
    return found[0] if found else None


def _asked(wall: Wall, line: str) -> None:
    before = dict(wall.session.state.known("1"))
    wall.types(line)
    assert wall.session.state.known("1") == before, line  # nothing is taken before the yes


@pytest.mark.parametrize(("at", "like"), list(permutations(PLACES, 2)))
def test_told_by_another_place(at: Slot, like: Slot) -> None:
    """The figure of the other place, and so much."""
    for (said, by), (form, sign) in product(LONGER, OF_ANOTHER):
        wall = Wall()
        dimension, value = PLACES[like]
        wall.types(f"width {like} {value}", f"left 95 {by}")
        _asked(wall, line := form.format(at=at, by=said, like=like))
        wall.types("yes")
        right = Length(value) + (Length(by) if sign > 0 else -Length(by))
        assert _reading(wall, at) == Reading(right, dimension, at), line


@pytest.mark.parametrize("at", PLACES)
def test_changed_by_so_much(at: Slot) -> None:
    """What is there changes, by its place or as the last one called."""
    dimension, value = PLACES[at]
    for (said, by), (form, sign) in product(LONGER, (*OF_ITSELF, *OF_THE_LAST)):
        wall = wall_after(f"width {at} {value}")
        _asked(wall, line := form.format(at=at, by=said))
        wall.types("yes")
        right = Length(value) + (Length(by) if sign > 0 else -Length(by))
        assert _reading(wall, at) == Reading(right, dimension, at), line
        wall.types("undo")
        assert _reading(wall, at) == Reading(Length(value), dimension, at), line


UNSURE = {
    "nothing": (),
    "another way": ("left 95",),
    "in doubt": ("~top forty six",),
    "in question": ("top 46 and seven",),
    "taken back": ("top 12", "undo"),
}
FORMS = [form for form, _ in (*OF_ANOTHER, *OF_ITSELF, *OF_THE_LAST)]
CASES = [(form, why) for form in FORMS for why in UNSURE if "{at}" in form or why != "another way"]


@pytest.mark.parametrize(("form", "why"), CASES)
def test_what_it_is_told_by_must_be_sure(form: str, why: str) -> None:
    """Where nothing in force says how much that is, the figure itself is asked for, and nothing stands for it."""
    wall = Wall()
    for line in UNSURE[why]:
        if line[0] == "~":
            wall.speaks(line[1:], "top forty nine")
        else:
            wall.types(line)
    old = dict(wall.session.state.known("1"))
    wall.types(form.format(at="bottom", by="an eighth", like="top"))
    state = wall.session.state
    assert state.known("1") == old
    told = [value for note in state.said for value in note.values]
    asks = any(note.tell in {Tell.ANSWER_FIRST, Tell.WHICH_VALUE} for note in state.said)
    assert Ask.RELATIVE.value in told or asks, state.said


@pytest.mark.parametrize("form", [form for form, _ in (*OF_ANOTHER, *OF_ITSELF)])
@pytest.mark.parametrize("at", [Slot.TOP, Slot.BOTTOM])
@pytest.mark.parametrize("then", ["46", "width {at} 46", "{at} width 46"])
def test_the_figure_asked_for_is_of_the_place_named(form: str, at: Slot, then: str) -> None:
    """A figure alone goes to no other place, and what it stands for is open no more."""
    wall = Wall()
    like = Slot.TOP if at is not Slot.TOP else Slot.BOTTOM
    wall.types(form.format(at=at, by="an eighth", like=like), then.format(at=at))
    readings = [one.fact for one in wall.session.state.known("1").values()]
    assert readings == [Reading(Length(46), Dimension.WIDTH, at)]
    assert not wall.session.state.not_taken("1")


SEVERAL = {"top and bottom": (Slot.TOP, Slot.BOTTOM), "middle and bottom": (Slot.MIDDLE, Slot.BOTTOM)}


@pytest.mark.parametrize("form", OF_THE_LAST)
@pytest.mark.parametrize("places", SEVERAL)
@pytest.mark.parametrize("again", [False, True])
def test_what_was_called_at_once_changes_at_once(form: tuple[str, int], places: str, again: bool) -> None:
    """The figure changes at each of the places that one breath called it for."""
    wall = wall_after(f"{places} 46")
    _asked(wall, form[0].format(by="an eighth"))
    if again:
        wall.restart()
    wall.types("yes")
    value = Length(46) + (Length("1/8") if form[1] > 0 else -Length("1/8"))
    stands = {at: Reading(value, Dimension.WIDTH, at) for at in SEVERAL[places]}
    assert {at: _reading(wall, at) for at in stands} == stands


OTHERS = ("box 1 single gang center 30 from left 48 down", "gap 1/2 at the bottom", "upper course", "bottom 46 left 95")


@pytest.mark.parametrize("form", [form for form, _ in OF_THE_LAST])
@pytest.mark.parametrize("last", OTHERS)
def test_it_is_nothing_that_was_called_before_the_last(form: str, last: str) -> None:
    """Behind a thing, or two figures, nobody knows which reading "it" is."""
    wall = wall_after("top 46", last)
    old = [one.fact for one in wall.session.state.known("1").values()]
    wall.types(form.format(by="an eighth"), "46 3/8")
    assert [one.fact for one in wall.session.state.known("1").values()] == old
    assert wall.session.state.said[0].tell in {Tell.WHICH_VALUE, Tell.QUESTION}
    assert wall.asks


GONE = {
    "corrected": ("", "no {like} 47"),
    "changed by the other": ("partner", "{like} 47"),
    "taken out by the other": ("partner", "scratch {like}"),
}
TOLD = [(form, "{at}", gone) for form, _ in OF_ANOTHER for gone in GONE]
TOLD += [("add {by} to the {like}", "{like}", gone) for gone, (who, _) in GONE.items() if who]  # else it is the answer


@pytest.mark.parametrize(("form", "place", "gone"), TOLD)
def test_what_it_is_told_by_must_still_stand(form: str, place: str, gone: str) -> None:
    """A figure reckoned from a call that another took the place of is no figure: no yes takes it, and it is asked for
    anew, of the one who said it.
    """
    wall = Wall()
    who, line = GONE[gone]
    wall.types("top 46", form.format(at="bottom", by="an eighth", like="top"))
    reckoned = [way for one in wall.session.state.open.values() for doubt in one.doubts for way in doubt.ways]
    assert len(reckoned) == 1
    told = wall.types(line.format(like="top"), who=who or "hanger")
    assert "Say it again" in told
    assert len(wall.session.state.not_taken("1")) == 1
    wall.types("yes")
    standing = [call.fact for call in wall.session.state.known("1", doubtful=True).values()]
    assert not [fact for (fact,) in reckoned if fact in standing]
    wall.types(f"width {place.format(at='bottom', like='top')} 46 1/2")
    assert not wall.session.state.not_taken("1") or who


@pytest.mark.parametrize("line", ["undo", "never mind"])
def test_one_figure_of_several_places_is_left_out_as_one(line: str) -> None:
    """What was called in one breath for several places and objected to isn't left half behind."""
    wall = wall_after("both sides 95", "no", line)
    assert not wall.session.state.not_taken("1")


SET_BY = {
    "bottom same as the top": ("top 46", "width, bottom", "change top to {}", ("47", "46 1/2"), "46"),
    "middle same": ("top 46", "width, middle", "change top to {}", ("46 1/2", "45 1/2"), "46"),
    "right same as the left": ("left 95", "height, right", "change left to {}", ("95 1/2", "96"), "95"),
    "bottom is an eighth less than the top": (
        "top 46",
        "width, bottom",
        "change top to {}",
        ("46 1/2", "45"),
        "45 7/8",
    ),
    "box 2 single gang center 30 from left same height as box 1": (
        "box 1 single gang center 14 from left 16 up",
        "box 2",
        "move box 1 to {} up",
        ("18", "17 1/2"),
        "single gang, center 30 from left, center 16 from bottom",
    ),
}
"""What is told by another: what that is, what is told, how the other is changed, to what, and what was told."""


@pytest.mark.parametrize("line", SET_BY)
@pytest.mark.parametrize("who", ["hanger", "partner"])
@pytest.mark.parametrize("answer", ["yes", "no"])
def test_what_was_told_by_another_is_asked_once_that_changes(line: str, who: str, answer: str) -> None:
    """Nobody said whether it is to stay: it is in question until somebody does, and is asked no more then."""
    first, told, change, others, value = SET_BY[line]
    wall = wall_after(first, line, "yes", "yes")
    assert wall.value(told) == value
    asked = wall.types(change.format(others[0]), who=who)
    assert f"{told.capitalize()} took its figure" in asked
    assert wall.standing(told) == "doubtful"
    wall.types(answer, who=who)
    assert wall.value(told) == (value if answer == "yes" else None)
    if answer == "yes":
        assert "took its figure" not in wall.types("done", who=who)


@pytest.mark.parametrize("line", SET_BY)
def test_what_was_called_anew_is_told_by_nothing(line: str) -> None:
    """It has a figure of its own then; and what is changed to the same figure is right as it is."""
    first, told, change, others, _ = SET_BY[line]
    own = "box 2 is 17 up" if told == "box 2" else f"change {told.split(', ')[1]} to {first.split()[1]} 1/4"
    wall = wall_after(first, line, "yes", own, "yes")
    assert "took its figure" not in wall.types(change.format(others[0]))


@pytest.mark.parametrize("change", ["north wall 12 foot 1 by 8 foot", "no north wall 12 foot 1 by 8 foot"])
@pytest.mark.parametrize("answer", ["yes", "no"])
def test_a_wall_that_was_told_by_another_is_asked_once_that_changes(change: str, answer: str) -> None:
    """Its sides were said to be those of the other one; nothing is laid out while they are in question."""
    wall = wall_after("north wall 12 foot by 8 foot, 16 on center", "south wall same as north", "16 on center", "yes")
    asked = wall.types(change)
    assert "North wall: 145 by 96 in" in asked
    assert "South wall took its figure from north wall" in asked
    wall.types(answer)
    south = [call for call in wall.session.state.settled("south wall").values() if isinstance(call.fact, SurfaceCall)]
    assert bool(south) is (answer == "yes")
    assert [call.fact.name for call in south if isinstance(call.fact, SurfaceCall)] == ["south"] * len(south)


WALLS = ("north wall 12 foot by 8 foot, 16 on center", "south wall 10 foot by 8 foot, 16 on center")


@pytest.mark.parametrize("no", ["no", "wrong", "sorry"])
@pytest.mark.parametrize("here", [("yes",), ("next board",), ("next board", "left 48"), ()])
def test_a_no_with_the_sides_of_another_wall_is_about_that_one(no: str, here: tuple[str, ...]) -> None:
    """Each wall has the sides of its own name, wherever its speaker is."""
    wall = wall_after(*WALLS, *here, f"{no}, north wall 12 foot 1 by 8 foot", "yes", "yes")
    for name, sides in (("north", (145, 96)), ("south", (120, 96))):
        calls = [call.fact for call in wall.session.state.settled(f"{name} wall").values()]
        found = [(one.name, one.width, one.height) for one in calls if isinstance(one, SurfaceCall)]
        assert found == [(name, *map(Length, sides))]


@pytest.mark.parametrize("answers", [("center",), ("near edge", "single gang")])
def test_a_height_that_was_told_by_a_box_stays_so_until_all_parts_are_called(answers: tuple[str, ...]) -> None:
    """Called in two breaths, a box is told by another one all the same."""
    box = (
        "box 1 single gang center 14 from left 16 up"
        if answers == ("center",)
        else "box 1 near edge 14 from left 16 up"
    )
    wall = wall_after(box, *answers[1:], "outlet 30 from left same height as box 1", *answers, "yes", "yes")
    assert "Box 2 took its figure from box 1" in wall.types("move box 1 to 18 up")


def test_what_is_told_by_one_that_is_asked_about_now_is_said_again() -> None:
    """Its figure was reckoned from one that may be another: whoever called it is told that it isn't taken."""
    wall = wall_after("middle width 46", "bottom same as the middle", "yes", "P:add a quarter to the bottom")
    told = wall.types("change middle to 46 1/2")
    assert "took its figure" in told
    assert "add a quarter to the bottom" in told
    assert [call.words for call in wall.session.state.not_taken("1")] == ["add a quarter to the bottom"]


BY_ANOTHER = {
    "a reading": (("top 42",), "bottom same as top", "top 42 1/4", "top 42"),
    "so much less": (("top 42",), "bottom an eighth less than top / yes", "top 42 1/4", "top 42"),
    "a height": (("left 90",), "right same as left", "left 90 1/4", "left 90"),
    "a box": (
        ("box 1 single gang center 12 from left 14 up",),
        "box 2 single gang center 30 from left same height as box 1",
        "box 1 single gang center 12 from left 16 up",
        "box 1 single gang center 12 from left 14 up",
    ),
}
BETWEEN = (("scratch {0}",), ("P:scratch {0}",), ("scratch {0}", "plasterboard type x"))


@pytest.mark.parametrize("between", BETWEEN)
@pytest.mark.parametrize("name", BY_ANOTHER)
def test_what_was_told_by_another_is_asked_about_however_that_one_changed(name: str, between: tuple[str, ...]) -> None:
    """Taken out, and called otherwise later; called as it was before it needs no word."""
    before, told, otherwise, same = BY_ANOTHER[name]
    thing = otherwise.split(" single")[0] if "box" in otherwise else otherwise.split()[0]
    lines = (*before, *told.split(" / "), *(line.format(thing) for line in between))
    for now, asked in ((otherwise, True), (same, False)):
        wall = wall_after(*lines)
        wall.types(now)
        notes = [note for note in wall.session.state.said if note.tell is Tell.TOLD_BY_ANOTHER]
        assert bool(notes) == asked == bool(wall.session.state.in_question("1")), now


@pytest.mark.parametrize("back", ["undo", "change {0}", "P:change {0}"])
@pytest.mark.parametrize("name", ["a reading", "so much less", "a height"])
def test_a_question_about_what_was_told_ends_with_its_cause(name: str, back: str) -> None:
    """Once the other one is again what it was told by, nothing is in question."""
    before, told, otherwise, same = BY_ANOTHER[name]
    wall = wall_after(*before, *told.split(" / "), *((f"P:{otherwise}",) if back != "undo" else (otherwise,)))
    assert wall.session.state.in_question("1")
    place, value = same.split(maxsplit=1)
    wall.says(back.format(f"{place} to {value}"))
    assert not wall.session.state.in_question("1")
    assert not wall.session.state.doubts


IN_ONE_BREATH = (
    "width {like} 46 1/4, {at} same as the {like}",
    "width {like} 46 1/4 and {at} is the same as the {like}",
)


@pytest.mark.parametrize("form", IN_ONE_BREATH)
@pytest.mark.parametrize(("at", "like"), list(permutations(PLACES, 2)))
@pytest.mark.parametrize("stood", [(), ("width {like} 46",), ("width {at} 45 3/4", "width {like} 46")])
def test_the_same_as_what_the_same_breath_calls(form: str, at: Slot, like: Slot, stood: tuple[str, ...]) -> None:
    """It has the value that was just said, not the one before; once that changes it is asked about."""
    wall = Wall()
    wall.types(*(each.format(at=at, like=like) for each in stood))
    wall.types(form.format(at=at, like=like))
    for _ in range(2):
        wall.types("yes")  # to what is odd beside what stood
    found = _reading(wall, at)
    assert found is not None
    assert found.value == Length("46 1/4"), wall.said
    wall.types(f"width {like} 46 3/8")
    assert Tell.TOLD_BY_ANOTHER in {note.tell for note in wall.session.state.said} or wall.asks, wall.said


@pytest.mark.parametrize("said", ["{at} an eighth less than the {like}", "{at} same as the {like} plus an eighth"])
@pytest.mark.parametrize(("at", "like"), list(permutations(PLACES, 2)))
def test_it_is_asked_about_where_the_other_waited_behind_its_question(said: str, at: Slot, like: Slot) -> None:
    """The new value of the other one comes in with the yes to what was told by the old one."""
    wall = Wall()
    wall.types(f"width {at} 46", f"width {like} 46 1/8", said.format(at=at, like=like), f"{like} 46 1/2", "yes")
    assert Tell.TOLD_BY_ANOTHER in {note.tell for note in wall.session.state.said}, wall.said
    assert wall.asks


@pytest.mark.parametrize(("at", "like"), list(permutations(PLACES, 2)))
def test_what_is_swapped_took_nothing_from_what_has_changed(at: Slot, like: Slot) -> None:
    """Both have their figures by the one breath; when one changes later the other is asked about."""
    wall = Wall()
    wall.types(f"width {at} 46", f"width {like} 46 3/8", f"swap {at} and {like}", "yes")
    assert Tell.TOLD_BY_ANOTHER not in {note.tell for note in wall.session.state.said}, wall.said
    assert not wall.asks


@pytest.mark.parametrize("order", ["add an eighth to the {0}", "make the {0} an eighth less"])
@pytest.mark.parametrize("between", [(), ("room kitchen",), ("yes",), ("outlet center 12 from left 14 up",)])
@pytest.mark.parametrize("again", ["", "P:"])
@pytest.mark.parametrize(("at", "value", "now"), [("top", "46", "46 1/2"), ("left", "95", "95 1/2")])
def test_a_value_made_from_itself_is_replaced_as_any_other(
    order: str, between: tuple[str, ...], again: str, at: str, value: str, now: str
) -> None:
    """What takes its place puts nothing in question."""
    wall = wall_after(f"{at} {value}", "bottom 46", order.format(at), "yes", *between, f"{again}{at} {now}")
    assert Tell.TOLD_BY_ANOTHER not in {note.tell for note in wall.session.state.said}, wall.said
    found = _reading(wall, Slot(at))
    assert found is not None
    assert found.value == Length(now)


WAYS = {"width": ("top", "bottom", "middle"), "height": ("left", "right", "middle")}
PAIRS = [(way, at, like) for way, places in WAYS.items() for at in places for like in places if at != like]


@pytest.mark.parametrize("circle", [False, True])
@pytest.mark.parametrize("instead", ["46", "{way} {at} 46"])
@pytest.mark.parametrize(("way", "at", "like"), PAIRS)
def test_the_same_as_a_place_without_a_value_waits_for_its_own(
    way: str, at: str, like: str, instead: str, circle: bool
) -> None:
    """Said alone, or in a circle: nothing is put anywhere, the next figure alone is that of the place named last, and
    "done" names what is left.
    """
    if "middle" in {at, like} and circle:
        return
    wall = Wall()
    said = ([f"{like} same as {at}"] if circle else []) + [f"{at} same as {like}"]
    assert "The same as what?" in wall.types(*said)
    assert not wall.readings
    assert [one.words for one in wall.session.state.not_taken("1")] == said
    wall.types(instead.format(way=way, at=at))
    assert [told.label for told in wall.readings] == [f"{way}, {at}"], wall.said
    assert [one.words for one in wall.session.state.not_taken("1")] == said[:-1]
    told = wall.types("done")
    assert ("Not taken: “" in told) is circle, told
