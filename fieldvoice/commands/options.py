"""What several commands are given: options, lines of text, files, and which of these are sound."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

import click

from fieldvoice.commands.output import tell
from fieldvoice.errors import BadInput
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


SOUND_ENDINGS = frozenset({".wav", ".wave"})
LARGEST_TEXT = 4 * 1024 * 1024


def lines_of(file: Path) -> list[str]:
    """The lines of a text file that hold something, `-` being standard input; lines that start with # are notes.

    Raises `BadInput` for a file that isn't there, isn't UTF-8 text, or holds no line.
    """
    numbered = numbered_lines(file)
    return [line for _, line in numbered]


def numbered_lines(file: Path) -> list[tuple[int, str]]:
    """As `lines_of`, each with its number in the file from 1."""
    text = whole_text(file, _UTTERANCES)
    lines = [(number, line.strip()) for number, line in enumerate(text.splitlines(), 1)]
    said = [(number, line) for number, line in lines if line and not line.startswith("#")]
    if not said:
        raise BadInput(f"{name_of(file)} holds no calls, so there is nothing to cut from. Put one on each line.")
    return said


def is_sound(file: Path) -> bool:
    """Whether the file is a recording by its name."""
    return file.suffix.lower() in SOUND_ENDINGS


def name_of(file: Path) -> str:
    """The file as a sentence begins with it."""
    return "Standard input" if str(file) == "-" else str(file)


_UTTERANCES = "Give a text file with one utterance a line; recordings end in .wav."


def whole_text(file: Path, wanted: str) -> str:
    """All of a file, `-` being standard input. Raises `BadInput` where it isn't there or isn't UTF-8 text, with what is
    `wanted` instead.
    """
    try:
        data = sys.stdin.buffer.read(LARGEST_TEXT + 1) if str(file) == "-" else _head(file)
        text = data.decode("utf-8-sig")
    except FileNotFoundError:
        raise BadInput(f"{file} isn't there. Check the name, then run the command again.") from None
    except IsADirectoryError:
        raise BadInput(f"{file} is a folder, so nothing was read from it. Name a file.") from None
    except UnicodeDecodeError as fault:
        line = fault.object.count(b"\n", 0, fault.start) + 1
        raise BadInput(f"{name_of(file)}, line {line}: not text in UTF-8, so none of it was taken. {wanted}") from None
    except OSError as trouble:
        raise BadInput(
            f"{file} can't be read ({trouble.strerror}), so none of it was taken. Check the name and the permissions."
        ) from None
    if len(data) > LARGEST_TEXT:
        raise BadInput(
            f"{name_of(file)} is larger than 4 MiB, more than a day of talk: give one room's lines at a time."
        )
    if "\0" in text:
        raise BadInput(f"{name_of(file)} holds binary data, so none of it was taken. {wanted}")
    return text


def _head(file: Path) -> bytes:
    with file.open("rb") as stream:
        return stream.read(LARGEST_TEXT + 1)


def check_new(*outputs: Path | None) -> None:
    """Raises `BadInput` where a file is to be written that is there already, has no folder or is named twice, so that
    no work is done in vain.
    """
    named = [output for output in outputs if output is not None]
    for output in named:
        if os.path.lexists(output):
            raise BadInput(f"{output} is already there and was left as it is. Name another file.")
        if not output.parent.is_dir():
            raise BadInput(f"{output} can't be written: there is no folder {output.parent}. Name another file.")
    if len({os.path.realpath(output) for output in named}) < len(named):
        raise BadInput(f"{named[0]} is named twice. Give each its own file.")


def write_new(output: Path, content: bytes) -> None:
    """A file that wasn't there before, whole or not at all. Raises `BadInput` where it was, and is left as it is, or
    can't be written.
    """
    from fieldvoice.files.durable import make

    check_new(output)
    try:
        make(output, content)
    except FileExistsError:
        raise BadInput(f"{output} is already there and was left as it is. Name another file.") from None
    except OSError as trouble:
        raise BadInput(f"{output} can't be written ({trouble.strerror}). Name another file.") from trouble
    tell(f"Written to {output}.")


def new_folder(folder: Path) -> None:
    """A folder to write into, made where it isn't there. Raises `BadInput` where it can't be."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as trouble:
        raise BadInput(f"{folder} can't be made ({trouble.strerror}). Name another folder.") from trouble
