"""The journal's file: a head of fixed length, then a line an entry with its checksum and the sum of the one before.

The head is apart from the entries. It holds the number and the sum of the last entry acknowledged, in two places
written in turn, so that one is whole whenever the power goes; an end that was cut off is told by it. What an entry
means is the dialogue's.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, field
from datetime import UTC, datetime
from enum import Enum
from hashlib import blake2b
from types import NoneType

Json = None | bool | int | float | str | list["Json"] | dict[str, "Json"]
"""A value that JSON can carry."""

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
    return as_json({"at": entry.at.isoformat(), "who": entry.who, "kind": entry.kind, "body": entry.body})


def entry_of(seq: int, text: str) -> Entry:
    """The entry that a line of JSON holds. `ValueError` or `TypeError` where it isn't one that may be kept: no time
    zone, an empty or unprintable name, a number that isn't one or is too large, a body too deep.
    """
    try:
        item = json.loads(text)
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
    _check(item["body"])
    at = datetime.fromisoformat(item["at"])
    if at.tzinfo is None or not 1970 <= at.year < 9999:
        raise ValueError("a time without zone, or in a year without jobs")
    return Entry(seq, at, item["who"], item["kind"], item["body"])


def digest(data: bytes) -> str:
    """The checksum of everything here: BLAKE2b of 16 bytes, in hexadecimal."""
    return blake2b(data, digest_size=16).hexdigest()


def as_json(value: object) -> str:
    """JSON that is the same for the same value. `ValueError` or `TypeError` for what has none."""
    try:
        return json.dumps(value, sort_keys=True, separators=(",", ":"), allow_nan=False)
    except RecursionError:
        raise ValueError("too deep") from None


def _check(value: Json, level: int = 1) -> None:
    """`ValueError` for what some reader of JSON couldn't hold: a number too large, or none; too many levels."""
    if isinstance(value, dict | list):
        if level > DEEPEST:
            raise ValueError("too deep")
        for each in value.values() if isinstance(value, dict) else value:
            _check(each, level + 1)
    elif isinstance(value, int | float) and not abs(value) <= LARGEST:
        raise ValueError("too large a number")


MAGIC = b"fieldvoice job 2\n"
_NUMBERED = re.compile(rb"fieldvoice job (\d+)\s")
OLD = b"SQLite format 3\0"
"""How a job of fieldvoice 0.1 begins."""
MENDED = "journal mended"
"""The kind of the journal's own entry after a salvage: its body lists all that is lost, and what was wrong is known."""
NO_SUM = "0" * 32
_PLACE = 83
"""Bytes of one place of the head: a number of 16 digits, a sum, their own sum, parted by spaces, and a line feed."""
HEAD = len(MAGIC) + 2 * _PLACE
_PLACES = (len(MAGIC), len(MAGIC) + _PLACE)


class Damage(Enum):
    """What can be wrong with a file."""

    HEAD = "head"
    CHANGED = "changed"
    OUT_OF_PLACE = "out of place"
    MISSING = "missing"


@dataclass(frozen=True, slots=True)
class Lost:
    """A run of entries that are lost, both ends included; `last` is None where nothing tells how many followed."""

    first: int
    last: int | None

    def __str__(self) -> str:
        if self.last is None:
            return f"perhaps any after {self.first - 1}"
        return str(self.first) if self.first == self.last else f"{self.first} to {self.last}"


@dataclass(slots=True)
class Contents:
    """What a file holds: the whole entries in order; `lost`, the numbers of all that are lost; `faults`, what is wrong
    and wasn't known before, each with its line or entry; `end`, the place in the file that the next entry goes to;
    `last` and `sum`, the number and the sum that it follows.
    """

    entries: list[Entry] = field(default_factory=list)
    lost: list[Lost] = field(default_factory=list)
    faults: list[tuple[Damage, str]] = field(default_factory=list)
    end: int = HEAD
    last: int = 0
    sum: str = NO_SUM


def next_number(entries: Sequence[Entry], lost: Iterable[Lost]) -> int:
    """The number of the entry that follows these, none of which is given twice."""
    return max([0, *(entry.seq for entry in entries[-1:]), *(run.last or run.first - 1 for run in lost)]) + 1


def line_of(entry: Entry, before: str) -> bytes:
    """The entry's line in the file, after an entry of the sum `before`."""
    rest = f" {before} {entry.seq} {text_of(entry)}".encode()
    return digest(rest).encode() + rest + b"\n"


def head_of(seq: int, sum_: str) -> tuple[int, bytes]:
    """Where in the file the head for this last entry goes, and its bytes."""
    text = f"{seq:016d} {sum_}"
    return _PLACES[seq % 2], f"{text} {digest(text.encode())}\n".encode()


def file_of(entries: Iterable[Entry]) -> bytes:
    """A whole file with these entries, chained anew."""
    seq, sum_, lines = 0, NO_SUM, []
    for entry in entries:
        lines.append(line_of(entry, sum_))
        seq, sum_ = entry.seq, lines[-1][:32].decode()
    heads = sorted(head_of(each, sum_) for each in (seq, max(seq - 1, 0)))
    return MAGIC + b"".join([head for _, head in heads] + lines)


def is_ours(data: bytes) -> bool:
    """Whether a file is, or once was, one of these."""
    starts = data.startswith(MAGIC) or MAGIC.startswith(data)
    return starts or any(_heads(data)) or any(_parsed(line) for line in data.split(b"\n"))


def is_newer(data: bytes) -> bool:
    """Whether a later fieldvoice wrote the file: its first line has a higher number."""
    first, own = (_NUMBERED.match(each) for each in (data, MAGIC))
    return first is not None and own is not None and int(first[1]) > int(own[1]) and not any(_heads(data))


def read(data: bytes) -> Contents:
    """What the bytes of a file hold, and all that is wrong with it. Never fails."""
    found = Contents()
    heads = list(_heads(data))
    start = HEAD if data[HEAD - 1 : HEAD] == b"\n" or _parsed(data[HEAD:].split(b"\n", 1)[0]) else 0
    *lines, rest = data[start:].split(b"\n")
    found.end = len(data) - len(rest)
    for number, line in enumerate(lines, start=1):
        _take(found, number, line)
    if not _is_unfinished(rest, found):
        found.faults.append((Damage.CHANGED, str(len(lines) + 1)))
    if not data.startswith(MAGIC) or len(heads) < len(_PLACES):
        found.faults.append((Damage.HEAD, "1"))
    seq, sum_ = max(heads, default=(0, NO_SUM))
    if heads and found.last == seq and found.sum != sum_:  # another line stands in its place
        found.entries.pop()
        found.last -= 1
    if found.last < seq:
        _miss(found, Lost(found.last + 1, seq))
        found.last = seq
    if not heads or (len(heads) < len(_PLACES) and found.last == seq):  # the other place may have told of more
        _miss(found, Lost(found.last + 1, None))
    return found


def _take(found: Contents, number: int, line: bytes) -> None:
    """One more line of the file: the next entry, or a fault."""
    parsed = _parsed(line)
    if parsed is None:
        found.faults.append((Damage.CHANGED, str(number)))
        return
    before, entry = parsed
    if entry.seq <= found.last or (entry.seq == found.last + 1 and before != found.sum):
        found.faults.append((Damage.OUT_OF_PLACE, str(entry.seq)))
        return
    if entry.kind == MENDED:
        found.lost = lost_of(entry.body.get("lost"))
        found.faults.clear()
    elif entry.seq > found.last + 1:
        _miss(found, Lost(found.last + 1, entry.seq - 1))
    found.entries.append(entry)
    found.last, found.sum = entry.seq, line[:32].decode()


def _is_unfinished(rest: bytes, found: Contents) -> bool:
    """Whether the end of a file is the beginning of the next entry, as a kill leaves it: it was never acknowledged."""
    expected = f" {found.sum} {found.last + 1} ".encode()
    return expected.startswith(rest[32:]) or rest[32:].startswith(expected)


def _miss(found: Contents, run: Lost) -> None:
    found.lost.append(run)
    found.faults.append((Damage.MISSING, str(run)))


def _parsed(line: bytes) -> tuple[str, Entry] | None:
    """The sum of the entry before, and the entry; None for a line that isn't as it was written."""
    if digest(line[32:]).encode() != line[:32]:
        return None
    try:
        _, before, seq, text = line.decode().split(" ", 3)
        return before, entry_of(int(seq), text)
    except (ValueError, TypeError):
        return None


def _heads(data: bytes) -> Iterator[tuple[int, str]]:
    """What the two places of the head tell, as far as they are as they were written."""
    for start in _PLACES:
        part = data[start : start + _PLACE]
        number, _, rest = part.decode("ascii", "replace").partition(" ")
        seq, sum_ = int(number) if number.isdecimal() else -1, rest[:32]
        place, head = head_of(seq, sum_)
        if head == part and (seq == 0 or place == start):
            yield seq, sum_


def mended(found: Contents) -> bytes:
    """A whole file with what is left of a damaged one, and an entry that lists what is lost."""
    lost: list[Json] = [asdict(run) for run in found.lost]
    following = next_number(found.entries, found.lost)
    return file_of([*found.entries, make_entry(following, MENDED, "fieldvoice", {"lost": lost}, datetime.now(UTC))])


def lost_of(items: object) -> list[Lost]:
    """The runs of numbers in JSON that lists them as objects of `first` and `last`; what is none is passed over."""
    return [
        Lost(item["first"], item["last"])
        for item in (items if isinstance(items, list) else ())
        if isinstance(item, dict) and type(item.get("first")) is int and type(item.get("last", "")) in (int, NoneType)
    ]
