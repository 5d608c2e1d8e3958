"""What the surfaces share in setting a plan out: which marks differ, which step is next, lines that fit."""

from __future__ import annotations

import re
from textwrap import TextWrapper
from unicodedata import east_asian_width

from fieldvoice.dialogue.view import Line
from fieldvoice.records.length import Unit
from fieldvoice.records.plan import CutLine, Mark
from fieldvoice.wording import values
from fieldvoice.wording.values import Told


def same_all_along(cut: CutLine) -> bool:
    """Whether every mark of the cut is the same distance, so that one figure is enough."""
    return len({mark.distance for mark in cut.marks}) == 1


def distinct(cut: CutLine) -> tuple[Mark, ...]:
    """The marks that differ: one for a square cut, all of them for any other."""
    return cut.marks[:1] if same_all_along(cut) else cut.marks


def told(line: Line, unit: Unit) -> Told:
    """A value that stands, worded."""
    return values.told(line.call, unit, line.circuit, wired=line.wired)


def cells(text: str) -> int:
    """How many columns a text takes in a terminal; no fewer, where a sign is drawn over another one."""
    return len(text) if text.isascii() else len(text) + sum(map(_is_wide, text))


def _is_wide(sign: str) -> bool:
    return east_asian_width(sign) in {"W", "F"}


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


def lines(text: str, columns: int, indent: str = "") -> list[str]:
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
