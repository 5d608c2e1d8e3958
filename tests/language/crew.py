"""Calls as crews make them, in the notation of `crew_phrases.tsv`: its rows, and any utterance written in it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from fieldvoice.language.rules import rows as table_rows
from fieldvoice.records.hearing import Source
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
    Wish,
)
from fieldvoice.records.utterance import (
    Action,
    Answer,
    Command,
    Correction,
    Meaning,
    Misplaced,
    Part,
    SameAgain,
    SameHeight,
    SameSurface,
    Status,
    ThingName,
    Utterance,
)

ASKS = "asks"
GUESS = "guess "
FOLDER = Path(__file__).parent
KINDS: dict[BoxKind | OpeningKind, str] = {
    BoxKind.SINGLE: "single",
    BoxKind.DOUBLE: "double",
    BoxKind.TRIPLE: "triple",
    BoxKind.FOUR: "four-gang",
    BoxKind.SQUARE: "four-square",
    OpeningKind.LIGHT: "can",
    BoxKind.HANDY: "handy",
    BoxKind.OLD_WORK: "old-work",
    BoxKind.MUD_RING: "mud-ring",
}
COMMANDS = {
    Action.SAY_AGAIN: "say-again",
    Action.MISSING: "missing",
    Action.FASTENING: "fastening",
    Action.WEIGHT: "weight",
    Action.READ_BACK: "review",
    Action.NEXT_BOARD: "next-board",
    Action.HOLD: "pause",
    Action.PROMPT: "prompt on",
    Action.UNPROMPT: "prompt off",
}


@dataclass(frozen=True, slots=True)
class Row:
    """A phrase with its only right meaning, as sorted acts, or `ASKS`, or a guess to confirm."""

    phrase: str
    meaning: tuple[str, ...]
    unit: Unit

    def __str__(self) -> str:
        return self.phrase

    @property
    def ways(self) -> tuple[Source, ...]:
        """Typed alone where the phrase holds a figure, a sign, shorthand or a slip; else spoken, too."""
        typed = table_rows("typed.tsv")
        written = any(sign.isdigit() or sign in '="/&' for sign in self.phrase)
        short = any(typed.get(word.strip(","), ("", ""))[1] == "shorthand" for word in self.phrase.lower().split())
        only = self.meaning[0].startswith(GUESS) or written or short
        return (Source.TYPED,) if only else (Source.TYPED, Source.SPOKEN)


def rows(table: str = "crew_phrases.tsv") -> list[Row]:
    """The phrases of a table."""
    lines = (FOLDER / table).read_text(encoding="utf-8").splitlines()
    found = []
    for line in lines:
        if not line.startswith("#"):
            phrase, meaning, *unit = line.split("\t")
            found.append(Row(phrase, acts(meaning), Unit.MM if unit else Unit.INCH))
    return found


EQUAL = (
    ("kind=vent", "kind=duct"),  # a vent is cut like a duct
    ("type x", "type x"),
    ("danger all", "danger ?"),  # none named counts for all
    ("full-width", "full-sheet"),
)
"""Two ways to write one thing."""


def acts(meaning: str) -> tuple[str, ...]:
    """Acts in a fixed order, each in one writing: what was said in one breath counts as one."""
    for written, meant in EQUAL:
        meaning = meaning.replace(written, meant)
    found = set()
    for act in (each.strip() for each in meaning.split(";")):
        first, _, rest = act.partition(" ")
        if first == "same" or (first == "guess" and rest.startswith("same")):
            found |= {f"same {slot}" for slot in rest.split()}
        elif first == "change":
            found |= {"objects", rest}
        elif first == "slope" and " left " in act and not act.endswith("?"):
            ways = {"down": "up", "up": "down"}
            _, edge, _, way, value = act.split()
            found.add(f"slope {edge} right {ways[way]} {value}")
        else:
            found.add(act)
    return tuple(sorted(found))


def length(value: Length, unit: Unit) -> str:
    """A length as `46+7/8`; decimals as mixed numbers."""
    whole, part = divmod(value.in_unit(unit), 1)
    return f"{whole}+{part}" if part and whole else str(part or whole)


def reading(one: Reading, unit: Unit) -> str:
    """A reading."""
    if one.at is None and one.dimension is None:
        return f"bare {length(one.value, unit)}"
    at = one.at or "?"
    return (
        f"{one.dimension or 'any'} {at if not isinstance(at, Length) else length(at, unit)} {length(one.value, unit)}"
    )


def spot(at: Coordinate | Distance, unit: Unit) -> str:
    """A distance of a box, across or down."""
    letter = "y" if at.start in {Edge.TOP, Edge.BOTTOM} else "x"
    return f"{letter}={at.point or '?'}:{at.start or '?'}:{length(at.value, unit)}"


def hole(one: Box | Opening | Incomplete, unit: Unit) -> str:
    """A box or an opening, as far as it was called; a pipe, a duct or a hole is written as a box of that kind."""
    match one:
        case Box(x=x, y=y):
            spots: tuple[Coordinate | Distance, ...] = (x, y)
        case Opening(xs=xs, ys=ys):
            spots = xs + ys
        case Incomplete(distances=distances):
            spots = distances
    kind = one.kind
    framed = kind in {OpeningKind.WINDOW, OpeningKind.DOOR, OpeningKind.OPENING, OpeningKind.NOTCH}
    name = KINDS.get(kind, str(kind)) if kind else "?"
    parts = [name] if framed else ["box", f"name={number(one.name)}" if one.name else "", f"kind={name}"]
    diameter = None if isinstance(one, Box) else one.diameter
    parts += [f"d={length(diameter, unit)}"] if diameter else []
    parts += ["d=?"] if kind is OpeningKind.PIPE and not diameter else []
    places = sorted(spot(at, unit) for at in spots)
    size = []
    if not isinstance(one, Box) and one.width and one.height:
        size = [f"size={length(one.width, unit)}x{length(one.height, unit)}"]
    parts += places + size if framed else size + places
    return " ".join(part for part in parts if part)


def number(name: str) -> str:
    """A name as the tables have it: that of a box is its number."""
    return name.removeprefix("box ")


def context(one: Context, unit: Unit) -> str:
    """A piece of context."""
    value = one.value
    text = length(value, unit) if isinstance(value, Length) else str(value)
    if isinstance(value, tuple):
        text = "x".join(length(each, unit) for each in value)
    edge = one.edge
    forms = {
        Topic.NEIGHBOR: f"edge {edge}={'outside' if text == 'outside corner' else text}",
        Topic.SHEET: f"sheet {text}",
        Topic.SHEET_WIDTH: f"sheet-width {text}",
        Topic.SHEET_LENGTH: f"sheet-length {text}",
        Topic.FULL: "full-sheet",
        Topic.THICKNESS: f"thick {text}",
        Topic.SURFACE: f"place {text}",
        Topic.TAPER: f"cut {edge}",
        Topic.FACTORY_EDGE: f"tapered {edge}",
        Topic.BACK_BEVEL: f"bevel {edge}",
        Topic.IN_PLACE: "way in-place",
        Topic.ORDER: f"board {text}",
        Topic.ABOVE_FLOOR: f"course-height {text}",
        Topic.RIP: f"bare-rip {text}",
        Topic.BOXES: "no-boxes" if text == "none" else "no-more-boxes",
        Topic.KIND: f"type {'moisture' if text.startswith('moisture') else 'x' if text == 'type x' else text}",
        Topic.FLOOR_TO_CEILING: f"floor-to-ceiling {text}",
        Topic.SPACING: f"studs {text} {edge or '?'}",
        Topic.STUDS: f"stud {text}",
        Topic.CLEARANCE: f"gap {text}" if edge is Edge.BOTTOM else f"clearance {text}",
        Topic.BOARD: f"board {text}",
        Topic.BOX_POINT: f"habit boxes {text}",
        Topic.OVER: f"habit over {text}",
        Topic.MIDDLE_WIDTH: f"habit middle {text}",
        Topic.MEASURING: f"habit order {text}",
    }
    return forms.get(one.topic, f"{one.topic} {text}")


def plumb(one: Plumb, unit: Unit) -> str:
    """How far out of plumb or level."""
    value = length(abs(one.value), unit)
    narrows = one.value.inches > 0
    if one.edge in {"left", "right"}:
        return f"lean {one.edge} {'in' if narrows or not one.value else 'out'} {value}"
    down = narrows == (one.edge == "top")
    return f"slope {one.edge} right {'down' if down else 'up'} {value}" if one.value else f"slope {one.edge} ? down 0"


def part(one: Part, unit: Unit) -> str:
    """A bare piece."""
    value = one.value
    if isinstance(value, Length):
        return f"part {length(value, unit)}"
    if isinstance(value, Distance):
        return f"part {spot(value, unit)}"
    if isinstance(value, ThingName):
        return f"part {value.name}"
    named = {"first": "1st", "second": "2nd"}
    said = KINDS.get(value, str(value)) if isinstance(value, BoxKind) else str(value)
    return f"part {named.get(said, said)}"


def wish(one: LayoutWish, unit: Unit) -> str:
    """What is wanted of a layout."""
    if one.wish is Wish.LENGTH and one.length:
        return f"wish lengths {length(one.length, unit)}"
    return f"wish {one.wish} {one.edge or ''}".strip()


def surface(one: SurfaceCall, unit: Unit) -> str:
    """A wall or a ceiling."""
    sides = f"{length(one.width, unit)}x{length(one.height, unit)}"
    return f"wall name={one.name} {sides}" if one.surface == "wall" else f"ceiling-surface {sides}"


def command(one: Command) -> str:
    """An order."""
    if one.action is Action.OFFCUT:
        return f"offcut {one.target}"
    if one.action is not Action.SCRATCH:
        return COMMANDS.get(one.action, str(one.action))
    first, _, last = str(one.target).partition(" ")
    return f"forget {one.target}" if first == "box" else " ".join(each for each in ("forget", last, first) if each)


def spoken_of(one: DeadAndTested) -> str:
    """A word of a dead circuit."""
    which = number(one.box or "") or ("?" if one.count == 1 or not one.tested else "all")
    return f"{'dead-tested' if one.tested else 'dead'} {which}"


def shown(meaning: Meaning, unit: Unit) -> list[str]:
    """The acts of one meaning."""
    match meaning:
        case Correction(new):
            return ["objects", *shown(new, unit)]
        case Answer(yes):
            return ["yes" if yes else "objects"]
        case Box() | Opening() | Incomplete():
            return [hole(meaning, unit)]
        case Diagonal(value):
            return [f"diagonal {length(value, unit)}"]
        case Danger(box):
            return [f"danger {number(box or '?')}"]
        case SameAgain() | SameHeight() | SameSurface() | Misplaced():
            return [_alike(meaning)]
    return [_simple(meaning, unit)]


def _alike(meaning: SameAgain | SameHeight | SameSurface | Misplaced) -> str:
    match meaning:
        case SameAgain(at=at):
            return f"same {at}"
        case SameHeight(box, like):
            return f"box-same-height {number(box or '?')} {number(like)}"
        case SameSurface(name, like):
            return f"wall name={name} same={like}"
        case Misplaced(at=at):
            return f"moved {at}"


def _simple(meaning: Meaning, unit: Unit) -> str:
    match meaning:
        case Reading():
            return reading(meaning, unit)
        case Context():
            return context(meaning, unit)
        case Plumb():
            return plumb(meaning, unit)
        case Part():
            return part(meaning, unit)
        case LayoutWish():
            return wish(meaning, unit)
        case SurfaceCall():
            return surface(meaning, unit)
        case Command():
            return command(meaning)
        case DeadAndTested():
            return spoken_of(meaning)
    return str(meaning)


def result(utterance: Utterance, unit: Unit) -> tuple[str, ...]:
    """What came of an utterance, in the table's notation: its meaning, or that it was asked about or refused."""
    if utterance.status is Status.REFUSED and not utterance.danger:
        return ("refused",) if not utterance.objects else ("objects", "refused")
    if utterance.status is Status.UNCLEAR:
        if len(utterance.alternatives) == 1:
            return acts(
                "; ".join(f"guess {act}" for meaning in utterance.alternatives[0] for act in shown(meaning, unit))
            )
        if not utterance.danger:
            return (ASKS,)
    found = {act for meaning in utterance.meanings for act in shown(meaning, unit)}
    found |= {f"danger {number(danger.box or '?')}" for danger in utterance.danger}
    return tuple(sorted(found | ({"objects"} if utterance.objects else set())))


def verdict(row: Row, got: tuple[str, ...]) -> str:
    """right, asked, refused or wrong."""
    if row.meaning == (ASKS,):
        return "right" if set(got) <= {ASKS, "refused", "objects"} else "wrong"
    danger = any(act.startswith("danger") for act in row.meaning)
    if got == row.meaning or (danger and tuple(act for act in got if act != "objects") == row.meaning):
        return "right"
    return "asked" if ASKS in got else "refused" if "refused" in got else "wrong"


__all__ = ["ASKS", "FOLDER", "Row", "acts", "result", "rows", "verdict"]
