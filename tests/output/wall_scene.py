"""Walls and ceilings as a crew comes to them: laid out, in hand, cut in part, under a slope."""

from __future__ import annotations

from unittest.mock import patch

from fieldvoice.dialogue.view import View
from tests.dialogue.talk import Wall
from tests.layout.houses import house_of, plan_at_once

COTTAGE = """
[job]
name = "cottage"
sheets = ["48 x 96", "48 x 144"]
[[ceiling]]
room = "kitchen"
name = "ceiling"
width = "140"
length = "178"
joists = "16 on center along length"
[[wall]]
room = "kitchen"
name = "west"
width = "178"
height = "96 1/2"
studs = "16 on center from left"
[[wall.opening]]
kind = "door"
left = "72"
width = "54"
height = "84"
[[wall]]
room = "bedroom"
name = "east"
width = "121"
height = "96 1/2"
top_right_height = "132"
studs = "16 on center from left"
[[wall]]
room = "bathroom"
name = "east"
width = "61 1/4"
height = "96 5/8"
studs = "16 on center from left"
"""


def seen(*lines: str) -> View:
    """What is to be seen after these lines in the job of the house, under the plan that is there at once: how good it
    is isn't looked at here.
    """
    house = house_of(COTTAGE)
    wall = Wall()
    with patch("fieldvoice.layout.planning.plan", lambda house, wishes, *_: plan_at_once(house, wishes)):
        wall.session.take_house(house, "cottage.toml", "partner")
    wall.types(*lines)
    return wall.view


def first_board() -> tuple[str, ...]:
    """The first board of the kitchen's west wall, measured as it is laid out, and cut."""
    plan = seen("kitchen west wall").surface
    assert plan is not None
    assert plan.plan is not None
    width = plan.plan.pieces[0].width.text()
    return ("next board", f"top {width}", f"bottom {width}", "left 48", "right 48", "done", "yes")


def wall_views() -> dict[str, View]:
    """Each under the name of its picture."""
    return {
        "wall": seen("kitchen west wall", *first_board(), "kitchen west wall"),
        "slope": seen("bedroom east wall"),
        "ceiling": seen("kitchen ceiling"),
        "wall_asking": seen("bathroom east wall", "window forty over thirty six up twelve by twelve"),
    }
