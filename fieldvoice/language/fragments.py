"""How calls that are only a part, or a wish, are said: each means itself again when it is parsed."""

from __future__ import annotations

from collections.abc import Iterable

from fieldvoice.language.speaking import length_words, name_words, number_words, place_length_words
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import (
    BoxKind,
    Course,
    Dimension,
    Distance,
    Edge,
    Incomplete,
    LayoutWish,
    OpeningKind,
    Point,
    SurfaceCall,
    Wish,
)
from fieldvoice.records.orders import Basis, Habit, HabitOf, Ordinal, Part, SameAgain, SameHeight

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
    if kind is BoxKind.SQUARE and name_words(name).endswith(" four"):
        return "four by four box"
    return KIND.get(kind, str(kind))


def distance_words(at: Distance, unit: Unit) -> str:
    """A distance as far as it was said."""
    point = f"{POINT[at.point]} " if at.point else ""
    return f"{point}{length_words(at.value, unit)} {START[at.start] if at.start else 'over'}"


def incomplete_words(call: Incomplete, unit: Unit) -> str:
    """What of a box or an opening was called."""
    if isinstance(call.kind, OpeningKind) and " " in call.name:
        return _opening_words(call, unit)
    name = f"box {name_words(call.name)}" if call.name else ""
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
    return f"{thing_words(call.name)} is {', '.join(part for part in (size, *spots) if part)}"


def part_words(part: Part, unit: Unit) -> str:
    """A bare piece."""
    value = part.value
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
        return f"same {place}{way}" if isinstance(same.at, Length) else f"same {place}"
    like = place_words_of(same.like, unit)
    if isinstance(same.like, Length) and same.dimension is not None:
        like = f"{same.dimension} {like}{way}"
    return f"{place} is the same as {like}"


def same_height_words(same: SameHeight) -> str:
    """A box at the height of another."""
    first = f"box {name_words(same.box)} " if same.box else ""
    return f"{first}same height as box {name_words(same.like)}"


def habit_words(habit: Habit) -> str:
    """What a crew always does."""
    if habit.of is HabitOf.BOX_POINT:
        return f"boxes to the {'center' if habit.value is Point.CENTER else 'edge'}"
    if isinstance(habit.value, tuple):
        return order_words(habit.value)
    if habit.of is HabitOf.OVER:
        return f"over is from the {habit.value}"
    return "we do the middle width" if habit.value else "no middle width"


def order_words(places: Iterable[str]) -> str:
    """The order in which a crew measures."""
    return f"we measure {', '.join(places)}"


def surface_words(call: SurfaceCall, unit: Unit) -> str:
    """A wall or a ceiling by its two sides."""
    sides = f"{length_words(call.width, unit)} by {length_words(call.height, unit)}"
    if call.surface == "ceiling":
        return f"ceiling {sides}"
    return f"wall number {name_words(call.name)} is {sides}" if call.name.isdigit() else f"{call.name} wall {sides}"


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
