"""The command line: which commands there are, and what reaches a person when one fails."""

from __future__ import annotations

import errno
import os
import sys
from collections.abc import Iterator, Sequence
from difflib import get_close_matches
from importlib import import_module
from io import StringIO
from pathlib import Path

import click

from fieldvoice import __version__
from fieldvoice.commands.output import LEFT, STOPPED, cut_short, let_go, live, report, tell, unusable
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
    from fieldvoice.commands.start import start

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
