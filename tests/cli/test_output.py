"""Color and figures where they are wanted, and only there."""

import io
import sys

import pytest

from fieldvoice.commands.output import block_cell, console


@pytest.mark.parametrize(
    ("no_color", "force_color", "colored"),
    [("1", "1", False), ("", "1", True), ("", "0", False), ("1", "", False), ("", "", False)],
)
def test_no_color_beats_force_color(
    no_color: str, force_color: str, colored: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Output that isn't a terminal is plain unless forced, and NO_COLOR has the last word."""
    monkeypatch.setenv("NO_COLOR", no_color)
    monkeypatch.setenv("FORCE_COLOR", force_color)
    monkeypatch.setenv("TERM", "xterm-256color")
    stream = io.StringIO()
    monkeypatch.setattr(sys, "stdout", stream)
    console().print("text", style="bold red")
    assert ("\x1b[" in stream.getvalue()) == colored


def test_an_ascii_terminal_gets_ascii_figures(monkeypatch: pytest.MonkeyPatch) -> None:
    """A block that can't be encoded must not end the program."""
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(io.BytesIO(), encoding="ascii"))
    assert block_cell() == "#"
