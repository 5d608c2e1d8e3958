"""How a board is fastened and lifted, as records for programs and as lines for the eye."""

from __future__ import annotations

from collections.abc import Sequence

from fieldvoice.cutting.tables import stand_off
from fieldvoice.errors import NoRule
from fieldvoice.fastening.plans import fasten_plan, handling
from fieldvoice.fastening.table import in_force, own_faults
from fieldvoice.output.documents import Document
from fieldvoice.records.fastening import Bend, FasteningPlan, FramingMark, Handling, Ruling, Spot
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.plan import CutPlan
from fieldvoice.wording.fastening import (
    CURVED_FRAMING,
    LOCAL_CODE,
    OWN_TABLE_UNUSED,
    fastening_lines,
    handling_text,
    load_text,
    mark_lines,
)
from fieldvoice.wording.forms import Form
from fieldvoice.wording.takeoff import number, sources_text


def plan_fastening(plan: CutPlan) -> FasteningPlan | NoRule:
    """How a cut plan's board is fastened, or why that isn't known."""
    try:
        return fasten_plan(plan, stand_off(plan.board, plan.board.framing.counted_from), in_force())
    except NoRule as unknown:
        return unknown


def load_line(plan: CutPlan) -> str:
    """What a cut plan's board weighs, and who hangs it."""
    return load_text(handling(plan, in_force())[1], plan.board.unit)


def plan_lines(plan: CutPlan) -> list[str]:
    """What a cut plan's board weighs and who hangs it, what to fasten it with, how far apart, where its framing is
    marked, and that local code decides.
    """
    found, unit = plan_fastening(plan), plan.board.unit
    if isinstance(found, NoRule):
        return [str(found)]
    load, count, *marks = own_lines(found, unit)
    _, *rules = fastening_lines(found, Form(unit))
    return [*_own_table(), load, count, *rules, *marks, LOCAL_CODE]


def own_lines(found: FasteningPlan, unit: Unit) -> list[str]:
    """What is a board's own, however like another it is: its weight, its count, and its marks."""
    count, *_ = fastening_lines(found, Form(unit))
    return [load_text(found.hanging, unit), count, *mark_lines(found.marks, Form(unit))]


def bend_document(radius: Length, found: Sequence[Bend], unit: Unit) -> Document:
    """Every board with its least radius, and whether it goes round that curve."""
    return {
        "unit": unit.value,
        "radius": radius.text(unit),
        "boards": [
            {
                "thickness": one.thickness.text(unit),
                "kind": one.kind,
                "layers": one.layers,
                "way": one.way.value,
                "bends": one.bends,
                "least_radius": _ruling(one.least, unit),
            }
            for one in found
        ],
        "framing_apart": CURVED_FRAMING.text(unit),
    }


def _own_table() -> list[str]:
    return [OWN_TABLE_UNUSED] if own_faults() else []


def board_fastening(plan: CutPlan, unit: Unit) -> Document:
    """The record of a cut plan's board; only `why` where no rule is known."""
    found = plan_fastening(plan)
    if isinstance(found, NoRule):
        return {"why": str(found)}
    return fastening_document(found, unit)


def fastening_document(fastening: FasteningPlan, unit: Unit) -> Document:
    """One board's fasteners with every place, the marks of its framing, what it weighs, who lifts it, and the same in
    words. Lengths are in `unit`, from the left and the top of the board.
    """
    asked, weight = fastening.schedule, fastening.weight
    return {
        "fastener": asked.fastener.value,
        "grip": asked.grip.value,
        "count": fastening.count,
        "lengths": [_ruling(one, unit) for one in asked.lengths],
        "edge_spacing": _ruling(asked.edge, unit),
        "field_spacing": _ruling(asked.field, unit),
        "edge_distance": _ruling(asked.edge_distance, unit),
        "second_nail": None if asked.pair is None else _ruling(asked.pair, unit),
        "places": [_spot(one, unit) for one in fastening.spots],
        "framing_called": fastening.framing_called,
        "framing_marks": [_mark(one, unit) for one in fastening.marks],
        "joints_off_framing": [edge.value for edge in fastening.off_framing],
        "concerns": [one.doubt.value for one in asked.concerns],
        "pounds": {
            "board": number(weight.piece),
            "lifted": number(weight.lifted),
            "sheet": number(weight.sheet),
            "source": sources_text((weight.source,)),
        },
        "carrying": _handling(fastening.carrying),
        "hanging": _handling(fastening.hanging),
        "text": fastening_text(fastening, unit),
    }


def fastening_text(fastening: FasteningPlan, unit: Unit) -> list[str]:
    """What to fasten with, how far apart, where the framing is marked, and who lifts."""
    lifted = handling_text(fastening.carrying, fastening.hanging, unit)
    return [
        *_own_table(),
        *fastening_lines(fastening, Form(unit)),
        *mark_lines(fastening.marks, Form(unit)),
        *([lifted] if lifted else []),
        LOCAL_CODE,
    ]


def _ruling(ruling: Ruling, unit: Unit) -> Document:
    """The figure in force, and what everybody asks for with the source, the one in force first."""
    return {
        "value": ruling.value.text(unit),
        "asked": [
            {"value": one.value.text(unit), "by": one.authority.value, "source": sources_text((one.source,))}
            for one in ruling.requirements
        ],
    }


def _spot(spot: Spot, unit: Unit) -> Document:
    return {
        "from_left": spot.x.text(unit),
        "from_top": spot.y.text(unit),
        "at_edge": spot.along_edge,
        "stage": spot.stage.value,
    }


def _mark(mark: FramingMark, unit: Unit) -> Document:
    """By edge: how far along it from its left (or its top) corner a member's center is marked; null where the board is
    open there.
    """
    return {
        edge.value: None if distance is None else distance.text(unit)
        for edge, distance in zip(mark.edges, mark.distances, strict=True)
    }


def _handling(handling: Handling) -> Document:
    return {
        "crew": handling.crew.value,
        "people": handling.people,
        "pounds": number(handling.pounds),
        "one_person_pounds": None if handling.limit is None else str(int(handling.limit)),
        "source": sources_text((handling.source,)),
    }
