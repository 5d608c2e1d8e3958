"""The demo, end to end on its recordings, through a real recognizer."""

from __future__ import annotations

import json

from tests.cli.program import fieldvoice


def test_the_demo_board_is_heard_and_cut() -> None:
    """Every line is in the transcript with the recognizer that heard it; the plan is whole and proved."""
    ran = fieldvoice("demo", "--json")
    document = json.loads(ran.out)
    assert ran.status == 0
    hanger = [turn for turn in document["transcript"] if turn["who"] == "hanger"]
    assert len(hanger) >= 10
    assert all(turn["recognizer"] for turn in hanger)
    assert any("whisper" in turn["recognizer"] for turn in hanger)
    (board,) = document["boards"]
    assert board["room"] == "kitchen"
    assert board["so_far"] is False
    assert board["proof"]["ok"] is True
    right = next(cut for cut in board["cuts"] if cut["edge"] == "right")
    assert [(mark["at"], mark["mark"]) for mark in right["marks"]] == [("top", "41 3/16"), ("bottom", "40 3/4")]
    assert board["openings"][0]["center"] == {"from_left": "22 3/4", "from_top": "52 1/2"}
    assert board["cautions"]
