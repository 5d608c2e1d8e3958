"""The errors a person may meet. Each says what happened, what it means for the cut, and what to do now."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fieldvoice.records.plan import NoPlan


class FieldvoiceError(Exception):
    """The base of the family: nothing else may reach a user. `exit_status` is the command's exit status."""

    exit_status = 1


class CannotCut(FieldvoiceError):
    """The readings don't make a plan that may be shown."""


class NoRule(FieldvoiceError):
    """No rule that is known says how this is done."""


class NotPlanned(CannotCut):
    """What the cutting room answers where it has no plan: `why` as a value, worded by `wording.no_plan.why_not`."""

    def __init__(self, why: NoPlan) -> None:
        super().__init__(why)
        self.why = why


class HeldBack(CannotCut):
    """A plan that would put a tool into a box whose circuit isn't said to be dead and tested."""

    def __init__(self, box: str) -> None:
        super().__init__(
            f"The plan is held back: it would put a tool into {box}, and nobody has said that {box} is dead and "
            f"tested. Don't cut there. Have the circuit shut off and tested, then say: {box} dead and tested."
        )
        self.box = box


class BadUsage(FieldvoiceError):
    """The command line is wrong."""

    exit_status = 2


class BadInput(FieldvoiceError):
    """A file can't be used."""

    exit_status = 65


class NotHere(FieldvoiceError):
    """A model, a device or a voice isn't there; the text says how to get it."""

    exit_status = 69


class JournalTrouble(FieldvoiceError):
    """The journal can't be written or read as it should; the text says what is safe and what isn't."""

    exit_status = 65
