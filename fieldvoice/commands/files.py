"""Files at the door: lines of text, and which files are sound."""

from __future__ import annotations

import os
import sys
from pathlib import Path

from fieldvoice.commands.output import tell
from fieldvoice.errors import BadInput

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
