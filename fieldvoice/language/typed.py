"""Typed lines, cut into words of the language and figures, the only place where a regular expression looks at text; and
words that are nearly other words: a typing slip of one finger, and what is said again.

`46 7/8"`, `46-7/8`, `46⅞`, `3' 10 1/2"`, `46.875`, `1190 mm`, `4x8` and `t 46 7/8, b 46` all become the words that
would be said, with the figures kept as figures. `b1` is box 1, since no board is so narrow. `1,190` and `46,5` are no
figures: each may be one number or two.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Collection
from difflib import SequenceMatcher
from fractions import Fraction
from typing import TYPE_CHECKING

from fieldvoice.language.descent import Token
from fieldvoice.language.rules import typed_as
from fieldvoice.records.length import MOST_PLACES, Unit

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator


SHORTEST = 3
"""Letters of a word: of fewer, nearly everything is near."""


def likely(typed: str, known: Collection[str]) -> list[str]:
    """The words that are one slip away, sorted: a letter more, less, or another, or two letters swapped. A slip leaves
    the first letter or the last as it is; a figure is none.
    """
    if typed[:1].isdigit():
        return []
    near, first, last = range(max(SHORTEST, len(typed) - 1), len(typed) + 2), typed[:1], typed[-1:]
    sound = (word for word in known if len(word) in near and (word[0] == first or word[-1] == last))
    return sorted(word for word in sound if one_slip(typed, word))


def swapped(typed: str, word: str) -> bool:
    """Whether the two have the same letters: of what fingers do to a word, that is told from another word best."""
    return sorted(typed) == sorted(word)


def one_slip(typed: str, word: str) -> bool:
    """Whether one slip makes the word what was typed."""
    if typed == word or abs(len(typed) - len(word)) > 1:
        return False
    start = 0
    while start < min(len(typed), len(word)) and typed[start] == word[start]:
        start += 1
    here, there = typed[start:], word[start:]
    swapped = here[1:2] + here[:1] + here[2:]
    return here[1:] == there or here == there[1:] or here[1:] == there[1:] or (len(here) > 1 and swapped == there)


ALIKE = 0.6
"""The share of words in common, in order, from which on one utterance is the other said again (our own rule)."""


def says_again(before: str, now: str) -> bool:
    """Whether most of the words of `before` come in `now`, in the same order, and all of its figures."""
    first, second = (_plain_words(text) for text in (before, now))
    if not first or not second or any(any(map(str.isdigit, word)) and word not in second for word in first):
        return False
    matched = sum(block.size for block in SequenceMatcher(None, first, second, autojunk=False).get_matching_blocks())
    return matched >= ALIKE * min(len(first), len(second))


def _plain_words(text: str) -> list[str]:
    return text.lower().replace("-", " ").replace(",", " ").split()


_TOKEN = re.compile(
    r"(?P<meters>(?<![\w.])[1-9]m\d{2,3}(?![\w/]))|(?P<boxed>(?<!\w)b[1-9](?![\w/.'\"]|,\d|\s*\d))|(?P<joint>(?<=[^\W\d_])/(?=[^\W\d_]))"
    r"|(?P<grouped>\d+(?:,\d+)+(?!\d|\s*/|\s+\d+\s*/))"
    r"|(?P<fraction>\d+\s*/\s*\d+)|(?P<decimal>\d*\.\d+)|(?P<integer>\d+)|(?P<dash>(?<=\s)-(?=[\s\d])|(?<=\s)/(?=\s)|(?<=[\d'\"])/(?=[^\W\d_]))|(?P<sign>[-+&'\"])|(?P<comma>[,;])"
    r"|(?P<word>[^\W\d_]+(?:'[^\W\d_]+)?)|(?P<other>\S)"
)
_MARKS = str.maketrans({"′": "'", "’": "'", "″": '"', "”": '"', "“": '"', "⁄": "/", "×": " x ", "–": "-", "−": "-"})
_UNSEEN = "\ufeff\u200b\u200c\u200d\u200e\u200f\u2060\u061c"
"""Marks of byte order, width and direction that a pasted line may begin with: nothing of them is seen."""
_FIGURE = r"(\d+(?:\.\d+|[ -]\d+/\d+)?\"?)"
_FOUR_IN_ROW = re.compile(rf"\s*{_FIGURE}\s+{_FIGURE}\s+{_FIGURE}\s+{_FIGURE}\s*")
"""Two widths and two heights with nothing between: of fewer one may be the end of the one before it."""
_CLAUSE_END = re.compile(r"[,;.!?]+(?:\s+|$)")
_PART = re.compile(r"(?<![\w./])(4|8|16|32)(?:th|nd)(s?)\b")
_PARTS = {"4": "fourth", "8": "eighth", "16": "sixteenth", "32": "thirty second"}
"""Parts of an inch as they are written with figures: "13 16ths"."""
_FIGURES = frozenset({"fraction", "decimal", "integer"})
LONGEST = 30
"""Figures of one number, or of both parts of a fraction. What is longer is no figure of a tape."""
_END_OF_NUMBER = _FIGURES | {"sign"}


def read_typed(line: str, unit: Unit = Unit.INCH) -> list[Token]:
    """The words and figures of a typed line, of a job that is kept in that unit."""
    found = [(match.lastgroup or "", match.group()) for match in _TOKEN.finditer(_plain(line))]
    words: list[Token] = []
    for place, (kind, text) in enumerate(found):
        before = found[place - 1] if place else ("", "")
        after = found[place + 1] if place + 1 < len(found) else ("", "")
        words += _WRITTEN[kind](text) if kind in _WRITTEN else _words(kind, text, before, after, unit)
    return words


def clauses(line: str) -> tuple[str, ...]:
    """The parts of a line between commas and stops; the comma of `1,190` and the point of `46.5` part nothing."""
    return tuple(part for part in _CLAUSE_END.split(line) if part.strip())


def _plain(line: str) -> str:
    """Two single quotes are one double one; `46⅞` and `46 7/8ths` are `46 7/8`, `13 16ths` is `13 sixteenths`; `4x8s`
    is `4 by 8`; `42 42 90 90` is `42, 42, 90, 90`. Unseen marks at the start are none.
    """
    seen = line.lstrip(_UNSEEN + " \t")
    spread = "".join(f" {_spread(sign)}" if "⁄" in _spread(sign) else sign for sign in seen)
    text = spread.translate(_MARKS).replace("''", '"').lower().replace(" 'em", " them")
    text = re.sub(r"(?<=\d)(/\s*\d+)(?:ths?|nds?|rds?)\b", r"\1", text)
    text = _PART.sub(lambda part: _PARTS[part[1]] + part[2], text)
    text = re.sub(r"\bo[./]\s?c\b\.?", "oc", text)
    text = re.sub(r"(?<=[\d'\"])\s*x\s*(?=\d)", " by ", text)
    text = re.sub(r"(?<=\bby )(\d+)'?s\b", r"\1", text)
    row = _FOUR_IN_ROW.fullmatch(text)
    return ", ".join(row.groups()) if row else text


def _spread(sign: str) -> str:
    """`⅞` is `7⁄8`. A raised or ringed figure is no figure of a tape, and stays what it is."""
    return unicodedata.normalize("NFKC", sign)


def _words(kind: str, text: str, before: tuple[str, str], after: tuple[str, str], unit: Unit) -> Iterator[Token]:
    between = _ends_number(before) and after[0] in _FIGURES
    if text in _PLUS_MINUS and after[1] in _PLUS_MINUS:
        yield Token((text + after[1],), text + after[1])
    elif kind in _FIGURES:
        yield _figure(kind, text)
    elif kind == "comma" or (text == "/" and (between or kind == "dash")):
        if between:
            yield Token(("#_COMMA",), text)
    elif text == "-" and _ends_number(before) and ((kind == "dash" and between) or _trails(after)):
        yield Token(("#_DASH",), text)
    elif kind in {"sign", "dash"}:
        if text != "-" or not _joins(before, after[0]):
            yield _sign(text, before)
    elif kind == "word":
        yield Token(_word(text, before, after, unit), text)
    elif text not in ".?!:()|":
        yield Token((typed_as(text),), text)


_WRITTEN: dict[str, Callable[[str], tuple[Token, ...]]] = {
    "boxed": lambda text: (Token(("box",), "b"), _figure("integer", text[1:])),
    "meters": lambda text: (_figure("decimal", text.replace("m", ".")), Token((typed_as("metres"),), "m")),
    "joint": lambda text: (Token(("and",), text),),
}
"""Several words in one, `1m19` and `b1`, and a stroke between words, `l/r`."""


def _sign(text: str, before: tuple[str, str]) -> Token:
    """A sign as a word; one of inches or feet with nothing measured before it is no unit."""
    return Token((text if text in _QUOTES and before[0] not in _MEASURES else typed_as(text),), text)


def _figure(kind: str, text: str) -> Token:
    if len(text) > LONGEST or (kind == "decimal" and len(text.partition(".")[2]) > MOST_PLACES):
        return Token((f"{text[:LONGEST]}…",), text)
    if kind == "fraction":
        over, _, under = text.partition("/")
        return Token(("#FRACTION",), text, (int(over), int(under)))
    if kind == "decimal":
        return Token(("#DECIMAL",), text, Fraction("0" + text))
    return Token(("#INTEGER",), text, int(text)) if int(text) else Token((typed_as("0"),), text)


_WALLS = {"n": "north", "s": "south", "e": "east", "w": "west"}
_INWARDS = frozenset({"from", "off"})
_JOINED = frozenset({"ft", "feet", "foot"})
_PLUS_MINUS = frozenset({"+", "-"})
_QUOTES = frozenset({"'", '"'})
_MEASURES = _FIGURES | {"word"}
_UNITS = frozenset({"inch", "inches", "foot", "feet", "millimeter", "millimeters", "mil", "centimeters", "meters"})
_JOINED_AFTER = _UNITS | {
    *("quarter", "quarters", "half", "halves", "eighth", "eighths", "sixteenth", "sixteenths", "on"),
    *("gang", "g", "way", "layer", "square", "footer"),
}
"""Words that a dash only joins to the figure before: `1/2-inch`, `3-quarters`, `16-on-center`, `2-gang`."""


def _joins(before: tuple[str, str], after: str) -> bool:
    """Whether a dash only joins: `46-7/8`, `8'-1`, `half-inch`; not before a figure at the start, nor at the end."""
    if not before[0] or not after:
        return False
    return before[0] != "word" or after not in _FIGURES or before[1] in _JOINED


def _trails(after: tuple[str, str]) -> bool:
    """Whether a dash after a figure stands at the figure's end: `46- b 47`, where it may mean a little less."""
    return after[0] not in _FIGURES and typed_as(after[1]) not in _JOINED_AFTER


def _ends_number(before: tuple[str, str]) -> bool:
    return before[0] in _END_OF_NUMBER or typed_as(before[1]) in _UNITS


def _word(text: str, before: tuple[str, str], after: tuple[str, str], unit: Unit) -> tuple[str, ...]:
    """A word, shorthand written out: after a figure `in` and `m` are units, but between figures, or behind a fraction,
    `m` may be a place, and in `120 in from the right` it may be inwards; `n wall` is the north one, and in `t 42 n b
    43` it may be "and".
    """
    figure = before[0] in _FIGURES
    if after[1] == "wall" and text in _WALLS:
        return (_WALLS[text],)
    if text == "in" and figure and after[1] in _INWARDS and unit is Unit.MM:
        return (typed_as(text), text)
    if text == "n" and figure and after[0] == "word":
        return (typed_as(text), "and")
    if text == "in" and not figure:
        return (text,)
    if text == "m" and figure:
        place = after[0] in _FIGURES or before[0] == "fraction"
        return (typed_as("metres"), typed_as(text)) if place else (typed_as("metres"),)
    return (typed_as(text),)
