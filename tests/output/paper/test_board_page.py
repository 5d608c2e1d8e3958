"""The page that stays with the sheet, opened by readers of other makers. What every page has round its contents."""

from __future__ import annotations

import io
from dataclasses import replace
from itertools import combinations
from typing import Any

import pypdfium2
import pytest
from PIL import Image, ImageChops, ImageStat
from pypdf import PdfReader

from fieldvoice.output.drawing.media import pdf
from fieldvoice.output.drawing.picture import Label, Picture, Stroke
from fieldvoice.output.fastening import load_line
from fieldvoice.output.marks import told
from fieldvoice.output.paper.blocks import MARGIN, Made, Paper, numbered, page_frame
from fieldvoice.output.paper.board_page import STYLES, board_pages
from fieldvoice.output.paper.lists import list_pages
from fieldvoice.records.plan import Method
from fieldvoice.wording import steps as steps_wording
from fieldvoice.wording.captions import NOT_MARKED, circuit_line
from fieldvoice.wording.cautions import DEMONSTRATION, at_step, danger_line, said
from tests.dialogue.talk import MORNING
from tests.output.drawing.look import DOTS, ink, png
from tests.output.paper.views import BOARD, DEAD, MADE, planned

SCENES = {
    "nobody said anything of the box": BOARD,
    "dead and tested": (*BOARD, *DEAD),
    "no box": BOARD[:6],
    "tapered both ways": (
        "room kitchen",
        "upper course",
        "left edge last board",
        "top 47 7/8",
        "bottom 48",
        "height left 47 7/8",
        "height right 47 3/4",
    ),
}
EVERY = pytest.mark.parametrize("lines", SCENES.values(), ids=SCENES)
PAPERS = pytest.mark.parametrize("paper", Paper)


def pages(lines: tuple[str, ...], paper: Paper = Paper.LETTER) -> tuple[Picture, ...]:
    """The pages of a board."""
    return board_pages(*planned(*lines), paper, MADE)


def read(document: bytes) -> str:
    """All text of a PDF as another program reads it, spaces evened."""
    return " ".join(" ".join(page.extract_text() for page in PdfReader(io.BytesIO(document)).pages).split())


@EVERY
@PAPERS
def test_a_board_is_on_one_page_of_its_size(lines: tuple[str, ...], paper: Paper) -> None:
    """Letter or A4, upright, and nothing on a second page."""
    reader = PdfReader(io.BytesIO(pdf(pages(lines, paper), "board")))
    assert len(reader.pages) == 1
    box = reader.pages[0].mediabox
    assert (round(float(box.width) * 25.4 / 72, 1), round(float(box.height) * 25.4 / 72, 1)) == paper.value


@EVERY
@PAPERS
def test_nothing_overlaps_and_nothing_leaves_the_page(lines: tuple[str, ...], paper: Paper) -> None:
    """No text on another, none beyond what a printer reaches."""
    (page,) = pages(lines, paper)
    for one, other in combinations(page.labels, 2):
        assert not one.frame.meets(other.frame), (one.text, other.text)
    assert all(label.frame.within(page.frame.grown(-5)) for label in page.labels)


@EVERY
def test_another_program_reads_every_mark_step_and_caution(lines: tuple[str, ...]) -> None:
    """46 3/4 in the text is 46 3/4; each step and caution is there as it is said on the screen."""
    view, plan = planned(*lines)
    text = read(pdf(pages(lines), "board"))
    for cut in plan.cuts:
        for mark in cut.marks:
            assert f" {mark.distance.text()} " in text
    for step in plan.steps:
        assert steps_wording.text(step, view.unit) in text
    for caution in view.cautions:
        assert said(caution) in text
    for step in plan.steps:
        assert (at_step(step) or "") in text


def _figures(page: Picture) -> list[Label]:
    return [label for label in page.labels if label.text[0].isdigit() and label.fractions]


@EVERY
def test_the_page_says_what_the_board_weighs_and_who_hangs_it(lines: tuple[str, ...]) -> None:
    """Whether it is heavy or not."""
    _, plan = planned(*lines)
    assert load_line(plan).startswith("Up to ")
    assert load_line(plan) in read(pdf(pages(lines), "board"))


@EVERY
def test_each_figure_is_on_the_picture_of_the_page(lines: tuple[str, ...]) -> None:
    """By picture: a PDF renderer shows each figure where, and as, a rasterizer of drawings shows the same page."""
    (page,) = pages(lines)
    document = pypdfium2.PdfDocument(pdf((page,), "board"))
    printed = document[0].render(scale=DOTS * 25.4 / 72).to_pil().convert("L")
    drawn = png(page)
    assert _figures(page)
    for label in _figures(page):
        frame = label.frame.grown(0.2)
        left, top = round(frame.left * DOTS), round(frame.top * DOTS)
        box = (left, top, round(frame.right * DOTS), round(frame.bottom * DOTS))
        one, other = printed.crop(box), drawn.crop(box).resize(printed.crop(box).size)
        assert ink(one) > 0.05, label.text
        assert ImageStat.Stat(ImageChops.difference(one, other)).mean[0] < 30, label.text


def test_the_page_is_black_and_white() -> None:
    """Any printer takes it: no color is on it."""
    image = pypdfium2.PdfDocument(pdf(pages(BOARD), "board"))[0].render(scale=1).to_pil().convert("RGB")
    red, green, blue = image.split()
    assert ImageChops.difference(red, green).getbbox() is None
    assert ImageChops.difference(green, blue).getbbox() is None
    assert isinstance(image, Image.Image)


def test_every_font_is_in_the_file() -> None:
    """A printer without our font prints it all the same."""
    first: Any = PdfReader(io.BytesIO(pdf(pages(BOARD), "board"))).pages[0]
    fonts = [font.get_object() for font in first["/Resources"]["/Font"].values()]
    used = [font for font in fonts if "DejaVu" in font["/BaseFont"]]
    assert {font["/BaseFont"].rpartition("+")[2] for font in used} == {"DejaVuSans", "DejaVuSans-Bold"}
    assert all("/FontFile2" in font["/FontDescriptor"] for font in used)


def test_the_same_page_is_the_same_bytes() -> None:
    """Nothing in the file hangs on when it was made but what its text says."""
    assert pdf(pages(BOARD), "board") == pdf(pages(BOARD), "board")


@EVERY
def test_the_marks_are_read_at_arms_length(lines: tuple[str, ...]) -> None:
    """0.7 m and 20 arc minutes are 4.1 mm (NUREG-0700 1.3.1-4), the figures of a fraction too."""
    _, plan = planned(*lines)
    needed = 6.283 * 700 * 20 / 21600
    assert min(style.large for style in STYLES) * 0.72 > needed
    assert min(style.middle for style in STYLES) > needed
    (page,) = pages(lines)
    for cut in plan.cuts:
        for mark in cut.marks:
            assert any(one.text == mark.distance.text() and one.height * 0.72 > needed for one in page.labels)


def test_every_step_has_a_square_to_tick_and_a_done_one_is_crossed() -> None:
    """As many squares as steps; the partner's ticks come along."""
    view, plan = planned(*BOARD)
    squares = _squares(board_pages(view, plan, Paper.LETTER, MADE)[0])
    assert len(squares) == len(plan.steps)
    done = board_pages(replace(view, ticked=frozenset({1, 2})), plan, Paper.LETTER, MADE)[0]
    plain = board_pages(view, plan, Paper.LETTER, MADE)[0]
    assert len(done.marks) == len(plain.marks) + 4


def _squares(page: Picture) -> list[Stroke]:
    return [
        mark
        for mark in page.marks
        if isinstance(mark, Stroke) and mark.closed and len(mark.points) == 4 and _side(mark) == pytest.approx(4.2)
    ]


def _side(mark: Stroke) -> float:
    xs = [x for x, _ in mark.points]
    ys = [y for _, y in mark.points]
    return max(xs) - min(xs) if max(xs) - min(xs) == pytest.approx(max(ys) - min(ys)) else 0


def test_a_box_says_who_said_dead_when_and_until_when() -> None:
    """Paper outlives the word: it says so, and to test again before the tool goes in."""
    text = read(pdf(pages((*BOARD, *DEAD)), "board"))
    at = f"{MADE.at.astimezone():%Y-%m-%d %H:%M}"
    assert f"Said dead and tested by hanger, {at}, counts until" in text
    assert "test again before the tool goes in" in text


def test_a_box_nobody_spoke_of_has_no_tool_in_it() -> None:
    """The way without a tool in the box, and it says why."""
    text = read(pdf(pages(BOARD), "board"))
    assert "Nobody has said that it is dead and tested. No tool goes into it" in text
    assert "Rout" not in text


def test_a_demonstration_says_that_it_is_one() -> None:
    """On top of everything, danger or not."""
    for lines in (BOARD, BOARD[:6]):
        view, plan = planned(*lines)
        told = replace(view, demonstration=True)
        assert DEMONSTRATION in read(pdf(board_pages(told, plan, Paper.LETTER, MADE), "board"))


def test_what_it_was_made_from_and_when_is_on_it() -> None:
    """Every reading with who called it; job, last entry, time and version."""
    view, _ = planned(*BOARD)
    text = read(pdf(pages(BOARD), "board"))
    for line in (told(each, view.unit) for each in view.readings):
        assert f"{line.label} {line.value}" in text
    assert f"Made {MADE.at.astimezone():%Y-%m-%d %H:%M} by fieldvoice 0.1.0 from job lake-house" in text


def test_a_name_of_any_script_stays_on_the_page() -> None:
    """What the font has is printed, what it has not is marked, and a long name is made to fit."""
    view, plan = planned(*BOARD)
    for room in ("Küche Łódź кухня", "厨房", "a" * 200, "\u202e\x1b[2J<b>"):
        (page,) = board_pages(replace(view, room=room), plan, Paper.A4, MADE)
        assert all(label.frame.within(page.frame) for label in page.labels)
        text = read(pdf((page,), "board"))
        assert "board 1" in text.replace("\ufffd", "?")
        assert "\u202e" not in text


def test_more_than_a_page_goes_on_on_the_next() -> None:
    """Many boxes need more room: the second page says that it goes on."""
    boxes = [f"single gang center {at} from left 48 from top" for at in (6, 14, 22, 30, 38)]
    lines = [line for each in boxes for line in (each, "yes")]
    found = pages((*BOARD[:6], *lines))
    assert len(found) > 1
    text = read(pdf(found, "board"))
    assert f"part 1 of {len(found)}" in text
    assert f"part {len(found)} of {len(found)}" in text
    for page in found:
        assert all(label.frame.within(page.frame.grown(-5)) for label in page.labels)
        for one, other in combinations(page.labels, 2):
            assert not one.frame.meets(other.frame), (one.text, other.text)


def test_lists_come_last() -> None:
    """Every board with its marks, and the sheets that they take."""
    boards = [planned(*BOARD), planned("board 2", *BOARD[:6])]
    text = read(pdf(list_pages(boards, Paper.A4, MADE), "boards"))
    assert "kitchen, board 1" in text
    assert "right 46 3/4 at the top, 46 1/8 at the bottom from left" in text
    assert "2 sheets 48 x 96 in, 1/2 thick, regular" in text


def test_what_holds_for_every_board_is_said_once() -> None:
    """The rules of two boards alike stand above them; the counts and the marks of each stand with it."""
    boards = [planned(*BOARD), planned("board 2", *BOARD[:6])]
    text = read(pdf(list_pages(boards, Paper.A4, MADE), "boards"))
    assert text.count("along edges on framing 12 in (the trade; the code: 16 in)") == 1
    for own in (
        "32 screws, coarse thread.",
        "Up to 55 lb: hung by two people.",
        "Framing along the top edge, from its left corner",
    ):
        assert text.count(own) == 2
    assert text.count("Local code decides: where it asks") == 1


def test_the_lists_say_how_boards_are_fastened_and_what_they_take() -> None:
    """A board's screws with who asks for their spacing, its framing at both edges, and the take-off with its rules."""
    text = read(pdf(list_pages([planned(*BOARD)], Paper.A4, MADE), "boards"))
    assert "32 screws, coarse thread." in text
    assert "along edges on framing 12 in (the trade; the code: 16 in)" in text
    assert "Framing along the bottom edge, from its left corner: 16 in, 32 in." in text
    assert "screw 1 1/4 in, coarse thread: 32 pieces, waste 10 to 15 %: buy 37" in text
    assert "tape: 9.9 to 19.8 ft" in text
    counted = read(pdf(list_pages([planned(*BOARD)], Paper.A4, MADE, counted=["1"]), "boards"))
    assert "32 screws, coarse thread." in counted
    assert "tape" not in counted


CIRCUITS = {
    "box 1": "single gang center 30 1/4 from left 48 from top",
    "light 1": "can light six inch center 12 from left 20 from top",
    "box 2": "double gang center 20 from left 70 from top",
}


@pytest.mark.parametrize("count", [1, 2, 3])
@pytest.mark.parametrize("first", CIRCUITS)
def test_whatever_has_a_circuit_is_in_the_danger_and_has_its_word(first: str, count: int) -> None:
    """A light as a box: the line over everything names it, and its figures stand with what was said of it."""
    names = [first, *(name for name in CIRCUITS if name != first)][:count]
    calls = (f"{name} {CIRCUITS[name]}" if name != "light 1" else CIRCUITS[name] for name in names)
    lines = (*BOARD[:6], *(line for call in calls for line in (call, "yes")))
    view, plan = planned(*lines)
    assert set(view.wired) == set(names)
    text = read(pdf(board_pages(view, plan, Paper.LETTER, MADE), "board"))
    danger = danger_line(view.wired, view.circuits, demonstration=False)
    assert danger
    assert " ".join(danger.split()) in text
    assert text.count(" ".join(circuit_line(None).split())) == len(names)


@pytest.mark.parametrize(
    "call", ["window from 10 to 30 from left, 36 to 84 up", "door 10 from left 15 up 20 wide 60 high"]
)
def test_what_is_cut_in_place_has_no_mark_and_waits_for_nothing(call: str) -> None:
    """Its framing guides the saw: the page doesn't tell to measure it again, and tells why it has no figures."""
    view, plan = planned(*BOARD[:6], call, "yes")
    text = read(pdf(board_pages(view, plan, Paper.LETTER, MADE), "board"))
    assert all(opening.method is Method.IN_PLACE and not opening.held for opening in plan.openings)
    assert NOT_MARKED in text
    assert "waits" not in text


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
