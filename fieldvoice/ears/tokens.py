"""Text as the tokens of a Whisper model and back: byte pairs, from the model's own `tokenizer.json`.

A token is a run of bytes, each written as one printable character; a text's bytes are joined pair by pair, the pairs
that are most frequent in the language first. The same ids and texts as the `tokenizers` package gives (see
`tests/ears/test_tokens.py`), which brings ten packages.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator
from itertools import pairwise
from pathlib import Path

_CLASSES = re.compile(r" ?L+| ?N+| ?[^LNS ]+|[S ]+(?![^S ])|[S ]+")
_SHORT = re.compile(r"'(?:[stmd]|re|ve|ll)")


class TextTokens:
    """The table of one model. `ValueError` or `KeyError` where the file isn't one of its kind."""

    def __init__(self, file: Path) -> None:
        table = json.loads(file.read_text(encoding="utf-8"))
        self._numbers: dict[str, int] = table["model"]["vocab"]
        self._special = {added["content"]: int(added["id"]) for added in table["added_tokens"]}
        self._texts = {number: token for token, number in self._numbers.items() if token not in self._special}
        pairs = (merge.split(" ") if isinstance(merge, str) else merge for merge in table["model"]["merges"])
        self._ranks = {(first, second): rank for rank, (first, second) in enumerate(pairs)}
        self._signs = dict(enumerate(_byte_signs()))
        self._bytes = {sign: byte for byte, sign in self._signs.items()}

    def number(self, name: str) -> int:
        """The id of a token that isn't text, such as `<|notimestamps|>`."""
        return self._special[name]

    def encode(self, text: str) -> list[int]:
        """The ids of a text."""
        return [self._numbers[token] for word in _words(text) for token in self._joined(word)]

    def decode(self, numbers: Iterable[int]) -> str:
        """The text of ids; those that are no text are passed over, and bytes that are none show as a sign of that."""
        signs = "".join(self._texts.get(number, "") for number in numbers)
        return bytes(self._bytes[sign] for sign in signs).decode("utf-8", "replace")

    def with_digits(self) -> list[int]:
        """Every token with a digit in it."""
        return sorted(number for token, number in self._numbers.items() if any(sign.isdigit() for sign in token))

    def _joined(self, word: str) -> list[str]:
        """The tokens of a word: of all neighbors the pair of the lowest rank is joined, over and over."""
        parts = [self._signs[byte] for byte in word.encode()]
        while len(parts) > 1:
            rank, pair = min((self._ranks.get(pair, len(self._ranks)), pair) for pair in pairwise(parts))
            if rank == len(self._ranks):
                break
            parts = list(_with_pair(parts, pair))
        return parts


def _with_pair(parts: list[str], pair: tuple[str, str]) -> Iterator[str]:
    place = 0
    while place < len(parts):
        both = tuple(parts[place : place + 2]) == pair
        yield "".join(parts[place : place + 2]) if both else parts[place]
        place += 2 if both else 1


def _words(text: str) -> Iterator[str]:
    """The pieces that are tokenized by themselves: letters, numbers, other signs, each with the space before it; a
    shortened word such as "'s"; further spaces.
    """
    classes = "".join(map(_class, text))
    place = 0
    while place < len(text):
        found = _SHORT.match(text, place) or _CLASSES.match(classes, place)
        assert found is not None
        yield text[place : found.end()]
        place = found.end()


def _class(char: str) -> str:
    if char == " ":
        return " "
    space = char.isspace() and not "\x1c" <= char <= "\x1f"  # Python's idea of space is wider than Unicode's
    return "L" if char.isalpha() else "N" if char.isnumeric() else "S" if space else "O"


def _byte_signs() -> list[str]:
    """The character that stands for each byte: itself where it can be seen, else one from 256 on."""
    seen = {*range(ord("!"), ord("~") + 1), *range(ord("¡"), ord("¬") + 1), *range(ord("®"), ord("ÿ") + 1)}
    hidden = iter(range(256, 512))
    return [chr(byte if byte in seen else next(hidden)) for byte in range(256)]
