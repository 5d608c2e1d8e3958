"""What is wrong in a file that a person wrote, at its table and key."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Fault(StrEnum):
    """The ways in which a value can be wrong."""

    NOT_TOML = "not TOML"
    MISSING = "missing"
    UNKNOWN_KEY = "unknown key"
    NOT_TEXT = "not text"
    NOT_A_TABLE = "not a table"
    NOT_A_LIST = "not a list"
    EMPTY = "empty"
    NO_JOISTS = "no joists"
    TOO_LONG = "too long"
    NOT_SHOWN = "not shown"
    DECIMAL = "decimal without quotes"
    NOT_A_LENGTH = "not a length"
    NOT_POUNDS = "not pounds"
    LIMITS = "limits"
    TOO_MANY_DIGITS = "too many digits"
    NOT_POSITIVE = "not positive"
    NEGATIVE = "negative"
    TOO_LARGE = "too large"
    TOO_FINE = "too fine"
    NOT_A_COUNT = "not a count"
    NOT_ONE_OF = "not one of"
    NOT_A_SHEET = "not a sheet"
    SHEET_SIZE = "sheet size"
    NOT_MEMBERS = "not members"
    SPACING = "spacing"
    OUTSIDE = "outside"
    OVERLAP = "overlap"
    SAME_NAME = "same name"
    TWICE = "twice"
    SLOPED_LIES = "sloped lies"
    NOT_NUMBERS = "not numbers"
    TOO_FEW_LINES = "too few lines"
    FITS_NO_SHEET = "fits no sheet"


@dataclass(frozen=True, slots=True)
class FileFault:
    """One problem: the `table` as a person counts it ("wall 2, opening 1"), the `key` where one is to blame, what is
    wrong, the value `given`, and the values that would do (`allowed`).
    """

    table: str
    key: str | None
    fault: Fault
    given: str = ""
    allowed: tuple[str, ...] = ()
