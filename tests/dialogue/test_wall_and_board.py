"""What is open of a wall keeps the plans of its boards drafts, and what a wall has now is told of every board of it."""

from __future__ import annotations

from types import ModuleType

import pytest

from fieldvoice.dialogue import finishing, new_boards, taking_up
from fieldvoice.dialogue.view import in_hand
from fieldvoice.records.facts import Key, Of
from fieldvoice.records.ledger import Concern, Standing, Tell
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Context, Edge, Neighbor, Topic
from fieldvoice.records.plan import Does, Heed
from tests.dialogue.talk import Wall, wall_after

WALL = ("north wall 12 foot by 8 foot", "16 on center from the left")
CALLS = ("top 143 7/8", "middle 143 7/8", "bottom 143 7/8", "left 48", "right 48")
WINDOW = "window 40 from left 36 up 36 wide 48 high"
OPEN_OF_THE_WALL = {
    "a question": "window 40 from left 36 up",
    "not yet gone on": WINDOW,
    "words": "window banana 40",
    "of a board": "box 1 single gang center 20 from left 64 up",
}
"""What the partner says of the wall, and doesn't answer."""


def _tells(wall: Wall) -> set[Tell]:
    return {note.tell for note in wall.session.state.said}


def _on_board(*more: str) -> Wall:
    wall = Wall()
    wall.types(*WALL, *more, "next board", *CALLS)
    return wall


@pytest.mark.parametrize("said", OPEN_OF_THE_WALL.values(), ids=OPEN_OF_THE_WALL)
def test_no_plan_is_settled_past_what_is_open_of_its_wall(said: str) -> None:
    """Done names it; once it is settled, or left out, there is a plan."""
    wall = _on_board()
    wall.types("go to north wall", said, who="partner")
    wall.session.state.known("1")
    wall.types("go to board 1")
    there = wall.session.state.board
    wall.types("done")
    assert Tell.STEPS not in _tells(wall), (there, wall.said)
    assert wall.view.plan is None or wall.view.open, wall.said


def test_what_is_left_out_of_the_wall_keeps_nothing_back() -> None:
    """Done asks its speaker about it."""
    wall = Wall()
    wall.types(*WALL, OPEN_OF_THE_WALL["of a board"], "next board", *CALLS)
    wall.types("scratch box 1", "go to north wall", "window banana 40")
    assert "window banana 40" in wall.types("go to board 1", "done")
    wall.types("yes", "done")
    assert Tell.STEPS in _tells(wall), wall.said


OF_A_BOARD = (
    "box 7 single gang center 20 from left 64 up",
    "outlet center 60 from left 70 up",
    "outlet 100 from left 62 up",
    "left 47 7/8",
    "47 1/2",
    "~right forty seven and three quarters",
)
"""What can be of any board of a wall, and is said of one at the wall."""
OF_A_BOARD_ALONE = ("top 143 1/2", "~bottom one forty three and a half", "left is wall", "joint left")


@pytest.mark.parametrize("said", [(first, second) for first in OF_A_BOARD for second in OF_A_BOARD if first != second])
def test_what_was_called_at_the_wall_comes_along_to_its_board(said: tuple[str, str]) -> None:
    """Read back there as it was heard, or asked about; nothing of it is left at the wall, or lost."""
    wall, there = Wall(), Wall()
    wall.types(*WALL)
    for each in said:
        assert "Not taken yet: say next board" in _play(wall, each)
    wall.types("next board")
    there.types(*WALL, "next board")
    for each in said:
        _play(there, each)
    assert not wall.session.state.not_taken("north wall"), wall.said
    assert _called(wall) == _called(there), (wall.said, there.said)


@pytest.mark.parametrize("before", [None, *OF_A_BOARD, *OF_A_BOARD_ALONE])
@pytest.mark.parametrize("said", OF_A_BOARD_ALONE)
def test_what_only_a_board_has_goes_to_the_next_board_of_the_wall(said: str, before: str | None) -> None:
    """Which is told; as if "next board" had been said before it."""
    wall, there = Wall(), Wall()
    wall.types(*WALL)
    there.types(*WALL, "next board")
    told = ""
    for each in filter(None, (before, said)):
        told += _play(wall, each)
        _play(there, each)
    assert wall.session.state.board == "1"
    assert "Board 1, piece 1 of the north wall" in told
    assert not wall.session.state.not_taken("north wall"), wall.said
    assert _called(wall) == _called(there), (wall.said, there.said)


@pytest.mark.parametrize("lacks", ["window banana 40", "window 40 from left 36 up", None])
def test_it_stays_at_a_wall_that_can_not_be_laid_out(lacks: str | None) -> None:
    """Where something of the wall is open, or its framing is missing, the board would be none of its pieces."""
    wall = Wall()
    wall.types(*(WALL[:1] if lacks is None else (*WALL, lacks)), "top 143 1/2")
    assert wall.session.state.board == "north wall"
    assert not wall.session.state.boards or "1" not in wall.session.state.pieces
    assert any(one.fact is not None for one in wall.session.state.not_taken("north wall")), wall.said


@pytest.mark.parametrize("measured", [(), ("top 143 7/8",), ("left 47 7/8",)])
@pytest.mark.parametrize("where", ["20 from left center 14 up", "150 from left center 60 up", "20 from left 50 down"])
def test_a_box_of_another_piece_is_asked_about_before_the_tape_comes(where: str, measured: tuple[str, ...]) -> None:
    """By the size that the board is laid out in; once, whatever is measured then. One that is on the board isn't."""
    wall = Wall()
    wall.types(*WALL, "next board", *measured)
    assert "on this board?" in wall.types(f"outlet center {where}")
    wall.types("yes", *(call for call in CALLS if call not in measured))
    assert not wall.asks, wall.said
    on_it = Wall()
    on_it.types(*WALL, "next board", *measured, "outlet center 20 from left center 60 up")
    assert not on_it.asks, on_it.said


def _play(wall: Wall, line: str) -> str:
    return wall.speaks(line[1:]) if line.startswith("~") else wall.types(line)


def _called(wall: Wall) -> set[tuple[object, int]]:
    """What was called on the first board and stands or waits there, and how often it was heard."""
    gone = {Standing.REPLACED, Standing.TAKEN_BACK}
    calls = (one for one in wall.session.state.on("1") if not one.carried and one.standing not in gone)
    return {(one.fact, one.hearings) for one in calls}


@pytest.mark.parametrize("settled", [False, True])
def test_an_opening_that_the_wall_has_since_is_told(*, settled: bool) -> None:
    """Of a board in hand and of one that is settled, as the wall is laid out, and with every plan that has no step."""
    wall = _on_board()
    if settled:
        wall.types("done")
        assert Tell.STEPS in _tells(wall)
    wall.types("go to north wall", WINDOW)
    assert Tell.OPENINGS_NOW not in _tells(wall)
    wall.types("done")
    assert Tell.OPENINGS_NOW in _tells(wall), wall.said
    wall.types("go to board 1", "done")
    assert {Tell.STEPS, Tell.UNCALLED} <= _tells(wall), wall.said
    assert _heeded(wall) == [Does.HANG]
    wall.session.acknowledge(wall.view, "hanger")
    assert wall.view.plan is not None
    for _ in wall.view.plan.steps:
        assert wall.session.tick(wall.view, "hanger") is not None
    assert in_hand(wall.view) is None, "every step is ticked, the one beside which it stands too"
    wall.types(*["undo"] * len(wall.view.plan.steps))
    wall.types("window 40 from left 36 up 36 wide 48 high", "yes", "done")
    assert Tell.UNCALLED not in _tells(wall), wall.said
    assert not _heeded(wall)


def _heeded(wall: Wall) -> list[Does]:
    """The steps beside which it stands that an opening is behind."""
    assert wall.view.plan is not None
    return [step.does for step in wall.view.plan.steps if step.heed is Heed.OPENING_BEHIND]


@pytest.mark.parametrize(("piece", "called"), [(2, "54 from left"), (3, "54 from right")])
@pytest.mark.parametrize("high", [82, 60])
def test_a_door_that_a_board_ends_at_is_told_as_beside_it(piece: int, called: str, high: int) -> None:
    """Called on the board whose edge is its jamb it is asked about as that one; another place is another door."""
    door = f"door {{}}, 36 wide, {high} high"
    wall = Wall()
    wall.types(*WALL, door.format("54 from left"), "yes", *["next board"] * piece, "top 53 7/8", "bottom 53 7/8")
    wall.types("left 48", "right 48")
    wall.types(door.format(called))
    said = wall.types("on the floor")
    assert f"it beside this board, at the {'right' if piece == 2 else 'left'} edge. Is it another one?" in said
    wall.types("no", "done", "yes", "done")
    assert wall.view.plan is not None
    assert not wall.view.plan.openings
    wall.types(door.format(called.replace("54", "20")))
    assert "beside this board" not in wall.types("on the floor")


UP_ON_IT = [("window 40 from left 60 up 36 wide 24 high", True), ("single gang center 20 from left 60 up", True)]
UP_ON_IT += [("single gang center 20 from left 16 up", False), ("window 40 from left 10 up 36 wide 24 high", False)]


@pytest.mark.parametrize(("said", "there"), UP_ON_IT)
def test_on_an_upper_course_what_is_called_from_the_floor_is_counted_from_there(said: str, *, there: bool) -> None:
    """Nobody is asked whether it is on the board where it is; nor is a plan made where it isn't."""
    wall = Wall()
    window = said if said.startswith("window") else None
    wall.types(*WALL, *([window, "yes"] if window else []), "next board", "top 143 7/8", "bottom 143 7/8")
    wall.types("left 47 1/2", "right 47 1/2")
    answer = wall.types(said)
    assert ("on this board" in answer or "has none here" in answer) == (not there), answer
    if there:
        wall.types("yes", "done", "yes")
        assert wall.view.plan is not None
        ((low, high),) = [(one.top, one.bottom) for one in wall.view.plan.openings]
        assert Length(0) < low < high < Length(48)


def test_what_was_said_of_one_piece_holds_for_the_next() -> None:
    """Its thickness, kind and layers, each told; other words of its own don't."""
    for said in ("5/8 thick", "type x", "two layers", "5/8 thick"):
        wall = _on_board()
        before = set(wall.session.state.calls)
        wall.types(said)
        (new,) = [call for number, call in wall.session.state.calls.items() if number not in before]
        wall.types("next board")
        state = wall.session.state
        assert state.known(state.board)[new.key].fact == new.fact
        assert new.key in {call.key for note in state.said if note.tell is Tell.CARRIED for call in note.values}  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("said", "topic"),
    [
        ("5/8 thick", Topic.THICKNESS),
        ("type x", Topic.KIND),
        ("two layers", Topic.LAYERS),
        ("steel studs", Topic.FRAMING),
        ("fifty fours", Topic.SHEET_WIDTH),
        ("the sheet is 4 by 10", Topic.SHEET),
        ("lying", Topic.LIES),
        ("ten footers", Topic.SHEET_LENGTH),
    ],
)
def test_a_wall_takes_over_what_was_said_of_a_board_or_says_that_it_does_not(said: str, topic: Topic) -> None:
    """Nothing falls back to what is usual without a word."""
    wall = Wall()
    wall.types(said, "yes", WALL[0])
    told = [
        value.fact
        for note in wall.session.state.said
        if note.tell in {Tell.CARRIED, Tell.NOT_CARRIED}
        for value in note.values
        if not isinstance(value, str | int) and hasattr(value, "fact")
    ]
    assert topic in {fact.topic for fact in told if isinstance(fact, Context)}, wall.said
    stands = wall.session.state.known("north wall").get(Key(Of.CONTEXT, name=topic.value))
    carried = {note.tell for note in wall.session.state.said} & {Tell.CARRIED}
    assert stands is not None or not carried or topic in {Topic.LIES, Topic.SHEET_LENGTH}


@pytest.mark.parametrize("order", [(0, 1), (1, 0)])
def test_a_window_past_its_wall_is_asked_about_at_once(order: tuple[int, int]) -> None:
    """Whichever of the two was called last."""
    wall = Wall()
    lines = ("north wall 12 foot by 8 foot", "window 130 from left 36 up 36 wide 48 high")
    wall.types("north wall 14 foot by 8 foot")
    wall.types(*(lines[at] for at in order))
    assert wall.asks, wall.said
    asked = wall.session.state.open["hanger"].doubts
    wall.types("yes")
    assert asked


@pytest.mark.parametrize("mutant", ["wall", "openings", "material", "along"])
def test_a_mutant_is_seen(mutant: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each of these parts is needed."""
    if mutant == "wall":
        monkeypatch.setattr(finishing, "_of_its_surface", lambda *_: ())
        with pytest.raises(AssertionError):
            test_no_plan_is_settled_past_what_is_open_of_its_wall(OPEN_OF_THE_WALL["a question"])
    elif mutant == "openings":
        monkeypatch.setattr(new_boards, "openings_in", lambda *_: ())
        with pytest.raises(AssertionError):
            test_an_opening_that_the_wall_has_since_is_told(settled=True)
    elif mutant == "material":
        monkeypatch.setattr(new_boards, "_said_beside", lambda *_: ())
        with pytest.raises(AssertionError):
            test_what_was_said_of_one_piece_holds_for_the_next()
    else:
        monkeypatch.setattr(taking_up, "said_at_wall", lambda *_: ())
        with pytest.raises(AssertionError):
            test_what_was_called_at_the_wall_comes_along_to_its_board(OF_A_BOARD[:2])


def test_a_box_that_waits_is_not_replaced_by_another_of_the_name_it_would_get() -> None:
    """One called under a question keeps its place in the ledger when somebody else's takes the first free name."""
    wall = Wall()
    wall.types(
        "top 46 7/8", "box 5 single gang 30 from left 48 down", "box one single gang center 20 from left 48 down"
    )
    (kept,) = [call for call in wall.session.state.not_taken("1") if call.key.of is Of.BOX]
    wall.types("double gang center 10 from left 20 down", who="partner")
    assert wall.session.state.calls[kept.number].standing is Standing.NOT_TAKEN


LIGHTS = ("light 6 inch center 40 from left center 10 from top", "light 4 inch center 100 from left center 60 from top")


@pytest.mark.parametrize("light", LIGHTS)
def test_a_light_of_the_layout_is_called_on_its_board(light: str) -> None:
    """It is a circuit: no plan leaves it to be cut unseen, on any board, and no other board waits for it."""
    wall = wall_after("ceiling 12 by 14 feet joists 16 on center", light, "done")
    plan = wall.view.room_plan
    assert plan is not None
    waits = 0
    for piece in plan.surfaces[0].pieces:
        wall.types("next board", f"top {piece.width} bottom {piece.width}", f"left {piece.height} right {piece.height}")
        told = wall.types("done")
        waits += "a light of the layout that wasn't called" in told
        assert wall.view.draft == ("a light of the layout" in told), told
    assert waits == 1


NORTH = ("kitchen", "north wall 12 by 8 feet studs 16 on center")
LOWER = ("next board", "next board", "top 144", "bottom 144", "left 48", "right 48")


@pytest.mark.parametrize(("up", "runs"), [(13, "run across"), (14, "reach")])
@pytest.mark.parametrize("here", [False, True])
def test_a_box_across_the_edge_of_a_board_that_was_laid_out_anew_is_asked_about(
    up: int, runs: str, *, here: bool
) -> None:
    """Wherever work was when its wall became higher: the floor is farther below, and "up" counts from that."""
    box = f"box one single gang center 40 from left center {up} up"
    wall = wall_after(*NORTH, *LOWER, box, *(() if here else ("board one",)), "north wall 12 by 9 feet")
    assert f"Does box 1 really {runs} the edge?" in wall.types("yes")
    wall.types("yes", "board two", "done")
    assert not wall.view.draft


FRAMED_ANEW = {
    "studs 24 on center from left": "spacing 24 in on center, studs 24, 48, 72, 96, 120 in",
    "studs 16 on center from right": None,
    "studs at 10, 26, 42, 58, 74, 90, 106, 122": "studs 10, 26, 42, 58, 74, 90, 106, 122 in",
    "steel studs": "framing steel",
}
"""What is called at the wall, and what it makes of its boards; None where they are framed as before."""


@pytest.mark.parametrize(("said", "now"), FRAMED_ANEW.items())
@pytest.mark.parametrize("own", [None, "studs at 12, 28, 44, 60, 76, 92, 108, 124"])
def test_the_framing_of_its_wall_now_is_told_of_a_board_that_counts_as_cut(
    said: str, now: str | None, own: str | None
) -> None:
    """Once its wall is laid out anew, and whenever its plan is told; what was called on the board itself stays."""
    wall = wall_after(*NORTH, *LOWER, *([own] if own else []), "done", "north wall", said)
    changed = f"Board 2 counts as cut, but the layout has changed there: {now}"
    assert (changed in wall.types("board two")) is (now is not None), wall.said
    of_studs = now is not None and not now.startswith("framing")
    assert ("counts as cut, but" in wall.types("done")) is (now is not None and not (own and of_studs))
    assert "The plan has" in " ".join(say.text for say in wall.said)


@pytest.mark.parametrize("ticked", [1, 2, 4])
def test_the_thickness_of_its_wall_now_is_told_of_a_board_that_counts_as_cut(ticked: int) -> None:
    """It stays as it was cut, beside boards of another thickness."""
    wall = wall_after(*NORTH, *LOWER, "done", "understood", *["next"] * ticked, "north wall", "5/8 board", "board two")
    assert "counts as cut, but the layout has changed there: thickness 5/8 in" in wall.types("done")


PEAK = "north wall 12 by 8 feet peak 11 feet"


@pytest.mark.parametrize(("otherwise", "cut"), [(PEAK, ()), (PEAK, ("done",)), ("north wall 10 by 8 feet", ("done",))])
def test_that_its_wall_has_no_place_for_a_board_now_is_told_with_its_plan(otherwise: str, cut: tuple[str, ...]) -> None:
    """Whether it counts as cut or was only measured, and that is no draft: it hangs where it was measured."""
    wall = wall_after("north wall 12 by 8 feet studs 16 on center", "next board", "top 144", "bottom 144", *cut)
    wall.types(otherwise, "yes", "go to board 1", "done")
    assert not wall.view.draft
    assert _tells(wall) & {Tell.NO_LAYOUT, Tell.CUT_OUTSIDE}, wall.said


@pytest.mark.parametrize(("first", "then"), [("millimeters", "inches"), ("inches", "millimeters")])
@pytest.mark.parametrize("at_board", [True, False])
def test_the_unit_said_last_at_a_wall_is_that_of_its_pieces(first: str, then: str, *, at_board: bool) -> None:
    """Also where the board that becomes one was spoken of in the other one before, which is replaced."""
    units = {"millimeters": Unit.MM, "inches": Unit.INCH}
    size = "3600 by 2400 studs 600 on center" if first == "millimeters" else "144 by 96 studs 16 on center"
    begun = (first, f"north wall {size}") if at_board else (f"north wall {size} {first}",)
    wall = wall_after(*begun, then, "next board")
    assert wall.view.unit is units[then], wall.said
    calls = wall.session.state.on(wall.session.state.board)
    keys = [call.key for call in calls if call.in_force]
    assert len(keys) == len(set(keys))


@pytest.mark.parametrize(("board", "told"), [("5/8 board", "5/8 in regular"), ("green board", "1/2 in moisture")])
def test_sheets_of_one_size_are_told_by_what_they_differ_in(board: str, told: str) -> None:
    """Nobody can buy one sheet of 48 x 144 and one of 48 x 144."""
    wall = wall_after("north wall 12 by 8 feet studs 16 on center", "next board", "top 144", "bottom 144", "done")
    said = wall.types("north wall", board, "next board")
    assert all(f"of 48 x 144, {each}" in said for each in ("1/2 in regular", told)), said


CEILING = (
    "kitchen",
    "ceiling 12 by 14 feet joists 16 on center",
    "light 6 inch center 70 from left center 80 from top",
)
ITS_BOARD = (*["next board"] * 3, "top 48", "bottom 48", "left 120", "right 120")


@pytest.mark.parametrize(
    ("light", "asked"),
    [
        ("light 6 inch center 22 from left center 80 from top", False),
        ("light 6 inch center 22 3/8 from left center 80 1/4 from top", False),
        ("light 6 inch center 24 from left center 80 from top", True),
        ("light 6 inch center 22 from left center 90 from top", True),
        ("light 4 inch center 22 from left center 80 from top", True),
        ("light 10 inch center 22 from left center 80 from top", True),
    ],
)
def test_a_light_is_weighed_against_that_of_the_layout(light: str, *, asked: bool) -> None:
    """Another place or another size is asked about, as that of a window is."""
    wall = wall_after(*CEILING, *ITS_BOARD, light)
    doubts = {doubt.concern for one in wall.session.state.open.values() for doubt in one.doubts}
    assert (Concern.FAR_FROM_LAYOUT in doubts) is asked, wall.said


def _studs(wall: Wall, name: str = "north wall") -> tuple[Length, ...]:
    facts = [call.fact for call in wall.session.state.known(name).values()]
    found = (one.value for one in facts if isinstance(one, Context) and one.topic is Topic.STUDS)
    return next((value for value in found if isinstance(value, tuple)), ())


@pytest.mark.parametrize("apart", [16, 24])
@pytest.mark.parametrize("first", ["15 1/4", "10", "17"])
def test_the_first_stud_beside_a_spacing_moves_all_of_them(apart: int, first: str) -> None:
    """In either order, in one breath or two; what is farther in than that is one more."""
    size, spacing, stud = "north wall 12 by 8 feet", f"studs {apart} on center", f"first stud at {first}"
    want = tuple(Length(first) + Length(apart) * count for count in range(10))
    want = tuple(each for each in want if each < Length(144))
    for said in (
        [f"{size} {spacing} {stud}"],
        [f"{size} {stud}", spacing],
        [size, spacing, stud],
        [size, stud, spacing],
    ):
        wall = wall_after(*said)
        assert _studs(wall) == want, wall.said
        assert "spacing" not in wall.settings
        wall.types("next board")
        assert "bow" not in " ".join(each.text for each in wall.said), wall.said
    more = _studs(wall_after(f"{size} {spacing}", "stud at 40"))
    assert more == tuple(
        sorted({Length(40), *(Length(apart) * count for count in range(1, 10) if apart * count < 144)})
    )


def test_what_an_undone_order_leaves_waiting_is_told_once() -> None:
    """What it takes the place of is not told as if it stood again."""
    wall = wall_after("north wall 12 by 8 feet studs 16 on center", "first stud at 15 1/4", "next board")
    told = wall.types("undo")
    assert "Studs: 15 1/4" in told
    assert "again" not in told


STANDING = ("north wall 12 foot by 8 foot", "16 on center from the left", "standing")
LYING = ("north wall 15 foot by 8 foot", "16 on center from the left", "lying")
SIDES = (("left", 1), ("right", 3))
MEASURED = [(STANDING, f"{far} from {side}", number) for far in (5, 20) for side, number in SIDES]
MEASURED += [(LYING, "20 from left", 1), (LYING, "20 from right", 2)]


@pytest.mark.parametrize(("wall_called", "across", "board"), MEASURED)
@pytest.mark.parametrize("thing", ["box 1 single gang center", "outlet center", "box", "outlet near edge"])
@pytest.mark.parametrize("down", ["20 down", "62 up"])
def test_what_is_called_at_a_wall_is_of_the_board_that_has_the_side_it_is_measured_from(
    wall_called: tuple[str, ...], across: str, board: int, thing: str, down: str
) -> None:
    """From a joint its place would be another: it waits, told, until work is at the board that ends there."""
    wall = wall_after(*wall_called, f"{thing} {across} {down}")
    for number in range(1, board + 1):
        wall.types("next board")
        waits = bool(wall.session.state.not_taken("north wall"))
        assert waits is (number != board)
        assert bool({Tell.STAYS_AT_WALL, Tell.ELSEWHERE} & _tells(wall)) is waits


def _has_box(wall: Wall) -> bool:
    """Whether the plan in hand has a hole of a box."""
    return wall.view.plan is not None and bool(wall.view.plan.board.boxes)


PLACES = [
    (wall, f"{across} {up}")
    for wall in (STANDING, LYING)
    for across in ("20 from left", "20 from right", "70 from left", "70 from right")
    for up in ("14 up", "30 down", "70 up", "70 down")
]
"""Where a box may be called at a wall: on any of its boards, from any of its ends."""


@pytest.mark.parametrize(("wall_called", "place"), PLACES)
def test_a_box_of_a_wall_comes_to_the_board_it_lies_on_and_keeps_that_one_back_alone(
    wall_called: tuple[str, ...], place: str
) -> None:
    """Read back there where it was measured from edges that the board shares with its wall, else to be called again
    from the board's own; by the pieces of the plan alone.
    """
    wall = wall_after(*wall_called, f"box 1 single gang center {place}")
    wall.types("next board")
    plan = wall.view.room_plan
    assert plan is not None
    (surface,) = plan.surfaces
    across, start, up, count = (*place.split()[:3:2], *place.split()[3:])
    x = Length(int(across)) if start == "left" else surface.surface.width - Length(int(across))
    y = Length(int(up)) if count == "up" else Length(96) - Length(int(up))
    for at, piece in enumerate(surface.pieces):
        if at:
            wall.types("next board")
        on_it = piece.x < x < piece.right and piece.y < y < piece.top
        shared = {"left": Edge.LEFT, "right": Edge.RIGHT, "down": Edge.TOP}
        starts = {shared[each] for each in (start, count) if each in shared}
        joints = {edge for edge, one in piece.edges.items() if one.neighbor is Neighbor.BOARD}
        there = {call.key.of for call in wall.session.state.known(wall.session.state.board, doubtful=True).values()}
        assert (Of.BOX in there) is (on_it and not starts & joints), (place, piece.name, wall.said)
        assert (Tell.FROM_THIS_BOARD in _tells(wall)) is bool(on_it and starts & joints)
        wall.types(f"top {piece.width} bottom {piece.width} left {piece.height} right {piece.height}", "done")
        if on_it and starts & joints:
            assert wall.view.draft, wall.said
            wall.types("box 1 single gang center 6 from left 6 down", "done")
        wall.types("yes")
        assert not wall.view.draft, (place, piece.name, wall.said)
        assert wall.view.plan is not None
        assert (wall.view.plan is not None and _has_box(wall)) is on_it
    assert not wall.session.state.not_taken("north wall")


MUTANTS = [
    (taking_up, "is_on_its_piece", None, "20 from left 14 up"),
    (finishing, "is_on_its_piece", True, "20 from left 14 up"),
    (taking_up, "ends_where_measured", True, "20 from left 70 down"),
]


@pytest.mark.parametrize(("room", "rule", "always", "place"), MUTANTS)
def test_each_rule_of_where_a_box_of_a_wall_lies_is_needed(
    room: ModuleType, rule: str, *, always: bool | None, place: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without it a box is on another board, keeps others back, or is measured from a joint."""
    monkeypatch.setattr(room, rule, lambda *_: always)
    with pytest.raises(AssertionError):
        test_a_box_of_a_wall_comes_to_the_board_it_lies_on_and_keeps_that_one_back_alone(LYING, place)


@pytest.mark.parametrize("to_it", ["board 1", "north wall piece 1"])
def test_a_box_called_at_the_wall_later_keeps_its_settled_board_back_until_work_is_there(to_it: str) -> None:
    """It is read back when somebody goes there."""
    wall = wall_after(*LYING, "next board", "top 96 bottom 96 left 48 right 48", "done")
    assert not wall.view.draft
    wall.types("north wall", "box 1 single gang center 20 from left 30 down", "next board")
    assert "isn't on this board" in wall.said[-1].text
    assert "Box 1" in wall.types(to_it)
    wall.types("done")
    assert _has_box(wall)


def test_a_thing_of_a_wall_without_a_clear_place_keeps_every_board_back() -> None:
    """Nobody said that it is none of this board's, until it is called on its own or left out."""
    wall = wall_after(*STANDING)
    wall.types("box 1 single gang center 40 down", who="partner")
    wall.types("next board", "top 48", "bottom 48", "left 96", "right 96", "done")
    assert Tell.STEPS not in _tells(wall)


KEEPS_BACK = {
    "no framing": (WALL[:1], ("16 on center from the left",)),
    "words": ((*WALL, "window banana 40"), ("yes",)),
    "a call": ((*WALL, "top banana"), ("yes",)),
    "half a window": ((*WALL, "window 40 from left 36 up"), ("36 by 48",)),
    "a doubt": (("north wall 12 foot by 30 foot", WALL[1]), ("north wall 12 foot by 8 foot", "yes")),
}
"""What keeps a wall from its next board, and what settles it."""


@pytest.mark.parametrize(("open_of_it", "settled"), KEEPS_BACK.values(), ids=KEEPS_BACK)
def test_an_order_that_is_held_up_is_carried_out_or_to_be_said_again(
    open_of_it: tuple[str, ...], settled: tuple[str, ...]
) -> None:
    """It isn't forgotten in silence."""
    wall = wall_after(*open_of_it)
    told = wall.types("next board")
    assert "1" not in wall.session.state.pieces, told
    again = "say next board again" in told
    wall.types(*settled)
    assert ("1" in wall.session.state.pieces) is not again, (told, wall.said)
    wall.types("next board")
    assert "1" in wall.session.state.pieces, wall.said
