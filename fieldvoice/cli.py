"""The command line: which commands there are, what can be begun where none is named, chosen by a digit, and what
reaches a person when one fails.
"""

from __future__ import annotations

import errno
import os
import re
import sys
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from difflib import get_close_matches
from importlib import import_module
from io import StringIO
from pathlib import Path

import click

from fieldvoice import __version__
from fieldvoice.commands.output import LEFT, STOPPED, cut_short, let_go, live, report, show, tell, unusable
from fieldvoice.errors import BadInput, FieldvoiceError, SessionLeft

COMMANDS = {
    "demo": "fieldvoice.commands.replay:demo",
    "listen": "fieldvoice.commands.listen:listen",
    "type": "fieldvoice.commands.listen:type_lines",
    "replay": "fieldvoice.commands.replay:replay",
    "cut": "fieldvoice.commands.cut:cut",
    "recording": "fieldvoice.commands.parse:recording",
    "practice": "fieldvoice.commands.practice:practice",
    "parse": "fieldvoice.commands.parse:parse",
    "room": "fieldvoice.commands.planning:room",
    "stock": "fieldvoice.commands.planning:stock",
    "print": "fieldvoice.commands.paper:print_boards",
    "page": "fieldvoice.commands.page:page_links",
    "fastening": "fieldvoice.commands.fastening:fastening",
    "bend": "fieldvoice.commands.fastening:bend",
    "job": "fieldvoice.commands.job:jobs",
    "model": "fieldvoice.commands.ready:model",
    "ready": "fieldvoice.commands.ready:ready",
}
"""Every command, and where it is: a module is imported when its command is called."""

FORMER = {"hear": "recording", "doctor": "ready"}
"""Names of 0.1 that still work, and aren't shown."""

INTERRUPTED = 130
UNEXPECTED = 70
NOT_WRITTEN = 74
_FULL = frozenset({errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EIO})
"""What a disk, or a device that the output was sent to, answers when it takes no more."""


_UNUSABLE = frozenset({errno.ENAMETOOLONG, errno.ELOOP, errno.ENOTDIR, errno.EISDIR, errno.EACCES, errno.EROFS})
"""What a name that somebody gave, or the folder of the data, answers where nothing can be read or kept there."""


class LazyGroup(click.Group):
    """A group whose commands are imported when they are needed."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 - click's signature
        """The names in the order of the table above."""
        return list(COMMANDS)

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """The command that is called; one that is like a name that isn't there is named."""
        try:
            return super().resolve_command(ctx, args)
        except click.UsageError as wrong:
            near = "".join(f" Did you mean {name!r}?" for name in get_close_matches(args[0], COMMANDS, 1))
            raise click.UsageError(f"{wrong.message}{near}", ctx) from None

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002 - click's signature
        """The command of that name."""
        where = COMMANDS.get(FORMER.get(cmd_name, cmd_name))
        if where is None:
            return None
        module, _, name = where.partition(":")
        command: click.Command = getattr(import_module(module), name)
        return command


@click.group(
    cls=LazyGroup,
    invoke_without_command=True,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)
@click.version_option(__version__, prog_name="fieldvoice")
@click.pass_context
def fieldvoice(context: click.Context) -> int:
    """Tape readings in, spoken or typed; proved cut instructions for a sheet of gypsum board out. Offline.

    Alone in a terminal it asks where to start: the last job, a new one, the demo. Otherwise start with
    `fieldvoice demo`, then `fieldvoice listen` or `fieldvoice type`.

    Data go to standard output, messages to standard error. Exit status: 0 done, 1 no plan that may be shown, 2 wrong
    command line, 65 unusable input file, 69 a model, device or voice is missing, 70 a fault of fieldvoice itself, 74
    what was to be shown couldn't be written, 130 interrupted.
    """
    if context.invoked_subcommand is not None:
        return 0
    if not live():
        tell(context.get_help())
        return 2
    return start(run)


def run(arguments: Sequence[str]) -> int:
    """Run one command line and return its exit status. No traceback leaves here."""
    try:
        _open_streams()
        status = fieldvoice.main(list(arguments), prog_name="fieldvoice", standalone_mode=False)
    except click.exceptions.Exit as leaving:
        return leaving.exit_code
    except (click.Abort, KeyboardInterrupt) as leaving:
        return _left(leaving)
    except click.ClickException as wrong:
        usage = StringIO()
        wrong.show(usage)
        tell(usage.getvalue().rstrip("\n"))
        return 2
    except FieldvoiceError as trouble:
        tell(f"fieldvoice: {trouble}")
        return trouble.exit_status
    except SystemExit as leaving:
        if leaving.code != 1:
            raise
        let_go(sys.stdout)  # so click ends where nobody reads on, and in no other case
        return 0
    except BrokenPipeError:
        let_go(sys.stdout)
        return 0
    except Exception as fault:  # noqa: BLE001 - the last place before a person would see a traceback
        if any(isinstance(one, KeyboardInterrupt) for one in _behind(fault)):
            return _left(fault)
        return _failed(fault)
    return status if isinstance(status, int) else 0


def _left(leaving: BaseException) -> int:
    """Says that it was broken off, and that all is kept where that is so."""
    kept = any(isinstance(one, SessionLeft) for one in _behind(leaving))
    tell(f"\n{LEFT if kept else STOPPED}")
    return INTERRUPTED


def _behind(fault: BaseException | None) -> Iterator[BaseException]:
    """An error and what led to it: a library may catch Ctrl-C and hand on an error of its own."""
    while fault is not None:
        yield fault
        fault = fault.__cause__ or fault.__context__


def _failed(fault: Exception) -> int:
    """Says what nothing else caught: a disk that is full, a name that nothing can be read or kept under, else a fault
    of our own.
    """
    if isinstance(fault, OSError) and fault.errno in _FULL:
        let_go(sys.stdout)
        tell(f"fieldvoice: {cut_short(fault)}")
        return NOT_WRITTEN
    if isinstance(fault, OSError) and fault.errno in _UNUSABLE and fault.filename is not None:
        tell(f"fieldvoice: {unusable(fault)}")
        return BadInput.exit_status
    tell(f"fieldvoice: {report(fault)}")
    return UNEXPECTED


def _open_streams() -> None:
    """A stream that whoever started fieldvoice had closed leads nowhere. Raises `OSError` where that is the output:
    what is asked for couldn't be seen.
    """
    nowhere = Path(os.devnull)
    sys.stdin = sys.stdin or nowhere.open(encoding="utf-8")
    sys.stderr = sys.stderr or nowhere.open("w", encoding="utf-8")
    if sys.stdout is None:
        sys.stdout = nowhere.open("w", encoding="utf-8")
        raise OSError(errno.EIO, "standard output is closed")


BY_VOICE, BY_KEYBOARD = "listen", "type"


@dataclass(frozen=True, slots=True)
class Beginning:
    """One thing to begin: what it says, and the command line that does it; `asks_how` where it is led by voice or by
    keyboard, and `asks_name` where a job wants a name first.
    """

    says: str
    arguments: tuple[str, ...] = ()
    asks_how: bool = False
    asks_name: bool = False


def choices(last: Path | None, written: datetime | None, now: datetime) -> tuple[Beginning, ...]:
    """What can be begun; going on with the last job comes first where there is one."""
    on: tuple[Beginning, ...] = ()
    if last is not None and written is not None:
        on = (
            Beginning(f"Go on with {last.stem}, last used {_ago(now - written)}", ("--job", str(last)), asks_how=True),
        )
    return (
        *on,
        Beginning("Begin a new job", asks_how=True, asks_name=True),
        Beginning("See the demo: a board by voice, from recordings", ("demo",)),
        Beginning("Is everything ready on this machine?", ("ready",)),
    )


def _ago(passed: timedelta) -> str:
    minutes = int(passed.total_seconds() // 60)
    if minutes < 60:
        return "just now" if minutes < 2 else f"{minutes} minutes ago"
    hours = minutes // 60
    if hours < 48:
        return "an hour ago" if hours == 1 else f"{hours} hours ago"
    return f"{hours // 24} days ago"


def start(run: Callable[[list[str]], int], ask: Callable[[str], str | None] | None = None) -> int:
    """Shows the choices, asks until one is made, and runs it. Returns its exit status; 0 where nothing is begun."""
    from fieldvoice.jobs import job_files, jobs_folder

    ask = ask or _asked
    folder = jobs_folder()
    last = next(iter(job_files(folder)), None)
    written = datetime.fromtimestamp(last.stat().st_mtime).astimezone() if last is not None else None
    offered = choices(last, written, datetime.now().astimezone())
    show("fieldvoice: tape readings in, cut marks out.\n")
    for number, choice in enumerate(offered, 1):
        show(f"  {number}  {choice.says}")
    show("  q  Leave\n")
    chosen = _one_of(ask, offered)
    if chosen is None:
        return 0
    arguments = list(chosen.arguments)
    if chosen.asks_name:
        name = _name(ask, folder)
        if name is None:
            return 0
        arguments = ["--job", str(name)]
    if chosen.asks_how:
        how = _how(ask)
        if how is None:
            return 0
        arguments = [how, *arguments]
    return run(arguments)


Ask = Callable[[str], str | None]


def _asked(prompt: str) -> str | None:
    """One line from the terminal; None at its end."""
    show(prompt, end="")
    sys.stdout.flush()
    line = sys.stdin.readline()
    return line.strip() if line else None


def _one_of(ask: Ask, offered: tuple[Beginning, ...]) -> Beginning | None:
    while True:
        answer = ask("Number, or Enter for 1: ")
        if answer is None or answer.lower() in {"q", "quit", "exit"}:
            return None
        if answer.isascii() and (not answer or answer.isdigit()) and 1 <= int(answer or "1") <= len(offered):
            return offered[int(answer or "1") - 1]
        show(f"I don't know “{answer}”. Type a number from 1 to {len(offered)}, or q.")


def _how(ask: Ask) -> str | None:
    while True:
        answer = ask("By voice or by keyboard? v or k, Enter for voice: ")
        if answer is None:
            return None
        if answer.lower() in {"", "v", "voice"}:
            return BY_VOICE
        if answer.lower() in {"k", "keyboard", "t", "type"}:
            return BY_KEYBOARD
        show(f"I don't know “{answer}”. Type v or k.")


def _name(ask: Ask, folder: Path) -> Path | None:
    """The new job's file: the name as it was given without what no file may hold, else today's date, else one more."""
    from fieldvoice.jobs import SUFFIX

    answer = ask("Name of the job, Enter for today's date: ")
    if answer is None:
        return None
    wanted = re.sub(r"[^\w .-]+", " ", answer).strip(" .")[:60].strip() or f"{datetime.now().astimezone():%Y-%m-%d}"
    there = {path.stem.casefold() for path in folder.glob(f"*{SUFFIX}")}
    name, number = wanted, 2
    while name.casefold() in there:
        name, number = f"{wanted} {number}", number + 1
    if name != wanted:
        show(f"There is a job {wanted} already, so this one is {name}.")
    return folder / f"{name}{SUFFIX}"
