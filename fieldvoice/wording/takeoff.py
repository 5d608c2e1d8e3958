"""What a job takes and in which order it is done, in words."""

from __future__ import annotations

from fractions import Fraction

from fieldvoice.records.fastening import Citation, Confidence
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.takeoff import Article, Measure, Phase, Quantity, Rule, Supply, Task, WorkItem
from fieldvoice.wording.forms import joined, size_text

RULES: dict[Rule, str] = {
    Rule.PATTERNS: "every sheet that something is cut from",
    Rule.SPOTS: "every place on the plan, none in a box or an opening",
    Rule.JOINTS: "every joint and every inside corner once",
    Rule.EDGES: "edges at boards, walls and ceilings; half of them where both boards of a joint are here, else all",
    Rule.CORNERS: "edges at outside corners; half of them where both boards of a corner are here, else all",
    Rule.AREA: "square feet of board that is seen, openings off, times the published rates",
    Rule.ROWS: "a bead along every row of fasteners; tubes of 28 fl oz (0.83 L)",
}

PHASES: dict[Phase, str] = {
    Phase.BEFORE: "Before covering",
    Phase.HANGING: "Hanging",
    Phase.AFTER: "After hanging, before tape",
}

_TASKS: dict[Task, str] = {
    Task.PHOTOGRAPH: "Photograph every wall and ceiling with a tape in the picture: wires, pipes, blocking.",
    Task.MARK_FRAMING: "Mark every stud and joist on the floor and the plate, and where boxes are.",
    Task.SET_OUT_BOXES: (
        "Set out every box for the board's thickness: its front no more than {limit} behind the face. Boxes are the "
        "licensed electrician's work."
    ),
    Task.INSULATE: "Insulation and vapor barrier in, as local code asks.",
    Task.HAVE_INSPECTED: "Inspected by the authority having jurisdiction: nothing is covered before it says so.",
    Task.HANG_CEILING: "{surface}: hang {pieces}.",
    Task.HANG_UPPER: "{surface}: hang the upper course, {pieces}.",
    Task.HANG_LOWER: "{surface}: hang the lower course, {pieces}.",
    Task.HANG_COURSE: "{surface}: hang {pieces}.",
    Task.CHECK_DEPTH: (
        "Draw a knife across the fasteners: none should catch, and no paper be torn. Where one tore it, drive another "
        "beside it."
    ),
    Task.CHECK_GAPS: "No gap at a joint is over {limit}. Fill wider ones before the tape.",
    Task.CHECK_BOX_GAP: "No gap around a box is over {limit}. A larger plate doesn't cure it.",
    Task.CHECK_SET_BACK: "No box stands more than {limit} behind the face.",
}

_CONFIDENCE: dict[Confidence, str] = {
    Confidence.SEEN: "read there",
    Confidence.REPORTED: "reported",
    Confidence.CALCULATED: "worked out",
    Confidence.MEMORY_HIGH: "from memory, sure",
    Confidence.MEMORY_MEDIUM: "from memory, fairly sure",
    Confidence.MEMORY_LOW: "from memory, unsure",
    Confidence.PRACTICE: "common practice, no source",
    Confidence.OWN: "your own table",
}


def supply_text(quantity: Quantity, unit: Unit) -> str:
    """What is bought: `tape`, `sheet 48 x 96, 1/2 in regular`, `screw 1 1/4 in, coarse thread`."""
    if quantity.supply is Supply.COMPOUND:
        return "compound instead, ready-mixed" if quantity.measure in {Measure.GALLONS, Measure.LITERS} else "compound"
    return _kind(quantity.kind, unit) or quantity.supply.value


def _kind(kind: Article, unit: Unit) -> str | None:
    if kind.sheet is not None:
        return f"sheet {size_text(kind.sheet, unit)}, {kind.sheet.thickness.text_with_unit(unit)} {kind.sheet.kind}"
    if kind.fastener is not None and kind.length is not None and kind.grip is not None:
        sold = f" ({kind.length.text_with_unit(Unit.INCH)})" if unit is Unit.MM else ""
        length = kind.length.rounded_up(Length.of(1, Unit.MM)) if unit is Unit.MM else kind.length
        return f"{kind.fastener.value} {length.text_with_unit(unit)}{sold}, {kind.grip.value}"
    return None


def amount_text(quantity: Quantity) -> str:
    """How much without waste: `62`, or `5.4 to 14.2` where rules differ."""
    least, most = number(quantity.least), number(quantity.most)
    return most if quantity.least == quantity.most else f"{least} to {most}"


def number(value: Fraction) -> str:
    """A quantity that is bought, to a tenth and never less than it is."""
    tenths = -int(-(value * 10) // 1)
    return str(tenths // 10) if tenths % 10 == 0 else f"{tenths // 10}.{tenths % 10}"


def waste_text(quantity: Quantity) -> str:
    """What is lost beside it: `10 to 15 %`."""
    if quantity.waste is None:
        return "none"
    return f"{number(quantity.waste.least * 100)} to {number(quantity.waste.most * 100)} %"


def sources_text(sources: tuple[Citation, ...]) -> str:
    """Every source with how it was come by."""
    return "; ".join(f"{source.text} ({_CONFIDENCE[source.confidence]})" for source in sources)


def amount_line(quantity: Quantity, unit: Unit) -> str:
    """What, how much, waste apart, and what to buy."""
    one = quantity.measure is Measure.PIECES and quantity.most == 1
    amount = f"{amount_text(quantity)} {'piece' if one else quantity.measure.value}"
    unit_bought = "" if quantity.measure is Measure.PIECES else f" {quantity.measure.value}"
    bought = f"buy {quantity.to_buy}{unit_bought}"
    lost = "" if quantity.waste is None else f", waste {waste_text(quantity)}: {bought}"
    return f"{supply_text(quantity, unit)}: {amount}{lost}"


def rule_line(quantity: Quantity) -> str:
    """By which rule, and by whom."""
    return f"{RULES[quantity.rule]}; {sources_text(quantity.sources)}"


def task_text(item: WorkItem, unit: Unit) -> str:
    """A task as it is ticked, without its box."""
    return _TASKS[item.task].format(
        limit="" if item.limit is None else _limit(item.limit, unit).text_with_unit(unit),
        surface=item.surface,
        pieces=_boards(item.pieces),
    )


def _limit(limit: Length, unit: Unit) -> Length:
    """In a job in millimeters the whole one below, as the code itself has it: 6 mm for 1/4 in, 3 mm for 1/8 in."""
    return limit.rounded_down(Length.of(1, Unit.MM)) if unit is Unit.MM else limit


def _boards(numbers: tuple[int, ...]) -> str:
    """`board 1`, `boards 1, 2 and 3`."""
    if not numbers:
        return ""
    return f"board{'s' if len(numbers) > 1 else ''} {joined(str(number) for number in numbers)}"
