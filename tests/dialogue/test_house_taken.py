"""A planned house as a job: its walls are there as if somebody had called them, and are cut piece by piece."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from fieldvoice.dialogue.houses import changed, whole_name
from fieldvoice.dialogue.looking import look
from fieldvoice.dialogue.session import Session
from fieldvoice.errors import CannotCut
from fieldvoice.records.length import ZERO, Length, Unit
from fieldvoice.records.meaning import Edge, Neighbor, SurfaceCall
from fieldvoice.records.room import Ceiling, House, RoomSurface, name_of
from fieldvoice.wording.forms import first_large
from tests.cutting.test_paper_boards import cut_by_words
from tests.dialogue.talk import Wall
from tests.layout.houses import house_of, house_text, lake_house, plan_at_once
from tests.layout.test_plans import JOB
from tests.layout.test_plans import wall as den_wall


def takes(wall: Wall, house: House, file: str = "lake_house.toml") -> str:
    """The house becomes the job's; what was said to it."""
    return " ".join(say.text for say in wall.session.take_house(house, file, "partner"))


@pytest.fixture
def house_job() -> Wall:
    """A crew with the lake house as its job."""
    wall = Wall()
    takes(wall, lake_house())
    return wall


def test_the_house_is_told_in_one_breath(house_job: Wall) -> None:
    """How many walls, which rooms, how many pieces from which sheets, and what to say next."""
    again = Wall()
    said = takes(again, lake_house())
    assert "Lake house: 16 walls and ceilings in kitchen, bath, bedroom and hall." in said
    assert house_job.view.room_plan is not None
    assert f"in all: {len(house_job.view.room_plan.pieces)} pieces from " in said


def test_the_crew_goes_by_rooms_and_walls(house_job: Wall) -> None:
    """A room leads to what of it is hung first; a wall is that of the room one is in, or of the room said with it."""
    assert "pieces. Kitchen ceiling, as it stands." in house_job.types("kitchen")
    assert house_job.types("north wall") == "Kitchen north wall, as it stands."
    assert house_job.types("go to the north wall") == "Kitchen north wall, as it stands."
    said = house_job.types("next board")
    assert "Board 1, piece 1 of the kitchen north wall: about 144 wide by 48 high, lying, upper course" in said
    assert house_job.types("bathroom north wall") == "Bath north wall, as it stands."
    assert "Board 2, piece 1 of the bath north wall" in house_job.types("next board")
    assert house_job.types("east wall") == "Bath east wall, as it stands."
    assert "pieces, 1 of them boards already. Kitchen ceiling" in house_job.types("in the kitchen")


def test_a_wall_that_several_rooms_have_is_asked_for(house_job: Wall) -> None:
    """Without a room nobody can tell which: nothing is opened, and nothing taken."""
    said = house_job.types("north wall")
    assert "Which north wall: kitchen north wall or bath north wall or bedroom north wall or hall north wall?" in said
    assert house_job.refuses
    assert house_job.view.board == "1"
    assert "Which north wall" in house_job.types("north wall twelve foot four by eight foot")
    assert "north wall" not in house_job.session.state.surfaces


def test_a_far_reading_is_asked_about_and_names_what_was_planned(house_job: Wall) -> None:
    """The file says 144, the tape 132."""
    house_job.types("kitchen north wall", "next board")
    assert house_job.types("top 143 7/8") == "Width, top: 143 7/8."
    assert "132, but the layout has 144 here: is that right?" in house_job.types("bottom 132")


def test_when_a_wall_is_used_up_its_room_comes_next(house_job: Wall) -> None:
    """Not the first wall of the house."""
    house_job.types("bathroom north wall")
    said = [house_job.types("next board").split(":")[0] for _ in range(3)]
    assert said[:2] == ["Board 1, piece 1 of the bath north wall", "Board 2, piece 2 of the bath north wall"]
    assert said[2] == "Board 3, piece 1 of the bath ceiling"


def test_a_wall_called_anew_takes_the_place_of_the_file_s(house_job: Wall) -> None:
    """As any value does: aloud, and planned anew."""
    house_job.types("bathroom east wall")
    assert "instead of lake_house.toml's 61 1/4 by 96 5/8 in" in house_job.types(
        "east wall sixty three inches by ninety six and a half"
    )
    assert "Laid out" in house_job.types("yes")
    assert house_job.view.room_plan is not None
    walls = {str(name_of(each)): each for each in house_job.view.room_plan.house.surfaces}
    assert walls["bath east wall"].width == Length(63)


def test_the_same_file_again_goes_on_and_a_changed_one_is_told(house_job: Wall) -> None:
    """By the walls that are otherwise; the job stays as it was."""
    house_job.types("kitchen north wall", "next board", "top 143 7/8")
    house_job.restart()
    assert takes(house_job, lake_house()) == "The house in lake_house.toml hasn't changed. Going on where you left off."
    house = lake_house()
    wider = replace(house.surfaces[1], width=Length(150))
    said = takes(house_job, replace(house, surfaces=(house.surfaces[0], wider, *house.surfaces[2:-1])))
    wider_name, gone = whole_name(house.surfaces[1]), whole_name(house.surfaces[-1])
    assert f"lake_house.toml has changed since this job took it: {wider_name} and {gone}." in said
    assert house_job.refuses
    assert house_job.value("width, top") == "143 7/8"
    assert house_job.session.state.house == house


def test_a_house_that_has_no_layout_is_not_taken_at_all() -> None:
    """Nothing of it is in the job, and nothing in its journal."""
    house = lake_house()
    odd = replace(house.surfaces[0], height=Length("1/2")) if not isinstance(house.surfaces[0], Ceiling) else None
    assert odd is not None
    wall = Wall()
    with pytest.raises(CannotCut):
        takes(wall, replace(house, surfaces=(odd, *house.surfaces[1:])))
    assert not wall.session.state.surfaces
    assert not list(wall.journal.entries())


def as_named(surface: RoomSurface) -> RoomSurface:
    """A surface under the name that it has in a job."""
    name = whole_name(surface).removeprefix(f"{surface.room} ")
    return replace(surface, name=name)


@pytest.mark.parametrize("seed", range(40))
def test_any_house_is_the_same_house_in_a_job_and_when_that_is_opened_again(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """From the text of a file to the surfaces that are planned, and once more from the journal. The plan is the one
    that is there at once: what is looked at is the house.
    """
    monkeypatch.setattr("fieldvoice.layout.planning.plan", lambda house, *_: plan_at_once(house))
    read = house_of(house_text(random.Random(seed)))
    try:
        plan_at_once(read)
    except CannotCut:
        pytest.skip("no layout keeps the rules here")
    wall = Wall()
    takes(wall, read)
    laying = wall.session.state.laying
    assert laying is not None
    assert set(laying.surfaces) == {as_named(surface) for surface in read.surfaces}
    assert laying.sheets == read.sheets
    assert wall.session.unit is read.unit
    again = Session(wall.journal, rooms=wall.rooms, clock=lambda: wall.now)
    assert again.state.laying == laying
    assert again.state.calls == wall.session.state.calls
    assert not changed(read, again.state.house or read)
    views = (look(each.state, wall.now, wall.rooms) for each in (wall.session, again))
    plans = [view.room_plan and view.room_plan.pieces for view in views]
    assert plans[0] == plans[1]
    assert plans[0]


def test_a_window_is_taken_out_by_its_name_and_undone(house_job: Wall) -> None:
    """The wall is laid out without it, and with it again."""
    house_job.types("bathroom north wall")
    assert "Taken out: window 1. Laid out" in house_job.types("scratch window one")
    assert not laid_surface(house_job, "bath north wall").openings
    assert "window 1 is window, 24 wide by 24 high" in house_job.types("undo")
    assert len(laid_surface(house_job, "bath north wall").openings) == 1
    house_job.types("hall north wall")
    assert "more than one" in house_job.types("scratch the door").lower()
    house_job.types("scratch door two")
    assert [str(each.left) for each in laid_surface(house_job, "hall north wall").openings] == ["22"]


def test_one_side_of_a_door_is_called_anew_by_its_name(house_job: Wall) -> None:
    """The rest of it stays, and what it takes the place of is asked about."""
    house_job.types("bathroom west wall")
    said = house_job.types("door one is thirty two wide")
    assert "Door 1: door, 32 wide by 82 1/2 high, near side 14 from left" in said
    house_job.types("yes")
    (door,) = laid_surface(house_job, "bath west wall").openings
    assert (door.left, door.width, door.height) == (Length(14), Length(32), Length("82 1/2"))


def test_a_slope_is_called_by_the_heights_of_both_ends(house_job: Wall) -> None:
    """Where one of them is the wall's own; a board's two heights are no slope of its wall."""
    house_job.types("bathroom east wall")
    said = house_job.types("left side ninety six and five eighths, right side ten foot")
    assert "East wall: 61 1/4 wide, 96 5/8 at its left and 120 in at its right" in said
    house_job.types("yes")
    wall = laid_surface(house_job, "bath east wall")
    assert (wall.top_at(Length(0)), wall.top_at(wall.width)) == (Length("96 5/8"), Length(120))
    assert "That belongs to a board" in house_job.types("left 47 7/8, right 35")
    assert "That belongs to a board" in house_job.types("left 96 5/8, right 96 1/2")
    assert laid_surface(house_job, "bath east wall") == wall


def rising(right: str) -> str:
    """A top that slopes to that height."""
    return f'top_right_height = "{right}"'


GABLES = [
    *(("60", "60", rising("90")), ("100", "60", rising("110")), ("40", "96", rising("110"))),
    *(("96", "110", rising("60")), ("120", "96", rising("100"))),
    *(("144", "96", 'peak_height = "132"'), ("100", "60", 'peak_height = "80"\npeak_from_left = "30"')),
]


@pytest.mark.parametrize("lies", ["", '\nlies = "lying"'])
@pytest.mark.parametrize(("width", "left", "more"), GABLES)
def test_a_piece_is_cut_along_the_line_of_its_top(width: str, left: str, more: str, lies: str) -> None:
    """Its top slopes, and breaks, as the layout has it; no height of it is odd, and what lacks of it is asked for. One
    that runs out to a point has no marks, whatever is called. Where nobody said that sheets lie, all have four sides.
    """
    job = Wall()
    takes(job, house_of(JOB + den_wall("gable", width, left, more=f"{more}{lies}")))
    plan = job.view.room_plan
    assert plan is not None
    for piece in plan.pieces:
        told = job.types("next board")
        assert (
            "The top slopes from" in told or "The top is level to" in told or "The top runs" in told
        ) == piece.slopes
        assert ("No marks" in told) == piece.pointed
        assert ("Call its height at both sides" in told) == (bool(piece.bends) and not piece.pointed)
        lacks = job.types("what is missing")
        assert ("runs out to a point" in lacks) == piece.pointed
        assert lacks.count("where its top breaks") == (0 if piece.pointed else len(piece.bends))
        floor = piece.y if piece.edges[Edge.BOTTOM].neighbor is Neighbor.FLOOR else ZERO
        for side, high in (("left", piece.left_height), ("right", piece.right_height)):
            if high != ZERO:
                assert "?" not in job.types(f"{side} height {(high + floor).text(Unit.INCH)}")
        for one in piece.bends:
            tall = (one.height + floor).rounded(Length("1/16")).text(Unit.INCH)
            said = job.types(f"peak {tall} at {one.across.rounded(Length('1/16')).text(Unit.INCH)} from the left")
            assert said.endswith(": is that right?"), said
            assert "layout" not in said
        job.types(*(f"{at} {piece.width.text(Unit.INCH)}" for at in ("top", "bottom")), "yes", "done")
        assert (job.view.plan is None) == piece.pointed, (job.view.plan_trouble, piece.top_corners)
        if job.view.plan is not None and piece.slopes:
            made = cut_by_words(job.view.plan).sheet
            top, low = made.bounds[1], made.bounds[3]
            assert {cut.edge for cut in job.view.plan.cuts} >= {Edge.TOP}
            assert abs(low - top - float(piece.height.inches)) < 0.6
            assert len(made.exterior.coords) - 1 == 4 + len(piece.bends)


def laid_surface(wall: Wall, name: str) -> RoomSurface:
    """A surface of the layout by its whole name."""
    assert wall.view.room_plan is not None
    return next(each for each in wall.view.room_plan.house.surfaces if str(name_of(each)) == name)


@pytest.mark.parametrize("off", ["-1/16", "0", "1/16", "1/4"])
def test_a_level_part_keeps_the_factory_edge(off: str) -> None:
    """Where the joint above is a little farther off than the sheet is wide, the joint below takes that up, and the
    level part is the sheet's own edge; where it is nearer, that is cut off.
    """
    job = Wall()
    takes(job, house_of(JOB + den_wall("gable", "100", "60", more=rising("110") + '\nlies = "lying"')))
    job.types("next board", "next board")
    more = Length(off)
    left, bend, right = (Length(each) + more for each in ("11 1/2", "48", "48"))
    job.types(f"left height {left}", f"right height {right}", f"peak {bend} at 73 from the left", "yes")
    job.types("top 100", "bottom 100", "yes", "done")
    assert job.view.plan is not None, job.view.plan_trouble
    (cut,) = (cut for cut in job.view.plan.cuts if cut.edge is Edge.TOP)
    assert [mark.distance for mark in cut.marks][1:] == [min(Length(48), bend)] * 2
    assert job.view.plan.proof.ok


ROOMS = (
    "bed 1",
    "bedroom 2",
    "bath two",
    "bath",
    "Living  Room",
    "room 3",
    "hallway",
    "WC",
    "gym",
    "kid's room",
    "4th",
)
WALLS = ("north", "N", "West Wall", "2", "back", "left", "ceiling", "north-east", "window wall", "main", "A")


def _named(*names: tuple[str, str]) -> House:
    """A house of walls with these rooms and names, each as long as no other."""
    walls = (den_wall(name, str(60 + at)).replace("den", room) for at, (room, name) in enumerate(names))
    return house_of("".join((JOB, *walls)))


@pytest.mark.parametrize(("room", "wall"), [*((room, "north") for room in ROOMS), *(("den", wall) for wall in WALLS)])
def test_each_name_of_a_house_leads_to_its_wall(room: str, wall: str) -> None:
    """Said as they are written, room and wall; what no words lead to isn't taken, and told with its name."""
    house = _named(("kitchen", "north"), (room, wall), ("bedroom 4", "north"), ("kitchen", "west"))
    crew = Wall()
    told = takes(crew, house)
    if "was not taken" in told:
        assert {room in told, wall.lower() in told} >= {True}
        assert not crew.session.state.called_surfaces
        assert crew.session.state.house is None
        return
    crew.types(room, f"go to the {wall.lower().removesuffix(' wall')} wall" if wall != "2" else "go to wall 2")
    called = [call.fact for call in crew.session.state.on(crew.view.board) if isinstance(call.fact, SurfaceCall)]
    assert [call.width for call in called] == [Length(61)]
    written = whole_name(house.surfaces[1])
    assert (f"{first_large(written)} is the {crew.view.board}" in told) == (written.lower() != crew.view.board)


def test_two_names_that_sound_alike_are_no_two_rooms() -> None:
    """What is said of the one would be of the other."""
    crew = Wall()
    assert "there would be two of bathroom 2 north wall" in takes(crew, _named(("bath 2", "north"), ("bath two", "N")))
    assert not crew.session.state.called_surfaces


def test_a_house_goes_on_under_the_names_that_are_said() -> None:
    """Its file has changed only where more than these is otherwise."""
    crew = Wall()
    takes(crew, _named(("bed 1", "N"), ("bed 2", "N")))
    assert "hasn't changed" in takes(crew, _named(("bed 1", "N"), ("bed 2", "N")))
    told = takes(crew, _named(("bed 1", "N"), ("bed 2", "E")))
    assert "has changed since this job took it: bedroom 2 north wall and bedroom 2 east wall." in told
