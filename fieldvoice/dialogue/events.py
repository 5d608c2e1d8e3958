"""The closed list of what can be recorded, and how each is written to the journal and read from it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import MISSING, dataclass, fields
from enum import Enum
from functools import lru_cache
from typing import Any, cast

from fieldvoice.dialogue.state import BoxState, Doubt, Value
from fieldvoice.dialogue.view import Say, Standing
from fieldvoice.records import meaning
from fieldvoice.records.conforming import check_fields
from fieldvoice.records.hearing import Source
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Dimension, Edge, Place


@dataclass(frozen=True, slots=True)
class Heard:
    """Something was said or typed: the words taken, by which recognizer, what else they may have been, and the file
    beside the journal that the sound is kept in, if it is.
    """

    words: str
    recognizer: str
    source: Source = Source.SPOKEN
    others: tuple[str, ...] = ()
    sound: str | None = None


@dataclass(frozen=True, slots=True)
class Proposed:
    """Values read back to their speaker, with the doubts that have to be answered first."""

    board: str
    values: tuple[Value, ...]
    doubts: tuple[Doubt, ...] = ()


@dataclass(frozen=True, slots=True)
class Accepted:
    """What was read back to `whose` was not objected to, or was said yes to."""

    whose: str


@dataclass(frozen=True, slots=True)
class Confirmed:
    """The value under `key`, read back to `whose`, was said yes to against a doubt."""

    whose: str
    key: str


@dataclass(frozen=True, slots=True)
class Dropped:
    """What was read back to `whose` was objected to, and is not taken."""

    whose: str


@dataclass(frozen=True, slots=True)
class Struck:
    """Values taken off a board."""

    board: str
    keys: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Undone:
    """The speaker's last change was taken back."""


@dataclass(frozen=True, slots=True)
class Asked:
    """A question about what belongs at one place; the next bare value is its answer."""

    dimension: Dimension | None
    at: Place


@dataclass(frozen=True, slots=True)
class Doubted:
    """Somebody said that a circuit isn't known to be dead, or is live (`live` names the box, or every box if empty).
    Every "dead and tested" on that board is revoked.
    """

    board: str
    boxes: tuple[str, ...]
    state: meaning.Circuit


@dataclass(frozen=True, slots=True)
class BoardOpened:
    """Work went to a board."""

    name: str


@dataclass(frozen=True, slots=True)
class Ticked:
    """A step was done: its text, what it made, and the values that it was made from, as key and figures."""

    board: str
    text: str
    cut: Edge | None
    opening: str | None
    used: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class EntriesLost:
    """The journal had lost these entries when it was opened. One of them may have been a correction or an undo, so
    that an older value stands again: every value is to be said yes to, or called again.
    """

    numbers: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Held:
    """Listening pauses."""


@dataclass(frozen=True, slots=True)
class Resumed:
    """Listening goes on."""


@dataclass(frozen=True, slots=True)
class Answered:
    """What fieldvoice said; `asks` while it waits for an answer, `refused` where it took nothing."""

    says: tuple[Say, ...]
    asks: bool = False
    refused: bool = False


Event = (
    Heard
    | Proposed
    | Accepted
    | Confirmed
    | Dropped
    | Struck
    | Undone
    | Asked
    | Doubted
    | BoardOpened
    | Ticked
    | EntriesLost
    | Held
    | Resumed
    | Answered
)

_EVENTS: dict[str, type[Event]] = {
    "heard": Heard,
    "proposed": Proposed,
    "accepted": Accepted,
    "confirmed": Confirmed,
    "dropped": Dropped,
    "struck": Struck,
    "undone": Undone,
    "asked": Asked,
    "circuit doubted": Doubted,
    "board opened": BoardOpened,
    "ticked": Ticked,
    "entries lost": EntriesLost,
    "held": Held,
    "resumed": Resumed,
    "answered": Answered,
}
_KINDS = {event: kind for kind, event in _EVENTS.items()}

_RECORDS: dict[str, type[Any]] = {
    record.__name__: record
    for record in (
        Value,
        Doubt,
        Say,
        meaning.Reading,
        meaning.Diagonal,
        meaning.Plumb,
        meaning.Coordinate,
        meaning.Box,
        BoxState,
        meaning.Opening,
        meaning.Context,
    )
}
_RECORDS |= {"BoxMark": meaning.Box, "OpeningMark": meaning.Opening}
"""Names of records that jobs of before were written with."""
_ENUMS: dict[str, type[Enum]] = {
    enum.__name__: enum
    for enum in (
        Standing,
        Source,
        Unit,
        meaning.Edge,
        meaning.Dimension,
        meaning.Slot,
        meaning.Qualifier,
        meaning.Point,
        meaning.BoxKind,
        meaning.OpeningKind,
        meaning.Circuit,
        meaning.Neighbour,
        meaning.Topic,
    )
}
_NAMES = {record: tuple(each.name for each in fields(record)) for record in (*_RECORDS.values(), *_KINDS)}

_ASKED = {
    record: frozenset(
        each.name for each in fields(record) if each.default is MISSING and each.default_factory is MISSING
    )
    for record in _NAMES
}
"""The fields that a record can't be made without."""

Plain = Any
"""JSON as Python holds it."""


def kind_of(event: Event) -> str:
    """The journal's name of this kind of event."""
    return _KINDS[type(event)]


def body_of(event: Event) -> dict[str, Plain]:
    """The event as JSON. A length is `{"Length": "46 7/8"}`, exact and in inches; a record or a named value stands
    under its name; fields that are None by default are left out then.
    """
    return _fields(event)


def event_of(kind: str, body: Mapping[str, Plain]) -> Event | None:
    """The event an entry holds; None for a kind that isn't the dialogue's. `ValueError` or `TypeError` if damaged."""
    event = _EVENTS.get(kind)
    return None if event is None else cast("Event", _made(event, body))


def _fields(record: Any) -> dict[str, Plain]:
    pairs = ((name, getattr(record, name)) for name in _NAMES[type(record)])
    return {name: _written(value) for name, value in pairs if value is not None or name in _ASKED[type(record)]}


def _written(value: Any) -> Plain:
    match value:
        case Enum():
            return {type(value).__name__: value.value}
        case Length():
            return {"Length": value.text()}
        case tuple():
            return [_written(each) for each in value]
        case str() | int():
            return value
        case None:
            return None
    return {type(value).__name__: _fields(value)}


def _read(value: Plain) -> Any:
    if isinstance(value, list):
        return tuple([_read(each) for each in value])
    if not isinstance(value, dict):
        return value
    ((name, inner),) = value.items()
    if name == "Length":
        return _length(inner)
    enum = _ENUMS.get(name)
    if enum is not None:
        return enum(inner)
    record = _RECORDS.get(name)
    if record is None:
        raise ValueError(f"{name!r} is no record of the dialogue")
    return _made(record, cast("dict[str, Plain]", inner))


def _made(kind: type[Any], body: Mapping[str, Plain]) -> object:
    """The record of those fields, each of them of the type that the record says."""
    record = kind(**{name: _read(value) for name, value in body.items()})
    check_fields(record)
    return record


@lru_cache(maxsize=4096)
def _length(text: str) -> Length:
    """The same few lengths come again and again in a long job."""
    return Length(text)
