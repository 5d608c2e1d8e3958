"""The names of boxes and openings."""

from __future__ import annotations

from collections.abc import Iterable


def box_name(name: str) -> str:
    """The full name of a box: "box 2" for "2"."""
    return f"box {name}" if name.isdigit() else name


def free_name(stem: str, taken: Iterable[str]) -> str:
    """The first of "box 1", "box 2", ... that isn't taken."""
    used = set(taken)
    number = 1
    while f"{stem} {number}" in used:
        number += 1
    return f"{stem} {number}"
