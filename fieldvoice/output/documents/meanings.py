"""What was said as documents: an utterance, its meanings, a hearing."""

from __future__ import annotations

from fieldvoice.output.documents import Document, Json, length_text, place_text
from fieldvoice.records.hearing import Hearing
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import (
    HABITS,
    Box,
    Context,
    Coordinate,
    Danger,
    DeadAndTested,
    Diagonal,
    Distance,
    Incomplete,
    LayoutWish,
    Opening,
    Plumb,
    Reading,
    SurfaceCall,
    Topic,
)
from fieldvoice.records.utterance import (
    Answer,
    Command,
    Correction,
    Meaning,
    Misplaced,
    Part,
    SameAgain,
    SameHeight,
    SameSurface,
    ThingName,
    Utterance,
)
from fieldvoice.wording.forms import Form
from fieldvoice.wording.questions import asked, refused


def utterance_document(utterance: Utterance, unit: Unit = Unit.INCH) -> Document:
    """`parse`: status, words and what they mean. Lengths are in `unit` unless they were plainly said in millimeters."""
    return {
        "status": utterance.status.value,
        "heard": utterance.heard,
        "meanings": [meaning_document(meaning, unit) for meaning in utterance.meanings],
        "alternatives": [[meaning_document(one, unit) for one in several] for several in utterance.alternatives],
        "ask": asked(utterance, Form(unit)),
        "why": refused(utterance, Form(unit)),
    }


def meaning_document(meaning: Meaning, unit: Unit = Unit.INCH) -> Document:  # noqa: C901 - one case a kind
    """One meaning with its `kind`, and `unit` beside its lengths."""
    chosen = _plain_unit(_lengths(meaning), unit)
    match meaning:
        case Reading():
            return _reading(meaning, chosen)
        case Diagonal():
            return {
                "kind": "diagonal",
                "rising": meaning.rising,
                "value": meaning.value.text(chosen),
                "unit": chosen.value,
            }
        case Plumb():
            return {
                "kind": "plumb",
                "edge": meaning.edge.value,
                "value": meaning.value.text(chosen),
                "unit": chosen.value,
            }
        case Box():
            return _box(meaning, chosen)
        case Danger():
            return {"kind": "box_state", "name": _number(meaning.box), "state": "live" if meaning.live else "unknown"}
        case DeadAndTested():
            return {"kind": "box_state", "name": _number(meaning.box), "state": "dead", "tested": meaning.tested}
        case Incomplete():
            return _incomplete(meaning, chosen)
        case Part():
            return _part(meaning, chosen)
        case SameAgain():
            at, like = (
                place.text(chosen) if isinstance(place, Length) else place for place in (meaning.at, meaning.like)
            )
            dimension = meaning.dimension.value if meaning.dimension else None
            return {"kind": "same", "dimension": dimension, "slot": at, "as": like, "unit": chosen.value}
        case SameSurface():
            return {"kind": "same_wall", "name": meaning.name, "as": meaning.like}
        case Misplaced():
            return {"kind": "moved", "slot": meaning.at.value, "from": meaning.was.value if meaning.was else None}
        case SameHeight():
            return {"kind": "same_height", "name": _number(meaning.box), "as": _number(meaning.like)}
        case SurfaceCall():
            sides = {"width": meaning.width.text(chosen), "height": meaning.height.text(chosen)}
            named = {"kind": "surface", "surface": meaning.surface, "name": meaning.name}
            return {**named, **sides, **_top(meaning, chosen), "unit": chosen.value}
        case LayoutWish():
            edge = meaning.edge.value if meaning.edge else None
            length = meaning.length.text(chosen) if meaning.length else None
            return {"kind": "wish", "wish": meaning.wish.value, "edge": edge, "length": length, "unit": chosen.value}
        case Opening():
            return _opening_mark(meaning, chosen)
        case Context(topic=topic, value=str() as value) if topic in HABITS:
            habits: dict[Topic, Json] = {Topic.MIDDLE_WIDTH: value == "yes", Topic.MEASURING: [*value.split()]}
            return {"kind": "habit", "of": topic.value, "value": habits.get(topic, value)}
        case Context():
            return _context(meaning, chosen)
        case Command():
            return {"kind": "command", "action": meaning.action.value, "target": meaning.target}
        case Answer():
            return {"kind": "command", "action": "yes" if meaning.yes else "no", "target": None}
        case Correction():
            new = meaning_document(meaning.new, unit)
            return {**new, "kind": "correction", "of": new["kind"]}


def hearing_document(file: str, hearing: Hearing, utterance: Utterance, unit: Unit = Unit.INCH) -> Document:
    """`hear`: a file, the recognizer, and what the words mean. Seconds run from the last sample to the meaning."""
    return {
        "file": file,
        "recognizer": hearing.recognizer,
        **utterance_document(utterance, unit),
        "audio_seconds": round(hearing.audio_seconds, 3),
        "seconds": round(hearing.seconds, 3),
    }


def _number(name: str | None) -> str | None:
    """A box's name as it is said behind the word box: "1" of box 1."""
    return name.removeprefix("box ") or None if name is not None else None


def _reading(reading: Reading, unit: Unit) -> Document:
    return {
        "kind": "reading",
        "dimension": reading.dimension.value if reading.dimension else None,
        "slot": None if reading.at is None else place_text(reading.at, unit),
        "value": reading.value.text(unit),
        "unit": unit.value,
        "qualifier": reading.qualifier.value if reading.qualifier else None,
    }


def _box(box: Box, unit: Unit) -> Document:
    return {
        "kind": "box",
        "name": _number(box.name),
        "box": box.kind.value,
        "x": _coordinate(box.x, unit),
        "y": _coordinate(box.y, unit),
        "unit": unit.value,
        "plugged_in": box.plugged_in,
        "far_x": _coordinate(box.far[0], unit) if box.far else None,
        "far_y": _coordinate(box.far[1], unit) if box.far else None,
    }


def _coordinate(coordinate: Coordinate, unit: Unit) -> Document:
    return {
        "point": coordinate.point.value,
        "value": coordinate.value.text(unit),
        "from": coordinate.start.value,
    }


def _incomplete(call: Incomplete, unit: Unit) -> Document:
    """A call of which a part wasn't said: `lacks` names what is still to be asked."""
    return {
        "kind": "incomplete",
        "name": _number(call.name),
        "what": call.kind.value if call.kind else None,
        "distances": [_distance(each, unit) for each in call.distances],
        "lacks": [lack.value for lack in call.lacks],
        "unit": unit.value,
    }


def _part(part: Part, unit: Unit) -> Document:
    value = part.value
    if isinstance(value, Distance):
        return {"kind": "part", **_distance(value, unit), "unit": unit.value}
    if isinstance(value, Length):
        return {"kind": "part", "value": value.text(unit), "unit": unit.value}
    return {"kind": "part", "value": value.name if isinstance(value, ThingName) else value.value}


def _distance(at: Distance, unit: Unit) -> Document:
    return {
        "point": at.point.value if at.point else None,
        "value": at.value.text(unit),
        "from": at.start.value if at.start else None,
    }


def _opening_mark(opening: Opening, unit: Unit) -> Document:
    return {
        "kind": "opening",
        "name": opening.name or None,
        "opening": opening.kind.value,
        "x": [_coordinate(coordinate, unit) for coordinate in opening.xs],
        "y": [_coordinate(coordinate, unit) for coordinate in opening.ys],
        "width": length_text(opening.width, unit),
        "height": length_text(opening.height, unit),
        "diameter": length_text(opening.diameter, unit),
        "unit": unit.value,
    }


def _context(context: Context, unit: Unit) -> Document:
    document: Document = {
        "kind": "context",
        "topic": context.topic.value,
        "edge": context.edge.value if context.edge else None,
    }
    match context.value:
        case Length() as length:
            return {**document, "value": length.text(unit), "unit": unit.value}
        case tuple() as lengths:
            return {**document, "value": [length.text(unit) for length in lengths], "unit": unit.value}
        case value:
            return {**document, "value": value}


def _top(call: SurfaceCall, unit: Unit) -> dict[str, Json]:
    """How high a wall's top is at its right end, and where its slope changes, where it was called to slope."""
    if not call.slopes:
        return {}
    breaks = [{"from_left": one.across.text(unit), "height": one.height.text(unit)} for one in call.breaks]
    return {"right_height": None if call.right_height is None else call.right_height.text(unit), "breaks": breaks}


def _lengths(meaning: Meaning) -> tuple[Length, ...]:
    """Every length in a meaning."""
    match meaning:
        case Reading(value=value, at=at):
            return (value,) if not isinstance(at, Length) else (value, at)
        case Diagonal(value=value) | Plumb(value=value) | Part(value=Length() as value):
            return (value,)
        case SurfaceCall(width=width, height=height, right_height=right):
            line = (length for one in meaning.breaks for length in (one.across, one.height))
            return (width, height, *(() if right is None else (right,)), *line)
        case Incomplete(distances=distances):
            return tuple(each.value for each in distances)
        case Box(x=x, y=y, far=far):
            return tuple(mark.value for mark in (x, y, *(far or ())))
        case Opening(xs=xs, ys=ys):
            sizes = (meaning.width, meaning.height, meaning.diameter)
            return (*(mark.value for mark in xs + ys), *(size for size in sizes if size is not None))
        case Context(value=Length() as length):
            return (length,)
        case Context(value=tuple() as lengths):
            return lengths
        case _:
            return ()


def _plain_unit(lengths: tuple[Length, ...], unit: Unit) -> Unit:
    """Millimeters where a tape in inches can't have shown one of the lengths."""
    return unit if all(length.on_inch_tape for length in lengths) else Unit.MM
