"""The question that settles what was unclear."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fieldvoice.language.phrases import read_back

if TYPE_CHECKING:
    from fieldvoice.records.length import Unit
    from fieldvoice.records.meaning import Meaning

MOST_NAMED = 4


def which_of(alternatives: tuple[tuple[Meaning, ...], ...], unit: Unit) -> str:
    """The alternatives as they are read back in the job's unit, to choose from."""
    said = [", ".join(read_back(meaning, unit) for meaning in meanings) for meanings in alternatives[:MOST_NAMED]]
    more = ", or something else" if len(alternatives) > MOST_NAMED else ""
    return f"Is it {'; or '.join(said)}{more}?"
