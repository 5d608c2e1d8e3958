"""What is said of a board that isn't settled: why nothing of it is printed."""

from __future__ import annotations

from collections.abc import Sequence

from fieldvoice.records.length import Unit
from fieldvoice.records.plan import Missing
from fieldvoice.wording import needs


def not_printed(board: str, trouble: str | None, missing: Sequence[Missing], unit: Unit) -> str:
    """Why a board isn't printed, and what to do first."""
    said = f"Board {board} is a draft, so nothing of it is printed: "
    if trouble is not None:
        return said + trouble
    wanted = [f"{needs.what(item, unit)} ({needs.why(item, unit)})" for item in missing if item.required]
    if wanted:
        return f"{said}still needed: {'; '.join(wanted)}."
    return f"{said}a value waits for an answer. Go on with the job and say yes or the right value."
