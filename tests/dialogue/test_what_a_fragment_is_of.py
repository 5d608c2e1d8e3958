"""What is said in pieces: a piece is of what its speaker named last, and of an open question only where nothing was
named since that was put.
"""

from __future__ import annotations

import pytest

from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Reading
from tests.dialogue.talk import Wall, wall_after

FOUR = ("top 42", "bottom 42", "left 90", "right 90")
QUESTIONS = {"top 44": "top", "bottom 40": "bottom", "left 95": "left", "m 46": "middle"}
NAMED = {
    "top": ("top", "top 41 1/64", "the top is wrong", "scratch the top"),
    "bottom": ("bottom", "bottom 41 1/64", "the bottom is wrong", "scratch the bottom"),
    "left": ("height left", "left 90 1/64", "the left is wrong", "scratch the left"),
    "right": ("right height", "right 90 1/64", "the right is wrong", "scratch the right"),
}
FIGURES = {"top": "41 7/8", "bottom": "41 7/8", "left": "89 7/8", "right": "89 7/8"}


def _places(wall: Wall, figure: str) -> set[str]:
    """Where that figure stands, waits or may belong, as far as it is no longer denied or replaced."""
    state = wall.session.state
    there = [one.fact for one in state.calls.values() if one.waits or one.in_force or one.queued]
    there += [fact for doubt in state.doubts for way in doubt.ways for fact in way]
    return {str(one.at) for one in there if isinstance(one, Reading) and one.value == Length(figure)}


@pytest.mark.parametrize("question", QUESTIONS)
@pytest.mark.parametrize("named", NAMED)
def test_a_figure_under_a_question_is_of_the_place_named_since(question: str, named: str) -> None:
    """However that was named: alone, with a figure that no tape has, or as what is wrong. Where the place may not be
    meant, both are told; no figure goes to the question in silence.
    """
    if QUESTIONS[question] == named:
        return
    for words in NAMED[named]:
        wall = wall_after(*FOUR, question, words)
        answer = wall.types(FIGURES[named])
        assert named in _places(wall, FIGURES[named]), words
        assert _places(wall, FIGURES[named]) == {named} or "Say which" in answer, words


@pytest.mark.parametrize("question", ["top 44", "bottom 40", "left 95"])
def test_a_figure_where_nothing_was_named_answers_the_question(question: str) -> None:
    """And so does the next one, behind one that went to the place that was named."""
    place, named = QUESTIONS[question], "right" if question == "left 95" else "left"
    figure, other = FIGURES[place], FIGURES[named]
    wall = wall_after(*FOUR, question)
    wall.types(figure)
    assert _places(wall, figure) == {place}
    wall = wall_after(*FOUR, question)
    for line in (NAMED[named][0], "89 3/4", figure):
        wall.types(line)
    assert _places(wall, "89 3/4") == {named}
    assert place in _places(wall, figure), other
