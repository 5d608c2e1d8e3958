"""The grammar's rules and the language's net, worked out at the first start and kept in the platform's cache folder.

A file there is named by what it was made of (the SHA-256 of the grammar's text, or of what can be said in a unit, with
the code that works it out) and carries the SHA-256 of its own contents: one that is damaged, or made of another grammar
or by other code, isn't used. Where nothing can be kept, everything is worked out again at each start, which takes
longer and is as right.
"""

from __future__ import annotations

import hashlib
import json
from array import array
from contextlib import suppress
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from fieldvoice.language.rules import Packed, PackedRule, Rules, fingerprint, from_lark, grammar_text, packed

if TYPE_CHECKING:
    from fieldvoice.language.acceptors import Ways

MAKERS = ("rules.py", "compiled.py", "acceptors.py", "automaton.py")
"""The code that decides what is in the files: other code makes others of the same text."""
MOST_KEPT = 12
"""Files of more grammars than a few are left of versions that are gone."""
_WIDTHS = ("i", "H", "i", "i")
_WIDTHS_OF_WAYS = ("i", "i", "i", "H", "i")


def cache_folder() -> Path:
    """Where the platform keeps what can be made again."""
    from platformdirs import user_cache_path

    return user_cache_path("fieldvoice") / "grammar"


@cache
def makers() -> str:
    """The text of the code that makes the files."""
    return "\n".join(Path(__file__).with_name(name).read_text(encoding="utf-8") for name in MAKERS)


@cache
def rules() -> Rules:
    """The rules of this installation's grammar."""
    name = _rules_name()
    kept = recall(name)
    if kept is not None:
        return unpacked_rules(kept)
    made = from_lark(grammar_text())
    keep(name, packed_rules(made))
    return made


def is_kept() -> bool:
    """Whether the rules of this installation's grammar were worked out before, which takes seconds."""
    return (cache_folder() / _rules_name()).is_file()


def _rules_name() -> str:
    return f"rules-{fingerprint(makers() + grammar_text())[:24]}"


def packed_rules(made: Rules) -> bytes:
    """Rules as text."""
    return json.dumps(packed(made), separators=(",", ":")).encode()


def unpacked_rules(raw: bytes) -> Rules:
    """The rules of such a text, each unpacked when it is asked for."""
    return Rules(Packed({rule: PackedRule(*row) for rule, row in json.loads(raw).items()}))


def recall_ways(source: str) -> Ways | None:
    """The net that was kept for a language, None where there is none."""
    raw = recall(_network_name(source))
    return unpacked_ways(raw) if raw is not None else None


def keep_ways(source: str, ways: Ways) -> None:
    """Keep the net of a language."""
    keep(_network_name(source), packed_ways(ways))


def _network_name(source: str) -> str:
    return f"network-{fingerprint(makers() + source)[:24]}"


def packed_ways(ways: Ways) -> bytes:
    """A net as a line that says how long its columns are, and the columns, in this machine's order of bytes."""
    columns = [
        column
        for piece in (ways.own, *ways.pieces)
        for column in (piece.first, piece.labels, piece.targets, array("i", sorted(piece.finals)))
    ]
    columns += (ways.free_first, ways.free, ways.bases, ways.which, ways.after)
    sizes = json.dumps([len(column) for column in columns], separators=(",", ":"))
    return b"".join([sizes.encode(), b"\n", *(column.tobytes() for column in columns)])


def unpacked_ways(raw: bytes) -> Ways:
    """The net of such bytes."""
    from fieldvoice.language.acceptors import Acceptor, Ways

    at = raw.index(b"\n") + 1
    sizes = json.loads(raw[:at])
    pieces = (len(sizes) - len(_WIDTHS_OF_WAYS)) // len(_WIDTHS)
    columns = []
    for width, size in zip((*_WIDTHS * pieces, *_WIDTHS_OF_WAYS), sizes, strict=True):
        column = array(width)
        end = at + size * column.itemsize
        column.frombytes(raw[at:end])
        columns.append(column)
        at = end
    rows = (columns[first : first + len(_WIDTHS)] for first in range(0, pieces * len(_WIDTHS), len(_WIDTHS)))
    own, *parts = (Acceptor(first, labels, targets, frozenset(finals)) for first, labels, targets, finals in rows)
    return Ways(own, tuple(parts), *columns[pieces * len(_WIDTHS) :])


def recall(name: str) -> bytes | None:
    """What was kept under a name, None where there is nothing or not what was kept."""
    try:
        raw = (cache_folder() / name).read_bytes()
    except OSError:
        return None
    digest, body = raw[:32], raw[32:]
    return body if hashlib.sha256(body).digest() == digest else None


def keep(name: str, body: bytes) -> None:
    """Keep something under a name where that is possible, whole or not at all; what is oldest goes."""
    with suppress(OSError):
        folder = cache_folder()
        folder.mkdir(parents=True, exist_ok=True)
        for old in sorted(folder.iterdir(), key=lambda file: file.stat().st_mtime)[: -MOST_KEPT + 1]:
            old.unlink(missing_ok=True)
        from fieldvoice.files.durable import make

        make(folder / name, hashlib.sha256(body).digest() + body, over=True)
