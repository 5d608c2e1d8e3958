"""A job kept in millimeters: a number without its unit is millimeters from the words to the plan."""

from __future__ import annotations

from dataclasses import replace

import pytest

from fieldvoice.cutting.solving import solve
from fieldvoice.dialogue.finishing import board_now
from fieldvoice.errors import NotPlanned
from fieldvoice.records.board import Board
from fieldvoice.records.length import Length, Unit
from fieldvoice.wording.troubles import sentence
from tests.cutting.rooms import heights, widths
from tests.dialogue.talk import Wall, wall_after


def metric() -> Wall:
    """A wall that is measured in millimeters."""
    return wall_after("work in millimeters", "yes")


@pytest.mark.parametrize("line", ["top 1190", "t 1190", "1190", "top 1190 mm", "top 119 cm"])
def test_a_typed_figure_is_millimeters(line: str) -> None:
    """`1190` is 1190 mm, with its unit or without."""
    wall = metric()
    assert "1190" in wall.types(line)
    assert wall.value("width, top") == "1190"


@pytest.mark.parametrize(
    "words", ["top eleven ninety", "top one thousand one hundred and ninety", "top one one nine zero mil"]
)
def test_a_spoken_number_is_millimeters(words: str) -> None:
    """As crews say it, and figure by figure."""
    wall = metric()
    wall.speaks(words)
    assert wall.value("width, top") == "1190"


def test_places_are_millimeters() -> None:
    """A width at 800 is 800 mm down."""
    wall = metric()
    wall.types("width at 800 is 1185")
    assert wall.value("width, at 800 mm") == "1185"


def test_a_fraction_is_asked_about() -> None:
    """Nobody knows of what: it is not taken."""
    wall = metric()
    assert "inches or in millimeters" in wall.types("top 46 7/8")
    assert wall.value("width, top") is None


def test_the_next_board_is_kept_in_millimeters_too() -> None:
    """The unit is the job's."""
    wall = metric()
    wall.types("top 1190", "next board", "top 1185")
    assert wall.value("width, top") == "1185"


def test_inches_said_so_are_inches() -> None:
    """A tape in inches in a metric job."""
    wall = metric()
    wall.types("top 46 7/8 in")
    assert wall.value("width, top") == "1190.625"


def test_millimeters_in_a_job_kept_in_inches_are_told_as_they_were_said() -> None:
    """No tape has 46 108/127: it is 1190 mm on the screen, and to the voice."""
    wall = Wall()
    assert "1190 mm" in wall.types("top 1190 mm")
    assert wall.value("width, top") == "1190 mm"


def test_after_inches_again_a_number_is_inches() -> None:
    """What was taken stays as it is, and the next number is inches."""
    wall = metric()
    wall.types("top 1190", "work in inches", "yes", "bottom 46 7/8")
    assert wall.session.unit is Unit.INCH
    assert wall.value("width, top") == "1190 mm"
    assert Length.of(1190, Unit.MM).text_with_unit() == "1190 mm"
    assert wall.value("width, bottom") == "46 7/8"


def test_framing_that_nobody_called_stands_at_the_metric_module() -> None:
    """400 mm, of which a board of 1200 takes three; in inches 16 in. A figure that was called stays as it is."""
    wall = metric()
    wall.types("top 1190")
    assert board_now(wall.session.state, "1", wall.now).framing.spacing == Length.of(400, Unit.MM)
    wall.types("studs 600 on center")
    assert board_now(wall.session.state, "1", wall.now).framing.spacing == Length.of(600, Unit.MM)
    assert board_now(Wall().session.state, "1", wall.now).framing.spacing == Length(16)


def test_a_board_is_split_on_a_stud_that_was_called_and_on_no_other() -> None:
    """Too wide for any sheet that stands: without framing nobody knows where a stud is."""
    board = Board("1", unit=Unit.MM, widths=widths("60", "60", "60"), heights=heights("94"))
    with pytest.raises(NotPlanned) as unknown:
        solve(board)
    assert "say where the studs are" in sentence(unknown.value.why)
    framing = replace(board.framing, spacing=Length.of(400, Unit.MM), called=True)
    with pytest.raises(NotPlanned) as known:
        solve(replace(board, framing=framing))
    assert "Split it on the stud centered 1200 mm from the left" in sentence(known.value.why)
