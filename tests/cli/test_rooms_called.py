"""A wall called in a file of utterances: its layout beside the boards that are cut of it."""

from __future__ import annotations

import json

from tests.cli.program import fieldvoice

CALLED = """north wall twelve foot four by eight foot and five eighths
window forty from left thirty six up thirty six by forty eight
studs sixteen on center from the left
next board
top 63 7/8
bottom 63 3/4
left 47 3/4
right 47 7/8
"""


def test_the_layout_stands_beside_the_boards() -> None:
    """As `room` prints it; the board knows its course and sheet without a word."""
    ran = fieldvoice("cut", "--json", "-", stdin=CALLED.encode())
    document = json.loads(ran.out)
    assert ran.status == 0, ran.err
    (surface,) = document["room"]["surfaces"]
    assert (surface["name"], len(surface["pieces"])) == ("north wall", 4)
    (board,) = document["boards"]
    assert (board["course"], board["lies"]) == ("upper", "lying")
    assert surface["pieces"][0]["sheet"] == f"48 x {board['sheet']['length']}"


def test_a_reading_far_from_the_layout_ends_a_file() -> None:
    """Nobody is there to say yes to it."""
    ran = fieldvoice("cut", "-", stdin=CALLED.replace("63 3/4", "36 3/4").encode())
    assert ran.status == 1
    assert "but the layout has 64 here" in ran.err
