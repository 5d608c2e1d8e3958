"""The grammar's rules and word acceptor, worked out beforehand, so that nobody waits for them.

Both are made from the grammar by `python -m fieldvoice.language.compiled`. The rules carry the SHA-256 of the grammar's
text, the acceptor that of the words of the rules, since comments and meanings don't change it. Where that differs from
what is at hand they are not used: everything is worked out again from the grammar, which takes longer and is as right.
"""

from __future__ import annotations

import gzip
import json
from functools import cache
from pathlib import Path
from typing import Any

from fieldvoice.language.rules import Expansion, Rules, fingerprint, from_lark, grammar_text

FILES = {"rules": "compiled_rules.json", "automaton": "compiled_automaton.json.gz"}
_HERE = Path(__file__).parent


def load(part: str, source: str) -> Any | None:
    """A part of what was worked out, None where it was made of something else than `source`."""
    path = _HERE / FILES[part]
    if not path.is_file():
        return None
    raw = path.read_bytes()
    found = json.loads(gzip.decompress(raw) if path.suffix == ".gz" else raw)
    return found["of"] if found.get("source") == fingerprint(source) else None


def store(part: str, source: str, of: object) -> None:
    """Write a part with what it was made of."""
    raw = json.dumps({"source": fingerprint(source), "of": of}, separators=(",", ":")).encode()
    path = _HERE / FILES[part]
    path.write_bytes(gzip.compress(raw, mtime=0) if path.suffix == ".gz" else raw)


@cache
def rules() -> Rules:
    """The rules of this installation's grammar."""
    found = load("rules", grammar_text())
    if found is None:
        return from_lark(grammar_text())
    return Rules(
        {rule: tuple(Expansion(tuple(symbols), name) for *symbols, name in rows) for rule, rows in found.items()}
    )


def main() -> None:
    """Work out again what the grammar has changed, and write it."""
    from fieldvoice.language.automaton import compile_rules, packed

    grammar = from_lark(grammar_text())
    rows = {rule: [[*found.symbols, found.name] for found in kept] for rule, kept in grammar.expansions.items()}
    store("rules", grammar_text(), rows)
    if load("automaton", grammar.said()) is None:
        store("automaton", grammar.said(), packed(compile_rules(grammar)))


if __name__ == "__main__":
    main()
