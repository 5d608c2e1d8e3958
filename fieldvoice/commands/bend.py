"""`bend`: which board goes round a curve."""

from __future__ import annotations

import click

from fieldvoice.commands import options
from fieldvoice.commands.fastening import check_own_table
from fieldvoice.commands.output import emit, show
from fieldvoice.errors import BadUsage
from fieldvoice.records.length import Length, Unit


@click.command()
@click.argument("radius")
@options.in_unit
@options.as_json
def bend(radius: str, unit: str, *, as_json: bool) -> int:
    """Say which dry board bends to the RADIUS of a curved wall, along its length and along its width.

    Each least radius stands with its source; the framing is no more than 6 in apart. Rows of your own table come first.
    Exit status 1 where no single layer listed bends so far.
    """
    from fieldvoice.fastening import bends, in_force
    from fieldvoice.output.fastening import bend_document
    from fieldvoice.wording.fastening import bend_lines

    check_own_table()
    length = _length(radius, Unit(unit))
    found = bends(length, in_force())
    if as_json:
        emit(bend_document(length, found, Unit(unit)))
    else:
        show("\n".join(bend_lines(length, found, Unit(unit))))
    return 0 if any(one.bends for one in found) else 1


def _length(radius: str, unit: Unit) -> Length:
    try:
        length = Length.of(radius, unit)
    except (TypeError, ValueError) as trouble:
        raise BadUsage(f"{radius!r} isn't a radius. Write it like 96, 62 1/2 or, with --unit mm, 2400.") from trouble
    if not Length(0) < length:
        raise BadUsage("A radius is above zero.")
    return length
