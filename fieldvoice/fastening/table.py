"""The fastening table: its rows, each a figure, where it holds and who says so; the one that is shipped, and a hanger's
own for the local code, in the same form; and which of them is in force on this machine.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, fields
from enum import StrEnum
from fractions import Fraction
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any, Generic, TypeAlias, TypeVar

from fieldvoice.files.toml_values import TomlTable as Section
from fieldvoice.records.board import KINDS
from fieldvoice.records.fastening import Authority, Citation, Confidence, Direction, Fastener, Grip, Location, Situation
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.room import Material
from fieldvoice.records.trouble import Fault, FileFault

T = TypeVar("T")

NOMINAL: tuple[Length, ...] = tuple(Length(inches) for inches in ("1/4", "5/16", "3/8", "1/2", "5/8"))
"""The thicknesses that rules are written for."""

TOLERANCE = Length.of(Fraction(1, 2), Unit.MM)
"""How far a board may be off its thickness: 0.5 mm by EN 520 as a maker's sheet cites it, 1/64 in by ASTM C1396 (from
memory). So 12.5 mm goes by the rules for 1/2 in, and 15 mm, which is thinner than 5/8 in, does too."""


def thinner(thickness: Length) -> Length | None:
    """The thickness that a board is at least, by the rules' own steps: what it may be trusted with."""
    return max((one for one in NOMINAL if one <= thickness + TOLERANCE), default=None)


def thicker(thickness: Length) -> Length | None:
    """The thickness that a board is at most: what it may weigh."""
    return min((one for one in NOMINAL if thickness <= one + TOLERANCE), default=None)


@dataclass(frozen=True, slots=True)
class Conditions:
    """The conditions of a row; None asks nothing. `layers` counts the layers as far as the one fastened."""

    location: Location | None = None
    thickness: Length | None = None
    kind: str | None = None
    layers: int | None = None
    framing: str | None = None
    direction: Direction | None = None
    spacing_up_to: Length | None = None
    spacing_over: Length | None = None
    fastener: Fastener | None = None
    grip: Grip | None = None
    adhesive: bool | None = None
    double_nailing: bool | None = None

    def conditions(self) -> int:
        """How many conditions there are: of two rows that hold the one with more is meant for the case."""
        return sum(getattr(self, field.name) is not None for field in fields(self))

    def holds(self, case: Situation, nominal: Length | None) -> bool:
        """Whether every condition holds; `nominal` is the rules' thickness that the board goes by."""
        return (
            self._placed(case)
            and self._thick(case, nominal)
            and self._spaced(case)
            and self.fastener in {None, case.fastener}
            and self.grip in {None, case.grip}
            and self.adhesive in {None, case.adhesive}
            and self.double_nailing in {None, case.double_nailing}
        )

    def _placed(self, case: Situation) -> bool:
        return self.location in {None, case.location, case.location.kind_of} and self.framing in {None, case.framing}

    def _thick(self, case: Situation, nominal: Length | None) -> bool:
        close = self.thickness is None or abs(self.thickness - case.thickness) <= TOLERANCE
        return (
            (close or self.thickness == nominal)
            and self.kind in {None, case.kind}
            and self.layers in {None, case.layers}
        )

    def _spaced(self, case: Situation) -> bool:
        return (
            (self.spacing_up_to is None or case.spacing <= self.spacing_up_to)
            and (self.spacing_over is None or case.spacing > self.spacing_over)
            and self.direction in {None, case.direction}
        )


@dataclass(frozen=True, slots=True)
class TableRow(Generic[T]):
    """One figure of the table."""

    where: Conditions
    value: T
    authority: Authority
    source: Citation


@dataclass(frozen=True, slots=True)
class Preference:
    """What a crew fastens with where nobody says otherwise."""

    fastener: Fastener = Fastener.SCREW
    grip: Grip | None = None
    adhesive: bool = False
    double_nailing: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    """All rows by what they say: lengths in inches, weights in pounds a square foot."""

    edge: tuple[TableRow[Length], ...] = ()
    field: tuple[TableRow[Length], ...] = ()
    penetration: tuple[TableRow[Length], ...] = ()
    length: tuple[TableRow[Length], ...] = ()
    stock: tuple[TableRow[tuple[Length, ...]], ...] = ()
    grip: tuple[TableRow[Grip], ...] = ()
    edge_distance: tuple[TableRow[Length], ...] = ()
    edge_distance_most: tuple[TableRow[Length], ...] = ()
    pair: tuple[TableRow[Length], ...] = ()
    pair_most: tuple[TableRow[Length], ...] = ()
    framing: tuple[TableRow[Length], ...] = ()
    fire: tuple[TableRow[Length], ...] = ()
    fire_kind: tuple[TableRow[str], ...] = ()
    weight: tuple[TableRow[Fraction], ...] = ()
    bend_lengthwise: tuple[TableRow[Length], ...] = ()
    bend_widthwise: tuple[TableRow[Length], ...] = ()
    choice: Preference = Preference()

    def over(self, other: Table) -> Table:
        """The rows of this table before those of another, and the choice of this one."""
        rows = {
            field.name: getattr(self, field.name) + getattr(other, field.name)
            for field in fields(self)
            if field.name != "choice"
        }
        return Table(**rows, choice=self.choice)


def best(rows: tuple[TableRow[T], ...], case: Situation, nominal: Length | None) -> dict[Authority, list[TableRow[T]]]:
    """The rows of each authority that are meant for the case: those that hold with the most conditions. What is asked
    of a garage by name comes before what is asked of walls and ceilings anywhere.
    """
    found: dict[Authority, list[TableRow[T]]] = {}
    for authority in Authority:
        hold = [row for row in rows if row.authority is authority and row.where.holds(case, nominal)]
        if case.location is not case.location.kind_of and any(row.where.location is case.location for row in hold):
            hold = [row for row in hold if row.where.location is not case.location.kind_of]
        most = max((row.where.conditions() for row in hold), default=0)
        chosen = [row for row in hold if row.where.conditions() == most]
        if chosen:
            found[authority] = chosen
    return found


E = TypeVar("E", bound=StrEnum)
Read: TypeAlias = Callable[[Section, str], object]
"""Reads one key of a row; None where it isn't there or was faulted."""

LONGEST_SOURCE = 200


def _one_of(kind: type[E]) -> Callable[[Section, str], E | None]:
    def read(row: Section, key: str) -> E | None:
        said = row.choice(key, list(kind), "")
        return kind(said) if said else None

    return read


def _truth(row: Section, key: str) -> bool | None:
    value = row.get(key)
    if value is None or isinstance(value, bool):
        return value
    row.fault(key, Fault.NOT_ONE_OF, value, ("true", "false"))
    return None


def _layers(row: Section, key: str) -> int | None:
    return row.count(key, 0, 4) or None


def _pounds(row: Section, key: str) -> Fraction | None:
    """Pounds a square foot, whatever the lengths' unit."""
    value = row.get(key)
    if value is None:
        return None
    if isinstance(value, float):
        row.fault(key, Fault.DECIMAL, value)
        return None
    whole = isinstance(value, int) and not isinstance(value, bool)
    written = str(value) if whole or isinstance(value, str) else ""
    pounds = Fraction(written) if _POUNDS.fullmatch(written.strip()) else Fraction(0)
    if not 0 < pounds <= HEAVIEST:
        row.fault(key, Fault.NOT_POUNDS, value)
        return None
    return pounds


_POUNDS = re.compile(r"\d{1,3}(?:\.\d{1,6}|/\d{1,3})?(?<!/0)", re.ASCII)
HEAVIEST = 25
"""No board weighs as much a square foot: a slip of the point is above it."""


def _lengths(row: Section, key: str) -> tuple[Length, ...] | None:
    value = row.get(key)
    if value is None:
        return None
    if not isinstance(value, list):
        row.fault(key, Fault.NOT_A_LIST, value)
        return None
    if not value:
        row.fault(key, Fault.EMPTY)
    read = [row.length_of(key, one) for one in value[:MOST_LENGTHS]]
    return tuple(sorted(length for length in read if length is not None)) or None


MOST_LENGTHS = 100
"""No dealer has as many."""


def _length(row: Section, key: str) -> Length | None:
    return row.length(key)


def _from(least: str, most: str) -> Read:
    """A length between two, in inches: what is outside is a slip of the point or of the unit."""
    low, high = Length(least), Length(most)

    def read(row: Section, key: str) -> Length | None:
        found = row.length(key)
        if found is None or low <= found <= high:
            return found
        row.fault(key, Fault.LIMITS, found.text(row.unit), (low.text(row.unit), high.text(row.unit)))
        return None

    return read


def _word_of(words: Sequence[str]) -> Read:
    """One of a few words: a condition of any other would never be met, and its row left out in silence."""
    return lambda row, key: row.choice(key, words, "") or None


def _text(row: Section, key: str) -> str | None:
    return row.text(key)


_CONDITIONS: dict[str, Read] = {
    "location": _one_of(Location),
    "thickness": _length,
    "kind": _word_of(KINDS),
    "layers": _layers,
    "framing": _word_of(tuple(Material)),
    "direction": _one_of(Direction),
    "spacing_up_to": _length,
    "spacing_over": _length,
    "fastener": _one_of(Fastener),
    "grip": _one_of(Grip),
    "adhesive": _truth,
    "double_nailing": _truth,
}

_FIGURES: dict[str, dict[str, tuple[str, Read]]] = {
    "spacing": {"edge": ("edge", _from("1", "48")), "field": ("field", _from("1", "48"))},
    "penetration": {"at_least": ("penetration", _from("1/8", "4"))},
    "length": {"at_least": ("length", _from("1/2", "8"))},
    "stock": {"lengths": ("stock", _lengths)},
    "grip": {"use": ("grip", _one_of(Grip))},
    "edge_distance": {
        "at_least": ("edge_distance", _from("1/8", "3")),
        "at_most": ("edge_distance_most", _from("1/8", "6")),
    },
    "pair": {"at_least": ("pair", _from("1", "4")), "at_most": ("pair_most", _from("1", "6"))},
    "framing": {"at_most": ("framing", _from("4", "48"))},
    "fire": {"at_least": ("fire", _from("1/4", "4")), "use": ("fire_kind", _word_of(KINDS))},
    "weight": {"pounds": ("weight", _pounds)},
    "bend": {"lengthwise": ("bend_lengthwise", _length), "widthwise": ("bend_widthwise", _length)},
}
"""Each table's own figures: the key, the field of `Table` that it fills, and how it is read."""


@cache
def built_in() -> Table:
    """The table that is shipped, each row with its source."""
    read = _read(files("fieldvoice.fastening").joinpath("table.toml").read_text("utf-8"), own=False)
    assert isinstance(read, Table), read
    return read


def read_own(text: str) -> Table | tuple[FileFault, ...]:
    """A hanger's own table over the shipped one, or every fault in it: where a row of its own holds, its figure is in
    force.
    """
    read = _read(text, own=True)
    return read.over(built_in()) if isinstance(read, Table) else read


def _read(text: str, *, own: bool) -> Table | tuple[FileFault, ...]:
    top = Section.of(text)
    if isinstance(top, FileFault):
        return (top,)
    top.unit = _one_of(Unit)(top, "unit") or Unit.INCH
    choice = _choice(top)
    reader = _Rows(own)
    for name in _FIGURES:
        for row in top.tables(name):
            reader.read(name, row)
    top.done()
    if top.faults:
        return tuple(top.faults)
    return Table(**{name: tuple(rows) for name, rows in reader.rows.items()}, choice=choice)


def _choice(top: Section) -> Preference:
    """What the crew fastens with, under `[use]`."""
    use = top.table("use")
    if use is None:
        return Preference()
    choice = Preference(
        _one_of(Fastener)(use, "fastener") or Fastener.SCREW,
        _one_of(Grip)(use, "grip"),
        _truth(use, "adhesive") or False,
        _truth(use, "double_nailing") or False,
    )
    use.done()
    return choice


@dataclass(slots=True)
class _Rows:
    """The rows read so far, by the field of `Table` that they go to. In an own table the hanger is the authority."""

    own: bool
    rows: dict[str, list[TableRow[Any]]] = field(default_factory=dict)

    def read(self, table: str, row: Section) -> None:
        """One row, with every fault in it."""
        where = Conditions(**_found(row, _CONDITIONS.items()))
        figures = _found(row, ((key, read) for key, (_, read) in _FIGURES[table].items()))
        source = row.text("source", required=True, longest=LONGEST_SOURCE)
        authority: Authority | None = Authority.OWN
        confidence: Confidence | None = Confidence.OWN
        if not self.own:
            authority, confidence = _one_of(Authority)(row, "authority"), _one_of(Confidence)(row, "confidence")
        if not _FIGURES[table].keys() & row.values.keys():
            row.fault(" or ".join(_FIGURES[table]), Fault.MISSING)
        row.done()
        if authority is None or confidence is None:
            return
        for key, value in figures.items():
            name = _FIGURES[table][key][0]
            self.rows.setdefault(name, []).append(TableRow(where, value, authority, Citation(source or "", confidence)))


def _found(row: Section, reads: Iterable[tuple[str, Read]]) -> dict[str, Any]:
    """The values of the keys that are there."""
    values = {key: read(row, key) for key, read in reads}
    return {key: value for key, value in values.items() if value is not None}


LARGEST = 1024 * 1024


def own_file() -> Path:
    """Where a hanger's own table lies, whether it is there or not."""
    from platformdirs import user_config_path

    return user_config_path("fieldvoice", appauthor=False) / "fastening.toml"


def read_file(file: Path) -> Table | tuple[FileFault, ...]:
    """A table from a file over the shipped one, or what is wrong with it."""
    try:
        with file.open("rb") as opened:
            data = opened.read(LARGEST + 1)
        if len(data) > LARGEST:
            return (FileFault("the file", None, Fault.NOT_TOML, "larger than 1 MiB"),)
        text = data.decode("utf-8-sig")
    except OSError as trouble:
        return (FileFault("the file", None, Fault.UNREADABLE, str(trouble.strerror)),)
    except UnicodeDecodeError:
        return (FileFault("the file", None, Fault.NOT_TOML, "no UTF-8 text"),)
    return read_own(text)


@cache
def _own() -> Table | tuple[FileFault, ...] | None:
    """Read once: what is printed at the start of a job is what holds at its end."""
    file = own_file()
    return read_file(file) if os.path.lexists(file) else None


def in_force() -> Table:
    """The own table where there is a good one, else the shipped one; `own_faults` says what is wrong with a bad one."""
    own = _own()
    return own if isinstance(own, Table) else built_in()


def own_faults() -> tuple[FileFault, ...]:
    """What is wrong with the own table: then none of it is in force."""
    own = _own()
    return own if isinstance(own, tuple) else ()
