"""How many screws, and how heavy: asked at a board, answered from its plan."""

from __future__ import annotations

import pytest

from fieldvoice.language.understanding import understand
from fieldvoice.records.hearing import Source
from fieldvoice.records.length import Unit
from fieldvoice.records.utterance import Action, Command
from tests.output.paper.views import BOARD, planned, view


@pytest.mark.parametrize(
    ("words", "action"),
    [
        ("how many screws", Action.FASTENING),
        ("how many screws do i need", Action.FASTENING),
        ("how many nails does it take", Action.FASTENING),
        ("how many screws in this board", Action.FASTENING),
        ("what screws", Action.FASTENING),
        ("what screws do we need", Action.FASTENING),
        ("how far apart are the screws", Action.FASTENING),
        ("how heavy", Action.WEIGHT),
        ("how heavy is it", Action.WEIGHT),
        ("how heavy is this board", Action.WEIGHT),
        ("what does it weigh", Action.WEIGHT),
        ("what does this sheet weigh", Action.WEIGHT),
    ],
)
def test_the_question_is_understood(words: str, action: Action) -> None:
    """In a job in inches and in one in millimeters."""
    for unit in Unit:
        assert understand(words, Source.TYPED, unit).meanings == (Command(action),)


def answered(*lines: str) -> str:
    """What is said to the last of those lines."""
    last = view(*lines).last
    assert last is not None
    from fieldvoice.wording.notices import answer

    return answer(last.answer, view(*lines).unit)


def test_a_board_with_its_plan() -> None:
    """The count of its own plan, the figures in force, and that local code decides; a question is no call."""
    _, plan = planned(*BOARD)
    asked = view(*BOARD, "how many screws")
    assert answered(*BOARD, "how many screws") == (
        "32 screws, coarse thread, 1 1/4 in long; at most 12 in apart along edges on framing, 16 in elsewhere. Local "
        "code decides."
    )
    assert asked.plan == plan
    assert answered(*BOARD, "how heavy is it") == "Up to 55 lb: hung by two people."


def test_a_board_without_one() -> None:
    """Nothing is guessed from half of its readings."""
    assert answered("top 46 7/8", "how many screws") == "Board 1 has no plan yet. Ask what's missing."
    assert answered("how heavy is it") == "Board 1 has no plan yet. Ask what's missing."


def test_a_job_in_millimeters() -> None:
    """Kilograms and whole millimeters."""
    lines = ("units millimeters", "yes", "top 1190", "bottom 1190", "height 2390", "how heavy is it")
    assert answered(*lines).endswith(" kg: hung by two people.")
    screws = answered(*lines[:-1], "how many screws")
    assert "32 mm long; at most 304 mm apart along edges on framing, 406 mm elsewhere" in screws
