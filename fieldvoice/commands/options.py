"""Options that several commands share."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

import click

from fieldvoice.records.length import Unit

Command = TypeVar("Command", bound=Callable[..., object])


class File(click.Path):
    """A file, or a folder, by its name, which may not be empty: that would be the folder one is in."""

    def __init__(self, *, stdout: bool = False, folder: bool = False) -> None:
        super().__init__(dir_okay=folder, allow_dash=stdout, path_type=Path)
        self._stdout = stdout

    def convert(self, value: str | os.PathLike[str], param: click.Parameter | None, ctx: click.Context | None) -> Path:
        """The name as a path."""
        if not os.fspath(value).strip():
            self.fail("a file needs a name.", param, ctx)
        if os.fspath(value) == "-" and not self._stdout:
            self.fail("- is standard output or input, and this wants a file by its name.", param, ctx)
        return Path(os.fsdecode(super().convert(value, param, ctx)))


def to_file(output: Path | None) -> Path | None:
    """The file to write, or None for standard output."""
    return None if output == Path("-") else output


as_json = click.option("--json", "as_json", is_flag=True, help="Print JSON for other programs.")
quiet = click.option("--quiet", is_flag=True, help="Read nothing aloud.")
in_unit = click.option(
    "--unit", type=click.Choice([unit.value for unit in Unit]), default="in", show_default=True, help="Unit of lengths."
)
ear = click.option(
    "--ear",
    default=None,
    metavar="NAME",
    help="The recognizer to hear with: reading, whisper or vosk. Default: every one that is here.",
)
device = click.option(
    "--device", default=None, metavar="NAME", help="The microphone, by its name. Default: the system's."
)
job = click.option(
    "--job",
    "job",
    type=File(),
    default=None,
    help="The job's file. Default: the last one, in the data folder that `fieldvoice ready` names.",
)


def house(told: str) -> Callable[[Command], Command]:
    """A planned house, and what is told of it."""
    return click.option("--house", type=click.Path(path_type=Path), metavar="FILE", default=None, help=told)


house_of_job = house(
    "A house planned with `fieldvoice room`: its walls and ceilings are those of the job, which without --job is the "
    "one of the file's name."
)
unit_or_jobs = click.option(
    "--unit",
    type=click.Choice([unit.value for unit in Unit]),
    default=None,
    help="Unit of the lengths in JSON; checklists keep the job's. Default: the job's.",
)
keep_audio = click.option("--keep-audio", is_flag=True, help="Keep the sound of each utterance beside the job, as WAV.")
who = click.option(
    "--as",
    "who",
    type=click.Choice(["hanger", "partner"]),
    default="partner",
    show_default=True,
    help="Who is at the keyboard.",
)
