"""What every page has round its contents."""

import pytest

from fieldvoice.output.drawing.picture import Label, Picture
from fieldvoice.output.paper.blocks import MARGIN, Made, Paper, numbered, page_frame
from tests.dialogue.talk import MORNING


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("title", ["board 1", "north wall of the room behind the stairs " * 6, "W" * 200])
def test_a_name_however_long_is_whole_and_on_its_page(paper: Paper, title: str) -> None:
    """In smaller letters, on the first page and on those that go on."""
    made = Made(MORNING, "a job whose name is as long as the crew liked it to be " * 3, MORNING, "0.2.0")
    for number in (1, 2):
        labels = [mark for mark in page_frame(title, (number, 2), paper, made) if isinstance(mark, Label)]
        assert any(title.strip() in label.text for label in labels)
        head, source = labels
        (page,) = numbered([Picture(paper.width, paper.height, (), "")])[0].labels
        assert MARGIN + head.width <= paper.width - MARGIN + 0.01
        assert MARGIN + source.width <= paper.width - MARGIN - page.width


def test_the_pages_of_a_document_are_counted_through() -> None:
    """Whoever holds the last one knows how many there are."""
    pages = numbered([Picture(200, 280, (), str(number)) for number in range(3)])
    assert [page.labels[-1].text for page in pages] == ["page 1 of 3", "page 2 of 3", "page 3 of 3"]
