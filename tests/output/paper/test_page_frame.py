"""What every page has round its contents."""

import pytest

from fieldvoice.output.drawing.picture import Label
from fieldvoice.output.paper.blocks import MARGIN, Made, Paper, page_frame
from tests.dialogue.talk import MORNING


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("title", ["board 1", "north wall of the room behind the stairs " * 6, "W" * 200])
def test_a_name_however_long_is_whole_and_on_its_page(paper: Paper, title: str) -> None:
    """In smaller letters, on the first page and on those that go on."""
    made = Made(MORNING, "a job whose name is as long as the crew liked it to be " * 3, MORNING, "0.2.0")
    for number in (1, 2):
        labels = [mark for mark in page_frame(title, (number, 2), paper, made) if isinstance(mark, Label)]
        assert any(title.strip() in label.text for label in labels)
        head, source, page = labels
        assert MARGIN + head.width <= paper.width - MARGIN + 0.01
        assert MARGIN + source.width <= paper.width - MARGIN - page.width
