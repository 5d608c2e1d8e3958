"""When a value is asked about before it is taken: each reason with a question of its own."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction

from fieldvoice.dialogue.assembly import board_of
from fieldvoice.dialogue.naming import figures, key_of, label, says
from fieldvoice.dialogue.rooms import Judged, Rooms
from fieldvoice.dialogue.state import Doubt, Fact, Facts, State, Value
from fieldvoice.dialogue.view import Standing
from fieldvoice.dialogue.wording import aloud, spoken_label, spoken_value
from fieldvoice.records.board import Board
from fieldvoice.records.hearing import Source
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Box, Dimension, Meaning, Reading, Topic
from fieldvoice.records.plan import Oddity
from fieldvoice.wording.oddities import ask

FELLOWS = Length(4)
"""How far a reading may be from its fellows before its twin is looked at (our own rule; a wall within 3/8 in per 32 in
differs by 1 1/8 in over 96 in)."""


@dataclass(frozen=True, slots=True)
class Ground:
    """What doubts are judged on: the values on the board, what was cut, and what was just asked about and answered.
    `heights` are those of the same wall's other boards.
    """

    board: str
    values: Mapping[str, Value]
    facts: Facts
    unit: Unit
    source: Source
    judged: Judged
    answered: frozenset[Length] = field(default_factory=frozenset)
    heights: tuple[Length, ...] = ()


def doubts_of(new: tuple[Value, ...], ground: Ground, rooms: Rooms) -> tuple[Doubt, ...]:
    """Every doubt about the new values, in the order to ask. A value confirmed against doubt is asked about no more."""
    found: list[Doubt] = []
    for value in new:
        if value.standing is not Standing.CONFIRMED:
            found.extend(_by_ear(value, new, ground, rooms) or _by_height(value, ground, rooms))
        found.extend(_already_cut(value, ground, rooms))
    asked = {doubt.key for doubt in found}
    readings = {value.key for value in new if isinstance(value.fact, Reading)}
    for doubt in _by_geometry(new, ground, rooms):
        if doubt.key not in asked:
            found.append(doubt)
            asked |= readings & {doubt.key}  # whether a figure is right is asked once; of a box each thing by itself
    return tuple(found)


def _by_height(value: Value, ground: Ground, rooms: Rooms) -> tuple[Doubt, ...]:
    """A height far from every other height of the board, or with none there yet from those of the wall's other boards:
    misheard, or a slope, which its speaker knows.
    """
    if not isinstance(value.fact, Reading) or value.fact.dimension is not Dimension.HEIGHT:
        return ()
    own = _fellows(value.fact, ground)
    fellows = own or ground.heights
    if not fellows or any(abs(fellow - value.fact.value) <= FELLOWS for fellow in fellows):
        return ()
    said, spoken = _named(value, ground.unit, rooms)
    other, other_spoken = fellows[0].text(ground.unit), rooms.digits_back(fellows[0], ground.unit)
    where = "" if own else " on another board of this wall"
    return (
        Doubt(
            value.key,
            f"{said}, beside a height of {other}{where}: is that right?",
            f"{spoken}, beside a height of {other_spoken}{where}: is that right?",
        ),
    )


def other_heights(state: State, board: str) -> tuple[Length, ...]:
    """The heights of the other boards of the same room and surface, the last board's first."""
    here = _wall(state.known(board))
    others = (state.known(name) for name in reversed(tuple(state.boards)) if name != board)
    return tuple(
        value.fact.value
        for values in others
        if _wall(values) == here
        for value in values.values()
        if isinstance(value.fact, Reading) and value.fact.dimension is Dimension.HEIGHT
    )


def _wall(values: Mapping[str, Value]) -> tuple[Fact | None, ...]:
    return tuple(values[topic].fact if topic in values else None for topic in (Topic.ROOM, Topic.SURFACE))


def _by_ear(value: Value, new: tuple[Value, ...], ground: Ground, rooms: Rooms) -> tuple[Doubt, ...]:
    """The recognizer's other meaning; else its own doubt; else the teen or ten that sounds alike."""
    if ground.source is Source.TYPED:
        return ()
    said, spoken = _named(value, ground.unit, rooms)
    rival = _rival_of(value, new, ground.judged)
    twin = twin_of(value.fact.value) if isinstance(value.fact, Reading) else None
    if rival is not None:
        other, other_spoken = figures(rival, ground.unit), spoken_value(rival, ground.unit, rooms)
        return (Doubt(value.key, f"{said}? Or {other}? Say it again.", f"{spoken}? Or {other_spoken}? Say it again."),)
    if ground.judged.unsure or _unmatched(value, ground.judged):
        return (is_that_right(value, ground.unit, rooms),)
    if isinstance(value.fact, Reading) and twin is not None and _twin_fits(value.fact, twin, ground):
        other, other_spoken = twin.text(ground.unit), rooms.digits_back(twin, ground.unit)
        return (Doubt(value.key, f"{said}, not {other}: yes?", f"{spoken}, not {other_spoken}: yes?"),)
    return ()


def is_that_right(value: Value, unit: Unit, rooms: Rooms) -> Doubt:
    """The plain question, where nothing tells what else it may be."""
    said, spoken = _named(value, unit, rooms)
    return Doubt(value.key, f"{said}: is that right?", f"{spoken}: is that right?")


def _rival_of(value: Value, new: tuple[Value, ...], judged: Judged) -> Reading | Box | None:
    """What else the value may have been: the rival's value of that kind that was not called."""
    if not _unmatched(value, judged):
        return None
    others = (meaning for meaning in judged.rival or () if not any(_alike(each.fact, meaning) for each in new))
    return next((each for each in others if isinstance(each, Reading | Box) and type(each) is type(value.fact)), None)


def _unmatched(value: Value, judged: Judged) -> bool:
    """Whether there is a rival meaning and this value isn't in it."""
    return judged.rival is not None and not any(_alike(value.fact, meaning) for meaning in judged.rival)


def _alike(fact: Fact, meaning: Meaning) -> bool:
    """Whether the words of `meaning` may have been these, places and names being settled in `fact` alone."""
    if isinstance(fact, Reading) and isinstance(meaning, Reading):
        return fact.value == meaning.value and meaning.at in {None, fact.at}
    if isinstance(fact, Box) and isinstance(meaning, Box):
        return replace(fact, name=meaning.name) == meaning
    return fact == meaning


def twin_of(value: Length) -> Length | None:
    """The length that sounds alike: a teen for its ten, and a ten for its teen (13 and 30), the fraction kept."""
    whole, part = divmod(value.inches, 1)
    if 13 <= whole <= 19:
        return Length(Fraction((whole - 10) * 10) + part)
    if 30 <= whole <= 90 and whole % 10 == 0:
        return Length(Fraction(10 + whole // 10) + part)
    return None


def _twin_fits(reading: Reading, twin: Length, ground: Ground) -> bool:
    """Whether the twin could be meant as well. Fellow readings near the value and far from its twin rule it out."""
    if reading.value in ground.answered:
        return False
    fellows = _fellows(reading, ground)
    near = [fellow for fellow in fellows if abs(fellow - reading.value) <= FELLOWS]
    return not near or any(abs(fellow - twin) <= FELLOWS for fellow in fellows)


def _fellows(reading: Reading, ground: Ground) -> tuple[Length, ...]:
    """The other readings of the same dimension on the board."""
    return tuple(
        value.fact.value
        for value in ground.values.values()
        if isinstance(value.fact, Reading) and value.fact.dimension is reading.dimension and value.fact.at != reading.at
    )


def _already_cut(value: Value, ground: Ground, rooms: Rooms) -> Iterator[Doubt]:
    """A ticked step used another value here."""
    for tick in ground.facts.ticks:
        used = tick.used.get(value.key)
        if used is not None and not says(value.fact, used):
            said, spoken = _named(value, ground.unit, rooms)
            yield Doubt(
                value.key,
                f"Already cut with {used}: {tick.by} ticked “{tick.text}”. Change to {said} all the same?",
                f"That is already cut. Change to {spoken} all the same?",
            )
            return


def _by_geometry(new: tuple[Value, ...], ground: Ground, rooms: Rooms) -> Iterator[Doubt]:
    """What the cutting room finds odd now and didn't before, unless it was confirmed."""
    before = board_of(ground.board, ground.values, {})
    values = {**ground.values, **{value.key: value for value in new}}
    known = set(_oddities(rooms, before, ground.values)) if ground.values else set()
    for odd in _oddities(rooms, board_of(ground.board, values, {}), values):
        if odd not in known:
            key = _key(odd)
            own = next((value.key for value in new if value.key == key), new[-1].key)
            question = ask(odd, ground.unit)
            yield Doubt(own, question, aloud(question, ground.unit, rooms))


def _oddities(rooms: Rooms, board: Board, values: Mapping[str, Value]) -> tuple[Oddity, ...]:
    found = rooms.oddities(board)
    return tuple(odd for odd in found if not _confirmed(values.get(_key(odd))))


def _confirmed(value: Value | None) -> bool:
    return value is not None and value.standing is Standing.CONFIRMED


def _key(odd: Oddity) -> str:
    if odd.box is not None:
        return odd.box
    return key_of(Reading(Length(0), odd.dimension, odd.at))


def _named(value: Value, unit: Unit, rooms: Rooms) -> tuple[str, str]:
    said = f"{label(value.key, unit)}: {figures(value.fact, unit)}"
    return said[0].upper() + said[
        1:
    ], f"{spoken_label(value.key, unit, rooms)}: {spoken_value(value.fact, unit, rooms)}"
