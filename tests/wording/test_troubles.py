"""Every trouble has its sentence, and is told with the values that the sentence wants."""

import ast
import errno
from collections.abc import Iterator, Mapping
from email.message import Message
from pathlib import Path
from urllib.error import HTTPError, URLError

import pytest

import fieldvoice
from fieldvoice.records.trouble import Hinders, Trouble, Wrong
from fieldvoice.wording.troubles import sentence
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


ANSWERS = {
    "No space left on device": OSError(errno.ENOSPC, "No space left on device", "a.wav"),
    "Name or service not known": URLError(OSError(-2, "Name or service not known")),
    "no host given": URLError("no host given"),
    "timed out": TimeoutError("timed out"),
    "404: Not Found": HTTPError("http://here/", 404, "Not Found", Message(), None),
}


@pytest.mark.parametrize("answer", ANSWERS)
@pytest.mark.parametrize("code", [code for code, told in TOLD.items() if "error" in told], ids=lambda code: code.name)
def test_what_the_system_answered_is_told_in_its_words(code: Wrong, answer: str) -> None:
    """Whatever kind of error a room hands on: no number, no brackets of the language that this is written in."""
    text = sentence(Trouble(code, (), **{**TOLD[code], "error": ANSWERS[answer]}))
    assert answer in text
    assert not set("<>[]") & set(text)
