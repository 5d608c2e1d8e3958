"""How each meaning is read back: its place first, then its value."""

from __future__ import annotations

from functools import singledispatch

from fieldvoice.language.speaking import (
    KIND,
    START,
    distance_words,
    footer_words,
    incomplete_words,
    kind_words,
    length_words,
    measured_words,
    name_words,
    number_words,
    order_words,
    part_words,
    place_length_words,
    same_height_words,
    same_words,
    spacing_words,
    surface_words,
    thing_words,
    wish_words,
)
from fieldvoice.records.board import EdgesTold
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import (
    Box,
    BoxKind,
    Context,
    Coordinate,
    Danger,
    DeadAndTested,
    Diagonal,
    Distance,
    Edge,
    Incomplete,
    LayoutWish,
    Opening,
    OpeningKind,
    Plumb,
    Reading,
    SurfaceCall,
    Topic,
)
from fieldvoice.records.utterance import (
    HEARD,
    OFFCUT,
    PIECE,
    Action,
    Answer,
    Command,
    Correction,
    Meaning,
    Misplaced,
    OffcutTold,
    Part,
    SameAgain,
    SameHeight,
    SameSurface,
)


def read_back(meaning: Meaning, unit: Unit) -> str:
    """What is spoken back for a meaning: it parses to the same meaning again."""
    return _said(meaning, unit)


@singledispatch
def _said(meaning: object, unit: Unit) -> str:
    raise TypeError(f"{type(meaning).__name__} is no meaning that can be read back in {unit}")


@_said.register
def _(meaning: Reading, unit: Unit) -> str:
    value = measured_words(meaning.value, meaning.qualifier, unit)
    place = place_words(meaning, unit)
    between = " is " if isinstance(meaning.at, Length) else ", "
    return f"{place}{between}{value}" if place else value


def place_words(meaning: Reading, unit: Unit) -> str:
    """The place of a reading, as it is said."""
    if isinstance(meaning.at, Length):
        at = f"at {place_length_words(meaning.at, unit)}"
        return f"{meaning.dimension} {at}" if meaning.dimension else at
    parts = [str(part) for part in (meaning.at, meaning.dimension) if part]
    return " ".join(parts)


@_said.register
def _(meaning: Diagonal, unit: Unit) -> str:
    way = {None: "", True: " rising", False: " falling"}[meaning.rising]
    return f"diagonal{way}, {length_words(meaning.value, unit)}"


@_said.register
def _(meaning: Plumb, unit: Unit) -> str:
    value = length_words(abs(meaning.value), unit)
    narrows = meaning.value.inches > 0
    if meaning.edge in {Edge.LEFT, Edge.RIGHT}:
        wall = f"{meaning.edge} wall"
        return f"{wall} leans {'in' if narrows else 'out'} {value}" if meaning.value else f"{wall} is plumb"
    surface = "ceiling" if meaning.edge is Edge.TOP else "floor"
    drops = narrows == (meaning.edge is Edge.TOP)
    return f"{surface} {'drops' if drops else 'rises'} {value} to the right" if meaning.value else f"{surface} is level"


def _distance(at: Coordinate, unit: Unit) -> str:
    return distance_words(Distance(at.value, at.point, at.start), unit)


@_said.register
def _(meaning: Box, unit: Unit) -> str:
    name = f"{name_words(meaning.name)}, " if meaning.name else ""
    plugged = ", plugged in" if meaning.plugged_in else ""
    kind = kind_words(meaning.kind, meaning.name)
    if meaning.far:
        kind = "" if meaning.kind is BoxKind.CALLED and meaning.name else kind
        sides = [_sides(pair, unit) for pair in zip((meaning.x, meaning.y), meaning.far, strict=True)]
        return f"{name}{kind} from {sides[0]}, from {sides[1]}{plugged}"
    return f"{name}{kind}, {_distance(meaning.x, unit)}, {_distance(meaning.y, unit)}{plugged}"


@_said.register
def _(meaning: Danger, unit: Unit) -> str:  # noqa: ARG001 (every meaning is asked the same way)
    return f"{_which_box(meaning.box)} {'live' if meaning.live else 'unknown'}"


@_said.register
def _(meaning: DeadAndTested, unit: Unit) -> str:  # noqa: ARG001 (every meaning is asked the same way)
    word = "dead and tested" if meaning.tested else "dead"
    if meaning.count is None or meaning.box:
        return f"{_which_box(meaning.box)} {word}"
    return f"both boxes are {word}" if meaning.count > 1 else word


def _which_box(name: str | None) -> str:
    if not name:
        return "all boxes are"
    return f"{thing_words(name)} is"


TWO_FIGURES = Length(10)
"""From here on the whole inches of a size are two figures, of which the first may be a number of the thing."""


@_said.register
def _(meaning: Opening, unit: Unit) -> str:
    if meaning.diameter:
        size = f" {length_words(meaning.diameter, unit)}"
    elif meaning.width and meaning.height:
        size = f" {length_words(meaning.width, unit)} by {length_words(meaning.height, unit)}"
    else:
        size = ""
    kind = KIND.get(meaning.kind, str(meaning.kind))
    if meaning.kind is OpeningKind.LIGHT and meaning.name:
        kind = f"{name_words(meaning.name)}, {kind}"
    elif meaning.diameter is not None and meaning.diameter >= TWO_FIGURES:
        kind, size = f"{size.lstrip()} {kind}", ""  # "pipe one one inches" may be pipe one
    if len(meaning.xs) == len(meaning.ys) == 2:
        return f"{kind}{size} from {_sides(meaning.xs, unit)}, from {_sides(meaning.ys, unit)}"
    x, y = meaning.xs[0], meaning.ys[0]
    if meaning.kind is OpeningKind.NOTCH and not x.value and not y.value:
        return f"notch{size} at the {y.start} {x.start} corner"
    return f"{kind}{size}, {_distance(x, unit)}, {_distance(y, unit)}"


def _sides(pair: tuple[Coordinate, ...], unit: Unit) -> str:
    near, far = pair
    return f"{length_words(near.value, unit)} to {length_words(far.value, unit)} {START[near.start]}"


@_said.register
def _(meaning: Context, unit: Unit) -> str:
    value = meaning.value
    if meaning.topic is Topic.SHEET_LENGTH and isinstance(value, Length):
        whole_feet = (value / 12).inches.denominator == 1
        return footer_words(value) if whole_feet else f"{length_words(value, Unit.MM)} board"
    if meaning.topic is Topic.SHEET_WIDTH and isinstance(value, Length):
        whole_inches = value.inches.denominator == 1
        inches = f"{number_words(int(value.inches))} inch sheet"
        return inches if whole_inches else f"{length_words(value, Unit.MM)} wide sheet"
    if meaning.topic is Topic.SPACING and isinstance(value, Length):
        return _context_length(meaning.topic, spacing_words(value, unit), meaning.edge)
    if isinstance(value, Length):
        return _context_length(meaning.topic, length_words(value, unit) if value else "", meaning.edge)
    if meaning.topic is Topic.SHEET and isinstance(value, tuple):
        return f"sheet {' by '.join(length_words(side, unit) for side in value)}"
    if isinstance(value, tuple):
        # "and" stands between two studs, so that none may stand within one
        centers = " then ".join(place_length_words(center, unit).replace(" and ", " ") for center in value)
        return f"{'studs' if len(value) > 1 else 'stud'} at {centers}"
    return _context_word(meaning.topic, str(value), meaning.edge)


def _context_length(topic: Topic, value: str, edge: Edge | None) -> str:
    if topic is Topic.ABOVE_FLOOR:
        return f"course is {value} up from the floor"
    if topic is Topic.BASE:
        return f"base covers {value}"
    if topic is Topic.SPACING and edge:
        return f"spacing {value} on center from the {edge}"
    if topic is Topic.CLEARANCE and not value:
        return f"no clearance on the {edge}" if edge else "no clearance"
    if topic is Topic.CLEARANCE:
        return f"clearance {edge} {value}" if edge else f"clearance {value}"
    if topic is Topic.SPACING:
        return f"spacing {value} on center"
    return f"{topic} {value}"


_ORDER = {"1": "first", "2": "second", "3": "third"}


def _context_word(topic: Topic, value: str, edge: Edge | None) -> str:
    name = name_words(value)
    said = {
        Topic.ROOM: f"room {name}",
        Topic.SURFACE: f"{value} board",
        Topic.BOARD: f"board number {name}",
        Topic.LIES: f"sheet {value}",
        Topic.KIND: f"{value} board",
        Topic.LAYERS: f"{name} {'layer' if value == '1' else 'layers'}",
        Topic.FRAMING: f"{value} framing",
        Topic.NEIGHBOR: f"{edge} edge is {value}",
        Topic.TAPER: f"cut the {edge}",
        Topic.COURSE: f"{value} course",
        Topic.MARKS_BY: f"mark boxes by {'their sides' if value == 'sides' else value}",
        Topic.LAYER: f"{_ORDER.get(value, value)} layer",
        Topic.ORDER: f"{_ORDER.get(value, value)} board",
        Topic.FULL: "full sheet",
        Topic.BOX_POINT: f"boxes to the {'edge' if value == 'near' else 'far edge' if value == 'far' else value}",
        Topic.OVER: f"over is from the {value}",
        Topic.MIDDLE_WIDTH: "no middle width" if value == "no" else "we do the middle width",
        Topic.MEASURING: order_words(value.split()),
        Topic.FACTORY_EDGE: f"factory edge on the {edge}",
        Topic.BACK_BEVEL: f"back bevel the {edge}",
        Topic.IN_PLACE: "cut it in place",
        Topic.CUT_FROM: _source(value),
        Topic.BOXES: "no boxes" if value == "none" else "no more boxes",
        Topic.UNIT: f"work in {'inches' if value == Unit.INCH else 'millimeters'}",
    }
    return said[topic]


def _source(value: str) -> str:
    """`offcut one a` for "1A"."""
    if value.startswith(_TOLD) and value.removeprefix(_TOLD).isdigit():
        return f"offcut k {name_words(value.removeprefix(_TOLD))}"
    number, letter = value[:-1], value[-1:]
    return f"offcut {name_words(number)} {letter.lower()}" if number.isdigit() else f"from a {value}"


_TOLD = "K"
"""Before the number of an offcut from elsewhere."""


_ORDERS = {
    Action.READ_BACK: "read it all back",
    Action.NEXT: "next step",
    Action.BACK: "go back",
    Action.ACKNOWLEDGE: "acknowledged",
}


_TO_SURFACE = {Action.GO_TO_SURFACE: "go to", Action.TAKE_OUT: "take out"}


@_said.register
def _(meaning: Command, unit: Unit) -> str:
    target = meaning.target or ""
    if meaning.action is Action.GO_TO_BOARD and PIECE in target.split():
        of, _, number = target.rpartition(" ")
        return f"go to {of} {name_words(number)}"
    if meaning.action is Action.GO_TO_BOARD:
        return f"go to board {name_words(target)}"
    if meaning.action is Action.OFFCUT:
        return _offcut_words(OffcutTold.of(target), unit)
    if meaning.action is Action.TAKE_OUT and target.startswith(f"{OFFCUT} "):
        return f"take {_source(target.removeprefix(f'{OFFCUT} '))} off the rack"
    if meaning.action in _TO_SURFACE:
        kind, _, number = target.partition(" ")
        named = f"{kind} {name_words(number)}" if number.isdigit() else target
        return f"{_TO_SURFACE[meaning.action]} the {named}"
    if meaning.action is Action.ACKNOWLEDGE and target == HEARD:
        return "got it"
    if meaning.action is Action.TICK:
        return f"tick step {name_words(target)}"
    if meaning.action is Action.SCRATCH:
        return f"scratch {_target_words(target, unit)}"
    return _ORDERS.get(meaning.action, str(meaning.action))


_EDGES = {
    EdgesTold.UNKNOWN: "",
    EdgesTold.NONE: ", no factory edges",
    EdgesTold.BOTH: ", both factory edges",
    EdgesTold.LONG: ", a factory edge on the long side",
    EdgesTold.SHORT: ", a factory edge on the short side",
}


def _offcut_words(told: OffcutTold, unit: Unit) -> str:
    """Its sides with their unit, since so few inches by so few would be feet."""
    return f"got an offcut {length_words(told.one, unit)} by {length_words(told.other, unit)}{_EDGES[told.edges]}"


def _target_words(target: str, unit: Unit) -> str:
    """`box 2`, `top width` or `width 32`, as it is said."""
    first, _, last = target.partition(" ")
    if first in {"box", *OpeningKind}:
        return thing_words(target) if last else f"the {target}"
    if last[:1].isdigit() or first[:1].isdigit():
        dimension, at = (first, last) if last else ("", first)
        return f"{dimension} at {place_length_words(Length(at), unit)}".strip()
    return target


@_said.register
def _(meaning: Answer, unit: Unit) -> str:  # noqa: ARG001 (every meaning is asked the same way)
    if meaning.of_doing:
        return "I did" if meaning.yes else "I didn't"
    if meaning.agreed:
        return "that's right"
    return "yes" if meaning.yes else "no"


@_said.register
def _(meaning: Correction, unit: Unit) -> str:
    new = meaning.new
    if isinstance(new, Reading):
        place = place_words(new, unit) or "it"
        return f"change {place} to {measured_words(new.value, new.qualifier, unit)}"
    if isinstance(new, Box) and new.name:
        placed = _said(new, unit).partition(", ")[2]
        return f"change {name_words(new.name)} to {placed}"
    if isinstance(new, Incomplete) and new.name:
        parts: list[Distance | BoxKind] = [*new.distances, *([new.kind] if isinstance(new.kind, BoxKind) else [])]
        return f"{name_words(new.name)} should be {part_words(Part(parts[0]), unit)}"  # "seventy to" is "seventy two"
    return f"change it to {_said(new, unit)}"


@_said.register
def _(meaning: SameHeight, unit: Unit) -> str:  # noqa: ARG001 (every meaning is asked the same way)
    return same_height_words(meaning)


@_said.register
def _(meaning: SameSurface, unit: Unit) -> str:  # noqa: ARG001 (every meaning is asked the same way)
    return f"{meaning.name} same as {meaning.like}"


@_said.register
def _(meaning: Misplaced, unit: Unit) -> str:  # noqa: ARG001 (every meaning is asked the same way)
    return f"that's the {meaning.at}" if meaning.was is None else f"that's the {meaning.at}, not the {meaning.was}"


@_said.register
def _(meaning: LayoutWish, unit: Unit) -> str:  # noqa: ARG001 (every meaning is asked the same way)
    return wish_words(meaning)


_said.register(Incomplete, incomplete_words)
_said.register(Part, part_words)
_said.register(SameAgain, same_words)
_said.register(SurfaceCall, surface_words)
