"""`print`: boards on paper and as files, each opened by a reader of another maker."""

from __future__ import annotations

import csv
import io
import json
import re
import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree as ET

import ezdxf
import ezdxf.filemanagement
import pytest
from ezdxf.entities.lwpolyline import LWPolyline
from pypdf import PdfReader

from fieldvoice.commands.talk import open_job
from fieldvoice.cutting.solving import solve
from fieldvoice.dialogue.session import Session
from fieldvoice.output.dxf import dxf
from fieldvoice.records.board import Board
from fieldvoice.records.hearing import Hearing
from fieldvoice.records.length import Length
from tests.cli.program import ROOT, fieldvoice
from tests.cutting.rooms import heights, widths

BOARD = (
    "room kitchen\ntop 46 7/8\nmiddle 46 3/4\nbottom 46 1/4\nheight left 95 1/2\n"
    "single gang center 30 1/4 from left 48 from top\nyes\n"
)
MARKS = ("46 3/4", "46 1/8", "95", "29 1/8", "31 3/8", "49 7/8")
"""The marks of that board's plan: two of the tapered cut, the height, the box's sides."""


@pytest.fixture(scope="module")
def job(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A job with one board that is settled."""
    path = tmp_path_factory.mktemp("jobs") / "kitchen.job"
    assert fieldvoice("type", "--quiet", "--job", str(path), stdin=BOARD.encode()).status == 0
    return path


def printed(job: Path, form: str, folder: Path, *more: str) -> bytes:
    """The file that `print` writes."""
    file = folder / f"board.{form}"
    ran = fieldvoice("print", "--job", str(job), "--as", form, "--output", str(file), *more)
    assert ran.status == 0, ran.err
    assert ran.out == ""
    return file.read_bytes()


def test_text_goes_to_standard_output(job: Path) -> None:
    """Plain ASCII for a label printer, as before."""
    ran = fieldvoice("print", "--job", str(job))
    assert ran.status == 0
    assert ran.out.isascii()
    assert all(mark in ran.out for mark in MARKS)


@pytest.mark.parametrize(("paper", "wide"), [("letter", 612), ("a4", 595)])
def test_pdf(job: Path, tmp_path: Path, paper: str, wide: int) -> None:
    """Pypdf reads each mark of it."""
    reader = PdfReader(io.BytesIO(printed(job, "pdf", tmp_path, "--paper", paper)))
    assert round(float(reader.pages[0].mediabox.width)) == wide
    text = " ".join(reader.pages[0].extract_text().split())
    assert all(f" {mark} " in text for mark in MARKS)


def test_svg(job: Path, tmp_path: Path) -> None:
    """Any XML reader finds each mark as one text."""
    root = ET.fromstring(printed(job, "svg", tmp_path))
    texts = ["".join(each.itertext()) for each in root.iter("{http://www.w3.org/2000/svg}text")]
    assert set(MARKS) <= set(texts)


def test_csv(job: Path, tmp_path: Path) -> None:
    """A spreadsheet gets readings and marks, each length with its unit."""
    rows = list(csv.DictReader(io.StringIO(printed(job, "csv", tmp_path).decode(), newline="")))
    values = [row["value"] for row in rows]
    assert {f"{mark} in" for mark in MARKS} <= set(values)
    assert {"46 7/8 in", "95 1/2 in"} <= set(values)


def test_dxf(job: Path, tmp_path: Path) -> None:
    """Ezdxf's own audit finds nothing, each mark is a text, and the outline is the board to scale."""
    content = printed(job, "dxf", tmp_path)
    document = ezdxf.filemanagement.readfile(tmp_path / "board.dxf")
    assert not document.audit().errors
    space = document.modelspace()
    assert document.units == ezdxf.units.IN
    assert set(MARKS) <= {text.dxf.text for text in space.query("TEXT")}
    (outline,) = space.query('LWPOLYLINE[layer=="BOARD"]')
    assert isinstance(outline, LWPolyline)
    corners = {(round(x, 9), round(y, 9)) for x, y, *_ in outline.get_points()}
    assert corners == {(0, 0), (46.75, 0), (46.125, -95), (0, -95)}
    assert content == printed(job, "dxf", _other(tmp_path))


def test_what_is_left_out_of_a_dxf_is_told_in_short_lines(tmp_path: Path) -> None:
    """Over the boards, every word of it, in lines no longer than boards are wide: else a viewer that opens on all of it
    shows the boards as dots.
    """
    told = " ".join(f"board {number} is a draft;" for number in range(40))
    plan = solve(Board("1", widths=widths("46", None, "46"), heights=heights("95")))
    (tmp_path / "notes.dxf").write_bytes(dxf([plan], ["NOT ON THIS DRAWING", told]))
    space = ezdxf.filemanagement.readfile(tmp_path / "notes.dxf").modelspace()
    notes = sorted(space.query('TEXT[layer=="NOTES"]'), key=lambda text: -text.dxf.insert.y)
    assert " ".join(text.dxf.text for text in notes[1:]) == told
    assert max(len(text.dxf.text) for text in notes) <= 90
    (outline,) = space.query('LWPOLYLINE[layer=="BOARD"]')
    assert isinstance(outline, LWPolyline)
    assert min(text.dxf.insert.y for text in notes) > max(y for _, y, *_ in outline.get_points())


def test_dxf_has_the_fasteners_on_a_layer_of_their_own(job: Path, tmp_path: Path) -> None:
    """Every place that the record names is a circle there, and nothing else is on that layer."""
    printed(job, "dxf", tmp_path)
    space = ezdxf.filemanagement.readfile(tmp_path / "board.dxf").modelspace()
    circles = space.query('CIRCLE[layer=="FASTENERS"]')
    assert len(circles) == len(space.query('*[layer=="FASTENERS"]'))
    (board,) = json.loads(fieldvoice("print", "--job", str(job), "--json").out)["boards"]
    places = {(_inches(one["from_left"]), -_inches(one["from_top"])) for one in board["fastening"]["places"]}
    drawn = {(round(one.dxf.center.x, 9), round(one.dxf.center.y, 9)) for one in circles}
    assert drawn == {(round(x, 9), round(y, 9)) for x, y in places}


def _inches(length: str) -> float:
    return float(Length(length).inches)


def test_the_checklist_says_how_the_board_is_fastened(job: Path) -> None:
    """What it weighs and who hangs it, screws and where the framing is marked, and that local code decides."""
    text = " ".join(fieldvoice("print", "--job", str(job)).out.split())
    after = text.partition("FASTENING")[2]
    assert "Up to 55 lb: hung by two people." in after
    assert "screws, coarse thread." in after
    assert "Framing along the top edge, from its left corner: 16 in, 32 in." in after
    assert "Local code decides" in after


def _other(folder: Path) -> Path:
    (folder / "again").mkdir()
    return folder / "again"


def test_a_pipe_takes_what_a_terminal_does_not(job: Path) -> None:
    """Without --output the bytes go into the pipe, and nothing else does."""
    command = [sys.executable, "-m", "fieldvoice", "print", "--job", str(job), "--as", "pdf"]
    done = subprocess.run(command, capture_output=True, check=True, env={"PYTHONPATH": str(ROOT)})
    assert done.stdout.startswith(b"%PDF-")
    assert done.stdout.rstrip().endswith(b"%%EOF")


def test_a_file_that_is_there_is_left_as_it_is(job: Path, tmp_path: Path) -> None:
    """Nobody loses a file to a name given twice."""
    file = tmp_path / "there.pdf"
    file.write_text("mine")
    ran = fieldvoice("print", "--job", str(job), "--as", "pdf", "--output", str(file))
    assert ran.status == 65
    assert file.read_text() == "mine"


def test_a_folder_that_is_not_there_is_told(job: Path, tmp_path: Path) -> None:
    """The sentence names the file."""
    ran = fieldvoice("print", "--job", str(job), "--output", str(tmp_path / "none" / "x.txt"))
    assert ran.status == 65
    assert "x.txt" in ran.err


@pytest.mark.parametrize("form", ["text", "pdf", "svg", "dxf", "csv"])
def test_nothing_of_a_draft_is_printed(tmp_path: Path, form: str) -> None:
    """Status 1, no file, nothing on standard output; what is open is said."""
    path, file = tmp_path / "draft.job", tmp_path / "draft.out"
    fieldvoice("type", "--quiet", "--job", str(path), stdin=b"top 46 7/8\nmiddle 46 3/4\n")
    ran = fieldvoice("print", "--job", str(path), "--as", form, "--output", str(file))
    assert ran.status == 1
    assert ran.out == ""
    assert not file.exists()
    assert "Board 1 is a draft" in ran.err
    assert "height" in ran.err


def test_every_board_and_one_by_its_name(tmp_path: Path) -> None:
    """--all prints what is settled and names what isn't; --board takes one; an unknown name is a wrong command line."""
    path = tmp_path / "two.job"
    lines = f"{BOARD}next board\ntop 40 3/8\nmiddle 40 3/8\nbottom 40 3/8\nheight left 95 1/2\nnext board\ntop 30\n"
    fieldvoice("type", "--quiet", "--job", str(path), stdin=lines.encode())
    whole = fieldvoice("print", "--job", str(path), "--all")
    assert whole.status == 1
    assert "Board 3 is a draft" in whole.err
    assert "46 3/4" in whole.out
    assert "40 1/4" in whole.out
    second = fieldvoice("print", "--job", str(path), "--board", "2")
    assert second.status == 0
    assert "40 1/4" in second.out
    assert "46 3/4" not in second.out
    assert "NOT ON THIS PAPER" not in second.out
    file = tmp_path / "two.pdf"
    assert fieldvoice("print", "--job", str(path), "--all", "--as", "pdf", "--output", str(file)).status == 1
    for paper in (whole.out, "\n".join(page.extract_text() for page in PdfReader(file).pages)):
        told = " ".join(paper.split())
        assert "NOT ON THIS PAPER" in told
        assert "Board 3 is a draft, so nothing of it is printed: still needed: the width at the bottom" in told
    assert fieldvoice("print", "--job", str(path), "--board", "9").status == 2
    assert fieldvoice("print", "--job", str(path), "--board", "1", "--all").status == 2


ROOM = """kitchen north wall, 144 wide, 96 1/2 high
studs 16 on center from left
yes
hall north wall, 200 wide, 96 1/2 high
studs 16 on center from left
yes
kitchen north wall
next board
top 143 7/8
bottom 143 7/8
left 47 7/8
right 47 7/8
done
yes
next board
top 143 7/8
"""


@pytest.mark.parametrize("form", ["text", "pdf", "svg", "dxf", "csv", "json"])
def test_all_boards_name_what_is_not_among_them(tmp_path: Path, form: str) -> None:
    """A draft, and the pieces of the layout that nobody has called a board for, on every form; of one board none is."""
    path, file = tmp_path / "room.job", tmp_path / "room.out"
    fieldvoice("type", "--quiet", "--job", str(path), stdin=ROOM.encode())
    wanted = ["--json"] if form == "json" else ["--as", form, "--output", str(file)]
    ran = fieldvoice("print", "--job", str(path), "--all", *wanted)
    assert ran.status == 1
    whole = _words(form, ran.out.encode() if form == "json" else file.read_bytes())
    for told in (whole, " ".join(ran.err.split())):
        assert re.search(
            r"Board \d is a draft, so nothing of it is printed: still needed: the width at the bottom", told
        )
        assert "Not called yet: hall north wall, pieces 1, 2, 3 and 4." in told
    one = fieldvoice("print", "--job", str(path), "--board", "1")
    assert one.status == 0, one.err
    assert "Not called yet" not in one.out + one.err


BOTH_CUT = ROOM + "bottom 143 7/8\nleft 47 3/4\nright 47 3/4\ndone\nyes\n"


@pytest.mark.parametrize("form", ["text", "pdf"])
def test_walls_are_printed_with_what_they_take_and_their_order_of_work(tmp_path: Path, form: str) -> None:
    """Each amount once: what boards of the layout take isn't told again by other figures; a board that is printed by
    itself says what it takes.
    """
    path, file = tmp_path / "room.job", tmp_path / "room.out"
    fieldvoice("type", "--quiet", "--job", str(path), stdin=BOTH_CUT.encode())

    def amounts(*more: str) -> list[str]:
        file.unlink(missing_ok=True)
        ran = fieldvoice("print", "--job", str(path), "--as", form, "--output", str(file), *more)
        assert ran.status == 0, ran.err
        words = _words(form, file.read_bytes())
        assert ("Photograph every wall" in words and "hang the upper course" in words) == ("--all" in more)
        return re.findall(r"tape: (\S+(?: to \S+)?) ft", words)

    assert len(amounts("--all")) == 1
    assert len(amounts("--board", "1")) == (form == "pdf")


def _words(form: str, content: bytes) -> str:
    """All text of a file, its lines joined."""
    if form == "pdf":
        lines = [page.extract_text() for page in PdfReader(io.BytesIO(content)).pages]
    elif form == "svg":
        lines = ["".join(each.itertext()) for each in ET.fromstring(content).iter("{http://www.w3.org/2000/svg}text")]
    elif form == "dxf":
        lines = [
            each.dxf.text
            for each in ezdxf.filemanagement.read(io.StringIO(content.decode())).modelspace().query("TEXT")
        ]
    else:
        lines = [content.decode()]
    return " ".join(" ".join(lines).split())


def test_a_piped_word_counts_for_no_circuit(tmp_path: Path) -> None:
    """Only a person tests: the lines of a file or of another program have the way without a tool, now and later."""
    path = tmp_path / "piped.job"
    ran = fieldvoice("type", "--quiet", "--job", str(path), stdin=f"{BOARD}box 1 dead and tested\nyes\ndone\n".encode())
    assert "Box 1: what a file or a program says about a circuit doesn't count, so no tool goes into it." in ran.out
    assert "Rout box 1" not in ran.out
    assert "dead and tested, says" not in ran.out


@pytest.mark.parametrize("form", ["text", "pdf", "svg", "dxf", "csv"])
def test_no_print_puts_a_tool_into_a_box(tmp_path: Path, form: str) -> None:
    """Whoever said dead and tested said so to an earlier session: the paper has the way without a tool in the box."""
    path = tmp_path / "dead.job"
    assert fieldvoice("type", "--quiet", "--job", str(path), stdin=BOARD.encode()).status == 0
    with open_job(path) as journal:
        session = Session(journal)
        for line in ("box 1 dead and tested", "yes"):
            session.take(Hearing.typed(line), "hanger")
        assert session.view().plan is not None
        assert "dead and tested, says hanger" in " ".join(
            one.text for one in session.take(Hearing.typed("say again"), "hanger")
        )
    content = printed(path, form, tmp_path)
    text = content.decode(errors="replace")
    if form == "pdf":
        text = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(content)).pages)
        assert "No tool goes into it" in " ".join(text.split())
    assert "rout" not in text.lower().replace("grout", "")


def test_a_board_that_nothing_was_called_on_is_no_draft(tmp_path: Path) -> None:
    """The one that "next board" opened at the end of the day holds no paper back."""
    path = tmp_path / "kitchen.job"
    assert fieldvoice("type", "--quiet", "--job", str(path), stdin=f"{BOARD}next board\n".encode()).status == 0
    whole = fieldvoice("print", "--job", str(path), "--all")
    assert (whole.status, whole.err) == (0, "")
    assert "kitchen, board 1" in whole.out
    document = json.loads(fieldvoice("print", "--job", str(path), "--all", "--json").out)
    assert [board["name"] for board in document["boards"]] == ["1"]
    assert fieldvoice("print", "--job", str(path)).status == 1
