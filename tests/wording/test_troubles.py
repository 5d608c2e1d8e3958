"""Every trouble has its sentence, and is told with the values that the sentence wants."""

import ast
from collections.abc import Iterator, Mapping
from pathlib import Path

import fieldvoice
from fieldvoice.records.trouble import Hinders, Wrong
from tests.wording.samples import GOLDEN, TOLD, texts

CODES: Mapping[str, Hinders | Wrong] = {each.name: each for each in (*Hinders, *Wrong)}
SOURCE = Path(fieldvoice.__file__).parent


def test_the_texts_are_as_they_were_looked_at() -> None:
    """`python -m tests.wording.samples` writes them anew."""
    assert texts() == GOLDEN.read_text(encoding="utf-8")


def _raised() -> Iterator[tuple[str, str, set[str | None]]]:
    """Every place in the source that makes a trouble: where, its code, and the values that it gives."""
    for file in SOURCE.rglob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if (
                isinstance(node, ast.Call)
                and isinstance(node.func, ast.Name)
                and node.func.id in {"Hindrance", "Trouble"}
            ):
                code = node.args[0]
                assert isinstance(code, ast.Attribute), f"{file}:{node.lineno}"
                yield f"{file.name}:{node.lineno}", code.attr, {keyword.arg for keyword in node.keywords}


def test_every_place_gives_the_values_of_its_sentence() -> None:
    """Else a person would be shown a fault of ours instead of the trouble."""
    for where, code, given in _raised():
        assert given == set(TOLD[CODES[code]]), where


def test_every_code_is_used() -> None:
    """And each has an example among the texts."""
    assert {code for _, code, _ in _raised()} == set(CODES) == {each.name for each in TOLD}
