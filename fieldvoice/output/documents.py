"""The JSON documents that other programs read. Keys are a promise: add freely, rename or drop none."""

from __future__ import annotations

from collections.abc import Iterable

from fieldvoice.dialogue.view import View
from fieldvoice.output import records, words
from fieldvoice.output.fastening import board_fastening
from fieldvoice.output.records import Document
from fieldvoice.records.hearing import Hearing
from fieldvoice.records.ledger import OpenItem
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import (
    Answer,
    Box,
    Command,
    Context,
    Coordinate,
    Correction,
    Danger,
    DeadAndTested,
    Diagonal,
    Distance,
    Edge,
    Habit,
    Incomplete,
    LayoutWish,
    Meaning,
    Opening,
    Part,
    Place,
    Plumb,
    Point,
    Reading,
    SameAgain,
    SameHeight,
    Slot,
    SurfaceCall,
    Utterance,
)
from fieldvoice.records.plan import CutLine, CutPlan, OpeningPlan
from fieldvoice.wording import needs, steps, warnings
from fieldvoice.wording.no_plan import failure
from fieldvoice.wording.notices import item_ask, item_text
from fieldvoice.wording.questions import asked
from fieldvoice.wording.refusals import refused


def utterance_document(utterance: Utterance, unit: Unit = Unit.INCH) -> Document:
    """`parse`: status, words and what they mean. Lengths are in `unit` unless they were plainly said in millimeters."""
    return {
        "status": utterance.status.value,
        "heard": utterance.heard,
        "meanings": [meaning_document(meaning, unit) for meaning in utterance.meanings],
        "alternatives": [[meaning_document(one, unit) for one in several] for several in utterance.alternatives],
        "ask": asked(utterance, unit),
        "why": refused(utterance),
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
            return {"kind": "box_state", "name": meaning.box, "state": "live" if meaning.live else "unknown"}
        case DeadAndTested():
            return {"kind": "box_state", "name": meaning.box, "state": "dead", "tested": meaning.tested}
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
        case SameHeight():
            return {"kind": "same_height", "name": meaning.box, "as": meaning.like}
        case Habit():
            return {"kind": "habit", "of": meaning.of.value, "value": _habitual(meaning.value)}
        case SurfaceCall():
            sides = {"width": meaning.width.text(chosen), "height": meaning.height.text(chosen)}
            return {"kind": "surface", "surface": meaning.surface, "name": meaning.name, **sides, "unit": chosen.value}
        case LayoutWish():
            edge = meaning.edge.value if meaning.edge else None
            length = meaning.length.text(chosen) if meaning.length else None
            return {"kind": "wish", "wish": meaning.wish.value, "edge": edge, "length": length, "unit": chosen.value}
        case Opening():
            return _opening_mark(meaning, chosen)
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


def plan_document(views: Iterable[View], unit: Unit) -> Document:
    """`cut`: every board that has a plan."""
    boards = [board_document(view, view.plan, unit) for view in views if view.plan is not None]
    return {"unit": unit.value, "boards": boards}


def board_document(view: View, plan: CutPlan, unit: Unit) -> Document:
    """One board: its sheet, cuts, openings, steps, cautions and proof. Lengths are in `unit`, exactly; sentences
    keep the board's own and name it.
    """
    return {
        "name": plan.board.name,
        "room": view.room,
        "so_far": view.so_far,
        "draft": view.draft,
        "open": [open_document(item, view.unit) for item in view.open],
        "demonstration": view.demonstration,
        "sheet": {
            "width": plan.sheet.width.text(unit),
            "length": plan.sheet.length.text(unit),
            "thickness": plan.sheet.thickness.text(unit),
            "kind": plan.sheet.kind,
        },
        "lies": plan.lies.value,
        "cuts": [_cut(cut, unit) for cut in plan.cuts],
        "broken_cuts": [_cut(cut, unit) for cut in plan.broken],
        "openings": [_opening(opening, unit, view.unit) for opening in plan.openings],
        "steps": [steps.text(step, plan.board.unit) for step in plan.steps],
        "step_notes": [
            {"why": steps.why(step), "caution": step.caution, "opening": step.opening} for step in plan.steps
        ],
        "step_records": [records.step(step, unit) for step in plan.steps],
        "cautions": list(words.cautions_of(plan, view.cautions)),
        "proof": {
            "ok": plan.proof.ok,
            "gaps": [
                {"edge": gap.edge.value, "at": place_text(gap.at, unit), "gap": gap.gap.text(unit)}
                for gap in plan.proof.gaps
            ],
            "failures": [failure(one, unit) for one in plan.proof.failures],
        },
        "warnings": [warnings.text(warning, plan.board.unit) for warning in plan.warnings],
        "warning_records": [records.warning(warning, unit) for warning in plan.warnings],
        "layers": plan.board.layers,
        "layer": plan.board.layer,
        "course": plan.board.course.value if plan.board.course is not None else None,
        "fastening": board_fastening(plan, unit),
        "outline": [{"x": point.x.text(unit), "y": point.y.text(unit)} for point in plan.outline],
        "missing": [{"what": needs.what(item, unit), "why": needs.why(item, unit)} for item in view.missing],
    }


def open_document(item: OpenItem, unit: Unit) -> Document:
    """One thing that keeps a plan a draft, with the question that settles it."""
    return {"kind": item.kind.value, "what": item_text(item, unit)[0], "ask": item_ask(item, unit), "for": item.by}


def place_text(at: Place, unit: Unit) -> str:
    """A named slot, or the called distance as a length."""
    return at.value if isinstance(at, Slot) else at.text(unit)


def _cut(cut: CutLine, unit: Unit) -> Document:
    return {
        "edge": cut.edge.value,
        "from": cut.origin.value,
        "shape": cut.shape.value,
        "marks": [
            {"at": place_text(mark.at, unit), "mark": mark.distance.text(unit), "exact": mark.exact.text(unit)}
            for mark in cut.marks
        ],
    }


def _opening(opening: OpeningPlan, unit: Unit, marked_in: Unit) -> Document:
    return {
        "name": opening.name,
        "kind": opening.kind,
        "method": opening.method.value,
        "center": {"from_left": opening.center.x.text(unit), "from_top": opening.center.y.text(unit)},
        "edges": {
            "left": opening.left.text(unit),
            "right": opening.right.text(unit),
            "top": opening.top.text(unit),
            "bottom": opening.bottom.text(unit),
        },
        "measured_from": {"x": opening.x_from, "y": opening.y_from},
        "state": opening.state.value if opening.state else None,
        "held": opening.held,
        "alternates": [words.way(one, marked_in) for one in opening.alternates],
        "alternates_unit": marked_in.value,
    }


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
        "name": box.name or None,
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


def _habitual(value: Point | Edge | bool | tuple[Slot, ...]) -> str | bool | list[str]:  # noqa: FBT001 - a fact
    if isinstance(value, tuple):
        return [slot.value for slot in value]
    return value if isinstance(value, bool) else value.value


def _incomplete(call: Incomplete, unit: Unit) -> Document:
    """A call of which a part wasn't said: `lacks` names what is still to be asked."""
    return {
        "kind": "incomplete",
        "name": call.name or None,
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
    return {"kind": "part", "value": value.value}


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
        "width": _text(opening.width, unit),
        "height": _text(opening.height, unit),
        "diameter": _text(opening.diameter, unit),
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


def _text(length: Length | None, unit: Unit) -> str | None:
    return None if length is None else length.text(unit)


def _lengths(meaning: Meaning) -> tuple[Length, ...]:
    """Every length in a meaning."""
    match meaning:
        case Reading(value=value, at=at):
            return (value,) if not isinstance(at, Length) else (value, at)
        case Diagonal(value=value) | Plumb(value=value) | Part(value=Length() as value):
            return (value,)
        case SurfaceCall(width=width, height=height):
            return (width, height)
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


def no_plan_document(why: str, unit: Unit) -> Document:
    """No plan that may be shown, and why."""
    return {"unit": unit.value, "boards": [], "why": why}
