"""The partner's screen: what the job looks like now, fitted to the terminal with the cautions kept whole."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from rich.text import Text

from fieldvoice.dialogue.view import Exchange, Line, Standing, View
from fieldvoice.output import glyphs, words
from fieldvoice.records.length import Unit
from fieldvoice.records.plan import CutPlan, OpeningPlan, Step
from fieldvoice.wording import needs
from fieldvoice.wording import steps as steps_wording
from fieldvoice.wording import warnings as warnings_wording

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
    """Items that belong together, each a few lines that are shown whole or not at all, under a `title`.

    `rank` orders what is left out first when rows are short, highest first; rank 0 is never left out.
    """

    items: tuple[tuple[Text, ...], ...]
    rank: int
    title: Text | None = None
    left_out: int = 0

    @property
    def lines(self) -> tuple[Text, ...]:
        """The block as lines; what was left out is said."""
        title = (self.title,) if self.title and self.items else ()
        rest = (Text(f"     … and {self.left_out} more", style="bold"),) if self.left_out else ()
        return (*title, *(line for item in self.items for line in item), *rest)

    def shorter(self) -> Block:
        """The block without its last item."""
        return Block(self.items[:-1], self.rank, self.title, self.left_out + 1)


def compose(view: View, columns: int, rows: int) -> tuple[Text, ...]:
    """The whole screen as lines no wider than `columns`; at most `rows` of them, unless what must be seen (cautions,
    questions, trouble) needs more: then that stands in full, with a line that says how many rows the steps need.
    """
    blocks = tuple(_blocks(view, columns))
    must = tuple(line for block in blocks if block.rank == 0 for line in block.lines)
    if len(must) > rows:
        return (
            *must,
            *_wrapped("", f"No room for the steps: make this window {len(must) + 14} rows high.", columns, "bold"),
        )
    return tuple(line for block in _fitted(blocks, rows) for line in block.lines)


def _fitted(blocks: tuple[Block, ...], rows: int) -> list[Block]:
    """The blocks cut down to `rows`: what only informs goes first, item by item; what tells how to cut goes last."""
    kept = list(blocks)
    for ranks, least in ((_INFORMS, 1), (_INFORMS, 0), (_TELLS, 1), (_TELLS, 0)):
        for index in sorted(range(len(kept)), key=lambda index: -kept[index].rank):
            while kept[index].rank in ranks and len(kept[index].items) > least and _height(kept) > rows:
                kept[index] = kept[index].shorter() if least else Block((), kept[index].rank)
    return kept


_TELLS = range(1, 4)
_INFORMS = range(4, 10)


def _height(blocks: Iterable[Block]) -> int:
    return sum(len(block.lines) for block in blocks)


def _blocks(view: View, columns: int) -> Iterator[Block]:
    asked = view.last is not None and view.last.asks
    yield Block((_header(view, columns),), 0)
    yield Block((_cautions(view, columns),), 0)
    yield Block((_trouble(view, columns),), 0)
    yield Block((_notes(view, columns),), 0)
    yield Block((_heard(view.last, columns),), 4)
    yield Block((_answer(view.last, columns),), 0 if asked else 1)
    yield Block((_large(view, columns),), 3)
    yield Block(_steps(view, columns), 2, _rule(_steps_title(view), columns))
    yield Block(_warnings(view, columns), 5)
    yield Block(_why(view, columns), 6)
    yield Block(_missing(view, columns), 7, _rule("Still needed", columns))
    yield Block(_opening_marks(view, columns), 8, _rule("Openings: center", columns))
    yield Block(_readings(view, columns), 9, _rule(f"Readings, {view.unit.value}", columns))


def _rule(title: str, columns: int) -> Text:
    return Text(f"{title} "[:columns].ljust(columns, "─"), style="bold")


def _header(view: View, columns: int) -> tuple[Text, ...]:
    where = ", ".join(part for part in (view.room, f"board {view.board}") if part)
    if len(view.boards) > 1:
        where += f" of {len(view.boards)}"
    mode = "HOLDING: say resume" if view.holding else "draft: more readings to come" if view.so_far else ""
    text = f" {where}".ljust(columns - len(mode) - 1) + mode + " "
    return (Text(text[:columns], style="reverse bold"),)


def _cautions(view: View, columns: int) -> tuple[Text, ...]:
    """Every caution in full until the first step is ticked; from then on those about boxes and the one of the step in
    hand, in full, and a line that the others still hold: they would push the marks off a small screen.
    """
    every = words.cautions_of(view.plan, view.cautions)
    now = tuple(caution for caution in every if not view.ticked or words.presses(caution, view.plan, view.ticked))
    held = len(every) - len(now)
    still = (f"The {held} cautions read before step 1 still hold; on paper they stand in full.",) if held else ()
    told = (*now, *still)
    leads = ("! CAUTION: ", *("! " for _ in told[1:]))
    pairs = zip(leads, told, strict=True) if told else ()
    return tuple(line for lead, caution in pairs for line in _wrapped(lead, caution, columns, "bold yellow"))


def _notes(view: View, columns: int) -> tuple[Text, ...]:
    """That there are notes, whether or not the rows suffice to show them: some forbid a cut."""
    count = len(view.plan.warnings) if view.plan else 0
    told = f"{count} note{'s' if count != 1 else ''} on this plan: read below or on paper before the cut."
    return _wrapped("! ", told, columns, "bold") if count else ()


def _trouble(view: View, columns: int) -> tuple[Text, ...]:
    journal = _wrapped("! JOURNAL: ", view.journal_trouble, columns, "bold red") if view.journal_trouble else ()
    plan = _wrapped("NO PLAN YET: ", view.plan_trouble, columns, "bold red") if view.plan_trouble else ()
    return journal + plan


def _heard(last: Exchange | None, columns: int) -> tuple[Text, ...]:
    return _wrapped("Heard: ", f"“{last.heard}” ({last.by}, by {last.recognizer})", columns, "dim") if last else ()


def _answer(last: Exchange | None, columns: int) -> tuple[Text, ...]:
    if last is None:
        return _wrapped("", "Call a reading, for example: top forty six and seven eighths", columns, "italic")
    lead = "ANSWER THIS: " if last.asks else "Not taken: " if last.refused else "Read back: "
    return _wrapped(lead, last.answer, columns, "bold reverse" if last.asks else "bold")


def _large(view: View, columns: int) -> tuple[Text, ...]:
    """The marks of the step in hand (or of the next one that has any), or the value just read back, drawn large."""
    if view.plan is None or view.so_far:
        fresh = _fresh(view.readings)
        return _figures((("", fresh.value),), columns, f"{fresh.label}, {view.unit.value}") if fresh else ()
    if words.current_step(view.plan, view.ticked) is None:
        return (Text("Every step of this board is ticked.", style="bold"),)
    for number, step in enumerate(view.plan.steps, 1):
        caption, pairs = _step_marks(view.plan, step, view.unit)
        if pairs and number not in view.ticked:
            return _figures(pairs, columns, f"Step {number}: {caption}, {view.unit.value}")
    return ()


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
    blocks = tuple((*((at,) if at else ()), *glyphs.large(value)) for at, value in pairs[:fitting])
    rows = glyphs.side_by_side(blocks, _GAP)
    rest = "; ".join(f"{value} {at}" for at, value in pairs[fitting:])
    return (
        _rule(caption, columns),
        *(Text(row[:columns], style="bold") for row in rows),
        *(_wrapped("then ", rest, columns, "bold") if rest else ()),
    )


_GAP = 4


def _needs(pairs: tuple[tuple[str, str], ...]) -> int:
    return sum(max(glyphs.width(value), len(at)) for at, value in pairs) + _GAP * (len(pairs) - 1)


def _steps_title(view: View) -> str:
    count = len(view.plan.steps) if view.plan else 0
    done = f", {len(view.ticked)} done" if view.ticked else ""
    return f"{'DRAFT, do not cut yet: s' if view.so_far else 'S'}teps ({count}{done})"


def _steps(view: View, columns: int) -> tuple[tuple[Text, ...], ...]:
    if view.plan is None:
        return ()
    found = words.current_step(view.plan, view.ticked)
    now = found[0] if found else 0
    return tuple(
        _step(step, view.plan.board.unit, number, columns, now=number == now)
        for number, step in enumerate(view.plan.steps, 1)
        if number not in view.ticked
    )


def _step(step: Step, unit: Unit, number: int, columns: int, *, now: bool) -> tuple[Text, ...]:
    return _wrapped(
        f"{'→' if now else ' '}{number:>2}. ", steps_wording.text(step, unit), columns, "bold" if now else ""
    )


def _why(view: View, columns: int) -> tuple[tuple[Text, ...], ...]:
    """Why the step in hand is done so, or now."""
    found = words.current_step(view.plan, view.ticked) if view.plan else None
    why = steps_wording.why(found[1]) if found else None
    return (_wrapped("Why: ", why, columns, ""),) if why else ()


def _missing(view: View, columns: int) -> tuple[tuple[Text, ...], ...]:
    return tuple(
        _wrapped("  · ", f"{needs.what(item, view.unit)}: {needs.why(item, view.unit)}", columns, "")
        for item in view.missing
    )


def _readings(view: View, columns: int) -> tuple[tuple[Text, ...], ...]:
    """Two to a line where both are short enough."""
    cells = [_cell(line) for line in view.readings + view.context]
    half = (columns - 4) // 2
    items: list[tuple[Text, ...]] = []
    waiting: str | None = None
    for cell in cells:
        if waiting is not None and len(cell) <= half:
            items.append((Text(f"  {waiting.ljust(half)}  {cell}"),))
            waiting = None
            continue
        if waiting is not None:
            items.append((Text(f"  {waiting}"),))
        waiting = cell if len(cell) <= half else None
        if waiting is None:
            items.append(_wrapped("  ", cell, columns, ""))
    return (*items, (Text(f"  {waiting}"),)) if waiting is not None else tuple(items)


def _cell(line: Line) -> str:
    notes = ", ".join(note for note in (_STANDINGS[line.standing], line.note) if note)
    return f"{line.label}: {line.value}" + (f" ({notes})" if notes else "")


def _opening_marks(view: View, columns: int) -> tuple[tuple[Text, ...], ...]:
    openings = view.plan.openings if view.plan else ()
    return tuple(_wrapped(f"  {one.name}: ", _opening(one, view.unit), columns, "") for one in openings)


def _opening(opening: OpeningPlan, unit: Unit) -> str:
    x, y = opening.center.x.text(unit), opening.center.y.text(unit)
    state = f", circuit said {opening.state.value}" if opening.state else ""
    return f"{x} from {opening.x_from}, {y} from {opening.y_from}{state}"


def _warnings(view: View, columns: int) -> tuple[tuple[Text, ...], ...]:
    warnings = view.plan.warnings if view.plan else ()
    return tuple(_wrapped("Note: ", warnings_wording.text(warning, view.unit), columns, "") for warning in warnings)


def _wrapped(lead: str, text: str, columns: int, style: str) -> tuple[Text, ...]:
    """`text` after `lead`, wrapped with a hanging indent. No word of it is lost."""
    lines = words.lines(lead + text, columns, " " * min(len(lead), columns // 3))
    return tuple(Text(line, style=style) for line in lines)
