"""The partner's screen: what the job looks like now, fitted to the terminal with the cautions kept whole."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from textwrap import wrap

from rich.text import Text

from fieldvoice.job.view import Exchange, Line, Standing, View
from fieldvoice.records.length import Unit
from fieldvoice.records.plan import CutPlan, Step
from fieldvoice.show import numerals, words

SMALLEST = (80, 24)
"""Columns and rows of the smallest terminal that shows everything it should."""

_STANDINGS = {
    Standing.ACCEPTED: "",
    Standing.CONFIRMED: "confirmed",
    Standing.READ_BACK: "just read back",
    Standing.DOUBTFUL: "IN QUESTION",
}


@dataclass(frozen=True, slots=True)
class Block:
    """Lines that belong together. `rank` orders what is left out first when rows are short (highest first); rank 0 is
    never left out. `least` is how many of its lines still make sense alone (all of them where None).
    """

    lines: tuple[Text, ...]
    rank: int
    least: int | None = None


def compose(view: View, columns: int, rows: int) -> tuple[Text, ...]:
    """The whole screen as lines no wider than `columns`; at most `rows` of them, unless the cautions alone need more:
    then they stand in full with a line that says how many rows the rest needs.
    """
    blocks = tuple(block for block in _blocks(view, columns) if block.lines)
    must = sum(len(block.lines) for block in blocks if block.rank == 0)
    if must > rows:
        needed = min(sum(len(block.lines) for block in blocks), must + 12)
        kept = [line for block in blocks if block.rank == 0 for line in block.lines]
        return (
            *kept,
            Text(f"The steps don't fit beside their cautions: make this window {needed} rows high."[:columns]),
        )
    return tuple(line for block in _fitted(blocks, rows) for line in block.lines)


def _fitted(blocks: tuple[Block, ...], rows: int) -> list[Block]:
    """The blocks cut down to `rows`: highest rank first, each to its least and then out."""
    kept = list(blocks)
    for shrink in (True, False):
        for block in sorted(blocks, key=lambda block: -block.rank):
            over = sum(len(each.lines) for each in kept) - rows
            if over <= 0 or block.rank == 0:
                continue
            index = next((i for i, each in enumerate(kept) if each.rank == block.rank), None)
            if index is not None:
                kept[index] = _smaller(kept[index], over) if shrink else Block((), block.rank)
    return kept


def _smaller(block: Block, over: int) -> Block:
    least = len(block.lines) if block.least is None else block.least
    return Block(block.lines[: max(least, len(block.lines) - over)], block.rank, block.least)


def _blocks(view: View, columns: int) -> Iterable[Block]:
    yield Block(_header(view, columns), 0)
    yield Block(_cautions(view, columns), 0)
    yield Block(_trouble(view, columns), 0)
    yield Block(_exchange(view.last, columns), 1)
    yield Block(_large(view, columns), 2)
    yield Block(_steps(view, columns), 3, least=3)
    yield Block(_missing(view, columns), 4, least=2)
    yield Block(_readings(view, columns), 5, least=3)
    yield Block(_opening_marks(view, columns), 6)
    yield Block(_warnings(view, columns), 7)


def _header(view: View, columns: int) -> tuple[Text, ...]:
    where = ", ".join(part for part in (view.room, f"board {view.board}") if part)
    if len(view.boards) > 1:
        where += f" of {len(view.boards)}"
    mode = "HOLDING: say resume" if view.holding else "draft: more readings to come" if view.so_far else ""
    text = f" {where}".ljust(columns - len(mode) - 1) + mode + " "
    return (Text(text[:columns], style="reverse bold"),)


def _cautions(view: View, columns: int) -> tuple[Text, ...]:
    lines = words.cautions_of(view.plan, view.cautions)
    return tuple(line for caution in lines for line in _wrapped("! CAUTION: ", caution, columns, "bold yellow"))


def _trouble(view: View, columns: int) -> tuple[Text, ...]:
    journal = _wrapped("! NOT SAVED: ", view.journal_trouble, columns, "bold red") if view.journal_trouble else ()
    plan = _wrapped("NO PLAN YET: ", view.plan_trouble, columns, "bold red") if view.plan_trouble else ()
    return journal + plan


def _exchange(last: Exchange | None, columns: int) -> tuple[Text, ...]:
    if last is None:
        return _wrapped("", "Call a reading, for example: top forty six and seven eighths", columns, "italic")
    heard = _wrapped("Heard: ", f"“{last.heard}” ({last.by}, by {last.recognizer})", columns, "dim")
    lead = "ANSWER THIS: " if last.asks else "Not taken: " if last.refused else "Read back: "
    return heard + _wrapped(lead, last.answer, columns, "bold reverse" if last.asks else "bold")


def _large(view: View, columns: int) -> tuple[Text, ...]:
    """The marks of the step in hand, or the value just read back, as large as the width allows."""
    if view.plan is None or view.so_far:
        fresh = _fresh(view.readings)
        return _figures(((fresh.label, fresh.value),), columns, f"{fresh.label}, as heard") if fresh else ()
    found = words.current_step(view.plan, view.ticked)
    if found is None:
        return (Text("Every step of this board is ticked.", style="bold"),)
    caption, pairs = _step_marks(view.plan, found[1], view.unit)
    return _figures(pairs, columns, caption) if pairs else ()


def _fresh(readings: tuple[Line, ...]) -> Line | None:
    """The reading in question, else the one just read back, where its value is figures alone."""
    for standing in (Standing.DOUBTFUL, Standing.READ_BACK):
        for line in reversed(readings):
            if line.standing is standing and _is_length(line.value):
                return line
    return None


def _is_length(value: str) -> bool:
    return bool(value) and all(character in "0123456789/-. " for character in value)


def _step_marks(plan: CutPlan, step: Step, unit: Unit) -> tuple[str, tuple[tuple[str, str], ...]]:
    """What the step marks: a caption and pairs of where and how far."""
    for cut in plan.cuts:
        if step.cut is cut.edge:
            marks = words.distinct(cut)
            along = "all along" if words.same_all_along(cut) else None
            pairs = tuple((along or words.place(mark.at, unit), mark.distance.text(unit)) for mark in marks)
            return f"{cut.edge.value.upper()} edge: from the {cut.origin.value.upper()} edge", pairs
    for opening in plan.openings:
        if step.opening == opening.name:
            x, y = opening.center.x.text(unit), opening.center.y.text(unit)
            pairs = ((f"from {opening.x_from}", x), (f"from {opening.y_from}", y))
            return f"{opening.name.upper()}: its center", pairs
    return "", ()


def _figures(pairs: tuple[tuple[str, str], ...], columns: int, caption: str) -> tuple[Text, ...]:
    """As many of the pairs as fit side by side in large figures; the rest in a line under them."""
    fitting = len(pairs)
    while fitting > 1 and _needs(pairs[:fitting]) > columns:
        fitting -= 1
    if not fitting or _needs(pairs[:fitting]) > columns:
        return _wrapped(f"{caption}: ", "; ".join(f"{value} {at}" for at, value in pairs), columns, "bold")
    blocks = tuple((at, *numerals.large(value)) for at, value in pairs[:fitting])
    rows = numerals.side_by_side(blocks, _GAP)
    rest = "; ".join(f"{value} {at}" for at, value in pairs[fitting:])
    return (
        Text(f"{caption} "[:columns].ljust(columns, "─"), style="bold"),
        *(Text(row[:columns], style="bold") for row in rows),
        *(_wrapped("then ", rest, columns, "bold") if rest else ()),
    )


_GAP = 4


def _needs(pairs: tuple[tuple[str, str], ...]) -> int:
    return sum(max(numerals.width(value), len(at)) for at, value in pairs) + _GAP * (len(pairs) - 1)


def _steps(view: View, columns: int) -> tuple[Text, ...]:
    if view.plan is None:
        return ()
    found = words.current_step(view.plan, view.ticked)
    now = found[0] if found else 0
    done = f", {len(view.ticked)} done" if view.ticked else ""
    title = f"Steps ({len(view.plan.steps)}{done}) "
    lines = [Text(title.ljust(columns, "─"), style="bold")]
    for number, step in enumerate(view.plan.steps, 1):
        if number in view.ticked:
            continue
        arrow = "→" if number == now else " "
        why = f" ({step.why})" if step.why and number == now else ""
        lines += _wrapped(f"{arrow}{number:>2}. ", step.text + why, columns, "bold" if number == now else "")
    return tuple(lines)


def _missing(view: View, columns: int) -> tuple[Text, ...]:
    if not view.missing:
        return ()
    lines = [Text("Still needed ".ljust(columns, "─"), style="bold")]
    for item in view.missing:
        lines += _wrapped("  · ", f"{item.what}: {item.why}", columns, "")
    return tuple(lines)


def _readings(view: View, columns: int) -> tuple[Text, ...]:
    values = view.readings + view.context
    if not values:
        return ()
    cells = [_cell(line) for line in values]
    half = (columns - 2) // 2
    lines = [Text(f"Readings, {view.unit.value} ".ljust(columns, "─"), style="bold")]
    pair = all(len(cell) <= half for cell in cells)
    if not pair:
        return (*lines, *(line for cell in cells for line in _wrapped("  ", cell, columns, "")))
    rows = [cells[index : index + 2] for index in range(0, len(cells), 2)]
    return (*lines, *(Text("  ".join(cell.ljust(half) for cell in row).rstrip()) for row in rows))


def _cell(line: Line) -> str:
    notes = ", ".join(note for note in (_STANDINGS[line.standing], line.note) if note)
    return f"{line.label}: {line.value}" + (f" ({notes})" if notes else "")


def _opening_marks(view: View, columns: int) -> tuple[Text, ...]:
    if view.plan is None or not view.plan.openings:
        return ()
    lines = [Text("Openings: center ".ljust(columns, "─"), style="bold")]
    for opening in view.plan.openings:
        state = f", circuit said {opening.state.value}" if opening.state else ""
        x, y = opening.center.x.text(view.unit), opening.center.y.text(view.unit)
        text = f"{x} from {opening.x_from}, {y} from {opening.y_from}{state}"
        lines += _wrapped(f"  {opening.name}: ", text, columns, "")
    return tuple(lines)


def _warnings(view: View, columns: int) -> tuple[Text, ...]:
    if view.plan is None:
        return ()
    return tuple(line for warning in view.plan.warnings for line in _wrapped("Note: ", warning, columns, ""))


def _wrapped(lead: str, text: str, columns: int, style: str) -> tuple[Text, ...]:
    """`text` after `lead`, wrapped with a hanging indent. No word of it is lost."""
    lines = wrap(lead + text, columns, subsequent_indent=" " * min(len(lead), columns // 3))
    return tuple(Text(line, style=style) for line in lines)
