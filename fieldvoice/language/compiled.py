"""The grammar's rules and its acceptors' pieces, worked out at the first start and kept in the platform's cache folder.

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

from fieldvoice.language.rules import Expansion, Rules, fingerprint, from_lark, grammar_text

if TYPE_CHECKING:
    from fieldvoice.language.acceptors import Acceptor

MAKERS = ("rules.py", "compiled.py", "acceptors.py", "automaton.py")
"""The code that decides what is in the files: other code makes others of the same text."""
MOST_KEPT = 12
"""Files of more grammars than a few are left of versions that are gone."""
_WIDTHS = ("i", "H", "i", "i")


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
    text = grammar_text()
    name = f"rules-{fingerprint(makers() + text)[:24]}"
    kept = recall(name)
    if kept is not None:
        return unpacked_rules(kept)
    made = from_lark(text)
    keep(name, packed_rules(made))
    return made


def packed_rules(made: Rules) -> bytes:
    """Rules as text."""
    rows = {rule: [[*found.symbols, found.name] for found in kept] for rule, kept in made.expansions.items()}
    return json.dumps(rows, separators=(",", ":")).encode()


def unpacked_rules(raw: bytes) -> Rules:
    """The rules of such a text."""
    rows = json.loads(raw)
    return Rules({rule: tuple([Expansion(tuple(one[:-1]), one[-1]) for one in kept]) for rule, kept in rows.items()})


def recall_parts(source: str) -> dict[str, Acceptor]:
    """The minimal acceptors that were kept for a language, none where there are none."""
    raw = recall(_network_name(source))
    return unpacked_parts(raw) if raw is not None else {}


def keep_parts(source: str, parts: dict[str, Acceptor]) -> None:
    """Keep the minimal acceptors of a language."""
    keep(_network_name(source), packed_parts(parts))


def _network_name(source: str) -> str:
    return f"network-{fingerprint(makers() + source)[:24]}"


def packed_parts(parts: dict[str, Acceptor]) -> bytes:
    """Acceptors as a line that says how long the columns are, and the columns, in this machine's order of bytes."""
    sizes, columns = {}, bytearray()
    for rule, part in parts.items():
        arrays = (part.first, part.labels, part.targets, array("i", sorted(part.finals)))
        sizes[rule] = [len(one) for one in arrays]
        for one in arrays:
            columns += one.tobytes()
    return json.dumps(sizes, separators=(",", ":")).encode() + b"\n" + bytes(columns)


def unpacked_parts(raw: bytes) -> dict[str, Acceptor]:
    """The acceptors of such bytes."""
    from fieldvoice.language.acceptors import Acceptor

    head, _, columns = raw.partition(b"\n")
    at, parts = 0, {}
    for rule, sizes in json.loads(head).items():
        arrays = [array(width) for width in _WIDTHS]
        for column, size in zip(arrays, sizes, strict=True):
            end = at + size * column.itemsize
            column.frombytes(columns[at:end])
            at = end
        first, labels, targets, finals = arrays
        parts[rule] = Acceptor(first, labels, targets, frozenset(finals))
    return parts


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
        import tempfile

        with tempfile.NamedTemporaryFile(dir=folder, delete=False) as file:
            file.write(hashlib.sha256(body).digest() + body)
        Path(file.name).replace(folder / name)
