"""Color and figures where they are wanted, and only there."""

import io
import os
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldvoice.commands.output import block_cell, carries_more
from fieldvoice.output.text import in_ascii
from tests.cli.program import fieldvoice


def test_an_ascii_terminal_gets_ascii_figures(monkeypatch: pytest.MonkeyPatch) -> None:
    """A block that can't be encoded must not end the program."""
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(io.BytesIO(), encoding="ascii"))
    assert block_cell() == "#"


@pytest.mark.parametrize(
    ("locale", "more"),
    [
        ({}, True),
        ({"LANG": "C.UTF-8"}, True),
        ({"LANG": "C"}, False),
        ({"LANG": "POSIX"}, False),
        ({"LC_ALL": "C", "LANG": "en_US.UTF-8"}, False),
        ({"LC_ALL": "en_US.UTF-8", "LANG": "C"}, True),
        ({"LC_CTYPE": "C.UTF-8", "LANG": "C"}, False),
        ({"LC_CTYPE": "UTF-8"}, True),
        ({"LC_CTYPE": "en_US.UTF-8", "LANG": "C"}, True),
        ({"LC_CTYPE": "C", "LANG": "en_US.UTF-8"}, False),
    ],
)
def test_a_locale_that_has_ascii_alone_is_heeded(
    locale: dict[str, str], more: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Python itself writes UTF-8 there, and the terminal would show two or three signs for one."""
    for name in ("LC_ALL", "LC_CTYPE", "LANG"):
        monkeypatch.delenv(name, raising=False)
    for name, value in locale.items():
        monkeypatch.setenv(name, value)
    stream = io.TextIOWrapper(io.BytesIO(), encoding="utf-8")
    assert carries_more(stream) is more
    assert not carries_more(io.TextIOWrapper(io.BytesIO(), encoding="latin-1"))


@pytest.mark.parametrize("locale", [{"LANG": "C"}, {"LC_ALL": "C"}, {"PYTHONIOENCODING": "ascii"}])
@pytest.mark.parametrize("command", [("type",), ("type", "--json")], ids=" ".join)
def test_every_byte_of_such_a_terminal_is_ascii(
    locale: dict[str, str], command: tuple[str, ...], tmp_path: Path
) -> None:
    """The checklist with its figures and the quotes of who said what, the messages, and JSON that means the same."""
    environment = {name: value for name, value in os.environ.items() if name not in {"LC_ALL", "LC_CTYPE", "LANG"}}
    ran = subprocess.run(
        [sys.executable, "-m", "fieldvoice", *command, "--quiet", "--job", str(tmp_path / "José.job")],
        input=b"top 46\nbottom 45 3/4\nheight 95\nbox 1 single gang center 20 from left 40 down\nyes\n"
        b"box 1 dead and tested\nyes\nmiddle 45 7/8\ndone\nyes\n",
        capture_output=True,
        check=False,
        env={**environment, **locale},
    )
    assert ran.stdout
    assert (ran.stdout + ran.stderr).isascii()


@given(st.text())
def test_text_in_ascii_is_as_long_as_before(text: str) -> None:
    """So that a screen composed for its columns still fits them."""
    assert in_ascii(text).isascii()
    assert len(in_ascii(text)) == len(text)
    assert in_ascii("“José” 2 × 4 … ½") == '"Jose" 2 x 4 ~ ?'


def test_the_first_start_says_why_it_takes_longer(tmp_path: Path) -> None:
    """The language is worked out once; nobody waits for it in silence, and the next start has it."""
    first, second = (fieldvoice("parse", "top forty six", XDG_CACHE_HOME=str(tmp_path)) for _ in range(2))
    assert first.err.startswith("First start")
    assert second.err == ""
    assert first.out == second.out
