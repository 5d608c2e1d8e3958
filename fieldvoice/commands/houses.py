"""A planned house as a job: its file read, its surfaces taken, the job of its name found again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from fieldvoice.commands.output import tell
from fieldvoice.commands.talk import SaidLine, Talk

if TYPE_CHECKING:
    from fieldvoice.records.room import House
    from fieldvoice.records.said import Say


@dataclass(frozen=True, slots=True)
class HouseFile:
    """A house and the file that it was read from."""

    path: Path
    house: House

    @classmethod
    def read(cls, path: Path | None) -> HouseFile | None:
        """None where no house is wanted. Raises `BadInput` with a line for each thing that is wrong in the file."""
        from fieldvoice.commands.room import read

        return None if path is None else cls(path, read(path))

    @property
    def job(self) -> Path:
        """Where the job of this house is kept, so that the same command goes on with it."""
        from fieldvoice.jobs.folder import SUFFIX, jobs_folder

        return jobs_folder() / f"{self.path.stem}{SUFFIX}"


def job_of(job: Path | None, house: HouseFile | None) -> Path:
    """The job that is named, else that of the house, else the last one."""
    from fieldvoice.jobs.folder import job_file

    return house.job if job is None and house is not None else job_file(job)


def take_house(talk: Talk, house: HouseFile | None, who: str) -> tuple[Sequence[SaidLine], Sequence[Say]]:
    """The surfaces of the house become those of the job: the turns of it, and what is to be said aloud. Raises
    `CannotCut` where no layout keeps the rules.
    """
    from fieldvoice.commands.room import progress_told
    from fieldvoice.dialogue.session import Session

    if house is None:
        return (), ()
    assert isinstance(talk.session, Session)
    tell(f"Planning {house.house.name or house.path.name}.")
    says = talk.session.take_house(house.house, house.path.name, who, progress_told(house.house.unit))
    turns = (SaidLine(who, house.path.name), *(SaidLine("fieldvoice", say.text) for say in says))
    talk.turns.extend(turns)
    return turns, says
