"""What reaches a person when a command fails: a sentence and an exit status, never a traceback."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import click
import pytest

from fieldvoice import __version__
from fieldvoice.cli import COMMANDS, fieldvoice, run
from fieldvoice.commands.output import LEFT, STOPPED
from fieldvoice.errors import BadInput, BadUsage, FieldvoiceError, NotHere, SessionLeft
from tests.cli.program import ROOT


class Swallowed(Exception):
    """What a library makes of any error."""


def handed_on(first: BaseException, *, told: bool) -> Exception:
    """An error that a library raises when it has caught another, and says so or not."""
    error = Swallowed("can't open")
    error.__cause__, error.__context__ = first if told else None, first
    return error


def failing(monkeypatch: pytest.MonkeyPatch, trouble: BaseException) -> None:
    """Make every command fail with that."""

    @click.command()
    def broken() -> None:
        raise trouble

    monkeypatch.setattr(type(fieldvoice), "get_command", lambda self, ctx, name: broken)


@pytest.mark.parametrize(
    ("trouble", "status"),
    [(FieldvoiceError("no"), 1), (BadUsage("no"), 2), (BadInput("no"), 65), (NotHere("no"), 69)],
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


@pytest.mark.parametrize(("leaving", "told"), [(KeyboardInterrupt(), STOPPED), (SessionLeft(), LEFT)])
def test_an_interruption_is_130_and_says_that_all_is_kept_only_where_it_is(
    leaving: KeyboardInterrupt, told: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Ctrl-C is how people leave a session; elsewhere it breaks off what is shown."""
    failing(monkeypatch, leaving)
    assert run(["ready"]) == 130
    assert capsys.readouterr().err.strip() == told


@pytest.mark.parametrize(("leaving", "said"), [(KeyboardInterrupt(), STOPPED), (SessionLeft(), LEFT)])
@pytest.mark.parametrize("told", [True, False])
def test_an_interruption_that_a_library_swallowed_is_no_fault_of_our_own(
    leaving: KeyboardInterrupt,
    said: str,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    *,
    told: bool,
) -> None:
    """Whatever it hands on: a font that "can't be opened" when Ctrl-C was pressed as it was read."""
    failing(monkeypatch, handed_on(leaving, told=told))
    assert run(["ready"]) == 130
    assert capsys.readouterr().err.strip() == said


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


SHOWING = (["--help"], ["--version"], ["parse", "t", "46"], ["parse", "--json", "t", "46"], ["fastening"], ["model"])


def _sent_to(arguments: list[str], end: str) -> tuple[int, str]:
    """The status of a run whose streams the shell redirects so, and what it told."""
    script = f'"$@" {end}'
    done = subprocess.run(
        ["sh", "-c", script, "sh", sys.executable, "-m", "fieldvoice", *arguments],
        capture_output=True,
        check=False,
        text=True,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )
    assert "Traceback" not in done.stderr
    assert "Exception ignored" not in done.stderr
    return done.returncode, done.stderr


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is full")
@pytest.mark.parametrize("end", [">/dev/full", ">&-"])
@pytest.mark.parametrize("arguments", SHOWING, ids=" ".join)
def test_what_cannot_be_shown_is_no_fault_of_our_own_and_no_success(arguments: list[str], end: str) -> None:
    """A full disk behind the output, or none: what is missing of it is told, with a status of its own."""
    status, told = _sent_to(arguments, end)
    assert status == 74
    assert "don't cut from it" in told
    assert "itself went wrong" not in told


@pytest.mark.parametrize(
    ("arguments", "end", "status"),
    [
        (["parse", "t", "46"], "2>&-", 0),
        (["parse", "xyzzy"], "2>&-", 1),
        (["parse", "--from", "-"], "<&-", 65),
        (["parse", "t", "46"], "<&- 2>&-", 0),
        (["parse", "xyzzy"], "2>/dev/full", 1),
        (["replay", "--quiet", "nowhere.txt"], "2>/dev/full", 65),
        (["type", "--quiet", "--job", "/dev/null/a.job"], "2>/dev/full </dev/null", 1),
    ],
)
def test_other_streams_may_be_closed(arguments: list[str], end: str, status: int) -> None:
    """Nothing to read is an empty file, and what nobody wants to be told is told to nobody."""
    assert _sent_to(arguments, end)[0] == status


@pytest.mark.skipif(shutil.which("bash") is None, reason="asks a shell for the status of each end of a pipe")
def test_who_reads_no_further_is_no_failure() -> None:
    """A pager that was left, or `head`."""
    script = 'for n in 1 2 3; do "$@" | true; echo ${PIPESTATUS[0]}; done'
    done = subprocess.run(
        ["bash", "-c", script, "bash", sys.executable, "-m", "fieldvoice", "fastening"],
        capture_output=True,
        check=False,
        text=True,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )
    assert done.stdout.split() == ["0", "0", "0"]
