"""Reads the entries that are left in a damaged journal, from the raw bytes of its file and of its write-ahead log.

Every page is taken for a leaf of the entry table and every cell that decodes to an entry is kept if its checksum holds;
nothing else in the file has to be right. That can't bring a wrong entry back: only a row that is as it was written
passes, and since rows are never changed an old copy of a page is as good as a new one. The layout of pages, cells and
log frames is that of the SQLite file format (https://www.sqlite.org/fileformat2.html).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from fieldvoice.journal.rows import SUM_BYTES, Row, is_whole
from fieldvoice.journal.schema import PAGE_BYTES

_LOG_HEADER = 32
_FRAME_HEADER = 24
_LEAF_HEADER = 8
_MOST_LOCAL = PAGE_BYTES - 35
_LEAST_LOCAL = (PAGE_BYTES - 12) * 32 // 255 - 23
_OVERFLOW = PAGE_BYTES - 4
_LARGEST_ROW = 1 << 26
_SUM_TYPE = 12 + 2 * SUM_BYTES

_Pages = Mapping[int, bytes]


@dataclass(frozen=True, slots=True)
class Salvage:
    """The rows that are whole, in order, and the numbers of rows that are there and damaged."""

    rows: tuple[Row, ...]
    damaged: frozenset[int]


def salvage(database: bytes, log: bytes) -> Salvage:
    """What is left in the bytes of a journal and of its log (`NAME-wal`; empty where there is none)."""
    newest = dict(_database_pages(database))
    older = []
    for current, number, page in _log_pages(log):
        if current and number in newest:
            older.append(newest[number])
        if current:
            newest[number] = page
        else:
            older.append(page)
    whole: dict[int, Row] = {}
    damaged: set[int] = set()
    for page in (*newest.values(), *older):
        for row in _rows(page, newest):
            if is_whole(row):
                whole.setdefault(row[0], row)
            else:
                damaged.add(row[0])
    return Salvage(tuple(whole[seq] for seq in sorted(whole)), frozenset(damaged - whole.keys()))


def _database_pages(database: bytes) -> Iterator[tuple[int, bytes]]:
    for number, start in enumerate(range(0, len(database), PAGE_BYTES), start=1):
        yield number, database[start : start + PAGE_BYTES].ljust(PAGE_BYTES, b"\0")


def _log_pages(log: bytes) -> Iterator[tuple[bool, int, bytes]]:
    """Frames in the order written: whether of the log's present round (others are older), page number, page."""
    salts = log[16:24]
    for start in range(_LOG_HEADER, len(log), _FRAME_HEADER + PAGE_BYTES):
        frame = log[start : start + _FRAME_HEADER + PAGE_BYTES].ljust(_FRAME_HEADER + PAGE_BYTES, b"\0")
        yield frame[8:16] == salts, int.from_bytes(frame[:4], "big"), frame[_FRAME_HEADER:]


def _rows(page: bytes, pages: _Pages) -> Iterator[Row]:
    """Rows of a page, wherever a cell pointer may stand: the count of cells is not trusted."""
    seen = set()
    for place in range(_LEAF_HEADER, PAGE_BYTES - 1, 2):
        start = int.from_bytes(page[place : place + 2], "big")
        if start <= place or start >= PAGE_BYTES or start in seen:
            continue
        seen.add(start)
        row = _cell(page, start, pages)
        if row is not None:
            yield row


def _cell(page: bytes, start: int, pages: _Pages) -> Row | None:
    """The row in the cell at `start`, its checksum not looked at; None where no row can be."""
    size, place = _varint(page, start)
    seq, place = _varint(page, place)
    if not (0 < seq < 1 << 62 and SUM_BYTES < size < _LARGEST_ROW):
        return None
    payload = _payload(page, place, size, pages)
    return None if payload is None else _record(seq, payload)


def _payload(page: bytes, place: int, size: int, pages: _Pages) -> bytes | None:
    if size <= _MOST_LOCAL:
        return page[place : place + size] if place + size <= PAGE_BYTES else None
    local = _LEAST_LOCAL + (size - _LEAST_LOCAL) % _OVERFLOW
    local = local if local <= _MOST_LOCAL else _LEAST_LOCAL
    parts = [page[place : place + local]]
    link, left = page[place + local : place + local + 4], size - local
    while left > 0:
        following = pages.get(int.from_bytes(link, "big"))
        if following is None:
            return None
        parts.append(following[4 : 4 + left])
        link, left = following[:4], left - _OVERFLOW
    return b"".join(parts)


def _record(seq: int, payload: bytes) -> Row | None:
    """A record of the entry table's shape: no stored seq, four texts, and a sum of the right size."""
    end, place = _varint(payload, 0)
    types = []
    while place < min(end, 32):
        kind, place = _varint(payload, place)
        types.append(kind)
    if place != end or len(types) != 6 or types[0] != 0 or types[5] != _SUM_TYPE:
        return None
    values: list[bytes] = []
    for kind in types[1:]:
        size = max(0, (kind - 12) // 2)
        values.append(payload[place : place + size])
        place += size
    at, who, kind_name, body, total = values
    return seq, at, who, kind_name, body, total


def _varint(data: bytes, place: int) -> tuple[int, int]:
    """The number at `place`, seven bits a byte and eight in the ninth, and the place after it; past the end reads 0."""
    value = 0
    for byte in data[place : place + 8]:
        place += 1
        value = value << 7 | byte & 0x7F
        if byte < 0x80:
            return value, place
    return (value << 8 | data[place], place + 1) if place < len(data) else (0, place + 1)
