"""The table that is in force on this machine: a hanger's own over the shipped one, where there is an own."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from fieldvoice.fastening.rows import Table
from fieldvoice.fastening.table import built_in, read_own
from fieldvoice.records.file_fault import Fault, FileFault

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
        return (FileFault("the file", None, Fault.NOT_TOML, str(trouble.strerror)),)
    except UnicodeDecodeError:
        return (FileFault("the file", None, Fault.NOT_TOML, "no UTF-8 text"),)
    return read_own(text)


@cache
def _own() -> Table | tuple[FileFault, ...] | None:
    """Read once: what is printed at the start of a job is what holds at its end."""
    file = own_file()
    return read_file(file) if file.exists() else None


def in_force() -> Table:
    """The own table where there is a good one, else the shipped one; `own_faults` says what is wrong with a bad one."""
    own = _own()
    return own if isinstance(own, Table) else built_in()


def own_faults() -> tuple[FileFault, ...]:
    """What is wrong with the own table: then none of it is in force."""
    own = _own()
    return own if isinstance(own, tuple) else ()
