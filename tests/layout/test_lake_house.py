"""The small house that comes with the package."""

from __future__ import annotations

from fieldvoice import data_folder
from tests.layout.test_plans import document


def test_the_lake_house_is_planned() -> None:
    """Four rooms, a slope, a wall with a door and a window: every rule kept, and at most two sheets above the bound."""
    text = (data_folder("houses") / "lake_house.toml").read_text(encoding="utf-8")
    planned = document(text)
    assert len({surface["room"] for surface in planned["surfaces"]}) == 4
    assert planned["gap"] < 0.04
    assert planned["butt_joint_feet"] == planned["bound_butt_joint_feet"] == "27 7/12"
    assert planned["piece_count"] == planned["bound_piece_count"] == 51
    assert any(one["left_over"] for one in planned["patterns"])
