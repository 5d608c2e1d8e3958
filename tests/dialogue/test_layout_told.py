"""A layout that is asked for is told with all that was called of walls and ceilings and isn't in it; and what a piece's
board has of its layout without a word at the board: how large its lights are, where joists run across it.
"""

from __future__ import annotations

from itertools import product

import pytest

from fieldvoice.dialogue.finishing import plan_now
from fieldvoice.dialogue.layouts import planned
from fieldvoice.dialogue.rooms import rooms
from fieldvoice.fastening.panels import MEMBER
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Dimension, Opening
from fieldvoice.records.room import name_of
from tests.dialogue.talk import wall_after
from tests.dialogue.test_layout_goes_on import cut_as_planned

FRAMED = ("kitchen north wall 14 feet by 8 feet", "studs 16 on center")
LEFT_OPEN = {
    "window 48 by 36, 60 from the left": "Window 1",
    "light center 60 from left, center 20 from the top": "Light 1",
    "studs sixty teen on center": "studs sixty teen on center",
}
ASKED = ("what's the layout", "how many sheets")


@pytest.mark.parametrize(("left", "asked"), list(product(LEFT_OPEN, ASKED)))
@pytest.mark.parametrize("stood", [False, True])
def test_what_is_not_in_the_layout_is_told_with_it(left: str, asked: str, *, stood: bool) -> None:
    """Whether a layout stood before or none could be made: nobody is told that there is no wall."""
    wall = wall_after(*FRAMED, *(("done",) if stood else ()), left, "east wall 10 feet by 8 feet", "studs 16 on center")
    said = wall.types(asked)
    assert LEFT_OPEN[left] in said
    assert "Still open" in said
    assert "There is no wall or ceiling" not in said
    assert ("Laid out" in said) == stood


@pytest.mark.parametrize("asked", ASKED)
@pytest.mark.parametrize("there", ["east wall", "kitchen north wall"])
def test_a_wall_without_its_framing_is_asked_for_with_every_layout(asked: str, there: str) -> None:
    """It is in none: its framing is asked for at it, and at any other wall whenever a layout is told."""
    wall = wall_after("kitchen north wall 14 feet by 8 feet", "east wall 10 feet by 8 feet, studs 16 on center")
    wall.types(there)
    for line in (asked, "done"):
        said = wall.types(line)
        assert "Where is the framing of the kitchen north wall?" in said, line
        assert there == "kitchen north wall" or "Laid out" in said
    assert "Where is the framing" not in wall.types("go to the kitchen north wall", "studs 16 on center", asked)


@pytest.mark.parametrize("lacks", ["window 48 by 36, 60 from the left", "light center 60 from left, center 20 down"])
@pytest.mark.parametrize(
    "next_one", ["east wall 10 feet by 8 feet", "bedroom ceiling 12 by 10 feet, joists 16 on center"]
)
def test_another_wall_comes_instead_of_a_part_that_lacks(lacks: str, next_one: str) -> None:
    """No wall is the part of a window: it isn't held up, and the part is asked for again."""
    wall = wall_after(*FRAMED, lacks)
    said = wall.types(next_one)
    assert "Not taken" not in said
    assert "waits for its missing part" in said
    assert wall.view.board == next_one.split(" 1")[0].replace("east", "kitchen east")


CEILINGS = {
    Unit.INCH: ("ceiling 150 by 98", "joists 16 on center from the {0}", "light center 60 from left, center 40 up"),
    Unit.MM: (
        "ceiling 3800 by 2500",
        "joists 400 on center from the {0}",
        "light center 1500 from left, center 900 up",
    ),
}
SIZES = {Unit.INCH: ("6 inches", "4 inches"), Unit.MM: ("150 millimeters", "100 millimeters")}


@pytest.mark.parametrize(("unit", "end"), list(product(Unit, ("left", "right", "near end", "far end"))))
def test_a_light_of_a_board_is_as_large_as_its_ceiling_has_it(unit: Unit, end: str) -> None:
    """Called there by its place alone it is read back whole; another size that is said stays."""
    for size in SIZES[unit]:
        wall = wall_after(
            *(("millimeters",) if unit is Unit.MM else ()), *(line.format(end) for line in CEILINGS[unit])
        )
        wall.types(size, "done")
        while "a light" not in wall.types("next board"):
            cut_as_planned(wall)
        known = planned(wall.session.state, wall.view.board)
        assert known is not None
        (light,) = known.openings
        across, up = (light.left + light.width / 2).text(unit), (light.bottom + light.height / 2)
        said = wall.types(f"light center {across} from left, center {(known.height - up).text(unit)} from top")
        assert "how big" not in said
        (called,) = (
            one.fact for one in wall.session.state.known(wall.view.board).values() if isinstance(one.fact, Opening)
        )
        assert called.diameter == light.width == Length.of(size.split()[0], unit)


@pytest.mark.parametrize(("unit", "end"), list(product(Unit, ("left", "right", "near end", "far end"))))
def test_every_screw_of_a_ceiling_s_board_is_in_a_joist(unit: Unit, end: str) -> None:
    """Whichever way the joists run: at one that was called, or at the board's own ends, which lie on one."""
    wall = wall_after(
        *(("millimeters",) if unit is Unit.MM else ()), *(line.format(end) for line in CEILINGS[unit][:2])
    )
    wall.types("done")
    made = wall.view.room_plan
    assert made is not None
    (ceiling,) = made.surfaces
    members = ceiling.surface.members
    across = members.along is Dimension.HEIGHT
    centers = members.centers(ceiling.surface.height if across else ceiling.surface.width)
    for _ in ceiling.pieces:
        wall.types("next board")
        cut_as_planned(wall)
        known = planned(wall.session.state, wall.view.board)
        assert known is not None
        assert name_of(ceiling.surface) == known.piece.name.surface
        plan = plan_now(wall.session.state, wall.view.board, wall.now, rooms())
        found = rooms().fasten(plan)
        assert found.framing_called
        size = known.piece.height if across else known.piece.width
        for spot in found.spots:
            along = known.piece.top - spot.y if across else known.piece.x + spot.x
            from_end = min(spot.y, size - spot.y) if across else min(spot.x, size - spot.x)
            on_one = any(abs(along - center) <= MEMBER["wood"] / 2 for center in centers)
            assert on_one or from_end <= Length(1), (known.piece.name, spot)


def test_studs_at_19_2_are_told_at_marks_of_the_tape() -> None:
    """Five spaces in eight feet come to no mark: a board between two of them was told in millimeters."""
    wall = wall_after("north wall 240 by 96 1/2, studs 19.2 on center from the left", "yes", "next board")
    assert wall.settings["studs"] == "19 3/16, 38 3/8, 57 5/8, 76 13/16, 96 in"
