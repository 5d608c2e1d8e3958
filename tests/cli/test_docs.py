"""The documents say what the program does."""

from __future__ import annotations

import shlex
import subprocess
import sys

import pytest

from fieldvoice.cli import COMMANDS
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


def test_the_worked_example_is_real_output() -> None:
    """Each command in the README's example answers exactly what stands under it."""
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    block = readme.split("<!-- example -->\n```console\n", 1)[1].split("```", 1)[0]
    examples = [each.split("\n", 1) for each in block.split("$ ")[1:]]
    assert len(examples) >= 4
    for command, answer in examples:
        assert fieldvoice(*shlex.split(command)[1:]).out == answer
