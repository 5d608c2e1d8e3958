"""`fastening`: the table that boards are fastened by, and a check of your own; `bend`: which board bends to a curve."""

from __future__ import annotations

import os
import re
from importlib.resources import files
from pathlib import Path

import click

from fieldvoice.commands import options
from fieldvoice.commands.output import emit, show, tell
from fieldvoice.errors import BadInput, BadUsage
from fieldvoice.records.length import Length, Unit


@click.command()
@click.option(
    "--check",
    type=click.Path(path_type=Path),
    default=None,
    metavar="FILE",
    help="Say whether FILE is a usable table, and print nothing.",
)
def fastening(check: Path | None) -> int:
    """Print the table of screws and nails, each row with its source.

    It says how long they are and how far apart. Your local code goes into a table of your own in the same form, with
    the rows that differ. Standard error says where it is; where one of its rows applies, its figure counts, and the
    others are shown after it. Exit status 65 says what is wrong in your own table; then none of it counts.
    """
    from fieldvoice.fastening.table import own_file

    own = check or own_file()
    if check is not None or os.path.lexists(own):
        check_table(own)
        tell(f"fieldvoice: {own} can be used.")
    else:
        tell(f"fieldvoice: There is no table of your own. Put one at {own}")
    if check is None:
        show(files("fieldvoice.fastening").joinpath("table.toml").read_text("utf-8"), end="")
    return 0


def check_table(file: Path) -> None:
    """Nothing, where a table can be used. Raises `BadInput` with a line for each thing that is wrong in it."""
    from fieldvoice.fastening.table import read_file
    from fieldvoice.wording.room import file_fault_text

    found = read_file(file)
    if isinstance(found, tuple):
        lines = "\n".join(file_fault_text(fault) for fault in found)
        raise BadInput(f"{file} can't be used, so none of it is in force.\n{lines}")


def check_own_table() -> None:
    """Stops a command that prints plans where the own table is bad: it would print them by other rules than were
    meant. Raises `BadInput`.
    """
    from fieldvoice.fastening.table import own_faults, own_file

    if own_faults():
        check_table(own_file())


@click.command()
@click.argument("radius")
@options.in_unit
@options.as_json
def bend(radius: str, unit: str, *, as_json: bool) -> int:
    """Say which dry board bends to the RADIUS of a curved wall.

    It says so along its length and along its width. RADIUS is in the unit of --unit, or has its own: 96, 8 ft, 2400 mm.
    Each least radius stands with its source; the framing is no more than 6 in apart. Rows of your own table come first.
    Exit status 1 where no single layer listed bends so far.
    """
    from fieldvoice.fastening.rules import bends
    from fieldvoice.fastening.table import in_force
    from fieldvoice.output.fastening import bend_document
    from fieldvoice.wording.fastening import bend_lines

    check_own_table()
    length, shown = _length(radius, Unit(unit))
    found = bends(length, in_force())
    if as_json:
        emit(bend_document(length, found, shown))
    else:
        show("\n".join(bend_lines(length, found, shown)))
    return 0 if any(one.bends for one in found) else 1


LARGEST = Length(12_000)
"""What is larger is a slip: any board is straight to such a curve."""
_WRITTEN = re.compile(r"\s*([\d ./]+?)\s*(ft|feet|'|in|\"|mm|m)?\s*", re.ASCII | re.IGNORECASE)
_TIMES = {"ft": (12, Unit.INCH), "feet": (12, Unit.INCH), "'": (12, Unit.INCH), "in": (1, Unit.INCH)}
_TIMES |= {'"': (1, Unit.INCH), "mm": (1, Unit.MM), "m": (1000, Unit.MM)}


def _length(radius: str, unit: Unit) -> tuple[Length, Unit]:
    """A radius with the unit that it was written in. Raises `BadUsage`."""
    written = _WRITTEN.fullmatch(radius)
    times, its = _TIMES[written[2].lower()] if written and written[2] else (1, unit)
    try:
        length = Length.of(written[1] if written else "", its) * times
    except (TypeError, ValueError, ZeroDivisionError) as trouble:
        raise BadUsage(f"{radius!r} isn't a radius. Write it like 96, 8 ft, 62 1/2 or 2400 mm.") from trouble
    if not Length(0) < length <= LARGEST:
        raise BadUsage("A curved wall's radius is above zero and no more than 1000 ft. Check it and its unit.")
    return length, its
