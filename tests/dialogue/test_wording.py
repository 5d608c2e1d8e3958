"""The full text of every question and refusal of the dialogue, beside what brings it about."""

from __future__ import annotations

import pytest

from fieldvoice.records.ledger import Notice, Tell
from fieldvoice.records.length import Unit
from fieldvoice.wording.forms import clock
from fieldvoice.wording.notices import answer, say
from tests.dialogue.talk import A_BOARD, A_BOX, MORNING, Wall

QUESTIONS = {
    ("middle 46",): "Width, middle 46, or height, middle 46? Say which.",
    ("at 32 46",): "Width, at 32 in 46, or height, at 32 in 46? Say which.",
    ("t 46", "m 46", "b 46", "l 95", "m 95", "r 95", "70"): (
        "Every place has a reading already. Which one should change? Say its place and the number."
    ),
    ("give it a quarter",): "Which edge gets that clearance? Say it with the edge.",
    ("top 46", "no"): "Not taken: width, top. What is it?",
    ("top 46, bottom 45 3/4", "no, 45 1/2"): "Width, top 45 1/2, or width, bottom 45 1/2? Say which.",
    ("~top thirteen",): "Width, top: 13, not 30: yes?",
    ("~top thirteen", "middle 46"): (
        "Not taken yet, answer first: Width, top: 13, not 30: yes? Say yes, no, or the right value."
    ),
    ("~top thirty and a half",): "Width, top: 30 1/2, not 13 1/2: yes?",
    ("top 46", A_BOX, "yes", "box 1 dead and tested"): (
        "Box 1: did you test it dead yourself, with a tester proved on a live source before and after? Only "
        "a yes counts."
    ),
}
REFUSALS = {
    ("undo",): "You have nothing to undo.",
    ("no",): ("Nothing is waiting for an answer. Say undo, or change and the place."),
    ("change it to 46",): "Which one should change? Say its place and the number.",
    ("change box 3 to single gang center 31 from left, 48 down",): (
        "There is no box 3 on this board, so nothing was changed."
    ),
    ("scratch box 4",): ("“box 4” isn't on this board, so nothing was taken out. Say its place, and width or height."),
    ("box 1 dead and tested",): "There is no box 1 on this board, so nothing was changed.",
    ("all boxes dead and tested",): "There is no box on this board, so nothing was taken.",
    ("go to board 9",): "There is no board 9 yet, only 1. Say board 9 to start it.",
    ("tick 1",): "This plan isn't settled yet, so no step was ticked. Say done to hear what is still open.",
    (*A_BOARD, "yes", "tick 99"): "There is no step 99; this plan has {steps}.",
}
TELLINGS = {
    ("yes",): "Nothing is waiting for an answer. Say undo, or change and the place.",
    ("say again",): "Nothing has been said yet.",
    ("hold",): "Holding: nothing is taken. Say resume to go on.",
    ("hold", "top 46"): "Not taken: “top 46”. Say it again. Holding: nothing is taken. Say resume to go on.",
    ("hold", "resume"): "Listening.",
    ("read it all back",): "Board 1 has nothing yet.",
    ("next board",): "Board 2, new. Nothing carries over from the last board.",
    ("board 1",): "Board 1, as it stands.",
    ("top 46", "next board", "go to board 1"): "Board 1, as it stands.",
    ("top 46 strong",): "Width, top: 46 1/32 (strong, 1/32 in added).",
    ("work in metric", "top 1190 strong"): "Width, top: 1190.5 (strong, 0.5 mm added).",
    ("work in metric", "top 1190 light"): "Width, top: 1189.5 (light, 0.5 mm taken off).",
    ("top 46", "at 32 46"): "Width, at 32 in: 46.",
    ("top 46", A_BOX, "yes", "box 1 dead and tested", "no"): (
        "Box 1: not dead, says hanger. No tool goes into a box there."
    ),
    ("top 46", A_BOX, "yes", "box 1 dead and tested", "yes"): (
        f"Box 1: dead and tested, says hanger at {clock(MORNING)}."
    ),
    ("top 46", A_BOX, "yes", "box 1 dead and tested", "yes", "box 1 is live"): (
        "Box 1: not dead, says hanger. “Dead and tested” for box 1 of board 1 is canceled. No tool goes into "
        "a box there."
    ),
}


def last_answer(lines: tuple[str, ...]) -> tuple[Wall, str]:
    """Type the lines, speaking those that start with ~; the wall and what was answered last."""
    wall = Wall()
    answer = ""
    for line in lines:
        answer = wall.speaks(line[1:]) if line.startswith("~") else wall.types(line)
    return wall, answer


@pytest.mark.parametrize(("lines", "text"), QUESTIONS.items())
def test_questions(lines: tuple[str, ...], text: str) -> None:
    """Each question in full, and that an answer is waited for."""
    wall, answer = last_answer(lines)
    assert answer == text
    assert wall.asks


@pytest.mark.parametrize(("lines", "text"), REFUSALS.items())
def test_refusals(lines: tuple[str, ...], text: str) -> None:
    """Each refusal in full, and that nothing was taken."""
    wall, answer = last_answer(lines)
    plan = wall.view.plan
    assert answer == text.format(steps=len(plan.steps) if plan else 0)
    assert wall.refuses


@pytest.mark.parametrize(("lines", "text"), TELLINGS.items())
def test_tellings(lines: tuple[str, ...], text: str) -> None:
    """What is told, in full."""
    _, answer = last_answer(lines)
    assert answer == text


@pytest.mark.parametrize("unit", list(Unit))
def test_the_screen_and_the_session_say_the_same(unit: Unit) -> None:
    """A sentence that begins with a name begins large on both."""
    notice = Notice(Tell.HEED, ("box 1",))
    assert answer((notice,), unit) == say(notice, unit).text
    assert answer((notice,), unit).startswith("Box 1: nobody has said")
