"""Walls and ceilings called as a whole, laid out, and hung piece by piece."""

from __future__ import annotations

import pytest

from fieldvoice.dialogue.finishing import board_now
from fieldvoice.dialogue.layouts import planned
from fieldvoice.dialogue.orders import in_words
from fieldvoice.records.board import Known, Lies
from fieldvoice.records.ledger import Standing
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Context, Edge, Neighbor, Reading, SurfaceCall
from fieldvoice.records.plan import Code, Hook, Need
from fieldvoice.records.room import USUAL, RoomSurface, RoughOpening, RoughOpeningKind
from fieldvoice.records.room_plan import RoomPlan
from fieldvoice.records.utterance import THE_LAYOUT, Action, Command
from fieldvoice.wording.room import warning_text
from tests.dialogue.talk import Wall, wall_after
from tests.dialogue.test_called_elsewhere import meant
from tests.layout.houses import house_of

IN_ONE_BREATH = (
    "north wall, twelve foot four by eight foot and five eighths; window forty over, thirty six up, thirty six by "
    "forty eight; studs sixteen on center from the left"
)
A_WALL = ("north wall twelve foot four by eight foot and five eighths", "studs sixteen on center from the left")


@pytest.fixture
def wall() -> Wall:
    """People at a wall that nothing was called of yet."""
    return Wall()


def plan_of(wall: Wall) -> RoomPlan:
    """The layout as the screen has it."""
    plan = wall.view.room_plan
    assert plan is not None
    return plan


def laid_out(wall: Wall) -> RoomSurface:
    """The one surface of the layout."""
    (surface,) = plan_of(wall).house.surfaces
    return surface


def test_a_wall_in_one_breath_is_asked_for_the_part_that_is_missing_and_laid_out(wall: Wall) -> None:
    """Forty over from where? Then all of it is read back, and one yes lays it out."""
    said = wall.types(IN_ONE_BREATH)
    assert "North wall: 148 by 96 5/8 in." in said
    assert "40: from which edge?" in said
    assert "Window 1: window, 36 wide by 48 high, near side 40 from left" in wall.types("the left")
    assert wall.view.room_plan is None
    assert "Laid out: 4 pieces from 2 sheets of 48 x 96 and 1 of 48 x 120." in wall.types("yes")
    window = RoughOpening(RoughOpeningKind.WINDOW, Length(40), Length(36), Length(36), Length(48))
    surface = laid_out(wall)
    assert (surface.width, surface.height, surface.openings) == (Length(148), Length("96 5/8"), (window,))


def test_a_wall_that_is_heard_is_a_call_as_well(wall: Wall) -> None:
    """Spoken as typed."""
    assert "North wall: 148 by 96 5/8 in." in wall.speaks(A_WALL[0])
    wall.speaks(A_WALL[1])
    assert "Laid out" in wall.speaks("yes")


@pytest.mark.parametrize(
    ("words", "left", "bottom"),
    [
        ("window forty from left thirty six up thirty six by forty eight", "40", "36"),
        ("window forty from right thirty six up thirty six by forty eight", "72", "36"),
        ("window center sixty from left center sixty up thirty six by forty eight", "42", "36"),
    ],
)
def test_an_opening_stands_where_it_was_called_from(wall: Wall, words: str, left: str, bottom: str) -> None:
    """From either end, by its sides or its center; it belongs to the wall spoken of last."""
    wall.types(*A_WALL, words, "yes")
    (window,) = laid_out(wall).openings
    assert (window.left, window.bottom) == (Length(left), Length(bottom))


def test_a_door_stands_on_the_floor(wall: Wall) -> None:
    """Its one distance is enough on a wall, and that it begins at the floor is read back."""
    assert "near side 0 from bottom" in wall.types(*A_WALL, "door thirty six by eighty, forty from left")
    wall.types("yes")
    (door,) = laid_out(wall).openings
    assert door == RoughOpening(RoughOpeningKind.DOOR, Length(40), Length(0), Length(36), Length(80))


def test_a_ceiling_by_its_two_sides(wall: Wall) -> None:
    """Its joists are counted along its longer side, and that is read back."""
    said = wall.types("ceiling twelve foot by fifteen foot")
    assert "Ceiling: 144 by 180 in." in said
    assert "Where is the framing of the ceiling?" in said
    assert "16 in on center from the near end" in wall.types("joists sixteen on center")
    assert "Laid out: 6 pieces" in wall.types("done")


@pytest.mark.parametrize(
    ("sides", "spacing", "otherwise"),
    [
        ("12 foot by 15 foot", "joists 16 on center", "16 in on center from the left"),
        ("15 foot by 12 foot", "16 on center", "16 in on center from the near end"),
        ("15 foot by 12 foot", "16 on center from the left", None),
        ("15 foot by 12 foot", "16 on center from the near end", None),
    ],
)
def test_which_way_joists_run_is_said_where_nobody_said_it(
    sides: str, spacing: str, otherwise: str | None, wall: Wall
) -> None:
    """They span the shorter side, by default, and the words that say otherwise stand with it."""
    wall.types(f"kitchen ceiling {sides}")
    said = wall.types(spacing)
    assert ("By default the joists span the shorter side" in said) is (otherwise is not None)
    assert otherwise is None or f"If they span the longer, say {otherwise}." in said
    if otherwise is not None:
        assert f"Spacing: {otherwise}, instead of" in wall.types(otherwise)


def test_a_side_that_was_not_said_is_asked_for(wall: Wall) -> None:
    """Nothing half is taken of it, and once it is said whole nothing of it stays open."""
    assert "Say all of it again" in wall.types("north wall twelve foot four")
    assert wall.asks
    wall.types(*A_WALL)
    assert "Laid out" in wall.types("yes")
    assert not any(wall.session.state.not_taken(board) for board in ("1", "north wall"))


def test_a_wall_without_its_studs_is_not_laid_out(wall: Wall) -> None:
    """They are asked for with the read-back, and again by done."""
    assert "Where is the framing of the north wall?" in wall.types(A_WALL[0])
    assert "Where is the framing" in wall.types("done")
    assert wall.view.room_plan is None


def test_undo_takes_back_one_call_and_what_was_laid_out_by_it(wall: Wall) -> None:
    """First the studs, then the wall."""
    wall.types(*A_WALL, "yes")
    assert "spacing, 16 in on center from the left, is out" in wall.types("undo")
    assert "north wall, 148 by 96 5/8 in, is out" in wall.types("undo")
    assert wall.view.room_plan is None


def test_a_wall_called_again_replaces_the_old_one_aloud(wall: Wall) -> None:
    """Said with what it takes the place of, asked about where it is far from that, and planned anew."""
    wall.types(*A_WALL, "yes")
    assert "4 in less than before: is that right? It was 148 by 96 5/8 in" in wall.types(
        "north wall twelve foot by eight foot"
    )
    assert "Laid out" in wall.types("yes")
    assert laid_out(wall).width == Length(144)


@pytest.mark.parametrize(("called", "name"), [("north wall", "the north wall"), ("wall two", "wall 2")])
def test_a_wall_is_told_by_its_name_and_never_as_a_board(called: str, name: str) -> None:
    """What is undone on it, and what it has."""
    wall = Wall()
    wall.types(f"{called} twelve feet by eight feet", "two layers", "undo")
    assert f"Undone on {name}: " in wall.types("undo")
    assert f"{name} has nothing yet." in wall.types("read it all").lower()
    wall.types(f"{called} twelve feet by eight feet")
    assert wall.types("read it all").lower().startswith(f"{name}. ")


def test_a_wish_plans_anew_at_once_and_undo_takes_it_back(wall: Wall) -> None:
    """Stand them up: no yes is needed, since no cut hangs on it."""
    wall.types(*A_WALL, "yes")
    before = plan_of(wall)
    said = wall.types("stand them up")
    assert "sheets standing" in said
    assert "Laid out" in said
    assert {piece.lies for piece in plan_of(wall).pieces} == {Lies.STANDING}
    wall.types("undo")
    assert plan_of(wall).pieces == before.pieces
    assert "of 48 x 144." in wall.types("twelve footers only")
    assert {one.sheet.length for one in plan_of(wall).sheets} == {Length(144)}


def test_a_wish_without_a_wall_is_told(wall: Wall) -> None:
    """There is nothing to plan."""
    assert "There is no wall or ceiling to lay out yet" in wall.types("stand them up")
    assert wall.refuses


def test_next_board_opens_the_next_piece_and_a_far_reading_is_asked_about(wall: Wall) -> None:
    """What the layout knows is said, the hanger calls what the wall reads, and what is far off has its reason."""
    wall.types(IN_ONE_BREATH, "the left", "yes")
    said = wall.types("next board")
    assert "Board 1, piece 1 of the north wall: about 64 wide by 48 high, lying, upper course" in said
    assert "left wall, right board, top ceiling, bottom board" in said
    assert wall.types("top 63 7/8") == "Width, top: 63 7/8."
    assert "36, but the layout has 64 here: is that right?" in wall.types("bottom 36")
    assert wall.asks
    wall.types("no, 63 3/4")
    assert "Board 2, piece 2 of the north wall: about 84 wide" in wall.types("next board")
    assert "48, but the layout has 84 here" in wall.types("top 48")
    assert wall.standing("width, top") == "doubtful"


@pytest.mark.parametrize("left", [20, 60, 100])
def test_a_piece_tells_of_the_opening_that_it_is_cut_around(left: int) -> None:
    """Each piece that reaches into the window, and no other."""
    wall = wall_after("north wall 12 foot by 8 foot 1/2, studs sixteen on center from left", "yes")
    wall.types(f"window {left} from left, 60 up, 30 by 20", "yes")
    told = [wall.types("next board") for _ in range(2)]
    assert [("cut around a window" in each) for each in told] == ["upper" in each for each in told]
    assert any("upper" in each for each in told)


def test_a_piece_has_all_that_the_layout_knows_and_only_readings_are_missing(wall: Wall) -> None:
    """Its board is the one that the layout makes of it, and nothing but the tape is waited for."""
    wall.types(IN_ONE_BREATH, "the left", "yes", "next board", "next board", "next board", "next board")
    state = wall.session.state
    assert tuple(state.pieces) == ("1", "2", "3", "4")
    for name in state.pieces:
        made = board_now(state, name, wall.now)
        known = planned(state, name)
        assert known is not None
        for field in ("surface", "unit", "lies", "sheet", "thickness", "kind", "layer", "framing", "course"):
            assert getattr(made, field) == getattr(known.board, field), field
        assert made.above_floor == known.board.above_floor
        stands = {edge: each.neighbor for edge, each in known.board.edges.items()}
        assert {edge: each.neighbor for edge, each in made.edges.items()} == stands
        assert all(each.known in {Known.CARRIED, Known.CALLED} for each in made.edges.values())
        wanted = {need.need for need in wall.rooms.missing(made) if need.required}
        assert wanted <= {Need.WIDTH, Need.HEIGHT}
    assert board_now(state, "3", wall.now).edges[Edge.BOTTOM].neighbor is Neighbor.FLOOR


def test_what_is_left_of_a_sheet_is_cut_first(wall: Wall) -> None:
    """The piece that lies on a sheet that is cut already is told from which board's."""
    wall.types(IN_ONE_BREATH, "the left", "yes")
    opened = [wall.types("next board") for _ in range(4)]
    assert [
        number for number, said in enumerate(opened, 1) if "Cut it from what board 1 leaves of its sheet." in said
    ] == [4]


def test_what_is_measured_stays_when_a_wish_plans_the_rest(wall: Wall) -> None:
    """The first piece is in hand; the rest is planned round it."""
    wall.types(*A_WALL, "yes", "next board")
    first = planned(wall.session.state, "1")
    assert first is not None
    wall.types(f"top {first.width.text(Unit.INCH)}")
    assert "Laid out" in wall.types("twelve footers only")
    again = planned(wall.session.state, "1")
    assert again is not None
    assert (again.width, again.height) == (first.width, first.height)


def test_a_piece_that_was_only_opened_is_planned_anew_with_the_rest(wall: Wall) -> None:
    """Nothing is cut of it and nothing read: its board is free again, and next board is the first piece of the new
    layout, with its own sheet and neighbors.
    """
    wall.types(*A_WALL, "yes", "next board", "next board")
    assert "Laid out" in wall.types("stand them up")
    assert not wall.session.state.pieces
    assert "Board 1, piece 1 of the north wall: about 16 wide by 96 5/8 high, standing" in wall.types("next board")
    assert board_now(wall.session.state, "1", wall.now).lies is Lies.STANDING


def read(wall: Wall, width: str, height: str) -> str:
    """A piece read at its four sides, and done."""
    return wall.types(f"top {width}", f"bottom {width}", f"left {height}", f"right {height}", "done")


def test_what_a_cut_leaves_is_named_from_its_readings_and_the_next_piece_asks_for_it_first(wall: Wall) -> None:
    """No replan is asked for. The sheet is 120 in, the board 63 3/4 between its wall and its joint."""
    wall.types(IN_ONE_BREATH, "the left", "yes", "next board")
    assert "write “1A” on 48 x 56 1/8 in, factory edges: both tapered edges and one end" in read(wall, "64", "47 7/8")
    assert wall.view.plan is not None
    assert [cut.edge for cut in wall.view.plan.cuts] == [Edge.LEFT, Edge.TOP], "else 1A would be a quarter narrower"
    for width, height in (("83 7/8", "47 7/8"), ("96", "48 1/2")):
        wall.types("next board")
        read(wall, width, height)
    said = wall.types("next board")
    edges = "factory edges: both tapered edges and one end"
    assert f"Cut it from the offcut “1A”, 48 x 56 1/8 in, {edges}. Square its cut edges first" in said
    read(wall, "52", "48 1/2")
    view = wall.view
    assert view.plan is not None
    assert str(view.plan.sheet.length) == "56 1/8"
    assert view.plan.warnings[0].code is Code.FROM_OFFCUT
    lean = view.plan.steps[0]
    assert (lean.offcut, lean.edges) == ("1A", (Edge.RIGHT,)), "its cut end to the wall, its factory end to the joint"
    mark = view.plan.steps[1]
    assert (mark.edge, mark.origin) == (Edge.RIGHT, Hook.LEFT_FACTORY)
    assert [one.name for one in view.rack] == ["2A"]


def test_a_wall_that_is_longer_than_called_leaves_too_little_and_the_rest_is_planned_anew(wall: Wall) -> None:
    """72 in instead of 64 leaves less than the 52 in of a piece below: a longer sheet is needed for it, and told."""
    wall.types(IN_ONE_BREATH, "the left", "yes")
    before = {one.sheet.length: one.count for one in plan_of(wall).sheets}
    wall.types("next board", "top 72", "yes", "bottom 72", "yes")
    assert "write “1A” on 48 x 48 1/8 in" in wall.types("left 47 7/8", "right 47 7/8", "done")
    assert "Laid out: 4 pieces" in wall.types("next board")
    after = {one.sheet.length: one.count for one in plan_of(wall).sheets}
    assert before == {Length(96): 2, Length(120): 1}
    assert sum(length.inches * count for length, count in after.items()) > 96 + 96
    assert not any(one.offcut is not None and len(one.pieces) > 1 for one in plan_of(wall).patterns)


def test_a_reading_mended_after_done_changes_what_is_on_the_rack(wall: Wall) -> None:
    """Under the same name, which is written on it already; while it is open again nothing of it is there."""
    wall.types(IN_ONE_BREATH, "the left", "yes", "next board")
    read(wall, "64", "47 7/8")
    wall.types("top 63 1/2", "bottom 63 1/2")
    assert "write “1A” on 48 x 56 5/8 in" in wall.types("done")
    assert [(one.name, str(one.length)) for one in wall.view.rack] == [("1A", "56 5/8")]
    before = wall.view.rack
    wall.restart()
    assert wall.view.rack == before


def test_after_the_last_piece_next_board_says_so(wall: Wall) -> None:
    """Nothing of the layout is left to cut."""
    wall.types(IN_ONE_BREATH, "the left", "yes", *("next board",) * 4)
    assert "Every piece of the layout is a board now, 4 in all." in wall.types("next board")


def test_the_next_wall_has_its_own_studs_and_every_sheet(wall: Wall) -> None:
    """Neither goes along from a piece that was opened."""
    wall.types(*A_WALL, "yes", "next board")
    assert "Where is the framing of the east wall?" in wall.types("east wall twelve foot by eight foot")
    wall.types("sixteen on center", "yes")
    assert {one.length for one in plan_of(wall).house.sheets} == {Length(96), Length(120), Length(144)}


def test_what_is_measured_stays_when_the_wall_is_called_off_and_on_again(wall: Wall) -> None:
    """The piece that is in hand is there again, as it was."""
    wall.types(*A_WALL, "yes", "next board")
    wall.types("top 96", who="partner")
    first = planned(wall.session.state, "1")
    assert "Nothing is laid out now." in wall.types("undo")
    assert "Laid out: 4 pieces" in wall.types(*A_WALL, "yes")
    again = planned(wall.session.state, "1")
    assert first is not None
    assert again is not None
    assert (again.width, again.height) == (first.width, first.height)
    assert "Board 2, piece 2 of the north wall" in wall.types("next board")


@pytest.mark.parametrize("unit", Unit)
def test_the_board_of_a_wall_is_as_thick_by_voice_as_in_a_file(unit: Unit, wall: Wall) -> None:
    """Where nobody said how thick: 1/2 in, and 12.5 mm in a job in millimeters."""
    size, on = ("144 by 96", "16") if unit is Unit.INCH else ("3600 by 2400", "600")
    wall.types(*(["millimeters"] if unit is Unit.MM else []), f"north wall {size}", f"studs {on} on center", "yes")
    width, height = size.split(" by ")
    job = f'[job]\nunit = "{unit}"\nsheets = ["{"48 x 96" if unit is Unit.INCH else "1200 x 3600"}"]\n'
    sides = f'width = {width}\nheight = {height}\nstuds = "{on} on center from left"\n'
    text = f'{job}[[wall]]\nroom = "den"\nname = "north"\n{sides}'
    (spoken,), (written,) = plan_of(wall).house.surfaces, house_of(text).surfaces
    assert spoken.thickness == written.thickness == USUAL[unit]


WARNED = {
    "north wall 12 foot by 8 foot, studs 30 on center": "framing three zero inches apart",
    "ceiling 12 foot by 10 foot, 24 on center, run them flat": None,
    "north wall 12 foot by 8 foot, 16 on center, door 1 from left 36 by 80": "a strip only one inch wide",
    "north wall 12 foot by 8 foot, left 96 right 120, 16 on center, stand them up": None,
    "north wall 120 by 150, 16 on center, stand them up": None,
}


@pytest.mark.parametrize("talk", WARNED)
def test_what_a_layout_can_not_cure_is_told_once(talk: str, wall: Wall) -> None:
    """As soon as it is laid out, on the screen with what to do, and not again with a layout that has it still."""
    said = ""
    spoken = ""
    for line in (*talk.split(", "), "yes"):
        said += wall.types(line)
        spoken += " ".join(one.spoken for one in wall.said)
    told = [warning_text(one, wall.view.unit) for one in plan_of(wall).warnings]
    assert (WARNED[talk] or "") in spoken
    assert WARNED[talk] is None or told
    for each in told:
        assert each.split(":")[1] in said
    again = wall.types("east wall 12 foot by 8 foot", "16 on center", "yes")
    assert not any(each.split(":")[1] in again for each in told)


def test_an_opening_outside_its_wall_is_told_and_nothing_is_opened(wall: Wall) -> None:
    """Next board waits until the wall can be laid out."""
    wall.types(*A_WALL, "window two hundred from left thirty six up thirty six by forty eight")
    assert "Window 1 doesn't fit into the north wall" in wall.types("yes")
    wall.types("next board")
    assert wall.session.state.board == "north wall"
    assert "Laid out" in wall.types("undo")


def test_a_reading_is_of_a_board_and_not_of_a_wall(wall: Wall) -> None:
    """It is kept as not taken, and told."""
    wall.types(*A_WALL, "yes")
    assert "That belongs to a board, not to the north wall." in wall.types("left 46")
    assert wall.session.state.not_taken("north wall")


def test_a_job_opened_again_has_its_layout_and_its_pieces(wall: Wall) -> None:
    """From its entries alone."""
    wall.types(IN_ONE_BREATH, "the left", "yes", "next board", "top 63 7/8")
    before = plan_of(wall)
    wall.restart()
    assert plan_of(wall).pieces == before.pieces
    assert "but the layout has 64 here" in wall.types("bottom 36")


def test_without_a_wall_next_board_is_as_before(wall: Wall) -> None:
    """No layout, no piece."""
    wall.types("top 46 7/8", "next board")
    assert wall.view.board == "2"
    assert wall.view.room_plan is None


@pytest.mark.parametrize("lost", ["door a hundred from", "window forty over the", "and a hatch up there"])
def test_a_wall_of_which_something_was_not_taken_is_not_laid_out(wall: Wall, lost: str) -> None:
    """Without its door it is another wall; said again or left out by a word, it is."""
    wall.types(*A_WALL, lost)
    assert wall.view.room_plan is None
    assert "not taken" in wall.types("done")
    assert wall.view.room_plan is None
    assert "leave it out" in wall.types("next board")
    assert wall.view.room_plan is None
    assert wall.session.state.board == "north wall"
    assert "Laid out" in wall.types("yes")


def test_a_wall_is_gone_back_to_by_its_name(wall: Wall) -> None:
    """From a board or another wall; one that was never called is told, and nothing is opened."""
    wall.types(*A_WALL, "done", "next board")
    assert "North wall" in wall.types("go back to the north wall")
    assert wall.session.state.board == "north wall"
    wall.types("window forty from left thirty six up thirty six by forty eight", "yes")
    assert len(laid_out(wall).openings) == 1
    assert "There is no south wall yet" in wall.types("go to the south wall")
    assert wall.refuses


@pytest.mark.parametrize(
    "words",
    [
        "north wall twelve foot four by nine",
        "the north wall is twelve foot four long and nine foot high",
        "this is the north wall, 148 by 108",
        "new north wall 148 wide by 9 foot tall",
        "north wall twelve foot four by 108",
    ],
)
def test_a_wall_by_its_two_sides_however_they_are_called(wall: Wall, words: str) -> None:
    """Beside feet a small number is feet, too, and a large one inches."""
    assert "North wall: 148 by 108 in." in wall.types(words)


@pytest.mark.parametrize(
    "words",
    [
        "door 100 from the left 32 by 80",
        "door 32 by 80 starts at 100 from the left",
        "door 32 wide 80 high, 100 from the left",
        "door rough opening is 100 from the left, 32 by 80",
        "door 16 from the right 32 by 80",
    ],
)
def test_a_door_by_its_size_and_its_place_in_either_order(wall: Wall, words: str) -> None:
    """The same hole in the wall."""
    wall.types(*A_WALL, words, "yes")
    (door,) = laid_out(wall).openings
    assert (door.left, door.bottom, door.width, door.height) == (Length(100), Length(0), Length(32), Length(80))


def test_sheets_of_a_wall_by_what_a_crew_calls_them(wall: Wall) -> None:
    """Their length, their width and how they hang, each planned anew."""
    wall.types(*A_WALL, "yes", "use ten footers", "54 inch board")
    wall.types("yes", "done")
    assert {(one.sheet.width, one.sheet.length) for one in plan_of(wall).sheets} == {(Length(54), Length(120))}
    wall.types("hang them vertical", "done")
    assert {piece.lies for piece in plan_of(wall).pieces} == {Lies.STANDING}
    assert "Nothing is missing on the north wall." in wall.types("what's missing")


@pytest.mark.parametrize("kind", ["window", "door"])
@pytest.mark.parametrize(("left", "up", "high"), [(20, 36, 48), (60, 36, 10), (96, 60, 20), (40, 1, 80), (8, 50, 30)])
def test_an_opening_of_the_wall_is_on_its_boards_until_it_is_called_there(
    kind: str, left: int, up: int, high: int
) -> None:
    """On each board that it lies on, and on no other: nobody hangs a board over a window without a word."""
    wall = wall_after("north wall 144 by 96", "studs sixteen on center from the left")
    wall.types(f"{kind} {left} from left {up} up 30 by {high}", "done")
    plan = wall.view.room_plan
    assert plan is not None
    for piece in plan.surfaces[0].pieces:
        wall.types("next board", f"top {piece.width} bottom {piece.width}", f"left {piece.height} right {piece.height}")
        lies_on = piece.y < Length(up + high) and Length(up) < piece.top
        lies_on = lies_on and piece.x < Length(left + 30) and Length(left) < piece.right
        notes = [one for one in wall.view.plan.warnings if one.code is Code.UNCALLED] if wall.view.plan else []
        at = Length(left) - piece.x
        assert [(one.about, *one.values) for one in notes] == (
            [(kind, max(at, Length(0)), min(at + Length(30), piece.width))] if lies_on else []
        )
        if lies_on and at > Length(0):
            wall.types(f"{kind} near edge {at} from left near edge 10 down 30 by 20", "yes")
            assert not wall.view.plan or Code.UNCALLED not in {one.code for one in wall.view.plan.warnings}


@pytest.mark.parametrize("framed", [False, True])
@pytest.mark.parametrize(
    "said", ["top 46 and seven", "left 94 and nine", "13 feet by 8 feet", "both sides 94 and nine", "bottom 46 or 47"]
)
def test_no_unclear_call_is_of_a_wall_that_has_none_such(said: str, framed: bool) -> None:
    """Of what it may have been only what can be said of a wall is asked; the rest is a board's, and stands as not
    taken.
    """
    wall = wall_after("north wall 144 by 96", *(["studs 16 on center"] if framed else []))
    wall.types(said)
    assert wall.session.state.not_taken("north wall") or wall.asks
    wall.types("seven eighths", "yes", "width top", "yes")
    calls = [one for one in wall.session.state.on("north wall") if isinstance(one.fact, Reading) and one.in_force]
    assert not calls
    assert not any(one.waits and isinstance(one.fact, Reading) for one in wall.session.state.on("north wall"))


@pytest.mark.parametrize("end", ["near end", "far end", "bottom", "top"])
@pytest.mark.parametrize(
    "lines",
    [
        ("kitchen north wall 12 foot by 8 foot", "16 on center from the {}"),
        ("kitchen north wall 12 foot by 8 foot", "16 on center", "no, 16 on center from the {}"),
        ("kitchen north wall 12 foot by 8 foot, 16 on center from the {}",),
        ("16 on center from the {}",),
    ],
    ids=len,
)
def test_only_a_ceiling_is_framed_from_its_ends(lines: tuple[str, ...], end: str, wall: Wall) -> None:
    """Of a wall it has no meaning: nothing is taken of it, and it is not gone."""
    said = wall.types(*(line.format(end) for line in lines))
    assert "Only a ceiling's joists are counted from its near or far end" in said
    assert not any(
        isinstance(call.fact, Context) and call.fact.edge in {Edge.TOP, Edge.BOTTOM} and call.in_force | call.waits
        for call in wall.session.state.calls.values()
    )
    assert any(call.standing is Standing.NOT_TAKEN for call in wall.session.state.calls.values())


@pytest.mark.parametrize("name", ["north wall", "kitchen north wall", "bedroom ceiling", "go to the south wall"])
@pytest.mark.parametrize(
    "sides", ["12 foot 4 by 8 foot", "148 by 96", "it's 12 foot 4 by 8", "12 foot 4 by 8 foot, studs 16 on center"]
)
def test_the_sides_that_are_asked_for_are_those_of_the_wall(name: str, sides: str) -> None:
    """Named before it is there, a wall or a ceiling is called by its two sides alone: no sheet, and no reading."""
    wall = wall_after(name)
    assert wall.refuses
    wall.types(sides)
    called = name.removeprefix("go to the ")
    assert wall.session.state.surfaces == (called,)
    assert wall.value(" ".join(called.split()[-2:]).removeprefix("bedroom ")) == "148 by 96 in"


@pytest.mark.parametrize("between", ["top 46", "no boxes", "south wall 12 foot by 8 foot"])
def test_sides_behind_another_call_are_not_those_of_a_wall_named_before_it(between: str) -> None:
    """Only what comes right behind the name answers it."""
    wall = wall_after("north wall", between, "148 by 96")
    assert "north wall" not in wall.session.state.surfaces


@pytest.mark.parametrize(
    "back", [(), ("next board", "go to the north wall"), ("next board", "top 143 7/8", "north wall")]
)
@pytest.mark.parametrize("line", ["no 12 foot 2 by 8 foot", "no, 146 by 96", "12 foot 2 by 8 foot", "146 by 96"])
def test_two_sides_at_a_wall_are_the_walls(line: str, back: tuple[str, ...]) -> None:
    """With a no or without, right behind its framing or once it is gone back to: no sheet is called so."""
    wall = wall_after("north wall 12 foot by 8 foot", "16 on center", *back, line)
    wall.types("yes")
    assert wall.value("north wall") == "146 by 96 in"
    assert "sheet" not in wall.settings
    assert wall.settings["spacing"].startswith("16 in on center")


@pytest.mark.parametrize("line", ["4 by 12", "four by twelve", "48 by 120 sheets", "4x10"])
def test_a_sheet_at_a_wall_is_a_sheet(line: str) -> None:
    """What boards are sold as is no wall."""
    wall = wall_after("north wall 12 foot by 8 foot", "16 on center", line)
    assert wall.value("north wall") == "144 by 96 in"
    assert "sheet" in wall.settings


def test_no_board_is_opened_beside_a_wall_that_waits_to_be_laid_out() -> None:
    """It would be none of its pieces: what is open is told, and the first piece is board 1 once that is said yes to."""
    wall = wall_after("north wall 12 foot by 8 foot", "16 on center", "P:next board")
    assert wall.session.state.boards == ("1",)
    assert "Spacing" in " ".join(say.text for say in wall.said)
    wall.types("yes")
    assert "Board 1, piece 1" in wall.types("next board", who="partner")


def test_lengths_that_somebody_wants_alone_are_to_be_had_where_none_were_listed(wall: Wall) -> None:
    """Sheets of 14 ft are sold, and who wants them has them; nobody has any of 20 ft."""
    wall.types(*A_WALL, "yes")
    assert "2 pieces from 2 sheets of 48 x 168" in wall.types("fourteen footers only")
    assert "longer than any wall or sheet" in wall.types("twenty footers only")
    assert "2 pieces from 2 sheets of 48 x 192" in wall.types("sixteen footers only")


@pytest.mark.parametrize("words", ["layout", "the layout", "show me the layout", "back to the layout"])
def test_the_layout_is_that_of_the_wall_at_hand(words: str) -> None:
    """From its board, too, which it leaves as it was; before there is a wall, or its framing, that is asked for."""
    assert meant(in_words(Command(Action.GO_TO_SURFACE, THE_LAYOUT))) == meant(words)
    wall = Wall()
    assert "There is no wall or ceiling" in wall.types(words)
    wall.types("north wall 12 feet by 8 feet")
    assert "Where is the framing of the north wall?" in wall.types(words)
    assert "Laid out: 2 pieces" in wall.types("studs 16 on center from the left", words)
    wall.types("next board", "top 144")
    assert wall.types(words).startswith("North wall, as it stands. Laid out: 2 pieces")
    assert wall.session.state.board == "north wall"
    assert "Board 1, as it stands." in wall.types("go to board 1")
    assert [reading.value for reading in wall.readings] == ["144"]


@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize("there", [(), ("back wall 60 by 96 studs 16 on center",), ("north wall 60 by 96",)])
def test_a_left_wall_is_a_wall_of_its_room(there: tuple[str, ...], side: str) -> None:
    """Its size is never that of the wall at hand; on a board that is begun it may be what stands there."""
    wall = wall_after("closet", *there)
    before = {name: dict(wall.session.state.known(name)) for name in wall.session.state.called_surfaces}
    assert f"Closet {side} wall, new. {side.title()} wall: 24 by 96 in." in wall.types(f"{side} wall 24 by 96")
    for name, calls in before.items():
        assert all(wall.session.state.known(name)[key].fact == one.fact for key, one in calls.items())
    board = wall_after("closet", "top 42", "bottom 42")
    board.types(f"{side} wall 24 by 96")
    assert not board.session.state.called_surfaces


SMALL = (8, 12, 20, 23, 24, 30, 36, 48, 60)


@pytest.mark.parametrize("first", SMALL)
@pytest.mark.parametrize("second", SMALL)
@pytest.mark.parametrize("surface", ["north wall", "ceiling"])
def test_sides_that_may_be_feet_or_inches_are_asked_about(surface: str, first: int, second: int) -> None:
    """A closet of 30 by 24 in, or a hall of 30 by 24 ft; of less than that no surface is in inches. With its unit
    nothing is asked.
    """
    wall = Wall()
    told = wall.types(f"{surface} {first} by {second}")
    both = min(first, second) >= 24
    assert ("Feet or inches?" in told) is both, told
    assert bool(wall.session.state.called_surfaces) is not both
    said = wall.types(f"{surface} {first} inches by {second} inches" if both else "yes")
    assert "Feet or inches?" not in said
    (call,) = (one.fact for one in wall.session.state.on(surface) if isinstance(one.fact, SurfaceCall))
    scale = 1 if both else 12
    assert (call.width, call.height) == (Length(first * scale), Length(second * scale))
    assert not wall.session.state.not_taken(surface)
