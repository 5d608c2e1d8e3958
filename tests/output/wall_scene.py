"""Walls and ceilings of the lake house as a crew comes to them: laid out, in hand, cut in part, under a slope."""

from __future__ import annotations

from fieldvoice.dialogue.view import View
from tests.dialogue.talk import Wall
from tests.layout.houses import lake_house

A_BOARD = ("next board", "top 96", "bottom 96", "left 48", "right 48", "done", "yes")


def seen(*lines: str) -> View:
    """What is to be seen after these lines in the job of the house."""
    wall = Wall()
    wall.session.take_house(lake_house(), "lake_house.toml", "partner")
    wall.types(*lines)
    return wall.view


def wall_views() -> dict[str, View]:
    """Each under the name of its picture."""
    return {
        "wall": seen("kitchen west wall", *A_BOARD, "kitchen west wall"),
        "slope": seen("bedroom east wall"),
        "ceiling": seen("kitchen ceiling"),
        "wall_asking": seen("bathroom east wall", "window forty over thirty six up twelve by twelve"),
    }
