"""Labels and values: figures for the eye, figures read out one by one for the ear."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from fieldvoice.language.phrases import read_back
from fieldvoice.language.speaking import POINT, fraction_words, length_parts, length_words, number_words
from fieldvoice.records.board import CircuitWord
from fieldvoice.records.facts import Fact, Key, Of
from fieldvoice.records.ledger import Call, Value
from fieldvoice.records.length import LEANS, Length, Unit, lean_unit
from fieldvoice.records.meaning import (
    Box,
    Context,
    Coordinate,
    Diagonal,
    Distance,
    Edge,
    Incomplete,
    LayoutWish,
    Neighbor,
    Opening,
    OpeningKind,
    Plumb,
    Point,
    Qualifier,
    Reading,
    SurfaceCall,
    Topic,
    WholeThing,
)
from fieldvoice.wording import surfaces
from fieldvoice.wording.forms import Both, Form, InWords, clock


def label(key: Key, form: Form) -> str:
    """A key as people read it: "width, top", "height, at 32 in", "box 1", "right edge"."""
    match key.of:
        case Of.WIDTH | Of.HEIGHT:
            at = form.at(key.at) if isinstance(key.at, Length) else str(key.at)
            return f"{key.of.value}, {at}" if key.at is not None else key.of.value
        case Of.NEIGHBOR:
            return f"{key.edge} edge"
        case Of.CLEARANCE | Of.PLUMB:
            return f"{key.of.value}, {key.edge}" if key.edge is not None else key.of.value
        case Of.DIAGONAL:
            return {True: "diagonal, rising", False: "diagonal, falling", None: "diagonal"}[key.rising]
        case Of.WORDS:
            return "what was said"
        case Of.WISH:
            return "layout"
        case Of.CONTEXT:
            return topic_label(key.name)
    return form.words(key.name)


def title(call: Call, form: Form) -> str:
    """What a call is about, also where its place or its name isn't settled yet: "box 2", "pipe", "reading, left"."""
    match call.fact:
        case None:
            return f"“{form.words(call.words)}”"
        case Reading(dimension=None, at=at):
            return "reading" if at is None else f"reading, {form.with_unit(at) if isinstance(at, Length) else at}"
        case Opening(name="", kind=kind) | Incomplete(name="", kind=OpeningKind() as kind):
            return kind.value
        case Box(name=name) | Incomplete(name=name):
            return form.words(name or "box")
    return label(call.key, form)


def topic_label(name: str) -> str:
    """What a setting is called before its value: `hangs lying`."""
    return _CALLED_OTHERWISE.get(name, name)


_CALLED_OTHERWISE = {"lies": "hangs", "full": "width", "taper": "cut edge", "taper end": "cut end"}
"""A setting whose name in the records isn't what people call it, since "taper" is said of the edge that is cut on a
slant, and of the one that stays tapered."""


def named(name: str, form: Form) -> str:
    """A box or an opening by its name: `box 1`, `outlet`."""
    return form.words(name)


def figures(fact: Fact | Incomplete, form: Form) -> str:
    """What a fact says, in figures: the value alone, without its label."""
    match fact:
        case Reading() | Diagonal():
            return form.length(fact.value)
        case Plumb():
            way = "narrows" if fact.value.inches >= 0 else "widens"
            return f"{way} by {form.length(abs(fact.value))}"
        case Box():
            plugged = ", something plugged in" if fact.plugged_in else ""
            spots = ", ".join(spot(each, form) for each in (fact.x, fact.y, *(fact.far or ())))
            return f"{fact.kind}, {spots}{plugged}"
        case Opening():
            places = ", ".join(spot(each, form) for each in (*fact.xs, *fact.ys))
            return ", ".join(part for part in (str(fact.kind), _size(fact, form), places) if part)
        case Incomplete():
            return _incomplete(fact, form)
        case SurfaceCall():
            return surfaces.sides(fact, form)
        case LayoutWish():
            return surfaces.wished(fact, form)
        case Context():
            return _context(fact, form)


_POINTS = {Point.CENTER: "center", Point.NEAR: "near side", Point.FAR: "far side"}


def spot(place: Coordinate, form: Form) -> str:
    """A point of a box and how far it is from where: "center 30 1/4 from left"."""
    return f"{_POINTS[place.point]} {form.length(place.value)} from {place.start}"


def _incomplete(call: Incomplete, form: Form) -> str:
    return ", ".join(
        (str(call.kind) if call.kind is not None else "box", *(distance(one, form) for one in call.distances))
    )


def distance(one: Distance, form: Form) -> str:
    """A distance as far as it was said: "14 from bottom"."""
    point = f"{_POINTS[one.point]} " if one.point is not None else ""
    return f"{point}{form.length(one.value)}{f' from {one.start}' if one.start is not None else ''}"


def _size(opening: Opening, form: Form) -> str:
    if opening.diameter is not None:
        return f"{form.length(opening.diameter)} across"
    if opening.width is not None and opening.height is not None:
        return f"{form.length(opening.width)} wide by {form.length(opening.height)} high"
    return ""


def _context(fact: Context, form: Form) -> str:
    if fact.topic is Topic.SPACING and isinstance(fact.value, Length):
        return surfaces.spacing(fact, form)
    if fact.topic is Topic.FULL:
        return "the full sheet"
    match fact.value:
        case None:
            return str(fact.edge)
        case Length():
            return form.with_unit(fact.value)
        case tuple():
            between = " by " if fact.topic.value == "sheet" else ", "
            if not fact.value:
                return "none"
            *before, last = fact.value
            return between.join([*(form.length(each) for each in before), form.with_unit(last)])
        case Neighbor():
            return fact.value.value
        case int():
            return form.number(fact.value)
    return form.words(fact.value)


@dataclass(frozen=True, slots=True)
class Told:
    """A value for the eye: "width, top" - "46 7/8" - a note such as "strong, 1/32 added"."""

    label: str
    value: str
    note: str | None = None


def told(call: Call, unit: Unit, circuit: CircuitWord | None = None, *, wired: bool = False) -> Told:
    """A value that stands, and whose word there is of the circuit behind it."""
    assert call.fact is not None
    beside = circuit_note(circuit) if circuit is not None else CIRCUIT_UNKNOWN if wired else None
    return Told(label(call.key, Form(unit)), figures(call.fact, Form(unit)), note(call.fact, unit) or beside)


CIRCUIT_UNKNOWN = "circuit: unknown"


def circuit_note(word: CircuitWord) -> str:
    """Whose word of a circuit stands beside its box."""
    return f"circuit: {word.state.value}, said {word.by} at {clock(word.at)}"


def note(fact: Fact | Incomplete | None, unit: Unit) -> str | None:
    """What the figures hold that wasn't on the tape."""
    if not isinstance(fact, Reading) or fact.qualifier is None:
        return None
    own = lean_unit(fact.value, unit)
    by = f"{LEANS[own].text(own)} {own.value}"
    return f"strong, {by} added" if fact.qualifier is Qualifier.STRONG else f"light, {by} taken off"


def spoken_value(fact: Fact | Incomplete, ear: InWords) -> str:
    """A value for the voice: lengths digit by digit, anything else as language reads it back."""
    match fact:
        case Reading(value=value, qualifier=qualifier):
            by = "a thirty second" if lean_unit(value, ear.unit) is Unit.INCH else "half a millimeter"
            lean = {
                Qualifier.STRONG: f", strong, {by} added",
                Qualifier.LIGHT: f", light, {by} taken off",
                None: "",
            }[qualifier]
            return _spoken_length(value, ear) + lean
        case Box() | Opening():
            return spoken_thing(fact, ear)
        case Incomplete():
            return ", ".join(length_words(each.value, ear.unit) for each in fact.distances)
    return read_back(fact, ear.unit)


def digits(length: Length, ear: InWords) -> str:
    """A length figure by figure, without its unit where that is the board's. What is above nine is no figure: there
    nothing need part the fraction from the inches.
    """
    said = length_parts(length, ear.unit)
    if not (said.whole and said.part):
        other = f" {said.unit}" if said.unit == "millimeters" and ear.unit is Unit.INCH else ""
        return f"{said.whole or said.part}{other}"
    return f"{said.whole}{' ' if (length.inches % 1).numerator > 9 else ' and '}{said.part}"


def _spoken_length(length: Length, ear: InWords) -> str:
    """A length figure by figure. Of inches with a fraction the fraction says the unit."""
    said = length_parts(length, ear.unit)
    return digits(length, ear) if said.whole and said.part else length_words(length, ear.unit)


def beside(first: Length, other: Length, ear: InWords) -> str:
    """A length said right behind another one, without what they have in common: its inches or its fraction."""
    (_, part), (others, rest) = (divmod(each.in_unit(ear.unit), 1) for each in (first, other))
    if ear.unit is Unit.INCH and part == rest != 0 and others:
        return digits(Length.of(others, ear.unit), ear)
    return fraction_words(rest) if share_inches(first, other, ear) else digits(other, ear)


def share_inches(first: Length, other: Length, ear: InWords) -> bool:
    """Whether the fraction alone tells a length right behind another one."""
    (whole, part), (others, rest) = (divmod(each.inches, 1) for each in (first, other))
    return ear.unit is Unit.INCH and whole == others and 0 not in {part, rest} and rest.denominator <= 32


def spoken_thing(thing: WholeThing, ear: InWords) -> str:
    """A box or an opening for the voice, and shorter where it has to be: without rests, then without its kind and what
    else the screen shows as well. Its name and its distances are always there.
    """
    name = named(thing.name, ear) if thing.name else ""
    plugged = ["plugged in"] if isinstance(thing, Box) and thing.plugged_in else []
    kind = str(thing.kind).removesuffix(" gang") if isinstance(thing, Box) or not name else ""
    places = _spoken_places(thing, ear)
    front = " ".join(word for word in (name, kind) if word)
    sized = _spoken_size(thing, ear)
    close = [each.replace(" edge ", " ") for each in places]
    if ear.brief > 4:
        return f"{name or kind} {close[0]}"
    if ear.brief:
        first = (name or kind) if ear.brief > 2 else front
        sized = [] if ear.brief > 3 else sized
        parted = f"{first}," if sized and name else first  # "one one five zero" would be a thousand and more
        return " ".join((parted, *sized, *close, *(plugged if ear.brief <= 2 else ())))
    if isinstance(thing, Box):
        return ", ".join((f"{front} {places[0]}", *places[1:], *plugged))
    return ", ".join((front, *sized, *places))


def _spoken_places(thing: WholeThing, ear: InWords) -> list[str]:
    """How far it is from where, each point where it isn't that of the distance before."""
    each_way = (thing.x, thing.y, *(thing.far or ())) if isinstance(thing, Box) else (*thing.xs, *thing.ys)
    points = (None, *(each.point for each in each_way))
    if ear.brief > 2 and {*points[1:]} == {Point.CENTER}:
        points = (Point.CENTER, *points[1:])
    return [
        away(each, ear) if each.point is before else f"{POINT[each.point]} {away(each, ear)}"
        for before, each in zip(points, each_way, strict=False)
    ]


def _spoken_size(thing: WholeThing, ear: InWords) -> list[str]:
    if isinstance(thing, Box):
        return []
    if thing.diameter is not None:
        return [f"{digits(thing.diameter, ear)} across"]
    sides = [digits(each, ear) for each in (thing.width, thing.height) if each is not None]
    return [" by ".join(sides)] if sides else []


def away(place: Coordinate, ear: InWords) -> str:
    """A distance for the voice with where it is from, as short as crews say it: "one four and one half left"."""
    return f"{plain(place.value, ear) if ear.brief > 3 else digits(place.value, ear)} {way_from(place.start)}"


def way_from(edge: Edge) -> str:
    """Which way a distance from an edge runs, as short as crews say it."""
    return {Edge.TOP: "down", Edge.BOTTOM: "up"}.get(edge, edge.value)


def short_value(reading: Reading, ear: InWords) -> str:
    """A reading's figures for the voice, with its lean in one word."""
    return digits(reading.value, ear) + (f" {reading.qualifier}" if reading.qualifier is not None else "")


def short_label(key: Key, ear: InWords) -> str:
    """A label for the voice, the place alone where it says which way the reading runs."""
    runs = {Of.WIDTH: ("top", "middle", "bottom"), Of.HEIGHT: ("left", "right")}.get(key.of, ())
    return str(key.at) if str(key.at) in runs else label(key, ear)


def plain(length: Length, ear: InWords) -> str:
    """A length as people say it: "forty six seven eighths", not figure by figure."""
    whole, part = divmod(length.in_unit(ear.unit), 1)
    if part and (ear.unit is Unit.MM or part.denominator > 32):
        return spoken_value(Reading(length), ear)
    words = _whole(int(whole), ear) if whole or not part else ""
    if not part:
        return words
    between = " and " if part.numerator == 1 else " "
    return f"{words}{between}{part_words(part)}" if words else fraction_words(part)


def part_words(part: Fraction) -> str:
    """A fraction as short as crews say it: "a half", "seven eighths"."""
    if part.numerator != 1:
        return fraction_words(part)
    return f"{'an' if part.denominator == 8 else 'a'} {fraction_words(part).removeprefix('one ')}"


def _whole(number: int, ear: InWords) -> str:
    """Hundreds in two halves in millimeters, as crews say them: "eleven ninety"."""
    if ear.unit is Unit.MM and 1000 <= number < 10000 and number % 100 >= 10:
        return f"{number_words(number // 100)} {number_words(number % 100)}"
    return number_words(number) if number < 10000 else str(number)


def calls_in(values: Sequence[Value]) -> tuple[Call, ...]:
    """The calls that a notice tells of."""
    return tuple(value for value in values if isinstance(value, Call))


def strings_in(values: Sequence[Value]) -> tuple[str, ...]:
    """The names that a notice tells."""
    return tuple(value for value in values if isinstance(value, str))


def lead(call: Call, ear: InWords) -> Both:
    """The label and the value: "Width, top: 46 7/8"."""
    form = ear.eye
    if call.fact is None:
        return f"“{call.words}”", ear.words(call.words)
    text = f"{title(call, form)}: {figures(call.fact, form)}"
    spoken = spoken_value(call.fact, ear)
    if isinstance(call.fact, Reading):
        name = short_label(call.key, ear) if call.fact.dimension is not None else title(call, ear)
        spoken = f"{name} {spoken}"
    return text[0].upper() + text[1:], spoken
