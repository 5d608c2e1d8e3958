"""`fastening`: the table that boards are fastened by, and a check of one's own."""

from __future__ import annotations

import os
from importlib.resources import files
from pathlib import Path

import click

from fieldvoice.commands.output import show, tell
from fieldvoice.errors import BadInput


@click.command()
@click.option(
    "--check",
    type=click.Path(path_type=Path),
    default=None,
    metavar="FILE",
    help="Say whether FILE is a usable table, and print nothing.",
)
def fastening(check: Path | None) -> int:
    """Print the shipped table: screws and nails, how long, how far apart, each row with its source.

    Your local code goes into a table of your own in the same form, with the rows that differ. Standard error says where
    it is; where one of its rows applies, its figure counts, and the others are shown after it. Exit status 65 says what
    is wrong in your own table; then none of it counts.
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
