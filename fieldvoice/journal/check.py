"""Looks a journal over without changing it: structure, every checksum, gaps, triggers, and the sound files it names."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from shutil import copyfile
from sqlite3 import Error
from tempfile import TemporaryDirectory

from fieldvoice.journal.examine import SELECT_ROWS, Findings, look_over
from fieldvoice.journal.files import audio_folder
from fieldvoice.journal.repair import log_of, read_bytes
from fieldvoice.journal.rows import is_whole, row_to_entry
from fieldvoice.journal.schema import connect
from fieldvoice.journal.trouble import not_read, not_there

_TRIGGERS = 5


@dataclass(frozen=True, slots=True)
class Report:
    """What a check found; `faults` says each thing that is wrong, in words, and is empty for a sound journal."""

    path: Path
    findings: Findings
    faults: tuple[str, ...]

    @property
    def sound(self) -> bool:
        """Whether nothing is wrong. Losses of an earlier day, known and kept on record, aren't anew."""
        return not self.faults


def check(path: Path) -> Report:
    """Checks a copy of the journal, so that neither a repair nor the log's folding in touches the file itself.

    `JournalTrouble` where there is no journal to check.
    """
    if not path.is_file():
        raise not_there(path)
    with TemporaryDirectory(prefix="fieldvoice-") as folder:
        copy = Path(folder) / path.name
        try:
            copyfile(path, copy)
            log = read_bytes(log_of(path))
            log_of(copy).write_bytes(log)
            findings = look_over(copy, log)
            guards = "" if findings.structure else _guards(copy)
            silent = () if findings.structure else tuple(_silent(copy, audio_folder(path)))
        except (OSError, Error) as error:
            raise not_read(error, path) from error
    return Report(path, findings, (*_faults(findings, guards), *silent))


def _guards(path: Path) -> str:
    with closing(connect(path)) as connection:
        found = connection.execute("SELECT count(*) FROM sqlite_schema WHERE type = 'trigger'").fetchone()[0]
    return "" if found >= _TRIGGERS else "the file no longer refuses changes to its entries: a trigger is missing"


def _silent(copy: Path, folder: Path) -> Iterator[str]:
    """The sounds that entries name and that aren't in the folder beside the journal."""
    with closing(connect(copy)) as connection:
        for row in connection.execute(SELECT_ROWS):
            name = row_to_entry(row).body.get("sound") if is_whole(row) else None
            if isinstance(name, str) and not (folder / Path(name).name).is_file():
                yield f"the sound of entry {row[0]}, {name}, isn't in {folder}"


def _faults(findings: Findings, guards: str) -> Iterator[str]:
    yield from (f"the file's structure is damaged: {line}" for line in findings.structure)
    yield from (f"entry {seq} isn't as it was written" for seq in findings.damaged)
    yield from (f"entries {span} are missing" for span in findings.missing)
    yield from (f"entry {seq} stands in the log behind damage and would be passed over" for seq in findings.stranded)
    yield from (f"entry {seq} was cut off while it was written" for seq in findings.unfinished)
    if guards:
        yield guards
