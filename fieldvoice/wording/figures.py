"""Lengths, places and edges as figures for the eye."""

from __future__ import annotations

from collections.abc import Iterable

from fieldvoice.records.board import Offcut, Sheet
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Edge, Place, Slot
from fieldvoice.records.plan import Hook, Mark, Way
from fieldvoice.records.room_plan import Piece


def as_taped(gap: Length, unit: Unit) -> Length:
    """A gap as a tape of that unit shows it: the nearest mark where it lies on none, as 1/8 in does in millimeters. For
    what stays open, never for where to cut.
    """
    return gap if gap == gap.rounded(FINEST[unit]) else gap.rounded(TAPED[unit])


def as_planned(length: Length, unit: Unit) -> Length:
    """A length of a layout on a mark that is read at a glance, never less: under a slope pieces have sizes that lie on
    none.
    """
    return length.rounded_up(PLANNED[unit])


def piece_size(piece: Piece, unit: Unit, by: str = "x") -> str:
    """A piece of a layout as wide by high: `48 x 39 11/16`; exact where nothing of it slopes."""
    sides = (piece.width, piece.height)
    if piece.slopes:
        sides = (as_planned(piece.width, unit), as_planned(piece.height, unit))
    wide, high = (side.text(unit) for side in sides)
    return f"{wide} {by} {high}"


TAPED = {Unit.INCH: Length("1/32"), Unit.MM: Length.of(1, Unit.MM)}
"""The marks that every tape of that unit has."""

PLANNED = {Unit.INCH: Length("1/16"), Unit.MM: Length.of(1, Unit.MM)}
"""What a layout is told to where it can't be told exactly."""


def place(where: Place, unit: Unit) -> str:
    """Where along a cut or an edge: `at top`, or `at 32 in`."""
    return f"at {where.value}" if isinstance(where, Slot) else f"at {where.text_with_unit(unit)}"


def hook(one: Hook) -> str:
    """`the left factory edge`."""
    return f"the {one.value}"


def joined(words: Iterable[str], last: str = "and") -> str:
    """`left`, `left and top`, `left, right and top`; nothing of none."""
    *most, final = tuple(words) or ("",)
    return f"{', '.join(most)} {last} {final}" if most else final


def first_small(text: str) -> str:
    """With a small first letter, behind other words."""
    return text[:1].lower() + text[1:]


def first_large(text: str) -> str:
    """The text with its first letter large."""
    return text[:1].upper() + text[1:]


def rounding(mark: Mark, unit: Unit) -> str | None:
    """What rounding took off the mark, where it took anything: `1/64 in under exact`; `less than 1/64 in under exact`
    where no tape shows how much.
    """
    off = mark.exact - mark.distance
    if not off:
        return None
    fine = FINEST[unit]
    size = abs(off).rounded_up(fine)
    amount = size.text_with_unit(unit) if size == abs(off) else f"less than {size.text_with_unit(unit)}"
    return f"{amount} {'under' if off.inches > 0 else 'over'} exact"


FINEST = {Unit.INCH: Length("1/64"), Unit.MM: Length.of("1/2", Unit.MM)}
"""The finest that a tape of that unit shows."""


def way(one: Way, unit: Unit) -> str:
    """Another way to an opening: `26 9/16 from right factory edge`."""
    return f"{one.distance.text(unit)} from {one.hook.value}"


def offcut_text(offcut: Offcut, unit: Unit) -> str:
    """Its size as a sheet's, across and along, and which of its edges are no cuts, by what they are on the sheet:
    `48 x 6 1/8 in, factory edges: both tapered edges and one end`.
    """
    return f"{across_and_along(offcut.width, offcut.length, unit)}, {_own_edges(offcut.factory)}"


def size_text(of: Sheet | Offcut, unit: Unit) -> str:
    """How wide and how long a sheet is, or a part of one: `48 x 96`."""
    return f"{of.width.text(unit)} x {of.length.text(unit)}"


def across_and_along(width: Length, length: Length, unit: Unit) -> str:
    """The same with its unit: `48 x 96 in`."""
    return f"{width.text(unit)} x {length.text_with_unit(unit)}"


def _own_edges(factory: Iterable[Edge]) -> str:
    edges = set(factory)
    named = [
        f"both {what}s" if pair <= edges else f"one {what}"
        for what, pair in (("tapered edge", {Edge.TOP, Edge.BOTTOM}), ("end", {Edge.LEFT, Edge.RIGHT}))
        if pair & edges
    ]
    return f"factory edge{'s' * (len(edges) > 1)}: {' and '.join(named)}" if named else "no factory edge"
