"""A value from outside is of the type that its field says, or it is refused."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import pytest

from fieldvoice.dialogue.codec import check_fields, conforms
from fieldvoice.records.length import Length, Unit


@pytest.mark.parametrize(
    ("value", "hint"),
    [
        ("46", str),
        (None, str | None),
        (7, int | str),
        (("a", "b"), tuple[str, ...]),
        ((), tuple[str, ...]),
        (("a", 1), tuple[str, int]),
        ((("a", Unit.MM),), tuple[tuple[str, Unit], ...]),
        ("top", Literal["top", "bottom"]),
        (Length("46 7/8"), Length | str | None),
    ],
)
def test_what_fits(value: object, hint: object) -> None:
    """Classes, unions, tuples of any and of a fixed length."""
    assert conforms(value, hint)


@pytest.mark.parametrize(
    ("value", "hint"),
    [
        (46, str),
        (None, str),
        (True, int),
        (1.0, int),
        (["a"], tuple[str, ...]),
        (("a", 1), tuple[str, ...]),
        (("a",), tuple[str, int]),
        ("furlong", Unit),
        ("46 7/8", Length),
        ("left", Literal["top", "bottom"]),
        (1, Literal[True]),
    ],
)
def test_what_does_not(value: object, hint: object) -> None:
    """A unit by a name that isn't one, a length that is text, a yes that is a number."""
    assert not conforms(value, hint)


@dataclass(frozen=True)
class _Called:
    where: str
    value: Length | None = None


def test_the_field_is_named() -> None:
    """So that a refusal can say what it is about."""
    check_fields(_Called("top"))
    check_fields(_Called("top", Length("46")))
    with pytest.raises(TypeError, match=r"_Called\.value can't be str"):
        check_fields(_Called("top", "46"))  # type: ignore[arg-type]
