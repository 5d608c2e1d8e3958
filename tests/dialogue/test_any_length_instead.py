"""Whatever a tape tells: a figure said to a no is of it, and one far from what it was is asked about."""

from __future__ import annotations

from itertools import product

import pytest

from fieldvoice.dialogue.plausibility import READ_ANEW
from fieldvoice.records.facts import Fact, measured
from fieldvoice.records.ledger import Concern, Standing
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import (
    Box,
    BoxKind,
    Context,
    Coordinate,
    Dimension,
    Edge,
    LayoutWish,
    Opening,
    OpeningKind,
    Plumb,
    Point,
    Reading,
    SurfaceCall,
    Topic,
    Wish,
)
from tests.dialogue.talk import Wall, wall_after

LINES = {
    "floor to ceiling {}": ("97", "96", "90"),
    "clearance right {}": ("3/8", "1/2", "3"),
    "left wall leans in {}": ("1/4", "3/8", "3"),
    "left wall leans out {}": ("1/4", "3/8", "3"),
    "diagonal rising {}": ("100", "101", "90"),
    "base covers {}": ("1/2", "3/4", "4"),
    "top {}": ("46", "45", "36"),
    "top and bottom {}": ("46", "45", "36"),
}
"""Everything of one length, with a value, another one, and one that is far off."""
CHOSEN = {"{} on center": ("16", "24"), "{} board": ("1/2", "5/8")}


def known(*lines: str) -> set[Fact]:
    """What stands, or waits, where these were typed."""
    wall = wall_after(*lines)
    return of(wall)


def of(wall: Wall) -> set[Fact]:
    """What stands there, or waits, by a word of somebody's."""
    calls = wall.session.state.known("1", doubtful=True).values()
    return {call.fact for call in calls if isinstance(call.fact, Fact)}


@pytest.mark.parametrize(("line", "no"), [*product({**LINES, **CHOSEN}, (("no {}",), ("no", "{}"), ("no", "no {}")))])
@pytest.mark.parametrize("again", ["", "restart"])
def test_a_figure_alone_is_of_what_was_denied(line: str, no: tuple[str, ...], again: str) -> None:
    """In the same breath or in the next; nothing else has it, and nothing stays not taken."""
    first, other = {**LINES, **CHOSEN}[line][:2]
    wall = wall_after(line.format(first), *no[:-1])
    if again:
        wall.restart()
    told = wall.types(no[-1].format(other))
    assert of(wall) == known(line.format(other)), told
    assert not wall.session.state.not_taken("1"), told


@pytest.mark.parametrize("line", LINES)
@pytest.mark.parametrize("between", ["yes", "standing", "@restart"])
def test_a_value_far_from_what_it_takes_the_place_of_is_asked(line: str, between: str) -> None:
    """A near one is told with the old one; the far one waits for a yes, and a no brings nothing in."""
    first, near, far = LINES[line]
    wall = Wall()
    for each in (line.format(first), between):
        if each == "@restart":
            wall.restart()
        else:
            wall.types(each)
    told = wall.types(line.format(near))
    assert not wall.asks, told
    wall.types("yes")
    told = wall.types(line.format(far))
    assert wall.asks, told
    wall.types("no")
    assert not known(line.format(far)) & of(wall), "denied"


OFFERED = (("ninety", "nineteen"), ("forty six", "forty nine"), ("ninety five", "thirty five"))
OTHERS = ("five", "forty seven", "ninety four and a half", "seventy")


@pytest.mark.parametrize(("ways", "other"), [*product(OFFERED, OTHERS)])
@pytest.mark.parametrize("place", ["left", "height right"])
@pytest.mark.parametrize("named", [True, False])
def test_an_answer_far_from_all_that_was_offered_is_asked(
    ways: tuple[str, str], other: str, place: str, *, named: bool
) -> None:
    """A value that was one of two is no third one far from both, but by a yes."""
    near = {"ninety four and a half": ("ninety five",), "forty seven": ("forty six", "forty nine")}.get(other, ())
    wall = Wall()
    wall.speaks(*(f"{place} {way}" for way in ways))
    told = wall.speaks(f"{place} {other}" if named else other)
    assert wall.asks == (not set(near) & set(ways)), told
    wall.speaks("no" if wall.asks else "yes")
    assert not (known(f"{place} {other}") & of(wall)) or bool(set(near) & set(ways)), told


SMALL = ("clearance left 3/8", "left wall leans in 1/4", "left wall leans out 1/4", "base covers 1/2", "1/2 board")


@pytest.mark.parametrize("line", SMALL)
@pytest.mark.parametrize("no", [("no 46",), ("no", "46"), ("no", "no 46")])
def test_a_figure_that_can_be_no_value_of_it_is_asked_about(line: str, no: tuple[str, ...]) -> None:
    """A reading's after a no to a thickness: nothing small is that large, and no place has it in silence."""
    wall = wall_after("left 95", line, *no)
    assert wall.asks
    lengths = {length for fact in of(wall) for length in measured(fact)}
    assert Length(46) not in lengths


SIDES = ("12 feet by 8 feet", "12 feet by 8 feet 1 inch", "12 feet by 9 feet", "14 feet by 8 feet", "10 feet by 7 feet")


@pytest.mark.parametrize("wall_or_ceiling", ["north wall", "ceiling"])
@pytest.mark.parametrize("sides", SIDES[1:])
@pytest.mark.parametrize("answer", ["yes", "no"])
def test_the_sides_of_a_wall_are_measured_too(wall_or_ceiling: str, sides: str, answer: str) -> None:
    """Both of them."""
    wall = wall_after(f"{wall_or_ceiling} {SIDES[0]}", "yes")
    wall.types(f"{wall_or_ceiling} {sides}")
    concerns = {doubt.concern for one in wall.session.state.open.values() for doubt in one.doubts}
    assert concerns == (set() if sides == SIDES[1] else {Concern.INSTEAD})
    wall.types(answer)
    (standing,) = wall.session.state.settled(wall.session.state.board).values()
    there = Wall()
    there.types(f"{wall_or_ceiling} {sides if answer == 'yes' else SIDES[0]}", "yes")
    assert standing.fact == next(iter(there.session.state.settled(there.session.state.board).values())).fact


@pytest.mark.parametrize("named", ["north wall 12 by 8 feet", "ceiling 12 by 14 feet"])
@pytest.mark.parametrize("sides", ["13 by 8 feet", "13 feet by 8 feet", "12 by 9 feet", "4 by 12 feet", "4 by 8"])
@pytest.mark.parametrize("waits", [True, False])
def test_two_sides_at_a_wall_are_its_own_unless_they_are_a_sheet_s(named: str, sides: str, *, waits: bool) -> None:
    """One unit is that of both, as where it is called."""
    wall = wall_after(named, *(() if waits else ("16 on center from the left",)))
    told = wall.types(sides)
    assert wall.session.state.doubts or sides.startswith("4 by"), told
    facts = [one.fact for one in wall.session.state.known(wall.session.state.board, doubtful=True).values()]
    called = [fact for fact in facts if isinstance(fact, SurfaceCall)]
    whole = sides if " feet by" not in sides else sides.replace(" feet by", " by")
    again = wall_after(f"{named.split(' 12')[0]} {whole}")
    there = [one.fact for one in again.session.state.known(again.session.state.board).values()]
    assert (called[0] in there) == (not sides.startswith("4 by")), told


TOPS = ("", " peak 11 feet", " peak 10 feet 6", " peak 10 feet 4 feet from left", " peak 8 feet 1 inch")


@pytest.mark.parametrize(("was", "now"), [*product(TOPS, TOPS)])
def test_a_top_that_comes_or_goes_is_asked_about(was: str, now: str) -> None:
    """Whatever its line is: it isn't called again with the sides alone, and the question says that it is the top."""
    wall = wall_after(f"north wall 12 by 8 feet{was} studs 16 on center", "yes")
    board = wall.session.state.board
    (before,) = [one.fact for one in wall.session.state.settled(board).values() if isinstance(one.fact, SurfaceCall)]
    told = wall.types(f"north wall 12 by 8 feet{now}")
    (call, *_) = [one for one in wall.session.state.on(board) if isinstance(one.fact, SurfaceCall)][::-1]
    assert isinstance(call.fact, SurfaceCall)
    far = abs(call.fact.highest - before.highest) > READ_ANEW
    assert ("at its highest" in told) == far, told
    assert not far or call.waits


def test_every_kind_of_context_is_measured_or_is_not() -> None:
    """What is new has to be decided on."""
    facts = [Context(topic, Length(2), Edge.LEFT) for topic in Topic]
    assert {fact.topic for fact in facts if measured(fact)} == {
        Topic.CLEARANCE,
        Topic.FLOOR_TO_CEILING,
        Topic.ABOVE_FLOOR,
        Topic.BASE,
    }
    at = Coordinate(Point.CENTER, Length(30), Edge.LEFT)
    named = (Box(BoxKind.SINGLE, at, at, "box 1"), Opening(OpeningKind.PIPE, (at,), (at,), name="pipe 1"))
    assert not any(measured(fact) for fact in (*named, LayoutWish(Wish.LENGTH)))
    assert measured(Reading(Length(46), Dimension.WIDTH)) == measured(Plumb(Edge.LEFT, Length(46))) == (Length(46),)


SIDED = {
    "window 30 from left 20 up {}": ("36 by 48", "36 by 60"),
    "opening 30 from left 20 up {}": ("22 by 30", "24 by 30"),
    "north wall {}": ("144 by 96", "156 by 96"),
    "ceiling {}": ("144 by 180", "144 by 182"),
    "window {}": ("36 by 48", "36 by 60"),
    "duct {} 20 from left 30 up": ("12 by 8", "12 by 10"),
}


@pytest.mark.parametrize(("line", "sides"), SIDED.items())
@pytest.mark.parametrize("breaths", [("no {}",), ("no", "{}"), ("wrong, {}",), ("that's wrong", "{}")])
def test_two_sides_after_a_no_are_of_what_has_two(line: str, sides: tuple[str, str], breaths: tuple[str, ...]) -> None:
    """They are the thing's that was read back, and no sheet's."""
    was, right = sides
    walls = corrected, called = Wall(), Wall()
    corrected.types(line.format(was), *(breath.format(right) for breath in breaths))
    called.types(line.format(right))
    board = called.session.state.board
    facts = [{call.fact for call in wall.session.state.on(board) if call.waits or call.in_force} for wall in walls]
    assert facts[0] == facts[1]
    assert len(facts[1]) == 1
    assert not corrected.session.state.not_taken(board)


@pytest.mark.parametrize("line", ["4 by 8 sheet", "46 by 95", "box 1 single gang center 30 from left 48 up"])
def test_two_sides_after_a_no_to_what_has_none_are_asked(line: str) -> None:
    """What else was read back takes no sides in silence."""
    wall = wall_after(line, "no 36 by 60")
    assert wall.asks or wall.refuses


SENSELESS = ("banana", "banana 3/8", "middle and a banana", "box 1 single gang banana")
PIECES = ("no 3/8", "no three eighths", "no the bottom", "wrong 3/8")


@pytest.mark.parametrize(("line", "piece"), [*product(SENSELESS, PIECES)])
def test_a_no_with_a_piece_behind_what_wasnt_understood_is_of_that(line: str, piece: str) -> None:
    """What was read back before it stays as it is: it was not what was said last."""
    wall = wall_after("top 46 1/4", line)
    before = known("top 46 1/4")
    told = wall.types(piece)
    assert not of(wall) - before, told
    assert wall.session.state.not_taken("1")
    assert wall.refuses or wall.asks


BOXES = ("box 1 single gang center 30 from left 48 down", "outlet 30 1/4 from left 15 up", "diagonal rising 100")


@pytest.mark.parametrize("line", [*(line.format(sides[0]) for line, sides in SIDED.items()), *BOXES, "green board"])
def test_a_figure_that_is_not_of_what_was_denied_leaves_it_open(line: str) -> None:
    """It is placed, asked about or kept for itself; what was denied still waits for its right value."""
    wall = wall_after(line, "no")
    board = wall.session.state.board
    denied = [call.fact for call in wall.session.state.not_taken(board)]
    wall.types("46", "top")
    for fact in denied:
        now = [call for call in wall.session.state.on(board) if call.waits or call.standing is Standing.NOT_TAKEN]
        again = [call.fact for call in now if type(call.fact) is type(fact)]
        assert again, fact
