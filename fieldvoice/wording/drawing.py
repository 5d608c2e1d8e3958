"""What stands on a drawing beside its figures."""

from __future__ import annotations

from fieldvoice.records.length import Unit

FACE, BACK = "FACE", "BACK"
TAPERED = "tapered"
UNKNOWN = "?"
UNITS = {Unit.INCH: "Inches", Unit.MM: "Millimeters"}


def board_title(name: str, room: str | None) -> str:
    """How a board is called on paper."""
    return f"{room}, board {name}" if room else f"Board {name}"


def opening_name(name: str, *, held: bool) -> str:
    """What stands beside an opening; one that waits says so."""
    return f"{name}: measure again" if held else name


def caption(unit: Unit, *, cuts: int) -> str:
    """What the signs of a board's drawing mean."""
    parts = [f"{UNITS[unit]}.", "Tape hooks on at the bar.", "Hatched: waste."]
    if cuts:
        parts.append("Numbers in rings: order of cuts.")
    return " ".join(parts)


def hole_caption(unit: Unit, *, missing: bool) -> str:
    """What the signs of the sketch of a hole mean."""
    rest = " Dashed with ?: still to be measured." if missing else ""
    return f"{UNITS[unit]}, as measured at the wall. No mark for the sheet.{rest}"
