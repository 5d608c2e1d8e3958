"""What is said of a board that isn't settled: what is open, and why nothing of it is printed."""

from __future__ import annotations

from collections.abc import Sequence

from fieldvoice.records.ledger import OpenItem
from fieldvoice.records.length import Unit
from fieldvoice.records.plan import NoPlan
from fieldvoice.records.trouble import Trouble
from fieldvoice.wording import needs
from fieldvoice.wording.notices import item_text
from fieldvoice.wording.troubles import sentence


def partner_cut(board: str, count: int) -> str:
    """What the partner of a recorded dialogue did at the sheets."""
    return f"Board {board} is cut, {count} steps ticked."


SETTLE = "Go on with the job and say done to hear what is open."


def not_printed(board: str, trouble: Trouble | NoPlan | None, items: Sequence[OpenItem], unit: Unit) -> str:
    """Why a board isn't printed, and what to do first."""
    return f"Board {board} is a draft, so nothing of it is printed: {_why(trouble, items, unit)}"


def still_open(board: str, trouble: Trouble | NoPlan | None, items: Sequence[OpenItem], unit: Unit) -> str:
    """Why a board has no plan to cut from."""
    return f"Board {board} has no plan to cut from: {_why(trouble, items, unit)}"


def _why(trouble: Trouble | NoPlan | None, items: Sequence[OpenItem], unit: Unit) -> str:
    if trouble is not None:
        return sentence(trouble)
    wanted = [needs.said(item.need, unit) for item in items if item.need is not None]
    if wanted:
        return f"still needed: {'; '.join(wanted)}."
    return f"still open: {'; '.join(item_text(item, unit)[0] for item in items)}. {SETTLE}"
