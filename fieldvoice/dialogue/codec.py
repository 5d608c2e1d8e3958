"""How a turn's events are written to the journal and read back, each value of the type that its field says."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Mapping
from dataclasses import MISSING, fields, replace
from datetime import datetime
from enum import Enum
from functools import cache, lru_cache
from types import UnionType
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

from fieldvoice.dialogue.events import Event
from fieldvoice.records.board import Offcut
from fieldvoice.records.ledger import Notice, Tell
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Edge
from fieldvoice.records.trouble import Hinders, Hindrance

TURN = "turn"
"""The journal's name of an entry that holds one turn."""

Plain = Any
"""JSON as Python holds it."""

_EVENTS: dict[str, type[Any]] = {each.__name__: each for each in get_args(Event)}


@cache
def _hints(kind: Any) -> tuple[tuple[str, Any], ...]:
    hints = get_type_hints(kind)
    return tuple((name, hints[name]) for name in getattr(kind, "__dataclass_fields__", ()))


def _held_by(hint: Any, known: dict[str, type[Any]]) -> None:
    """Adds to `known` each record and named value that something of this type can hold, at any depth."""
    for part in get_args(hint):
        _held_by(part, known)
    if isinstance(hint, type) and known.get(hint.__name__) is not hint:
        if dataclasses.is_dataclass(hint) or issubclass(hint, Enum):
            known[hint.__name__] = hint
        for _, inner in _hints(hint):
            _held_by(inner, known)


_RECORDS: dict[str, type[Any]] = {}
"""By its name, all that an event can hold."""
_held_by(Event, _RECORDS)
_FORMER: dict[str, type[Any]] = {"Trouble": Hindrance, "Wrong": Hinders}
"""By the name that a job of before holds it under."""
_NAMES: dict[type, tuple[str, ...]] = {
    each: tuple(field.name for field in fields(each)) for each in _RECORDS.values() if dataclasses.is_dataclass(each)
}
_DEFAULTS: dict[type, dict[str, Any]] = {
    each: {field.name: field.default for field in fields(each) if field.default is not MISSING} for each in _NAMES
}


def body_of(turn: Iterable[Event]) -> dict[str, Plain]:
    """A turn as JSON. A length is `{"Length": "46 7/8"}`, exact and in inches; a record or a named value stands under
    its name; fields that are as by default are left out.
    """
    return {"events": [{type(event).__name__: _fields(event)} for event in turn]}


def turn_of(body: Mapping[str, Plain]) -> tuple[Event, ...]:
    """The events of a turn. `ValueError`, `TypeError`, `KeyError` or `AttributeError` if it is damaged."""
    found = []
    for each in body["events"]:
        ((name, inner),) = each.items()
        kind = _EVENTS[name]
        found.append(_made(kind, inner))
    return tuple(found)


def _fields(record: Any) -> dict[str, Plain]:
    kind = type(record)
    pairs = ((name, getattr(record, name)) for name in _NAMES[kind])
    defaults = _DEFAULTS[kind]
    return {name: _written(value) for name, value in pairs if name not in defaults or defaults[name] != value}


def _written(value: Any) -> Plain:
    match value:
        case Enum():
            return {type(value).__name__: value.value}
        case Length():
            return {"Length": value.text()}
        case tuple():
            return [_written(each) for each in value]
        case frozenset():
            return {"set": sorted(map(_written, value), key=str)}
        case str() | int() | None:
            return value
        case datetime():
            return {"time": value.isoformat()}
    return {type(value).__name__: _fields(value)}


def _read(value: Plain) -> Any:
    if isinstance(value, list):
        return tuple([_read(each) for each in value])
    if not isinstance(value, dict):
        return value
    ((name, inner),) = value.items()
    if name == "Length":
        return _length(inner)
    if name == "set":
        return frozenset(_read(each) for each in inner)
    if name == "time":
        return datetime.fromisoformat(inner)
    kind = _RECORDS.get(name) or _FORMER[name]
    if issubclass(kind, Enum):
        return kind(inner)
    return _made(kind, inner)


def _made(kind: type[Any], body: Mapping[str, Plain]) -> Any:
    """The record of those fields, each of them of the type that the record says."""
    record = kind(**{name: _read(value) for name, value in body.items()})
    check_fields(record)
    return _as_now(record) if kind is Notice else record


def _as_now(notice: Notice) -> Notice:
    """A notice of offcuts as it is told now: a job of before has name, length, width and edges of each in a row."""
    if notice.tell not in {Tell.FROM_OFFCUT, Tell.LEAVES} or any(isinstance(one, Offcut) for one in notice.values):
        return notice
    board = notice.values[: len(notice.values) % 4]
    apart: Any = notice.values[len(board) :]
    rows = zip(apart[::4], apart[1::4], apart[2::4], apart[3::4], strict=True)
    found = (Offcut(name, long, wide, frozenset(map(Edge, str(edges).split()))) for name, long, wide, edges in rows)
    return replace(notice, values=(*board, *found))


@lru_cache(maxsize=4096)
def _length(text: str) -> Length:
    """The same few lengths come again and again in a long job."""
    return Length(text)


def check_fields(record: object) -> None:
    """Passes over a dataclass whose fields hold what their annotations say; `TypeError` names the first that doesn't.
    Records within it are taken to have been checked when they were made.
    """
    kind: Any = type(record)
    for name, hint in _hints(kind):
        if not conforms(getattr(record, name), hint):
            raise TypeError(f"{kind.__name__}.{name} can't be {type(getattr(record, name)).__name__}")


def conforms(value: object, hint: Any) -> bool:
    """Whether a value is of a type as annotations write it: classes, unions, literals, tuples."""
    origin, parts = get_origin(hint), get_args(hint)
    if origin in (Union, UnionType):
        return any(conforms(value, part) for part in parts)
    if origin is Literal:
        return any(value == part and type(value) is type(part) for part in parts)
    if origin is tuple:
        return isinstance(value, tuple) and _tuple_conforms(value, parts)
    if hint is Any or hint is None:
        return hint is Any or value is None
    kind = origin or hint
    return isinstance(value, kind) and (not isinstance(value, bool) or kind is not int)


def _tuple_conforms(value: tuple[object, ...], parts: tuple[Any, ...]) -> bool:
    if len(parts) == 2 and parts[1] is Ellipsis:
        return all(conforms(each, parts[0]) for each in value)
    return len(value) == len(parts) and all(map(conforms, value, parts))
