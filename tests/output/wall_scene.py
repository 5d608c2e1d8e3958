"""Walls and ceilings of the lake house as a crew comes to them: laid out, in hand, cut in part, under a slope."""

from __future__ import annotations

from fieldvoice.dialogue.view import View
from fieldvoice.files.house_file import read_house
from fieldvoice.records.room import House
from fieldvoice.resources import data_folder
from tests.dialogue.talk import Wall

A_BOARD = ("next board", "top 96", "bottom 96", "left 48", "right 48", "done", "yes")


def seen(*lines: str) -> View:
    """What is to be seen after these lines in the job of the house."""
    house = read_house((data_folder("houses") / "lake_house.toml").read_text(encoding="utf-8"))
    assert isinstance(house, House)
    wall = Wall()
    wall.session.take_house(house, "lake_house.toml", "partner")
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
