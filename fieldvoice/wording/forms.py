"""Figures for the eye, words for the ear: how a sentence tells a value, from the value itself; and how
long the voice takes for it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise
from typing import TYPE_CHECKING, TypeAlias

from fieldvoice.language.speaking import length_words, number_words, spacing_words, worded
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import FIVE_IN_EIGHT_FEET, Dimension, Edge, Place, Slot, TopPoint

if TYPE_CHECKING:
    from fieldvoice.records.board import Offcut, Sheet
    from fieldvoice.records.ledger import Value
    from fieldvoice.records.plan import Hook, Mark, Way
    from fieldvoice.records.room_plan import Piece


Both = tuple[str, str]
"""One sentence for the eye and the same for the ear."""


@dataclass(frozen=True, slots=True)
class Form:
    """How a sentence tells what is no word of its own: for the eye, in figures, lengths in `unit`."""

    unit: Unit

    def length(self, length: Length) -> str:
        """Without its unit: `46 7/8`; what can only have been said in millimeters has it."""
        return length.text(self.unit) if self.unit is Unit.MM or length.on_inch_tape else length.text_with_unit()

    def with_unit(self, length: Length) -> str:
        """`46 7/8 in`, `1190 mm`."""
        return length.text_with_unit(self.unit)

    def spacing(self, apart: Length) -> str:
        """How far framing is apart: five spaces in eight feet are called `19.2 in`."""
        return "19.2 in" if apart == FIVE_IN_EIGHT_FEET and self.unit is Unit.INCH else self.with_unit(apart)

    def number(self, number: int) -> str:
        """A count, or the number of a step."""
        return str(number)

    def words(self, text: object) -> str:
        """What somebody named, said or typed: `box 1`, `bedroom 2 north wall`, `top 46 7/8`."""
        return str(text)

    def time(self, at: datetime) -> str:
        """The time on the wall: `08:05`."""
        return clock(at)

    def tell(self, value: object) -> str:
        """Any value, by what it is."""
        match value:
            case Length():
                return self.with_unit(value)
            case int():
                return self.number(value)
            case datetime():
                return self.time(value)
        return self.words(value)

    def at(self, where: Place) -> str:
        """`at the top`, `at 32 in`."""
        return f"at the {where.value}" if isinstance(where, Slot) else f"at {self.with_unit(where)}"

    def reading(self, dimension: Dimension, where: Place) -> str:
        """`top width`, `height at 32 in`."""
        return f"{where.value} {dimension.value}" if isinstance(where, Slot) else f"{dimension.value} {self.at(where)}"

    def counted(self, count: int, one: str, more: str | None = None) -> str:
        """`1 sheet`, `two sheets`, as `counted` has it."""
        return counted(count, one, more, self.number)


@dataclass(frozen=True, slots=True)
class InWords(Form):
    """For the ear, in words alone: lengths figure by figure, numbers and names as numbers. `brief` counts the steps by
    which it is said in fewer words, where there is no time for all of them.
    """

    brief: int = 0

    @property
    def eye(self) -> Form:
        """The same for the eye."""
        return Form(self.unit)

    def length(self, length: Length) -> str:
        """`four six inches and seven eighths`."""
        return length_words(length, self.unit)

    with_unit = length

    def spacing(self, apart: Length) -> str:
        """`nineteen point two`."""
        return spacing_words(apart, self.unit)

    def number(self, number: int) -> str:
        """`twelve`."""
        return worded(str(number))

    def words(self, text: object) -> str:
        """`box one`, `top forty six seven eighths`; of a long one how it begins, where there is no time."""
        said = worded(str(text)).split()
        return " ".join(said if len(said) <= MOST_WORDS or not self.brief else (*said[: MOST_WORDS - 2], "and so on"))

    def time(self, at: datetime) -> str:
        """`eight oh five`."""
        here = at.astimezone()
        if not here.minute:
            return f"{number_words(here.hour)} o'clock"
        return f"{number_words(here.hour)} {'oh ' if here.minute < 10 else ''}{number_words(here.minute)}"


def counted(count: int, one: str, more: str | None = None, number: Callable[[int], str] = str) -> str:
    """`1 sheet`, `2 sheets`; `more` is what several are called where that isn't `one` with an s."""
    return f"{number(count)} {one if count == 1 else more or one + 's'}"


def clock(at: datetime) -> str:
    """The time on the wall."""
    return f"{at.astimezone():%H:%M}"


MOST_WORDS = 6
"""Of what somebody named, said or typed, said again where there is no time for more."""


Worded: TypeAlias = "Callable[[Sequence[Value], InWords], Both]"
"""What words a notice of one kind, from its values, for the ear and for its eye."""


MOST_SECONDS = 5.9
"""Seconds that an answer may take aloud, as they are estimated: six of the voice; the rest is on the screen."""
A_LETTER, A_LINE = 0.064, 0.14
"""Seconds that the voice takes for a letter or a space, and for beginning and ending a line: as all that stands below,
fitted to 6,300 of its lines, which are misjudged by 0.06 s (standard deviation)."""
_RESTS = ((r",", 0.19), (r"[:;]", 0.30), (r"[.?!]”?(?= [A-Z“])", 0.40), (r"[.?!]”?(?= [a-z])", 0.05))
"""Its rests: a stop is one where a sentence begins behind it."""
_WORDS = {
    "six": 0.16,
    "five": 0.08,
    "seven": 0.07,
    "zero": 0.08,
    "one": 0.05,
    "nine": 0.03,
    "ten": 0.08,
    "twenty": 0.06,
    "sixty": 0.14,
    "seventy": 0.08,
    "fifty": 0.09,
    "forty": 0.06,
    "three": -0.09,
    "eight": -0.12,
    "eighty": -0.15,
    "eighteen": -0.2,
    "thirteen": -0.07,
    "eighth": -0.13,
    "eighths": -0.09,
    "inches": -0.06,
    "millimeters": -0.18,
    "the": -0.15,
    "is": -0.1,
    "an": -0.06,
    "a": -0.07,
    "by": -0.07,
    "than": -0.1,
    "and": 0.13,
    "not": 0.13,
    "top": 0.13,
    "middle": -0.11,
    "right": -0.06,
    "left": 0.04,
    "up": 0.07,
    "down": 0.06,
    "box": 0.12,
    "said": 0.2,
    "changed": 0.09,
    "yes": 0.1,
}
"""Seconds more than its letters that it takes for a word."""


def seconds(spoken: str) -> float:
    """About how long the voice takes for a line; nothing for none."""
    if not spoken:
        return 0
    rests = sum(rest * len(re.findall(where, spoken)) for where, rest in _RESTS)
    return (
        A_LINE
        + A_LETTER * len(spoken)
        + rests
        + sum(_WORDS.get(word, 0) for word in re.findall(r"\w+", spoken.lower()))
    )


def fitting(whole: str, short: str) -> str:
    """The whole where there is time for it, else what has to be said; the screen has it in any case."""
    return whole if seconds(whole) <= MOST_SECONDS else short


def each(worded: Callable[[Sequence[Value], Form], str]) -> Worded:
    """The same sentence for the eye and for the ear."""
    return lambda values, ear: (worded(values, ear.eye), worded(values, ear))


def says(template: str) -> Worded:
    """A sentence with places for its values."""
    return each(lambda values, form: template.format(*map(form.tell, values)))


TO_ITS_SHAPE = (
    "On the wall, measure both its sides, and where the slope meets its edges or changes, and how high that is. Mark "
    "these on the sheet, snap a line between them, and cut to it."
)
"""How a board is cut that the slope runs out to a point on."""

AS_A_PEAK = "as in “peak 61 1/2 at 22 from the left”."
"""How the height is called at a break of a board's top."""


def slope_text(corners: Sequence[TopPoint], form: Form) -> str:
    """How the top of a piece runs: how high it is at each side, and where and how high it breaks in between."""
    left, *inside, right = corners
    high, low = (form.length(each.height) for each in (left, right))
    if not inside:
        return f"the top slopes from {high} at the left to {low} at the right"
    if len(inside) == 1:
        (bend,) = inside
        across = form.length(bend.across)
        if bend.height == right.height:
            return f"the top slopes from {high} at the left to {low} at {across} from the left, then it is level"
        if bend.height == left.height:
            return f"the top is level to {across} from the left, then it slopes from {high} to {low} at the right"
    way = f"the top runs from {high} at the left"
    for before, after in pairwise(corners):
        level = "level " if before.height == after.height else ""
        place = "the right" if after is right else f"{form.length(after.across)} from the left"
        way += f", then {level}to {form.length(after.height)} at {place}"
    return way.replace(", then", "", 1)


def as_taped(gap: Length, unit: Unit) -> Length:
    """A gap as a tape of that unit shows it: the nearest mark where it lies on none, as 1/8 in does in millimeters. For
    what stays open, never for where to cut.
    """
    return gap if gap == gap.rounded(FINEST[unit]) else gap.rounded(TAPED[unit])


def as_planned(length: Length, unit: Unit) -> Length:
    """A length of a layout on a mark that is read at a glance, never less: under a slope pieces have sizes that lie on
    none.
    """
    return length.rounded_up(PLANNED[unit])


def piece_size(piece: Piece, unit: Unit, by: str = "x") -> str:
    """A piece of a layout as wide by high: `48 x 39 11/16`; exact where nothing of it slopes."""
    sides = (piece.width, piece.height)
    if piece.slopes:
        sides = (as_planned(piece.width, unit), as_planned(piece.height, unit))
    wide, high = (side.text(unit) for side in sides)
    return f"{wide} {by} {high}"


TAPED = {Unit.INCH: Length("1/32"), Unit.MM: Length.of(1, Unit.MM)}
"""The marks that every tape of that unit has."""

PLANNED = {Unit.INCH: Length("1/16"), Unit.MM: Length.of(1, Unit.MM)}
"""What a layout is told to where it can't be told exactly."""


def place(where: Place, unit: Unit) -> str:
    """Where along a cut or an edge: `at top`, or `at 32 in`."""
    return f"at {where.value}" if isinstance(where, Slot) else f"at {where.text_with_unit(unit)}"


def hook(one: Hook) -> str:
    """`the left factory edge`."""
    return f"the {one.value}"


def joined(words: Iterable[str], last: str = "and") -> str:
    """`left`, `left and top`, `left, right and top`; nothing of none."""
    *most, final = tuple(words) or ("",)
    return f"{', '.join(most)} {last} {final}" if most else final


def first_small(text: str) -> str:
    """With a small first letter, behind other words."""
    return text[:1].lower() + text[1:]


def first_large(text: str) -> str:
    """The text with its first letter large."""
    return text[:1].upper() + text[1:]


def rounding(mark: Mark, unit: Unit) -> str | None:
    """What rounding took off the mark, where it took anything: `1/64 in under exact`; `less than 1/64 in under exact`
    where no tape shows how much.
    """
    off = mark.exact - mark.distance
    if not off:
        return None
    fine = FINEST[unit]
    size = abs(off).rounded_up(fine)
    amount = size.text_with_unit(unit) if size == abs(off) else f"less than {size.text_with_unit(unit)}"
    return f"{amount} {'under' if off.inches > 0 else 'over'} exact"


FINEST = {Unit.INCH: Length("1/64"), Unit.MM: Length.of("1/2", Unit.MM)}
"""The finest that a tape of that unit shows."""


def way(one: Way, unit: Unit) -> str:
    """Another way to an opening: `26 9/16 from right factory edge`."""
    return f"{one.distance.text(unit)} from {one.hook.value}"


def offcut_text(offcut: Offcut, unit: Unit) -> str:
    """Its size as a sheet's, across and along, and which of its edges are no cuts, by what they are on the sheet:
    `48 x 6 1/8 in, factory edges: both tapered edges and one end`.
    """
    return f"{across_and_along(offcut.width, offcut.length, unit)}, {_own_edges(offcut.factory)}"


def size_text(of: Sheet | Offcut, unit: Unit) -> str:
    """How wide and how long a sheet is, or a part of one: `48 x 96`."""
    return f"{of.width.text(unit)} x {of.length.text(unit)}"


def across_and_along(width: Length, length: Length, unit: Unit) -> str:
    """The same with its unit: `48 x 96 in`."""
    return f"{width.text(unit)} x {length.text_with_unit(unit)}"


def _own_edges(factory: Iterable[Edge]) -> str:
    edges = set(factory)
    named = [
        f"both {what}s" if pair <= edges else f"one {what}"
        for what, pair in (("tapered edge", {Edge.TOP, Edge.BOTTOM}), ("end", {Edge.LEFT, Edge.RIGHT}))
        if pair & edges
    ]
    return f"factory edge{'s' * (len(edges) > 1)}: {' and '.join(named)}" if named else "no factory edge"
