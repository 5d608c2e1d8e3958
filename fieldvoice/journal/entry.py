"""One entry of the journal: what it may hold, and its JSON. What it means is the dialogue's."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from hashlib import blake2b
from itertools import accumulate

Json = None | bool | int | float | str | list["Json"] | dict[str, "Json"]
"""A value that JSON can carry."""

SUM_BYTES = 16
LARGEST = 2**53
"""The largest whole number that every reader of JSON holds exactly, and more entries than a job can have."""
DEEPEST = 32
"""Bodies are some five levels deep; what is deeper was made to break its reader."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One turn: its number (from 1), when, who, what kind of turn, and the rest, which the journal doesn't read."""

    seq: int
    at: datetime
    who: str
    kind: str
    body: Mapping[str, Json]


def make_entry(seq: int, kind: str, who: str, body: Mapping[str, Json], at: datetime) -> Entry:
    """An entry fit to be kept, holding its own copy of `body`; `ValueError` or `TypeError` says what isn't."""
    entry = entry_of(seq, text_of(Entry(seq, at, who, kind, body)))
    if entry.body != body:
        raise TypeError("not as JSON gives it back")
    return entry


def text_of(entry: Entry) -> str:
    """All of the entry but its number, as one line of JSON in ASCII. `ValueError` or `TypeError` for what has none."""
    return _json({"at": entry.at.isoformat(), "who": entry.who, "kind": entry.kind, "body": entry.body})


def entry_of(seq: int, text: str) -> Entry:
    """The entry that a line of JSON holds. `ValueError` or `TypeError` where it isn't one that may be kept: no time
    zone, an empty or unprintable name, a number that isn't one or is too large, a body too deep.
    """
    try:
        item = _DECODER.decode(text)
    except RecursionError:
        raise ValueError("too deep") from None
    if not isinstance(item, dict) or item.keys() != {"at", "who", "kind", "body"}:
        raise TypeError("not the keys of an entry")
    if type(seq) is not int or not 0 < seq <= LARGEST:
        raise ValueError("its number is none")
    for name in (item["who"], item["kind"]):
        if not isinstance(name, str) or not name or not name.isprintable():
            raise ValueError(f"{name!r} names nothing")
    if not isinstance(item["body"], dict):
        raise TypeError("its body is no object")
    if _depth(text) > DEEPEST + 1:  # the entry itself is a level
        raise ValueError("too deep")
    return Entry(seq, _time(item["at"]), item["who"], item["kind"], item["body"])


def entry_sum(entry: Entry) -> str:
    """The sum of an exported entry, over its number, time, person, kind and body, parted by line feeds."""
    return digest("\n".join((str(entry.seq), entry.at.isoformat(), entry.who, entry.kind, _json(entry.body))).encode())


def digest(data: bytes) -> str:
    """The checksum of everything here: BLAKE2b of 16 bytes, in hexadecimal."""
    return blake2b(data, digest_size=SUM_BYTES).hexdigest()


def _json(value: object) -> str:
    try:
        return json.dumps(value, sort_keys=True, separators=(",", ":"), allow_nan=False)
    except RecursionError:
        raise ValueError("too deep") from None


def _time(text: object) -> datetime:
    at = datetime.fromisoformat(text) if isinstance(text, str) else None
    if at is None or at.tzinfo is None:
        raise ValueError("a time without zone")
    if not 1970 <= at.year < 9999:
        raise ValueError("a year without jobs")
    return at


def _depth(text: str) -> int:
    """How many levels deep JSON is, by its text: many times as fast as to walk through what it holds."""
    brackets = _BRACKET.findall(_STRING.sub("", text))
    return max(accumulate(1 if bracket in "[{" else -1 for bracket in brackets), default=0)


_STRING = re.compile(r'"(?:[^"\\]|\\.)*"')
_BRACKET = re.compile(r"[][{}]")


def _number(kind: Callable[[str], float]) -> Callable[[str], float]:
    """Reads a number that every reader of JSON holds; Python's own limit of digits is a `ValueError` as well."""

    def read(text: str) -> float:
        value = kind(text)
        if not abs(value) <= LARGEST:  # nor is an infinity, or what is no number
            raise ValueError("too large a number")
        return value

    return read


_DECODER = json.JSONDecoder(parse_int=_number(int), parse_float=_number(float), parse_constant=_number(float))
