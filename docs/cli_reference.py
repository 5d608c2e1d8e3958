"""Writes docs/CLI.md from the commands' own --help: `python docs/cli_reference.py`; `--check` only compares."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import click

from fieldvoice.cli import fieldvoice

FILE = Path(__file__).with_name("CLI.md")
HEAD = """# Command line

Written by `docs/cli_reference.py` from the commands' own help; a test fails when the two differ.

Completion: `eval "$(_FIELDVOICE_COMPLETE=bash_source fieldvoice)"` (also `zsh_source`, `fish_source`).
"""


def reference() -> str:
    """The whole reference as Markdown."""
    return HEAD + "".join(_section(names, help_text) for names, help_text in _helps(fieldvoice, ("fieldvoice",), None))


def _helps(
    command: click.Command, names: tuple[str, ...], parent: click.Context | None
) -> Iterator[tuple[tuple[str, ...], str]]:
    """The help of a command and of every command under it."""
    context = click.Context(command, info_name=names[-1], parent=parent, terminal_width=100, max_content_width=100)
    yield names, command.get_help(context)
    if isinstance(command, click.Group):
        for name in command.list_commands(context):
            below = command.get_command(context, name)
            if below is not None:
                yield from _helps(below, (*names, name), context)


def _section(names: tuple[str, ...], help_text: str) -> str:
    return f"\n## {' '.join(names)}\n\n```text\n{help_text}\n```\n"


def main() -> int:
    """Write the file, or with --check say whether it is as it should be."""
    if "--check" in sys.argv[1:]:
        return 0 if FILE.is_file() and FILE.read_text(encoding="utf-8") == reference() else 1
    FILE.parent.mkdir(exist_ok=True)
    FILE.write_text(reference(), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
