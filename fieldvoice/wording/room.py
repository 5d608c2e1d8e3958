"""A room's facts in words: what is wrong in its file, what its plan keeps, and what to do."""

from __future__ import annotations

from fieldvoice.records.file_fault import Fault, FileFault

_FAULTS: dict[Fault, str] = {
    Fault.NOT_TOML: "This is not TOML: {given}.",
    Fault.MISSING: "It isn't there. Add it.",
    Fault.UNKNOWN_KEY: "No such key is known here. Take it out, or use one of: {allowed}.",
    Fault.NOT_TEXT: "{given} is not text. Put it in quotes.",
    Fault.NOT_A_TABLE: "It isn't a table. Write its keys under [{key}] or [[{key}]].",
    Fault.NOT_A_LIST: "{given} is not a list. Write it in square brackets.",
    Fault.EMPTY: "It is empty. Fill it in.",
    Fault.TOO_LONG: "“{given}” is too long. Give it {allowed} characters at most.",
    Fault.NOT_SHOWN: "“{given}” holds marks that can't be printed. Take them out.",
    Fault.DECIMAL: "{given} is a decimal without quotes, which isn't exact. Put it in quotes.",
    Fault.NOT_A_LENGTH: '“{given}” is not a length. Write it like "46 7/8", "1190.5" or a whole number.',
    Fault.NOT_POUNDS: '“{given}” is not pounds a square foot. Write it like "1.78" or a whole number.',
    Fault.NOT_POSITIVE: "{given} is no size. Give a length above zero.",
    Fault.NEGATIVE: "{given} is below zero. Measure from the lower left corner, so that nothing is.",
    Fault.TOO_LARGE: "{given} is over 200 ft. Check the number and the unit.",
    Fault.TOO_FINE: "{given} is finer than a tape shows. Give whole 64ths of an inch, or tenths of a millimeter.",
    Fault.NOT_A_COUNT: "{given} is not a whole number from 1 to {allowed}.",
    Fault.NOT_ONE_OF: "“{given}” is not known. Use one of: {allowed}.",
    Fault.NOT_A_SHEET: '“{given}” is not a sheet. Write width and length like "48 x 144".',
    Fault.SHEET_SIZE: "“{given}” can't be a sheet. Give the width first, 12 in or more, then the length.",
    Fault.NOT_MEMBERS: (
        '“{given}” doesn\'t say where the framing is. Write "16 on center from left", for joists '
        '"16 on center along width", or a list of places.'
    ),
    Fault.SPACING: "{given} on center is outside what is framed. Give {low} to {high}.",
    Fault.OUTSIDE: "{given} It lies outside the surface. Check its place and its size.",
    Fault.OVERLAP: "It overlaps an opening above it in the file. Check their places.",
    Fault.SAME_NAME: "Two surfaces are called “{given}”. Give each its own name in its room.",
    Fault.TWICE: "“{given}” stands there twice. Take one out.",
    Fault.SLOPED_LIES: "Sheets can't stand under a slope here. Take `lies` out, so that they lie.",
}


def file_fault_text(fault: FileFault) -> str:
    """One line: the table, the key, what is wrong and what to do."""
    place = fault.table if fault.key is None else f"{fault.table}, {fault.key}"
    allowed = fault.allowed
    text = _FAULTS[fault.fault].format(
        given=fault.given,
        key=fault.key,
        allowed=", ".join(allowed),
        low=allowed[0] if allowed else "",
        high=allowed[-1] if allowed else "",
    )
    return f"{place}: {text.strip()}"
