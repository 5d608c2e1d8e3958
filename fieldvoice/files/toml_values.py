"""One table of a TOML file, read key by key; every fault is noted at its table and key, and reading goes on."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Self

from fieldvoice.records.length import ZERO, Length, Unit
from fieldvoice.records.trouble import Fault, FileFault

LARGEST = Length(2400)
"""200 ft: longer than any wall of a house; a slip of the unit is above it."""

LONGEST_TEXT = 80
FINEST = {Unit.INCH: Length("1/64"), Unit.MM: Length.of("0.1", Unit.MM)}
"""Nothing finer is read off a tape; finer numbers are slips."""

_LENGTH = re.compile(r"-?\d{1,6}(?:\.\d{1,6}|/\d{1,3}|\s+\d{1,3}/\d{1,3})?", re.ASCII)

_BEYOND = (
    (Fault.TOO_LARGE, re.compile(r"\d{7,}(?:\.\d+|\s+\d+/\d+)?", re.ASCII)),
    (Fault.TOO_FINE, re.compile(r"\d+\.\d{7,}|(?:\d+\s+)?\d+/\d{4,}", re.ASCII)),
)
"""Numbers that are lengths, and none that is read off a tape."""


@dataclass(slots=True)
class TomlTable:
    """A table under its name in the file, the faults noted so far, and which keys were asked for."""

    name: str
    values: dict[str, object]
    unit: Unit
    faults: list[FileFault]
    asked: set[str] = field(default_factory=set)

    @classmethod
    def of(cls, text: str) -> Self | FileFault:
        """The table of a whole text, lengths without their unit in inches; what is wrong where it is no TOML."""
        try:
            values = tomllib.loads(text)
            str(values)  # what can't be written can't be shown in a fault either
        except (tomllib.TOMLDecodeError, RecursionError) as wrong:
            return FileFault("the file", None, Fault.NOT_TOML, str(wrong))
        except ValueError:  # Python neither reads nor writes whole numbers of thousands of digits
            return FileFault("the file", None, Fault.TOO_MANY_DIGITS)
        return cls("the file", values, Unit.INCH, [])

    def fault(self, key: str | None, fault: Fault, given: object = "", allowed: Sequence[str] = ()) -> None:
        """Note one."""
        self.faults.append(FileFault(self.name, key, fault, _shown(given), tuple(allowed)))

    def get(self, key: str, *, required: bool = False) -> object | None:
        """The raw value of a key, None where it isn't there."""
        self.asked.add(key)
        value = self.values.get(key)
        if value is None and required:
            self.fault(key, Fault.MISSING)
        return value

    def text(self, key: str, *, required: bool = False, longest: int = LONGEST_TEXT) -> str | None:
        """A line of text that can be shown."""
        value = self.get(key, required=required)
        if value is None:
            return None
        if not isinstance(value, str):
            self.fault(key, Fault.NOT_TEXT, value)
            return None
        stripped = value.strip()
        if not stripped:
            self.fault(key, Fault.EMPTY)
            return None
        if len(stripped) > longest:
            self.fault(key, Fault.TOO_LONG, stripped, (str(longest),))
            return None
        if not stripped.isprintable():
            self.fault(key, Fault.NOT_SHOWN, stripped)
            return None
        return stripped

    def choice(self, key: str, allowed: Sequence[str], default: str | None = None) -> str | None:
        """One of a few words; `default` None means that the key must be there."""
        value = self.get(key, required=default is None)
        if value is None:
            return default
        if value not in allowed:
            self.fault(key, Fault.NOT_ONE_OF, value, allowed)
            return default
        return str(value)

    def count(self, key: str, default: int, most: int) -> int:
        """A whole number from 1 to `most`."""
        value = self.get(key)
        if value is None:
            return default
        if isinstance(value, bool) or not isinstance(value, int) or not 1 <= value <= most:
            self.fault(key, Fault.NOT_A_COUNT, value, (str(most),))
            return default
        return value

    def length(self, key: str, *, required: bool = False, zero: bool = False) -> Length | None:
        """A length in the file's unit: text or a whole number, above zero unless `zero` may stand."""
        value = self.get(key, required=required)
        return None if value is None else self.length_of(key, value, zero=zero)

    def length_of(self, key: str, value: object, *, zero: bool = False) -> Length | None:
        """As `length`, of a value that is there."""
        if isinstance(value, float):
            self.fault(key, Fault.DECIMAL, value)
            return None
        if isinstance(value, bool) or not isinstance(value, int | str):
            self.fault(key, Fault.NOT_A_LENGTH, value)
            return None
        if isinstance(value, str) and not _LENGTH.fullmatch(value.strip()):
            beyond = (fault for fault, form in _BEYOND if form.fullmatch(value.strip()))
            self.fault(key, next(beyond, Fault.NOT_A_LENGTH), value)
            return None
        try:
            length = Length.of(value, self.unit)
        except ValueError:
            self.fault(key, Fault.NOT_A_LENGTH, value)
            return None
        fault = _length_fault(length, self.unit, zero=zero)
        if fault is not None:
            self.fault(key, fault, value)
            return None
        return length

    def tables(self, key: str) -> tuple[dict[str, object], ...]:
        """The tables under a key of double brackets."""
        value = self.get(key)
        if value is None:
            return ()
        if not isinstance(value, list) or not all(isinstance(one, dict) for one in value):
            self.fault(key, Fault.NOT_A_TABLE)
            return ()
        return tuple(value)

    def done(self) -> None:
        """Note every key that nothing asked for: a slip of the pen would otherwise be left out in silence."""
        for key in self.values:
            if key not in self.asked:
                self.fault(key, Fault.UNKNOWN_KEY, "", sorted(self.asked))


def _length_fault(length: Length, unit: Unit, *, zero: bool) -> Fault | None:
    if length < ZERO:
        return Fault.NEGATIVE
    if not length and not zero:
        return Fault.NOT_POSITIVE
    if length > LARGEST:
        return Fault.TOO_LARGE
    if (length / FINEST[unit]).denominator != 1:
        return Fault.TOO_FINE
    return None


def _shown(value: object) -> str:
    """A value as its fault shows it: short, and nothing that a terminal would act on."""
    text = value if isinstance(value, str) else str(value)
    clean = "".join(mark if mark.isprintable() else "?" for mark in text)
    return clean if len(clean) <= LONGEST_TEXT else clean[: LONGEST_TEXT - 1] + "…"
