"""The properties of `test_rooms` over thousands of rooms: slow, so that the default run keeps to a sample."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings

from tests.cutting import test_rooms as sample

MANY = settings(max_examples=2000, deadline=None, suppress_health_check=list(HealthCheck))


@pytest.mark.slow
@pytest.mark.parametrize(
    "holds",
    [
        sample.test_no_board_is_tighter_than_its_clearances,
        sample.test_a_straight_cut_leaves_no_more_than_the_best_line_can,
        sample.test_shapely_agrees_that_the_pieces_make_the_sheet,
        sample.test_shapely_agrees_that_openings_lie_on_the_board,
        sample.test_a_mirrored_room_gives_the_mirrored_plan,
        sample.test_millimeters_agree_with_inches_to_the_rounding,
    ],
    ids=lambda holds: holds.__name__,
)
def test_it_holds_in_two_thousand_rooms(holds: Any) -> None:
    """Each property asserts for itself; here it meets many more rooms."""
    MANY(given(sample.rooms())(holds.hypothesis.inner_test))()
