"""The documents say what the program does."""

from __future__ import annotations

import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

from fieldvoice.cli import COMMANDS
from fieldvoice.dialogue.session import Session
from fieldvoice.ears import RECOGNIZERS
from fieldvoice.journal.journal import MemoryJournal
from fieldvoice.output.screen.compose import compose
from fieldvoice.records.hearing import Hearing
from tests.cli.program import ROOT, fieldvoice


def test_the_reference_is_what_help_says() -> None:
    """docs/CLI.md is written by docs/cli_reference.py: run it after a change to a command."""
    script = str(ROOT / "docs" / "cli_reference.py")
    done = subprocess.run([sys.executable, script, "--check"], cwd=ROOT, env={"PYTHONPATH": str(ROOT)}, check=False)
    assert done.returncode == 0


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_is_in_the_readme(name: str) -> None:
    """A command that the README doesn't name is undocumented."""
    assert f"`fieldvoice {name}" in (ROOT / "README.md").read_text(encoding="utf-8")


def test_what_a_command_does_is_told_whole_in_the_list_of_them() -> None:
    """`fieldvoice --help` on 80 columns breaks no sentence off."""
    for group in ((), ("job",)):
        told = fieldvoice(*group, "--help").out
        assert "Commands:" in told
        assert "..." not in told.split("Commands:")[1], group


def test_every_recognizer_is_told_where_one_is_chosen() -> None:
    """By the name that `--ear` takes."""
    told = fieldvoice("listen", "--help").out
    assert [name for name in RECOGNIZERS if name not in told.split("--ear NAME")[1].split("--device")[0]] == []


def test_the_worked_example_is_real_output() -> None:
    """Each command in the README's example answers exactly what stands under it."""
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    block = readme.split("<!-- example -->\n```console\n", 1)[1].split("```", 1)[0]
    examples = [each.split("\n", 1) for each in block.split("$ ")[1:]]
    assert len(examples) >= 4
    for command, answer in examples:
        assert fieldvoice(*shlex.split(command)[1:]).out == answer


BOARD = (
    "this is the kitchen",
    "left edge last board",
    "right edge wall",
    "top forty one and three eighths",
    "middle forty one and an eighth",
    "bottom forty and fifteen sixteenths",
    "height left ninety five and a quarter",
    "height right ninety five and an eighth",
    "box one single gang center twenty two and three quarters from the left fifty two and a half down",
    "done",
    "understood",
    "next",
    "next",
    "next",
)
"""The demo's board as the hanger calls it, then three steps done."""


def test_the_picture_of_the_screen_is_the_screen() -> None:
    """What the README shows is what the partner sees in a window of that size."""
    session = Session(MemoryJournal())
    for line in BOARD:
        session.take(Hearing.typed(line), "hanger")
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    size, block = readme.split("<!-- screen ", 1)[1].split(" -->\n```text\n", 1)
    columns, rows = map(int, size.split())
    shown = [line.plain.rstrip() for line in compose(session.view(), columns, rows).lines]
    assert block.split("\n```", 1)[0].splitlines() == shown


def _told_to_developers() -> str:
    return "".join((ROOT / name).read_text(encoding="utf-8") for name in ("DEVELOPERS.md", "docs/DECISIONS.md"))


def test_every_file_that_the_developers_are_told_of_is_there() -> None:
    """By its path, from the root or from the package, or by its name alone where the sentence has its folder."""
    text = _told_to_developers()
    named = set(re.findall(r"`((?:[a-z_]+/)*[a-z_]+\.(?:py|toml|tsv)|(?:[a-z_]+/)+)`", text))
    assert len(named) > 50
    folders = ("fieldvoice", "grammar", "tests", "training", "benchmarks", "docs")
    here = ["/pyproject.toml"]
    here += [
        f"/{file.relative_to(ROOT)}" for folder in folders for file in (ROOT / folder, *(ROOT / folder).rglob("*"))
    ]
    assert [name for name in named if not any(each.endswith(f"/{name.rstrip('/')}") for each in here)] == []


def test_every_name_that_the_developers_are_told_of_is_there() -> None:
    """`module.name`, as `hole.straight_edge`, with folders before it or without."""
    text = _told_to_developers()
    files = {file.stem: file for file in (ROOT / "fieldvoice").rglob("*.py") if file.stem != "__init__"}
    named = re.findall(r"`(?:[a-z_]+/)*([a-z_]+)\.(\w+)`", text)
    told = [
        (module, name) for module, name in named if module in files and name not in {"js", "py", "toml", "tsv", "txt"}
    ]
    assert len(told) > 5
    sources = {module: "".join(f.read_text(encoding="utf-8") for f in _named(module)) for module, _ in told}
    assert [one for one in told if not re.search(rf"\b{one[1]}\b", sources[one[0]])] == []


def _named(module: str) -> list[Path]:
    return list((ROOT / "fieldvoice").rglob(f"{module}.py"))
