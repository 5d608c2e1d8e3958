"""The errors that may reach a person. Each carries what is wrong as a value; its text is that value in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fieldvoice.records.trouble import Hinders, Hindrance, Trouble

if TYPE_CHECKING:
    from fieldvoice.records.plan import NoPlan


class FieldvoiceError(Exception):
    """The base of the family: nothing else may reach a user. `exit_status` is the command's exit status.

    `why` is a sentence only where a command says something about its own flags and files.
    """

    exit_status = 1

    def __init__(self, why: Hindrance | Trouble | NoPlan | str) -> None:
        super().__init__(why)
        self.why = why

    def __str__(self) -> str:
        """What happened, what it means for the cut, and what to do now."""
        from fieldvoice.wording.troubles import sentence

        return self.why if isinstance(self.why, str) else sentence(self.why)


class CannotCut(FieldvoiceError):
    """The readings don't make a plan that may be shown."""

    why: Hindrance | NoPlan

    def __init__(self, why: Hindrance | NoPlan) -> None:
        super().__init__(why)


class NoRule(FieldvoiceError):
    """No rule that is known says how this is done."""

    why: Hindrance

    def __init__(self, why: Hindrance) -> None:
        super().__init__(why)


class NotPlanned(CannotCut):
    """What the cutting room answers where it has no plan."""

    why: NoPlan


class HeldBack(CannotCut):
    """A plan that would put a tool into a box whose circuit isn't said to be dead and tested."""

    why: Hindrance

    def __init__(self, box: str) -> None:
        super().__init__(Hindrance(Hinders.HELD_BACK, box=box))
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
    why: Trouble

    def __init__(self, why: Trouble) -> None:
        super().__init__(why)


class JournalBusy(JournalTrouble):
    """Another fieldvoice writes this journal; it may still be viewed."""


class OldJob(JournalTrouble):
    """The file is a job of fieldvoice 0.1: it may be viewed and exported."""


class NotKept(JournalTrouble):
    """What was just said is in memory only. The session may go on with it; the journal tries again at each turn."""


class SessionLeft(KeyboardInterrupt):
    """Ctrl-C in a session whose job is kept: how people leave one."""
