"""Nothing from elsewhere steers a terminal: one function makes it safe, and one module writes; and lines fit, whatever
letters a name is made of.
"""

from __future__ import annotations

import ast
import io
import json
import os
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader

import fieldvoice
from fieldvoice.commands.output import emit, show, tell
from fieldvoice.output.drawing.media import pdf
from fieldvoice.output.screen.parts import bar
from fieldvoice.output.text import cells, fitted_lines, printable, printable_json
from tests.cli.program import fieldvoice as run

PACKAGE = Path(fieldvoice.__file__).parent
WRITERS = {"commands/output.py", "commands/terminal.py"}
"""The only files that may write to a terminal; the second makes each line safe."""


@given(st.text())
def test_what_comes_out_can_be_written_and_steers_nothing(text: str) -> None:
    """As long as before, nothing but what is seen, line feeds and tabs; made safe twice is the same."""
    safe = printable(text)
    assert len(safe) == len(text)
    assert all(char.isprintable() or char in "\n\t " or char.isspace() for char in safe)
    assert not any(char in safe for char in "\x00\x07\x08\r\x1b\x7f\x9b\u202e\u2028\u200b\ufeff")
    safe.encode()
    assert printable(safe) == safe


@pytest.mark.parametrize("text", ["46 7/8", "½ “46⅞” — Ω → ✓", "José’s 2×4", "two\nlines\tand a tab", "板 46"])
def test_what_people_write_stays(text: str) -> None:
    """Figures, marks of the trade, names."""
    assert printable(text) == text


def test_an_escape_sequence_is_shown() -> None:
    """What stood there can be seen."""
    assert printable("\x1b[2Jgone\x07\x7f") == "␛[2Jgone␇␡"


@given(st.dictionaries(st.text(), st.text()))
def test_json_means_the_same(document: dict[str, str]) -> None:
    """Escaped as JSON has it."""
    text = printable_json(json.dumps(document, ensure_ascii=False))
    assert json.loads(text) == document
    assert "\x9b" not in text
    assert "\u202e" not in text


def test_each_way_out_makes_it_safe(monkeypatch: pytest.MonkeyPatch) -> None:
    """Messages, text and JSON."""
    monkeypatch.setenv("NO_COLOR", "1")
    out, err = io.StringIO(), io.StringIO()
    with redirect_stdout(out), redirect_stderr(err):
        tell("job \x1b]0;x\x07")
        show("board \x9b2J")
        emit({"name": "\x1b[2J\x9b"})
    assert not any(char in out.getvalue() + err.getvalue() for char in "\x1b\x9b\x07")


def test_only_one_module_writes_to_the_terminal() -> None:
    """Whatever a command shows goes through `show`, `emit` or `tell`."""
    found = []
    for file in PACKAGE.rglob("*.py"):
        name = file.relative_to(PACKAGE).as_posix()
        calls = [node for node in ast.walk(ast.parse(file.read_text())) if isinstance(node, ast.Call)]
        found += [f"{name}:{call.lineno}" for call in calls if name not in WRITERS and _writes(ast.unparse(call.func))]
    assert found == []


def _writes(called: str) -> bool:
    return called in {"print", "click.echo", "click.secho", "click.style"} or called.startswith(
        ("sys.stdout.write", "sys.stderr.write", "sys.stdout.buffer.write", "console().", "terminal.print")
    )


HOSTILE = "\x1b]0;mine\x07\x1b[2J.txt"


@pytest.mark.skipif(os.name == "nt", reason="such names can't be there")
@pytest.mark.parametrize(
    "command",
    [
        ["cut", HOSTILE],
        ["replay", HOSTILE],
        ["job", "show", "--job", HOSTILE],
        ["job", "check", "--job", HOSTILE],
        ["job", "import", HOSTILE],
        ["job", "list", "--folder", HOSTILE],
        ["print", "--job", HOSTILE],
        ["parse", f"top {HOSTILE}"],
        ["parse", "--json", f"top {HOSTILE}"],
        ["parse", f"--{HOSTILE}"],
        [HOSTILE],
        ["recording", HOSTILE],
    ],
    ids=lambda command: " ".join(command[:-1]) or "command",
)
def test_names_of_files_and_orders_are_shown_escaped(command: list[str], tmp_path: Path) -> None:
    """Through the program as a person runs it, in a folder with a file of that name."""
    (tmp_path / HOSTILE).write_text(f"top 46 7/8\nboard {HOSTILE}\n")
    ran = run(*[str(tmp_path / each) if each == HOSTILE and command != [HOSTILE] else each for each in command])
    assert "\x1b" not in ran.out + ran.err
    assert "\x07" not in ran.out + ran.err
    assert ran.status in {0, 1, 2, 65, 69}


@pytest.mark.parametrize("foreign", ["\x1b[31mred", "a\x07b", "\u202egnp", "\x9b2J", "\x00"])
def test_what_a_pdf_says_of_itself_steers_no_terminal(foreign: str) -> None:
    """Tools that list files print its title as it stands."""
    title = PdfReader(io.BytesIO(pdf((), foreign))).metadata
    assert title is not None
    assert title.title == printable(foreign)


WORDS = st.lists(st.text("ab4厨房😀é-", min_size=1, max_size=40), max_size=12)


@given(WORDS, st.integers(4, 60))
def test_no_line_is_wider_than_asked_and_no_sign_is_lost(words: list[str], columns: int) -> None:
    """Letters two columns wide count as such, and one that doesn't fit begins the next line."""
    found = fitted_lines(" ".join(words), columns)
    assert all(cells(line) <= columns for line in found)
    assert "".join("".join(found).split()) == "".join(words)


@given(st.text("ab4厨房😀é\n\t", max_size=60), st.integers(12, 90))
def test_a_bar_is_exactly_as_wide_as_the_window(text: str, columns: int) -> None:
    """So that it runs into no other row."""
    row = bar(text, columns, "█", "bold").plain
    assert cells(row) == columns
    assert "\n" not in row
    assert "\t" not in row


def test_a_name_that_is_cut_off_says_so() -> None:
    """Board 1 of "board 12" would be another board."""
    assert "…" in bar("kitchen, north wall, board 12", 30, "█", "bold").plain
