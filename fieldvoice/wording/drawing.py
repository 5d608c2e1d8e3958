"""What stands on a drawing beside its figures."""

from __future__ import annotations

from fieldvoice.records.length import Unit
from fieldvoice.records.room import RoughOpeningKind

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


def rough_opening(kind: RoughOpeningKind) -> str:
    """What is written into an opening of a wall."""
    return "opening" if kind is RoughOpeningKind.OTHER else kind.value


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


def surface_title(name: str, layer: int | None) -> str:
    """How a wall or a ceiling is called on its drawing; with its layer where there are several."""
    return name if layer is None else f"{name}, layer {layer}"


def wall_caption(unit: Unit) -> str:
    """What the signs of a wall's drawing mean."""
    return f"{UNITS[unit]}, from the lower left corner. In rings: order of hanging. Heavy: butt joint. Dashed: framing."
