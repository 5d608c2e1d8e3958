"""Whether a value that came from outside is of the type that a record's field says."""

from __future__ import annotations

from functools import cache
from types import UnionType
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints


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


@cache
def _hints(kind: Any) -> tuple[tuple[str, Any], ...]:
    hints = get_type_hints(kind)
    return tuple((name, hints[name]) for name in getattr(kind, "__dataclass_fields__", ()))
