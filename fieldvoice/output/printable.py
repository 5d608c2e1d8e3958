"""Text from elsewhere (names of files and boards, imported words) as a terminal may show it."""

from __future__ import annotations

import re
import unicodedata

_UNSAFE = re.compile(r"[^\n\t -~]")
_KEPT = frozenset({"\n", "\t"})
_PICTURES = 0x2400
"""Unicode's block of pictures of the control characters, in their order."""


def printable(text: str) -> str:
    """The text with each character that could steer a terminal, turn the direction of writing, or not be written at all
    shown as a sign in its place. As long as before; line feeds and tabs stay.
    """
    return _UNSAFE.sub(lambda found: _sign(found[0]), text)


def printable_json(text: str) -> str:
    """JSON with each such character escaped as JSON has it, so that it means the same."""
    return _UNSAFE.sub(lambda found: found[0] if _sign(found[0]) == found[0] else _escape(found[0]), text)


def in_ascii(text: str) -> str:
    """The text for a terminal that has ASCII alone, as long as before: quotes and crosses become their plain kin,
    letters lose their accents, and what has no kin is a question mark.
    """
    return text if text.isascii() else "".join(map(_kin, text))


_KIN = dict(zip("“”‘’…·×²⁄→←–−′″█▀▄▮▯", "\"\"''~-x2/><--'\"####.", strict=True))


def _kin(char: str) -> str:
    if char.isascii():
        return char
    base = unicodedata.normalize("NFD", char)[0]  # not NFKD, which begins "½" with a 1
    return _KIN.get(char, base if base.isascii() else "?")


def _sign(char: str) -> str:
    if char in _KEPT or unicodedata.category(char) not in {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}:
        return char
    if char < " ":
        return chr(_PICTURES + ord(char))
    return "␡" if char == "\x7f" else "\ufffd"


def _escape(char: str) -> str:
    units = char.encode("utf-16-be", "surrogatepass")
    return "".join(f"\\u{units[place : place + 2].hex()}" for place in range(0, len(units), 2))
