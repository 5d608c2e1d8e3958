"""`fieldvoice room` as a person runs it."""

from __future__ import annotations

import json
import random
import re
from pathlib import Path
from unittest.mock import patch
from xml.etree import ElementTree as ET

import pytest

from fieldvoice.output.documents.rooms import room_list
from fieldvoice.output.drawing.picture import Label
from fieldvoice.output.drawing.wall import wall_pictures
from fieldvoice.output.paper.blocks import Made, Paper
from fieldvoice.output.paper.lists import surface_pages
from fieldvoice.output.room_work import room_work
from fieldvoice.output.screen.compose import compose
from fieldvoice.page.partner import document
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.room_plan import RoomPlan
from fieldvoice.wording.forms import piece_size
from fieldvoice.wording.room import butt_joint
from tests.cli.program import fieldvoice
from tests.dialogue.talk import MORNING, Wall
from tests.layout.check import problems
from tests.layout.houses import house_of, plan_at_once
from tests.layout.test_plans import DEN, JOB, wall


def test_a_room_is_printed_as_json_alone(tmp_path: Path) -> None:
    """Standard output holds one document, standard error the progress."""
    file = tmp_path / "den.toml"
    file.write_text(DEN, encoding="utf-8")
    ran = fieldvoice("room", "--json", str(file))
    assert ran.status == 0
    assert problems(DEN, json.loads(ran.out)) == []
    assert "106 ft of sheet so far" in ran.err


def test_a_room_is_listed_for_people(tmp_path: Path) -> None:
    """Boards, sheets, patterns and the rules with their sources; standard input works too."""
    ran = fieldvoice("room", "-", stdin=DEN.encode())
    assert ran.status == 0
    assert ran.out.startswith("13 boards from ")
    assert "Butt joints of neighboring courses are 24 in or more apart." in ran.out


def test_bytes_that_are_no_text_are_told_by_their_line(tmp_path: Path) -> None:
    """A name written in another encoding, on the third line."""
    file = tmp_path / "den.toml"
    file.write_bytes(JOB.encode().replace(b"sheets", b'name = "caf\xe9"\nsheets'))
    ran = fieldvoice("room", str(file))
    assert ran.status == 65
    assert f"{file}, line 3: not text in UTF-8" in ran.err
    assert "cutting problem" not in ran.err


def test_a_file_with_slips_is_not_planned(tmp_path: Path) -> None:
    """A line for each slip, its table and its key, nothing on standard output, status 65."""
    file = tmp_path / "den.toml"
    file.write_text(JOB + wall("north", "144").replace('"144"', "144.5").replace('"den"', '""'), encoding="utf-8")
    ran = fieldvoice("room", "--json", str(file))
    assert (ran.status, ran.out) == (65, "")
    assert [line.split(":")[0] for line in ran.err.splitlines()[1:]] == ["wall 1, room", "wall 1, width"]


def test_a_wall_that_cannot_be_planned_ends_with_1(tmp_path: Path) -> None:
    """No stud takes a joint, and no sheet reaches: the document says why."""
    file = tmp_path / "den.toml"
    file.write_text(JOB + wall("north", "200").replace('"16 on center from left"', "[10]"), encoding="utf-8")
    ran = fieldvoice("room", "--json", str(file))
    assert ran.status == 1
    assert "den north" in json.loads(ran.out)["why"]


def test_what_is_no_text_is_refused(tmp_path: Path) -> None:
    """A recording, a missing file."""
    file = tmp_path / "den.toml"
    file.write_bytes(b"\xff\xfe\x00")
    assert fieldvoice("room", str(file)).status == 65
    assert fieldvoice("room", str(tmp_path / "none.toml")).status == 65


def test_a_room_is_drawn(tmp_path: Path) -> None:
    """Every surface in one SVG; a file that is there is left as it is."""
    file, drawing = tmp_path / "den.toml", tmp_path / "den.svg"
    file.write_text(DEN)
    assert fieldvoice("room", str(file), "--svg", str(drawing)).status == 0
    texts = ["".join(each.itertext()) for each in ET.parse(drawing).iter("{http://www.w3.org/2000/svg}text")]
    assert any("In rings: order of hanging" in text for text in texts)
    assert fieldvoice("room", str(file), "--svg", str(drawing)).status == 65


@pytest.mark.parametrize("unit", Unit)
@pytest.mark.parametrize("seed", range(6))
def test_no_figure_for_people_lies_beside_a_tapes_marks(seed: int, unit: Unit) -> None:
    """Walls under slopes of any pitch: a piece is as wide and as high as a tape can show, and never less than it is."""
    draw, each = random.Random(seed), 25 if unit is Unit.MM else 1
    wide, high, rise = (draw.randrange(low, low + 60) * each for low in (90, 50, 20))
    stock = '["1200 x 2400", "1200 x 3000"]' if unit is Unit.MM else '["48 x 96", "48 x 120"]'
    text = JOB.replace('"in"', f'"{unit.value}"').replace('["48 x 96", "48 x 120", "48 x 144"]', stock)
    text += wall("side", str(wide), str(high), more=f'top_right_height = "{high + rise}"')
    made = plan_at_once(house_of(text.replace("16 on", f"{16 * each} on")))
    told = [room_list(made).split("Rules kept")[0], *on_paper(made), *at_the_wall(made)]
    for line in told:
        assert all(int(below) in {2, 4, 8, 16} for below in re.findall(r"/(\d+)", line)), line
        assert unit is Unit.MM or not re.search(r"\d mm\b", line), line
        assert unit is Unit.INCH or not re.search(r"\d/\d+(?!\d| in)", line), line
    for piece in made.pieces:
        size = piece_size(piece, unit).split(" x ")
        assert all(Length.of(a, unit) >= real for a, real in zip(size, (piece.width, piece.height), strict=True))


def on_paper(plan: RoomPlan) -> list[str]:
    """What the drawing and the pages of a plan say."""
    pages = (*wall_pictures(plan, 250, 180), *surface_pages(plan, room_work(plan), Paper.A4, Made(MORNING)))
    return [mark.text for page in pages for mark in page.marks if isinstance(mark, Label)]


def at_the_wall(plan: RoomPlan) -> list[str]:
    """What is said to a crew that opens every piece and reads something else; what the screen and the phone show."""
    crew, told = Wall(), []
    with patch("fieldvoice.layout.planning.plan", lambda house, wishes, *_: plan_at_once(house, wishes)):
        crew.session.take_house(plan.house, "house.toml", "partner")
        for _ in plan.pieces:
            told += [crew.types("next board"), str(document(crew.view))]
            told += [crew.types(f"{place} 17") for place in ("top", "left", "right")]
            told += [line.plain for line in compose(crew.view, 120, 50).lines]
            while any(one.doubts for one in crew.session.state.open.values()):
                crew.types("no")
    return told


@pytest.mark.parametrize(
    ("inches", "unit", "said"),
    [
        (0, Unit.INCH, "no butt joint"),
        (48, Unit.INCH, "4 ft of butt joint"),
        ("64 1/2", Unit.INCH, "5 ft 4 1/2 in of butt joint"),
        ("12 1/2", Unit.INCH, "1 ft 1/2 in of butt joint"),
        ("7 1/4", Unit.INCH, "7 1/4 in of butt joint"),
        (48, Unit.MM, "1220 mm of butt joint"),
        ("43 89/142", Unit.INCH, "3 ft 7 11/16 in of butt joint"),
    ],
)
def test_butt_joint_is_said_in_feet_and_inches(inches: int | str, unit: Unit, said: str) -> None:
    """As a taper reads a tape, not in fractions of a foot."""
    assert butt_joint(Length(inches).inches / 12, unit) == said


@pytest.mark.parametrize(
    ("width", "height", "unlikely"),
    [
        ("144", "96", ""),
        ("144", "960", "960 in"),
        ("1440", "96", "1440 in"),
        ("12", "96", ""),
        ("6", "96", "6 in"),
        ("144", "20", "20 in"),
    ],
)
def test_a_side_that_few_walls_have_is_told(width: str, height: str, unlikely: str) -> None:
    """Before sheets are bought for a number that lost its unit, or gained a figure."""
    ran = fieldvoice("room", "-", stdin=(JOB + wall("north", width, height)).encode())
    assert ran.status == 0, ran.err
    told = re.findall(r"few have a side of ([^.]*)\.", ran.out)
    assert told == ([unlikely] if unlikely else [])


NAMES = {
    ("kitchen", "north"): "",
    ("kitchen", "N"): "",
    ("north porch", "2"): "no words lead to “north porch”",
    ("room 3", "left hand side"): "no words lead to “left hand side wall”",
    ("bed 1", "back"): "by their words there are two of bedroom 1 back wall",
}


@pytest.mark.parametrize(("name", "told"), NAMES.items())
def test_names_by_which_no_job_takes_the_house_are_told_at_once(
    name: tuple[str, str], told: str, tmp_path: Path
) -> None:
    """Before it is planned, with what to write instead; and just those houses are taken into no job."""
    wall = '[[wall]]\nroom = "{}"\nname = "{}"\nwidth = "40"\nheight = "90"\nstuds = "16 on center from left"\n'
    file = tmp_path / "house.toml"
    file.write_text(JOB + wall.format(*name) + wall.format("bedroom 1", "back"), encoding="utf-8")
    ran = fieldvoice("room", str(file))
    assert ran.status == 0
    first, *_ = ran.err.splitlines()
    note = "Whether or not it can be planned, `--house` takes it into no job: "
    assert first.startswith(f"{note}{told}") if told else note not in ran.err
    taken = fieldvoice("type", "--quiet", "--house", str(file), stdin=b"", XDG_DATA_HOME=str(tmp_path))
    assert ("was not taken" in taken.out + taken.err) == bool(told)
