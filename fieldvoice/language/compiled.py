"""The grammar's rules and its word acceptor for each unit, worked out beforehand, so that nobody waits for them.

All are made from the grammar by `python -m fieldvoice.language.compiled`. The rules carry the SHA-256 of the grammar's
text; for each acceptor `PINS` has that of what can be said in its unit, since comments and meanings don't change it,
and that of its file. Where one differs from what is at hand the file isn't used: everything is worked out again from
the grammar, which takes longer and is as right.
"""

from __future__ import annotations

import hashlib
import io
import json
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from fieldvoice.language.rules import Expansion, Rules, fingerprint, from_lark, grammar_text
from fieldvoice.records.length import Unit

if TYPE_CHECKING:
    from fieldvoice.language.acceptors import Columns

_HERE = Path(__file__).parent
RULES = _HERE / "compiled_rules.json"
PINS = _HERE / "compiled_networks.json"
NETWORKS = {unit: _HERE / f"compiled_network_{unit.value}.npz" for unit in Unit}
COLUMNS = {"first": "<i4", "labels": "<u2", "targets": "<i4", "finals": "<i4"}
"""The arrays of an acceptor's file with their types, the same on every machine; beside them the words, in one text."""


def load_rules(source: str) -> Rules | None:
    """The rules that were worked out, None where they were made of another grammar's text."""
    found = _json(RULES)
    if found.get("source") != fingerprint(source):
        return None
    rows = found["of"].items()
    return Rules({rule: tuple(Expansion(tuple(symbols), name) for *symbols, name in kept) for rule, kept in rows})


def load_network(unit: Unit, source: str) -> Columns | None:
    """The acceptor of a unit that was worked out, None where it was made of something else than `source`, or isn't the
    file that was made.
    """
    pin = _json(PINS).get(unit.value)
    raw = NETWORKS[unit].read_bytes() if NETWORKS[unit].is_file() else b""
    if pin != _pin(source, raw):
        return None
    import numpy as np

    from fieldvoice.language.acceptors import Columns

    with np.load(io.BytesIO(raw)) as arrays:
        return Columns(tuple(str(arrays["words"]).split()), *(arrays[name] for name in COLUMNS))


def store_rules(source: str, made: Rules) -> None:
    """Write the rules with what they were made of."""
    rows = {rule: [[*found.symbols, found.name] for found in kept] for rule, kept in made.expansions.items()}
    document = {"source": fingerprint(source), "of": rows}
    RULES.write_text(json.dumps(document, separators=(",", ":")), encoding="utf-8")


def store_network(unit: Unit, source: str, made: Columns) -> None:
    """Write an acceptor, and its pin."""
    import numpy as np

    out = io.BytesIO()
    arrays = {name: getattr(made, name).astype(kind) for name, kind in COLUMNS.items()}
    np.savez_compressed(out, words=np.array(" ".join(made.words)), **arrays)
    NETWORKS[unit].write_bytes(out.getvalue())
    pins = {**_json(PINS), unit.value: _pin(source, out.getvalue())}
    PINS.write_text(json.dumps(pins, indent=2, sort_keys=True) + "\n", encoding="utf-8")


def _pin(source: str, raw: bytes) -> dict[str, str]:
    return {"source": fingerprint(source), "sha256": hashlib.sha256(raw).hexdigest()}


def _json(path: Path) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(path.read_text(encoding="utf-8")) if path.is_file() else {}
    return found


@cache
def rules() -> Rules:
    """The rules of this installation's grammar."""
    text = grammar_text()
    return load_rules(text) or from_lark(text)


def main() -> None:
    """Work out again what the grammar has changed, and write it."""
    from fieldvoice.language.acceptors import compile_rules

    grammar = from_lark(grammar_text())
    store_rules(grammar_text(), grammar)
    for unit in Unit:
        kept = grammar.kept_in(unit)
        if load_network(unit, kept.said()) is None:
            store_network(unit, kept.said(), compile_rules(kept))


if __name__ == "__main__":
    main()
