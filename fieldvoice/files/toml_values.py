"""One table of a TOML file, read key by key; every fault is noted at its table and key, and reading goes on."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Self

from fieldvoice.records.length import ZERO, Length, Unit
from fieldvoice.records.trouble import Fault, FileFault

LARGEST = Length(2400)
"""200 ft: longer than any wall of a house; a slip of the unit is above it."""

TOP = "the file"
"""The table that every other is in."""

LONGEST_TEXT = 80
FINEST = {Unit.INCH: Length("1/64"), Unit.MM: Length.of("0.1", Unit.MM)}
"""Nothing finer is read off a tape; finer numbers are slips."""

_LENGTH = re.compile(r"-?\d{1,6}(?:\.\d{1,6}|/\d{1,3}|\s+\d{1,3}/\d{1,3})?", re.ASCII)

_BEYOND = (
    (Fault.TOO_LARGE, re.compile(r"\d{7,}(?:\.\d+|\s+\d+/\d+)?", re.ASCII)),
    (Fault.TOO_FINE, re.compile(r"\d+\.\d{7,}|(?:\d+\s+)?\d+/\d{4,}", re.ASCII)),
)
"""Numbers that are lengths, and none that is read off a tape."""

_PART = re.compile(r"(\d+)/(\d+)\s*$", re.ASCII)


def _is_part(text: str) -> bool:
    """Whether a fraction that a text ends in, if it does, is less than one: of any other a slip is likelier."""
    part = _PART.search(text)
    return part is None or int(part[1]) < int(part[2])


@dataclass(slots=True)
class TomlTable:
    """A table under its name in the file, the faults noted so far, and which keys were asked for."""

    name: str
    values: dict[str, object]
    unit: Unit
    faults: list[FileFault]
    asked: dict[str, str] = field(default_factory=dict)
    """Each key as it is to be written: a table's with its brackets."""

    @classmethod
    def of(cls, text: str) -> Self | FileFault:
        """The table of a whole text, lengths without their unit in inches; what is wrong where it is no TOML."""
        try:
            values = tomllib.loads(text)
            str(values)  # what can't be written can't be shown in a fault either
        except (tomllib.TOMLDecodeError, RecursionError) as wrong:
            return _no_toml(text, str(wrong))
        except ValueError:  # Python neither reads nor writes whole numbers of thousands of digits
            return FileFault(TOP, None, Fault.TOO_MANY_DIGITS)
        return cls(TOP, values, Unit.INCH, [])

    def fault(self, key: str | None, fault: Fault, given: object = "", allowed: Sequence[str] = ()) -> None:
        """Note one."""
        self.faults.append(FileFault(self.name, key, fault, _shown(given), tuple(allowed)))

    def get(self, key: str, *, required: bool = False) -> object | None:
        """The raw value of a key, None where it isn't there."""
        self.asked.setdefault(key, key)
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
        """One of a few words, a figure with or without quotes; `default` None means that the key must be there."""
        value = self.get(key, required=default is None)
        if value is None:
            return default
        said = str(value) if isinstance(value, int) and not isinstance(value, bool) else value
        if said not in allowed:
            self.fault(key, Fault.NOT_ONE_OF, value, allowed)
            return default
        return str(said)

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
        if isinstance(value, str) and not _is_part(value):
            self.fault(key, Fault.NOT_A_LENGTH, value)
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

    def table(self, key: str, *, required: bool = False) -> Self | None:
        """The one table under a key of single brackets."""
        self.asked[key] = head = f"[{self._heads}{key}]"
        value = self.values.get(key)
        if value is None and required:
            self.missing(key)
        if value is not None and not isinstance(value, dict):
            self.fault(key, Fault.ONE_TABLE, head)
        if not isinstance(value, dict):
            return None
        return type(self)(f"{self._named}{key}", value, self.unit, self.faults)

    def tables(self, key: str) -> tuple[Self, ...]:
        """The tables under a key of double brackets, each under its number."""
        self.asked[key] = head = f"[[{self._heads}{key}]]"
        value = self.values.get(key, [])
        if not isinstance(value, list) or not all(isinstance(one, dict) for one in value):
            self.fault(key, Fault.SEVERAL_TABLES, head)
            return ()
        named = enumerate(value, 1)
        return tuple(type(self)(f"{self._named}{key} {number}", one, self.unit, self.faults) for number, one in named)

    def missing(self, key: str) -> None:
        """Note a table that has to be there, as it is to be written."""
        self.fault(key, Fault.NO_TABLE, self.asked[key])

    @property
    def _named(self) -> str:
        """What comes before the name of a table inside this one."""
        return "" if self.name == TOP else f"{self.name}, "

    @property
    def _heads(self) -> str:
        """What comes before the key of a table inside this one, within its brackets."""
        return "".join(f"{part.rstrip(' 0123456789')}." for part in self._named.split(", ") if part)

    def done(self, otherwise: Mapping[str, Fault] = MappingProxyType({})) -> None:
        """Note every key that nothing asked for: a slip of the pen would otherwise be left out in silence. What those
        of `otherwise` mean is written in another way, which their fault says.
        """
        for key in self.values:
            if key not in self.asked:
                known = [self.asked[one] for one in sorted(self.asked)]
                self.fault(key, otherwise.get(key, Fault.UNKNOWN_KEY), "", known)


def _no_toml(text: str, why: str) -> FileFault:
    """What keeps a text from being TOML. A table that comes again with other brackets is told as one: the reader's own
    words for it say nothing of brackets.
    """
    place = _LINE.search(why)
    lines = text.splitlines()
    line = lines[int(place[1]) - 1] if place is not None and int(place[1]) <= len(lines) else ""
    head = _HEAD.match(line)
    if place is None or head is None:
        return FileFault(TOP, None, Fault.NOT_TOML, why)
    given = f"{_shown(line.strip())} in line {place[1]}"
    return FileFault(TOP, None, Fault.TABLE_AGAIN, given, (_shown(head[1] or head[2]),))


_LINE = re.compile(r"\(at line (\d{1,9}), ")
_HEAD = re.compile(r"\s*(?:\[\s*([\w.-]+)\s*\]|\[\[\s*([\w.-]+)\s*\]\])\s*(?:#|$)", re.ASCII)


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
