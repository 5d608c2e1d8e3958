"""What the partner does to a job, whichever surface the hands are at."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from fieldvoice.dialogue.view import Say, View
from fieldvoice.records.hearing import Hearing


class Job(Protocol):
    """A job as a surface asks of it; safe to call from any thread. Each call is kept under the name of `who`."""

    def take(self, hearing: Hearing, who: str) -> Sequence[Say]:
        """A typed call or order; what to say to it."""

    def tick(self, step: int, who: str) -> Sequence[Say]:
        """The step with that number is done."""

    def untick(self, who: str) -> Sequence[Say]:
        """The last tick was none."""

    def acknowledge(self, who: str) -> Sequence[Say]:
        """The cautions were read and understood."""

    def view(self) -> View:
        """What the job looks like now."""
