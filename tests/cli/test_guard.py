"""What reaches a person when a command fails: a sentence and an exit status, never a traceback."""

from __future__ import annotations

from pathlib import Path

import click
import pytest

from fieldvoice import __version__
from fieldvoice.cli import COMMANDS, fieldvoice, run
from fieldvoice.errors import BadInput, BadUsage, CannotCut, FieldvoiceError, NotHere


def failing(monkeypatch: pytest.MonkeyPatch, trouble: BaseException) -> None:
    """Make every command fail with that."""

    @click.command()
    def broken() -> None:
        raise trouble

    monkeypatch.setattr(type(fieldvoice), "get_command", lambda self, ctx, name: broken)


@pytest.mark.parametrize(
    ("trouble", "status"),
    [(CannotCut("no"), 1), (BadUsage("no"), 2), (BadInput("no"), 65), (NotHere("no"), 69)],
)
def test_each_error_of_the_family_has_its_status(
    trouble: FieldvoiceError, status: int, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The text goes to standard error and nothing to standard output."""
    failing(monkeypatch, trouble)
    assert run(["ready"]) == status
    captured = capsys.readouterr()
    assert captured.err == "fieldvoice: no\n"
    assert captured.out == ""


def test_an_interruption_is_130_and_says_that_all_is_kept(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Ctrl-C is how people leave."""
    failing(monkeypatch, KeyboardInterrupt())
    assert run(["ready"]) == 130
    assert "Everything said so far is kept." in capsys.readouterr().err


def test_a_fault_of_our_own_is_one_sentence_and_a_file(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """The details are in the file that is named; the sentence warns not to cut."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    failing(monkeypatch, ZeroDivisionError("zero"))
    assert run(["ready"]) == 70
    told = capsys.readouterr().err
    assert "don't cut from this run" in told
    assert "Traceback" not in told
    log = Path(told.rsplit(" ", 1)[1].strip())
    assert "ZeroDivisionError: zero" in log.read_text()


@pytest.mark.parametrize("arguments", [["nonsense"], ["cut"], ["parse", "--nonsense"]])
def test_a_wrong_command_line_is_2(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    """Click's own sentence is shown, with the usage."""
    assert run(arguments) == 2
    assert "Usage:" in capsys.readouterr().err


def test_the_version(capsys: pytest.CaptureFixture[str]) -> None:
    """--version prints the version and leaves with 0."""
    assert run(["--version"]) == 0
    assert __version__ in capsys.readouterr().out


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_has_its_help(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    """--help of each command says what it does."""
    assert run([name, "--help"]) == 0
    text = capsys.readouterr().out
    assert f"Usage: fieldvoice {name}" in text
    assert len(text.splitlines()) > 4
