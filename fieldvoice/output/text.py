"""Text as a terminal or a page may show it: what comes from elsewhere (names of files and boards, imported words) made
safe to write, and lines that fit, with lengths whole.
"""

from __future__ import annotations

import re
import unicodedata
from textwrap import TextWrapper

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


def cells(text: str) -> int:
    """How many columns a text takes in a terminal; no fewer, where a sign is drawn over another one."""
    return len(text) if text.isascii() else len(text) + sum(map(_is_wide, text))


def _is_wide(sign: str) -> bool:
    return unicodedata.east_asian_width(sign) in {"W", "F"}


_TIE = "\N{NO-BREAK SPACE}"
_INSIDE_A_LENGTH = re.compile(r"(?<=\d) (?=\d+/\d+|(?:in|mm|x)\b)|(?<=\bx) (?=\d)")


def tied(text: str) -> str:
    """The text with lengths and sizes that no line breaks: 46 at the end of a line and 7/8 at the start of the next
    would be read as 46.
    """
    return _INSIDE_A_LENGTH.sub(_TIE, text)


def untied(text: str) -> str:
    """The text as it was before it was tied."""
    return text.replace(_TIE, " ")


def fitted_lines(text: str, columns: int, indent: str = "") -> list[str]:
    """`text` in lines of at most `columns`, those after the first indented, with its lengths whole."""
    whole_lengths = tied(text.replace(_HALF, " "))
    whole = "".join(f"{sign}{_HALF}" if _is_wide(sign) else sign for sign in whole_lengths)
    wrapper = _Wrapper(columns, subsequent_indent=indent)
    return [untied(line).replace(_HALF, "") for line in wrapper.wrap(whole)]


class _Wrapper(TextWrapper):
    """Wraps a text in which a sign that is two columns wide is two characters, which stay together."""

    def _split(self, text: str) -> list[str]:
        return [part for chunk in super()._split(text) for part in _PAIR.split(chunk) if part]


_HALF = "\x00"
_PAIR = re.compile(f"(.{_HALF})")
