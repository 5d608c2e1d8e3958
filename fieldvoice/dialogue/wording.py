"""What fieldvoice says, in figures for the screen and in words for the voice."""

from __future__ import annotations

import re
from dataclasses import replace

from fieldvoice.dialogue.naming import figures, label, note
from fieldvoice.dialogue.rooms import Rooms
from fieldvoice.dialogue.state import BoxState, Fact, Value
from fieldvoice.dialogue.view import Say
from fieldvoice.records.length import Length, Unit, lean_unit
from fieldvoice.records.meaning import Box, Opening, OpeningKind, Qualifier, Reading

HELP = (
    "Call a reading with its place: top forty six and seven eighths. A box: box one, single gang, center thirty from "
    "left, forty eight down. No, with the right value, mends the last one; undo takes it back. Ask what's missing; say "
    "done at the end, next board to go on."
)
NOTHING_HEARD = "Nothing was heard, so nothing was taken. Say it again, or type it."
NOTHING_OPEN = "Nothing is waiting for an answer. Say undo to take back the last change, or change with its place."
NOTHING_TO_UNDO = "There is nothing of yours to take back."
HOLDING = "Holding: nothing is taken. Say resume to go on."
RESUMED = "Listening."
SAY_YES_AGAIN = "That answer wasn't clear, so it isn't taken."
NOT_DEAD_TOGETHER = "What was said of the circuit isn't taken: say it by itself, once the box is read back."
TESTED_NEEDED = "Dead alone isn't enough. Say dead and tested once a tester has shown it, or live."
WHICH_DIAGONAL = (
    "Does that diagonal rise or fall to the right? Say it with the number, as in diagonal rising one hundred and seven."
)
WHICH_VALUE = "Which of those is to change? Say its place with the number."
NO_STEPS = "There is no plan to tick a step of yet."


def plain(text: str, *, safety: bool = False) -> Say:
    """A sentence that is spoken as it is written."""
    return Say(text, text, safety)


_NAMED = "|".join(("box", "board", "step", "tick", *(kind.value for kind in OpeningKind)))
_FIGURES = re.compile(
    rf"(?P<hour>\d\d):(?P<minute>\d\d)|(?<=\b)(?P<name>{_NAMED}) (?P<number>\d+)\b(?!/)"
    r"|(?P<count>\d+)(?= steps?\b)|(?P<length>\d+ \d+/\d+|\d+/\d+|\d+(?:\.\d+)?)(?: (?P<unit>in|mm)\b)?",
    re.IGNORECASE,
)
"""Figures in a sentence: a time, the number of a box, board or step, a count of steps, else a length."""


def aloud(text: str, unit: Unit, rooms: Rooms) -> str:
    """A sentence with its figures in words for the voice; a length without its unit is in `unit`."""
    return _FIGURES.sub(lambda found: _in_words(found, unit, rooms), text)


def _in_words(found: re.Match[str], unit: Unit, rooms: Rooms) -> str:
    if found["hour"] is not None:
        return _time(int(found["hour"]), int(found["minute"]), rooms)
    if found["name"] is not None:
        return f"{found['name']} {_number(found['number'], rooms)}"
    if found["count"] is not None:
        return _number(found["count"], rooms)
    unit = Unit(found["unit"].lower()) if found["unit"] else unit
    try:
        return rooms.digits_back(Length.of(found["length"], unit), unit)
    except (ValueError, ZeroDivisionError):  # quoted from somebody: no length at all
        return _each(found["length"], rooms)


def _time(hour: int, minute: int, rooms: Rooms) -> str:
    if not minute:
        return f"{rooms.number_words(hour)} o'clock"
    return f"{rooms.number_words(hour)} {'oh ' if minute < 10 else ''}{rooms.number_words(minute)}"


def _number(figures: str, rooms: Rooms) -> str:
    return rooms.number_words(int(figures)) if len(figures) < 5 else _each(figures, rooms)


def _each(figures: str, rooms: Rooms) -> str:
    return " ".join(rooms.number_words(int(each)) for each in figures if each.isdecimal())


def spoken_value(fact: Fact, unit: Unit, rooms: Rooms) -> str:
    """A value for the voice: lengths digit by digit, anything else as language reads it back."""
    match fact:
        case Reading(value=value, qualifier=qualifier):
            by = "a thirty second" if lean_unit(value, unit) is Unit.INCH else "half a millimeter"
            lean = {
                Qualifier.STRONG: f", strong, {by} added",
                Qualifier.LIGHT: f", light, {by} taken off",
                None: "",
            }[qualifier]
            return rooms.digits_back(value, unit) + lean
        case Box() | Opening():
            return rooms.read_back(replace(fact, name=fact.name and fact.name.split()[-1]), unit)
        case BoxState():
            return f"{fact.name or 'all boxes'}: {fact.state}"
    return rooms.read_back(fact, unit)


def spoken_label(key: str, unit: Unit, rooms: Rooms) -> str:
    """A label for the voice: no figures in it."""
    first, _, rest = key.partition(" ")
    if first in {"width", "height"} and rest[:1].isdigit():
        return f"{first}, at {rooms.digits_back(Length(rest), unit)}"
    return label(key, unit)


def read_back(value: Value, old: Value | None, unit: Unit, rooms: Rooms) -> Say:
    """One value read back, the place first, and what it takes the place of."""
    said = figures(value.fact, unit)
    extra = note(value.fact, unit)
    was = figures(old.fact, unit) if old is not None and old.fact != value.fact else None
    text = f"{label(value.key, unit)}: {said}" + (f" ({extra})" if extra else "")
    text += f", instead of {was}." if was else "."
    if isinstance(value.fact, Reading):
        spoken = f"{spoken_label(value.key, unit, rooms)}: {spoken_value(value.fact, unit, rooms)}."
        if was and old is not None:
            spoken = f"{spoken[:-1]}, instead of {spoken_value(old.fact, unit, rooms)}."
    else:
        spoken = spoken_value(value.fact, unit, rooms) + "."
    return Say(text[0].upper() + text[1:], spoken)


def two_values(first: Value, other: Fact, unit: Unit) -> str:
    """What is asked where one utterance gives one place two values."""
    both = f"{figures(first.fact, unit)} and {figures(other, unit)}"
    return f"Two values for {label(first.key, unit)}, {both}, so neither was taken. Say the right one with its place."


SAY_THE_WHOLE = "Not taken: a part of it is missing. Say all of it again."

WHICH_BOTH = (
    "Both boxes, and more than two are on this board: none was taken as dead. Which ones did you test? Say box one and "
    "two are dead and tested, or all boxes."
)


def dead_question(boxes: tuple[str, ...]) -> str:
    """The question that "dead and tested" is read back as."""
    names = " and ".join(boxes)
    each = "them" if len(boxes) > 1 else "it"
    return (
        f"{names}: did you test {each} dead yourself, with a tester proved on a live source before and after? Only "
        "a yes counts."
    )


def live_said(boxes: tuple[str, ...], who: str, revoked: tuple[str, ...]) -> str:
    """What is told when a circuit is said to be live or unknown."""
    names = " and ".join(boxes) or "this board"
    gone = f" What was said of {' and '.join(revoked)} being dead counts no more." if revoked else ""
    return f"{names}: not dead, says {who}.{gone} No tool goes into any box of this board."


def entries_lost(numbers: tuple[str, ...]) -> str:
    """What is told first where a journal has holes, in figures."""
    return (
        f"Entries of this job are lost: {', '.join(numbers)}. A reading or a box may be missing, or an older one back. "
        "Don't cut by this job until each value is said yes to or called again; ask what's missing to begin."
    )


ENTRIES_LOST = (
    "Entries of this job are lost. A reading or a box may be missing, or an older one back. Don't cut by this job "
    "until each value is said yes to or called again. Ask what's missing to begin."
)
"""The same for the voice."""


NOT_KEPT = "What is said is not kept now. The session goes on in memory; the screen says why."
"""What the voice says of a journal that fails."""


def to_confirm(values: tuple[Value, ...], unit: Unit) -> str:
    """Why there is no plan where lost entries put values in question."""
    names = "; ".join(label(value.key, unit) for value in values)
    return (
        f"Entries of this job are lost, so there is no plan until these are said yes to or called again: {names}. "
        "Ask what's missing to go through them."
    )


def answer_first(question: str) -> str:
    """What is told when something else is called while a question is open."""
    return f"Not taken yet, answer first: {question} Say yes, no, or the right value."


def held_by_question(boxes: str) -> str:
    """What is told when somebody else says yes to "dead and tested"."""
    return f"Only the one who tested can say yes to that, so {boxes} stays as it was."
