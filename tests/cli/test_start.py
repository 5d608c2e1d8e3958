"""`fieldvoice` alone: a start that a new user gets through without a manual."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from fieldvoice.commands.start import choices, start
from tests.cli.program import fieldvoice

NOW = datetime(2026, 3, 2, 14, tzinfo=UTC)


@pytest.fixture
def jobs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder that jobs are kept in."""
    folder = tmp_path / "jobs"
    folder.mkdir()
    monkeypatch.setattr("fieldvoice.jobs.jobs_folder", lambda: folder)
    return folder


def answering(*answers: str | None) -> Callable[[str], str | None]:
    """Somebody who types those lines one after another."""
    left = list(answers)
    return lambda _: left.pop(0)


def began(*answers: str | None) -> list[str] | None:
    """The command line that those answers lead to; None where nothing is begun."""
    ran: list[list[str]] = []

    def run(arguments: list[str]) -> int:
        ran.append(arguments)
        return 7

    status = start(run, answering(*answers))
    assert status == (7 if ran else 0)
    return ran[0] if ran else None


def test_the_last_job_is_first(jobs: Path) -> None:
    """Enter, Enter goes on with it by voice."""
    (jobs / "kitchen.job").write_text("")
    assert began("", "") == ["listen", "--job", str(jobs / "kitchen.job")]
    assert began("1", "k") == ["type", "--job", str(jobs / "kitchen.job")]


def test_a_new_job_gets_its_name_or_todays_date(jobs: Path) -> None:
    """What no file's name may hold is left out, and a name that is there already gets a number."""
    assert began("1", "Lake house", "k") == ["type", "--job", str(jobs / "Lake house.job")]
    assert began("1", "../a/b\x1b[2J", "k") == ["type", "--job", str(jobs / "a b 2J.job")]
    (jobs / "lake house.job").write_text("")
    assert began("2", "Lake house", "v") == ["listen", "--job", str(jobs / "Lake house 2.job")]
    arguments = began("2", "", "v")
    assert arguments is not None
    assert Path(arguments[2]).stem.count("-") == 2


def test_the_demo_and_whether_all_is_ready(jobs: Path) -> None:
    """By their numbers, with and without a job."""
    assert jobs.is_dir()
    assert began("2") == ["demo"]
    assert began("3") == ["ready"]


def test_what_it_does_not_know_is_asked_again(jobs: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Said, with what would do."""
    assert jobs.is_dir()
    assert began("9", "demo", "²", "-1", "2") == ["demo"]
    assert capsys.readouterr().out.count("I don't know") == 4
    assert began("1", "hall", "w", "v") is not None


@pytest.mark.parametrize("answers", [("q",), (None,), ("1", None), ("1", "hall", None)])
def test_leaving_begins_nothing(jobs: Path, answers: tuple[str | None, ...]) -> None:
    """By q or by the end of the input, at any question."""
    assert began(*answers) is None
    assert list(jobs.iterdir()) == []


@pytest.mark.parametrize(
    ("passed", "said"),
    [
        (timedelta(seconds=5), "just now"),
        (timedelta(minutes=40), "40 minutes ago"),
        (timedelta(minutes=61), "an hour ago"),
        (timedelta(hours=20), "20 hours ago"),
        (timedelta(days=3), "3 days ago"),
        (timedelta(seconds=-5), "just now"),
    ],
)
def test_how_long_ago_is_said_in_words(passed: timedelta, said: str) -> None:
    """So that the right job is recognized."""
    assert choices(Path("kitchen.job"), NOW - passed, NOW)[0].says.endswith(said)


def test_elsewhere_it_is_the_usage() -> None:
    """In a pipe nothing is asked: the usage on standard error, and the status of a wrong command line."""
    ran = fieldvoice()
    assert ran.status == 2
    assert ran.out == ""
    assert "Usage: fieldvoice" in ran.err
