"""Where output goes: data to standard output, messages to standard error, color only where it is wanted. A
fault of fieldvoice itself is told in a sentence, with its details in a file.
"""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Mapping
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, TextIO

import click

from fieldvoice import __version__
from fieldvoice.output.text import in_ascii, printable, printable_json

if TYPE_CHECKING:
    from fieldvoice.output.documents import Json


def tell(message: str) -> None:
    """A message to the person; where nobody can be told, what is being done goes on."""
    try:
        click.echo(_shown(message, sys.stderr), err=True)
    except OSError:
        let_go(sys.stderr)


def language_ready() -> None:
    """The rules of what can be said, before anybody waits for an answer; at the first start that is told."""
    from fieldvoice.language import compiled

    if not compiled.is_kept():
        tell("First start: the language is being worked out, which takes some seconds. The next start has it.")
    compiled.rules()


def let_go(stream: TextIO) -> None:
    """What still waits for a stream goes nowhere, so that the end of the program doesn't try once more."""
    with suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())


def show(text: str = "", *, end: str = "\n") -> None:
    """Text for the person on standard output. Every command shows text by this or `tell`, so that names
    and words from elsewhere can't steer the terminal.
    """
    click.echo(_shown(text, sys.stdout) + end, nl=False)


def pour(content: bytes) -> None:
    """A file's bytes into the pipe on standard output; the caller has seen to it that it is no terminal."""
    sys.stdout.buffer.write(content)
    sys.stdout.flush()


def pour_text(text: str) -> None:
    """A text file on standard output: byte by byte into a pipe, and as a terminal may show it on one."""
    if sys.stdout.isatty():
        show(text.replace("\r\n", "\n"), end="")
    else:
        pour(text.encode())


def emit(document: Mapping[str, Json], *, lines: bool = False) -> None:
    """One JSON document; on one line where documents follow each other."""
    plain = not carries_more(sys.stdout)
    click.echo(printable_json(json.dumps(document, ensure_ascii=plain, indent=None if lines else 2)))


def live() -> bool:
    """Whether both ends are a terminal, so that a screen may be redrawn."""
    return sys.stdin.isatty() and sys.stdout.isatty() and os.environ.get("TERM") != "dumb"


def carries_more(stream: TextIO) -> bool:
    """Whether a stream carries more than ASCII: its encoding is one of Unicode's, and no locale was named that says
    otherwise. Python writes UTF-8 under the locale "C" as well, and for that sets `LC_CTYPE` itself.
    """
    chosen = os.environ.get("LC_CTYPE", "")
    named = os.environ.get("LC_ALL") or (chosen if chosen not in _COERCED else "") or os.environ.get("LANG", "")
    return (stream.encoding or "ascii").lower().startswith("utf") and named not in {"C", "POSIX"}


_COERCED = frozenset({"C.UTF-8", "C.utf8", "UTF-8"})
"""What Python sets `LC_CTYPE` to under the locale "C"."""


def _shown(text: str, stream: TextIO) -> str:
    return printable(text) if carries_more(stream) else in_ascii(printable(text))


def block_cell() -> str:
    """The cell that large figures are drawn with: a full block where the output can carry it."""
    return "█" if carries_more(sys.stdout) else "#"


LEFT = "Interrupted. Everything said so far is kept."
STOPPED = "Interrupted before the end: don't cut from what was shown. Run it again to have it whole."


def cut_short(fault: OSError) -> str:
    """What it means that the output takes no more."""
    return (
        f"What was to be shown couldn't be written ({fault.strerror}), so its end is missing: don't cut from it. Make "
        "room, or send it elsewhere."
    )


def unusable(fault: OSError) -> str:
    """What it means that nothing can be read or kept under a name."""
    return (
        f"{fault.filename} can't be used ({fault.strerror}). Check its name, its folder and the permissions, then run "
        "the command again."
    )


def report(fault: Exception) -> str:
    """Write the fault to a log file and say, in one sentence, what it means and where the file is."""
    import traceback

    details = "".join(traceback.format_exception(fault))
    stamp = datetime.now(UTC).strftime("%Y%m%dT%H%M%SZ")
    text = f"fieldvoice {__version__}, Python {sys.version}\n{stamp}\n\n{details}"
    return (
        f"Something in fieldvoice itself went wrong ({type(fault).__name__}: {fault}), so don't cut from this run; "
        f"what was said before is kept in the job. Details for a report are in {_written(text, stamp)}"
    )


def _written(text: str, stamp: str) -> str:
    import tempfile

    from platformdirs import user_log_path

    for folder in (user_log_path("fieldvoice", appauthor=False), Path(tempfile.gettempdir())):
        file = folder / f"fieldvoice-fault-{stamp}.log"
        try:
            folder.mkdir(parents=True, exist_ok=True)
            file.write_text(text, encoding="utf-8")
        except OSError:
            continue
        return str(file)
    return "no file, since none could be written."
