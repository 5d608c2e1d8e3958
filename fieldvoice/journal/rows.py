"""One entry of the journal, and the row it is kept in: the text of its five values and a checksum over them.

The checksum covers a row alone, not the rows before it: damage to one is found there and says nothing against the
others. A row taken out shows as a gap in the numbers instead.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from hashlib import blake2b

Json = None | bool | int | float | str | list["Json"] | dict[str, "Json"]
"""A value that JSON can carry."""

Row = tuple[int, bytes, bytes, bytes, bytes, bytes]
"""seq, at, who, kind, body, sum: as kept, the texts in UTF-8."""

SUM_BYTES = 16

_decoded = json.JSONDecoder().raw_decode
"""Without the search for surrounding space that `json.loads` makes: a kept body has none."""


class DamagedRow(ValueError):
    """The row isn't what was written."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing that happened: its number (from 1, without gaps), when, who, what kind, and the rest as JSON."""

    seq: int
    at: datetime
    who: str
    kind: str
    body: Mapping[str, Json]


def make_entry(seq: int, kind: str, who: str, body: Mapping[str, Json], at: datetime) -> Entry:
    """An entry fit to be kept, holding its own copy of `body`; `ValueError` or `TypeError` says what isn't."""
    return row_to_entry(entry_to_row(Entry(seq, at, who, kind, body)))


def entry_to_row(entry: Entry) -> Row:
    """The row to keep. `ValueError` for a time without its zone, an empty or unprintable name, or a NaN;
    `TypeError` for a body that JSON can't carry.
    """
    if entry.at.tzinfo is None:
        raise ValueError("an entry's time needs its time zone")
    for name in (entry.who, entry.kind):
        if not name or not name.isprintable():
            raise ValueError(f"{name!r} can't name a person or a kind of entry")
    body = json.dumps(entry.body, sort_keys=True, separators=(",", ":"), allow_nan=False)
    if json.loads(body) != entry.body:
        raise TypeError("the body holds something that JSON gives back as something else")
    texts = (entry.at.isoformat(), entry.who, entry.kind, body)
    at, who, kind, kept = (text.encode() for text in texts)
    return entry.seq, at, who, kind, kept, checksum(entry.seq, at, who, kind, kept)


def row_to_entry(row: Row) -> Entry:
    """The entry of a row whose checksum holds; `DamagedRow` otherwise."""
    if not is_whole(row):
        raise DamagedRow(f"entry {row[0]} isn't as it was written")
    seq, at, who, kind, body, _ = row
    return Entry(seq, datetime.fromisoformat(at.decode()), who.decode(), kind.decode(), _decoded(body.decode())[0])


def check_number(entry: Entry, following: int) -> None:
    """Passes over an entry whose number is the next one; `ValueError` for another."""
    if entry.seq != following:
        raise ValueError(f"entry {entry.seq} doesn't follow: the next one is {following}")


def is_whole(row: Row) -> bool:
    """Whether the row is as it was written. A column that damage turned into another type isn't."""
    try:
        return checksum(*row[:5]) == row[5]
    except TypeError:
        return False


def checksum(seq: int, at: bytes, who: bytes, kind: bytes, body: bytes) -> bytes:
    """Of all five values. A line feed parts them: none of them can hold one."""
    return blake2b(b"\n".join((b"%d" % seq, at, who, kind, body)), digest_size=SUM_BYTES).digest()
