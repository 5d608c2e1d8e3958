"""Whatever stands where a file is to be written: it is left as it was, and a file is there whole or not at all."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable
from io import FileIO
from pathlib import Path

import pytest

from fieldvoice.cli import run
from fieldvoice.ears.wav import keep_audio
from fieldvoice.errors import JournalTrouble, NotHere
from fieldvoice.files import durable
from fieldvoice.journal.journal import MOST_BYTES
from fieldvoice.language.compiled import keep
from fieldvoice.page.authority import authority
from tests.crash.child import NOON

BOARD = "t 46 7/8\nm 46 3/4\nb 46 1/4\nh 96\ndone\nyes\ndone\n"
SHED = """
[job]
sheets = ["48 x 96"]
[[wall]]
room = "shed"
name = "north"
width = "40"
height = "90"
studs = "16 on center from left"
"""
WRITING = {
    "text": ("print", "--output"),
    "pdf": ("print", "--as", "pdf", "--output"),
    "svg": ("print", "--as", "svg", "--output"),
    "dxf": ("print", "--as", "dxf", "--output"),
    "csv": ("print", "--all", "--as", "csv", "--output"),
    "export": ("job", "export", "--output"),
    "table": ("job", "export", "--csv", "--output"),
    "room svg": ("room", "shed.toml", "--svg"),
    "room pdf": ("room", "shed.toml", "--pdf"),
    "room dxf": ("room", "shed.toml", "--dxf"),
    "import": ("job", "import", "kitchen.json", "--job"),
}


def _there(folder: Path) -> Path:
    (folder / "there").write_text("KEEP")
    return folder / "there"


def _link(folder: Path) -> Path:
    (folder / "link").symlink_to(_there(folder))
    return folder / "link"


def _dangling(folder: Path) -> Path:
    (folder / "dangling").symlink_to(folder / "nowhere")
    return folder / "dangling"


def _pipe(folder: Path) -> Path:
    os.mkfifo(folder / "pipe")
    return folder / "pipe"


OBSTACLES: dict[str, Callable[[Path], Path | str]] = {
    "a file": _there,
    "a link": _link,
    "a link to nothing": _dangling,
    "a pipe": _pipe,
    "a folder": lambda folder: folder,
    "a device": lambda _: "/dev/full",
    "no name": lambda _: "",
    "a blank name": lambda _: "  ",
    "a file as the folder": lambda folder: _there(folder) / "out",
    "too long a name": lambda folder: folder / ("x" * 300),
}


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a job, its export, and a house."""
    folder = tmp_path_factory.mktemp("desk")
    (folder / "lines.txt").write_text(BOARD)
    (folder / "shed.toml").write_text(SHED)
    job, out = str(folder / "kitchen.job"), str(folder / "kitchen.json")
    assert run(["replay", "--quiet", "--job", job, str(folder / "lines.txt")]) == 0
    assert run(["job", "export", "--job", job, "--output", out]) == 0
    return folder


@pytest.fixture
def write(desk: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[[str, object], int]:
    """Has a command write its file there; its status."""
    monkeypatch.chdir(desk)

    def written(name: str, output: object) -> int:
        words = [*WRITING[name], str(output)]
        return run([*words, "--job", "kitchen.job"] if words[0] == "print" or words[1] == "export" else words)

    return written


def _tree(folder: Path) -> dict[str, object]:
    return {str(path): path.readlink() if path.is_symlink() else path.lstat().st_size for path in folder.rglob("*")}


@pytest.mark.parametrize("obstacle", OBSTACLES)
@pytest.mark.parametrize("name", WRITING)
def test_what_stands_there_is_left_as_it_was(
    write: Callable[[str, object], int],
    name: str,
    obstacle: str,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """With a sentence and a status that say so, before any work is done for it."""
    output = OBSTACLES[obstacle](tmp_path)
    before = _tree(tmp_path)
    assert write(name, output) in {2, 65}
    assert _tree(tmp_path) == before
    said = capsys.readouterr()
    assert said.out == ""
    assert "Errno" not in said.err


@pytest.mark.parametrize("name", WRITING)
def test_on_a_full_disk_nothing_is_left(
    write: Callable[[str, object], int],
    name: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """A half of it would be taken for the whole."""

    def full(file: FileIO, place: int, data: bytes) -> None:
        file.seek(place)
        file.write(data[: len(data) // 2])
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(durable, "write_at", full)
    assert write(name, tmp_path / "out") == 65
    assert _tree(tmp_path) == {}
    assert "No space left" in capsys.readouterr().err


@pytest.mark.parametrize("name", ["text", "export", "table", "csv", "svg", "pdf"])
def test_a_dash_is_standard_output(
    write: Callable[[str, object], int], name: str, tmp_path: Path, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    """The same bytes as in a file, and no file of that name."""
    assert write(name, tmp_path / "out") == 0
    capfdbinary.readouterr()
    assert write(name, "-") == 0
    first, second = (tmp_path / "out").read_bytes(), capfdbinary.readouterr().out
    assert not Path("-").exists()
    assert second == first or (name == "pdf" and second.startswith(b"%PDF") and len(second) - len(first) < 100)


@pytest.mark.parametrize("name", ["room svg", "room pdf", "import"])
def test_a_dash_is_no_file_where_the_answer_goes_to_standard_output(
    write: Callable[[str, object], int], name: str
) -> None:
    """Two things in one stream are neither."""
    assert write(name, "-") == 2
    assert not Path("-").exists()


def test_one_file_isnt_named_twice(desk: Path, tmp_path: Path) -> None:
    """Found before the house is planned and the first one written."""
    out = str(tmp_path / "out")
    assert run(["room", str(desk / "shed.toml"), "--svg", out, "--pdf", out]) == 65
    assert _tree(tmp_path) == {}


def test_the_papers_of_the_demo_are_looked_for_first(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """It takes minutes, and at its end it would have been for nothing."""
    (tmp_path / "boards.pdf").write_text("KEEP")
    assert run(["demo", "house", "--papers", str(tmp_path)]) == 65
    assert run(["demo", "house", "--papers", str(tmp_path / "boards.pdf" / "deeper")]) == 65
    assert [path.name for path in tmp_path.iterdir()] == ["boards.pdf"]
    assert capsys.readouterr().out == ""


@pytest.mark.parametrize(
    "command", [["job", "show"], ["job", "check"], ["job", "export"], ["print"], ["type", "--quiet"]]
)
@pytest.mark.parametrize("what", ["/dev/zero", "/dev/full", "pipe", "large"])
def test_what_never_ends_is_no_job(
    command: list[str], what: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A device, a pipe or a film would be read until the memory is full, or for ever."""
    monkeypatch.setattr("sys.stdin", open(os.devnull, encoding="utf-8"))  # noqa: SIM115, PTH123 - as a session's
    job = {"pipe": tmp_path / "a.job", "large": tmp_path / "b.job"}.get(what, Path(what))
    os.mkfifo(tmp_path / "a.job")
    with (tmp_path / "b.job").open("wb") as large:
        large.truncate(MOST_BYTES + 1)
    assert run([*command, "--job", str(job)]) in {1, 65}
    assert "isn't a job" in capsys.readouterr().err


def test_a_table_on_standard_output_is_one_that_a_spreadsheet_reads(
    desk: Path, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    """Its lines end as RFC 4180 has it, and hold no sign in place of that."""
    assert run(["room", str(desk / "shed.toml"), "--csv"]) == 0
    lines = capfdbinary.readouterr().out.split(b"\r\n")
    assert len(lines) > 3
    assert lines[-1] == b""
    assert not any(b"\n" in line or "␍".encode() in line for line in lines)


def test_what_is_kept_beside_a_job_leaves_nothing_on_a_full_disk(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Links, certificates, sound, what was worked out: a bit at each start would fill the disk again."""

    def full(file: FileIO, place: int, data: bytes) -> None:
        file.write(data[: len(data) // 2])
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(durable, "write_at", full)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    job = tmp_path / "a.job"
    keep("what", b"was worked out")
    assert run(["page", "--job", str(job)]) == 69
    with pytest.raises(NotHere):
        authority(tmp_path / "page", ())
    with pytest.raises(JournalTrouble):
        keep_audio(job, bytes(3200), NOON)
    assert [path for path in tmp_path.rglob("*") if path.is_file()] == []
