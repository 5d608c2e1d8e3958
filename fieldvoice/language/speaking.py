"""Meaning back to words: what is read back, in a form unlike the one spoken, that means the same when it is parsed; and
how calls that are only a part, or a wish, are said.

The place comes first, values go figure by figure, so that no teen is taken for a ten, and a word stands between two
numbers. Commas are pauses for the voice.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from itertools import groupby

from fieldvoice.language.compiled import rules
from fieldvoice.language.meanings.numbers import PARTS
from fieldvoice.records.length import LEANS, Length, Unit, lean_unit
from fieldvoice.records.meaning import (
    FIVE_IN_EIGHT_FEET,
    ON_THE_FLOOR,
    BoxKind,
    Course,
    Dimension,
    Distance,
    Edge,
    Incomplete,
    LayoutWish,
    OpeningKind,
    Point,
    Qualifier,
    SurfaceCall,
    Wish,
)
from fieldvoice.records.utterance import ALL, Basis, Ordinal, Part, SameAgain, SameHeight, ThingName


@cache
def _number_words() -> dict[tuple[str, int], str]:
    """The words of the grammar's own numbers, by rule and number."""
    return {
        (rule, int(expansion.name[1:])): " ".join(expansion.symbols)
        for rule in ("zero", "digit", "teen", "tens")
        for expansion in reversed(rules().expansions[rule])
        if expansion.name[1:].isdigit() and not any(symbol[0] in "<#" for symbol in expansion.symbols)
    }


def _word(rule: str, number: int) -> str:
    return _number_words()[rule, number]


def number_words(number: int) -> str:
    """A whole number from 0 to 9999 in words."""
    if number == 0:
        return _word("zero", 0)
    if number < 10:
        return _word("digit", number)
    if number < 20:
        return _word("teen", number)
    if number < 100:
        return _joined(_word("tens", number // 10 * 10), number % 10)
    if number < 1000:
        return _joined(f"{number_words(number // 100)} hundred", number % 100, " and ")
    hundreds = number % 1000 // 100
    thousands = f"{number_words(number // 1000)} thousand"
    return _joined(f"{thousands} {number_words(hundreds)} hundred" if hundreds else thousands, number % 100, " and ")


def _joined(front: str, rest: int, between: str = " ") -> str:
    return f"{front}{between}{number_words(rest)}" if rest else front


def figures(number: str) -> str:
    """A number figure by figure."""
    return " ".join(number_words(int(figure)) for figure in number)


def worded(text: str) -> str:
    """A name, or what somebody typed, with its figures in words: "box one", "top forty six seven eighths"."""
    return " ".join(_worded(word) for word in text.split())


def _worded(word: str) -> str:
    over, _, under = word.partition("/")
    if over.isdecimal() and under.isdecimal() and int(under) in PARTS and 0 < int(over) < int(under):
        return fraction_words(Fraction(int(over), int(under)))
    parts = ("".join(group) for _, group in groupby(word, str.isdecimal))
    return " ".join(_number(part) if part.isdecimal() else _SIGNS.get(part, part) for part in parts)


def _number(part: str) -> str:
    return number_words(int(part)) if len(part) < 5 else figures(part)


_SIGNS = {".": "point", "/": "over", "'": "feet", '"': "inches"}
"""Signs beside the figures of a number."""


def fraction_words(part: Fraction) -> str:
    """A fraction of the tape in words: "one sixteenth", "three quarters"."""
    count, under = part.numerator, part.denominator
    if count == 1:
        return f"{number_words(1)} {_part_word('part', under)}"
    return f"{number_words(count)} {_part_word('parts', under)}"


@cache
def _part_word(rule: str, under: int) -> str:
    """The grammar's first word for a part, through the rule that shares words for the same part."""
    expansion = next(found for found in rules().expansions[rule] if found.name == f"n{under}")
    shared = [
        rules().expansions[symbol[1:-1]][0].symbols[0] if symbol[0] == "<" else symbol for symbol in expansion.symbols
    ]
    return " ".join(shared)


def spacing_words(apart: Length, unit: Unit) -> str:
    """How far framing is apart: of five spaces in eight feet "nineteen point two"."""
    return "nineteen point two" if apart == FIVE_IN_EIGHT_FEET and unit is Unit.INCH else length_words(apart, unit)


def length_words(length: Length, unit: Unit) -> str:
    """A length figure by figure, in words that mean exactly it: "one three inches and one sixteenth"."""
    if length.inches < 0:
        return f"minus {length_words(-length, unit)}"
    said = length_parts(length, unit)
    if not said.whole:
        return f"{said.part} {said.unit}"
    return f"{said.whole} {said.unit}{f' and {said.part}' if said.part else ''}"


@dataclass(frozen=True, slots=True)
class LengthParts:
    """The words of a length, those that there are: its whole figures, its unit, its fraction."""

    whole: str
    unit: str
    part: str = ""


def length_parts(length: Length, unit: Unit) -> LengthParts:
    """A length figure by figure, in its parts."""
    whole, part = divmod(length.inches, 1)
    if unit is Unit.MM or part.denominator not in (1, *PARTS):
        text = length.text(Unit.MM)
        if "/" in text:  # worked out, and on no tape
            return LengthParts(worded(text), "millimeters")
        whole_mm, _, places = text.partition(".")
        return LengthParts(f"{figures(whole_mm)}{f' point {figures(places)}' if places else ''}", "millimeters")
    if part and not whole:
        return LengthParts("", "of an inch", fraction_words(part))
    inches = "inch" if whole == 1 else "inches"
    return LengthParts(figures(str(whole)), inches, fraction_words(part) if part else "")


def place_length_words(length: Length, unit: Unit) -> str:
    """A length as a place is called, which is no value to cut to: inches in plain words."""
    whole, part = divmod(length.inches, 1)
    if unit is Unit.MM or part.denominator not in (1, *PARTS):
        return length_words(length, unit)
    if part and not whole:
        return fraction_words(part)
    said = f"{number_words(whole)} {'inch' if whole == 1 else 'inches'}"
    return f"{said} and {fraction_words(part)}" if part else said


def measured_words(value: Length, qualifier: Qualifier | None, unit: Unit) -> str:
    """A length with what was said of it: the lean in its value is taken out again."""
    if qualifier is None:
        return length_words(value, unit)
    sign, leans_in = 1 if qualifier is Qualifier.STRONG else -1, lean_unit(value, unit)
    return f"{length_words(value - LEANS[leans_in] * sign, leans_in)} {qualifier}"


def name_words(name: str) -> str:
    """A name as it is said: the numbers in it in words."""
    return " ".join(number_words(int(word)) if word.isdigit() and len(word) < 4 else word for word in name.split(" "))


START = {
    Edge.LEFT: "from the left",
    Edge.RIGHT: "from the right",
    Edge.TOP: "down from the top",
    Edge.BOTTOM: "up from the floor",
}
POINT = {Point.CENTER: "center", Point.NEAR: "near edge", Point.FAR: "far edge"}
KIND: dict[BoxKind | OpeningKind, str] = {
    BoxKind.TRIPLE: "triple gang",
    BoxKind.FOUR: "quad gang",
    OpeningKind.LIGHT: "can light",
}
"""No number that a name before it could go on with: "box fifty, three gang"."""
_DEVICE: dict[BoxKind | OpeningKind | None, str] = {BoxKind.SINGLE: "outlet", BoxKind.DOUBLE: "double switch"}
"""What begins a box where its kind alone would be an answer."""
_AGAIN = {Course.UPPER: "the upper one", Course.LOWER: "the lower one", Basis.MEASURED: "what the wall says"}


def kind_words(kind: BoxKind | OpeningKind, name: str) -> str:
    """A kind behind a name: "box twenty four, square" could be box twenty, four square."""
    if kind is BoxKind.SQUARE and name_words(name.rpartition(" ")[2]).endswith(" four"):
        return "four by four box"
    return KIND.get(kind, str(kind))


def distance_words(at: Distance, unit: Unit) -> str:
    """A distance as far as it was said."""
    if at == ON_THE_FLOOR:
        return "on the floor"
    point = f"{POINT[at.point]} " if at.point else ""
    return f"{point}{length_words(at.value, unit)} {START[at.start] if at.start else 'over'}"


def incomplete_words(call: Incomplete, unit: Unit) -> str:
    """What of a box or an opening was called."""
    if isinstance(call.kind, OpeningKind) and call.name.startswith(call.kind):
        return _opening_words(call, unit)
    name = name_words(call.name)
    kind = kind_words(call.kind, call.name) if call.kind else ""
    across = f"{length_words(call.diameter, unit)} across" if call.diameter else ""
    size = ""
    if call.width and call.height:
        size = f"{length_words(call.width, unit)} by {length_words(call.height, unit)}"
    spots = [distance_words(each, unit) for each in call.distances]
    plugged = "plugged in" if call.plugged_in else ""
    alone = None if name or spots or plugged else _DEVICE.get(call.kind)
    head = alone or kind or ("" if name else "box at")
    name = f"{name} at" if name and not kind else name
    if name and call.point and not call.distances:
        return f"{name_words(call.name)} to the {POINT[call.point]}"
    said = ", ".join(part for part in (name, head, across, size, *spots, plugged) if part)
    return said.replace(" at,", " at", 1)


def thing_words(name: str) -> str:
    """The name of a thing on the board as it is said: a box may be called by its number alone."""
    kind, _, number = name.rpartition(" ")
    return f"{kind or 'box'} {name_words(number)}"


def _opening_words(call: Incomplete, unit: Unit) -> str:
    """What an opening that was named is otherwise: "door one is thirty two inches wide"."""
    width, height = (length_words(one, unit) if one else "" for one in (call.width, call.height))
    size = (
        f"{width} by {height}" if width and height else f"{width} wide" if width else f"{height} tall" if height else ""
    )
    spots = [distance_words(each, unit) for each in call.distances]
    told = ", ".join(part for part in (size, *spots) if part)
    return f"{thing_words(call.name)} is {told}" if told else thing_words(call.name)


def part_words(part: Part, unit: Unit) -> str:
    """A bare piece."""
    value = part.value
    if part.each != 1:
        return f"{'all' if part.each == ALL else 'both'} {part_words(Part(value), unit).removeprefix('the ')}"
    match value:
        case Length():
            return length_words(value, unit)
        case Distance():
            return distance_words(value, unit)
        case Point():
            return f"the {POINT[value]}"
        case Edge():
            return f"the {value}"
        case Ordinal():
            return f"the {value}"
        case BoxKind():
            return KIND.get(value, str(value))
        case ThingName():
            return f"call it {thing_words(value.name)}"
    return _AGAIN[value] if isinstance(value, Course | Basis) else str(value)


def place_words_of(at: object, unit: Unit) -> str:
    """A place as it is said: a slot, or a called distance."""
    return f"at {place_length_words(at, unit)}" if isinstance(at, Length) else str(at or "")


def same_words(same: SameAgain, unit: Unit) -> str:
    """The last value at another place."""
    parts = (str(same.dimension or ""), place_words_of(same.at, unit))
    place = " ".join(part for part in (parts if isinstance(same.at, Length) else parts[::-1]) if part)
    way = {None: "", Dimension.WIDTH: " down", Dimension.HEIGHT: " over"}[same.dimension]  # no "at sixty, five inches"
    if not same.like:
        again = "the same again " if same.dimension is None else "same "  # "same at nine" may be the same as at nine
        return f"{again}{place}{way}" if isinstance(same.at, Length) else f"same {place}"
    like = place_words_of(same.like, unit)
    if isinstance(same.like, Length) and same.dimension is not None:
        like = f"{same.dimension} {like}{way}"
    return f"{place} is the same as {like}"


def same_height_words(same: SameHeight) -> str:
    """A box at the height of another."""
    first = f"{name_words(same.box)} " if same.box else ""
    return f"{first}same height as {name_words(same.like)}"


def order_words(places: Iterable[str]) -> str:
    """The order in which a crew measures."""
    return f"we measure {', '.join(places)}"


def surface_words(call: SurfaceCall, unit: Unit) -> str:
    """A wall or a ceiling by its two sides."""
    sides = f"{length_words(call.width, unit)} by {length_words(call.height, unit)}"
    if call.surface == "ceiling":
        return f"ceiling {sides}"
    if call.name.isdigit():
        return f"wall number {name_words(call.name)} is {sides}"
    if call.right_height is not None:
        return f"{call.name} wall {sides}, {length_words(call.right_height, unit)} on the right"
    ends = (
        f", peaks at {length_words(peak.height, unit)}, {length_words(peak.across, unit)} from the left"
        for peak in call.breaks
    )
    return f"{call.name} wall {sides}{''.join(ends)}"


def footer_words(length: Length) -> str:
    """A sheet's length as it is called: "twelve footer"."""
    return f"{number_words(int(length.inches // 12))} footer"


def wish_words(wish: LayoutWish) -> str:
    """What is wanted of a layout."""
    if wish.wish is Wish.START:
        return f"start from the {wish.edge}"
    if wish.wish is Wish.LENGTH and wish.length is not None:
        return f"{footer_words(wish.length)} only"
    return "stand them up" if wish.wish is Wish.STANDING else "lay them down"
