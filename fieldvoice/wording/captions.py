"""What stands on a drawing beside its figures, and on paper, screen and page beside marks, readings and steps; what
each key does, and what helps a phone to trust the page.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime

from fieldvoice.records.board import Offcut, Sheet, Surface
from fieldvoice.records.length import ZERO, Length, Unit
from fieldvoice.records.meaning import Circuit, Edge
from fieldvoice.records.plan import CutLine, CutPlan, Gap, Hook, Mark, Method, OpeningPlan
from fieldvoice.records.room import RoughOpening, RoughOpeningKind
from fieldvoice.records.said import BoxWord
from fieldvoice.wording.forms import as_taped, counted, first_large, hook, offcut_text, place, size_text

FACE = "FACE"
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


def opening_names(openings: Sequence[RoughOpening]) -> tuple[str, ...]:
    """What each opening of a wall or a ceiling is called on its drawing: by its number where there are several such."""
    kinds = [rough_opening(one.kind) for one in openings]
    return tuple(
        name if kinds.count(name) == 1 else f"{name} {kinds[: index + 1].count(name)}"
        for index, name in enumerate(kinds)
    )


def opening_figures(one: RoughOpening, kind: Surface, unit: Unit) -> tuple[str, ...]:
    """How large an opening is and where: from the left, and up from the floor to its sill and its head, or on a ceiling
    from the near end; a light by its center, a door on the floor by its size alone.
    """
    if one.kind is RoughOpeningKind.LIGHT:
        across, up = one.left + one.width / 2, one.bottom + one.height / 2
        center = f"center {across.text(unit)} from left", f"{up.text(unit)} from below"
        return f"{one.width.text(unit)} across", *center
    places = [f"{one.width.text(unit)} x {one.height.text(unit)}", f"{one.left.text(unit)} from left"]
    if kind is Surface.CEILING:
        places.append(f"{one.bottom.text(unit)} from below")
    elif one.bottom > ZERO:
        low, high = ("bottom", "top") if one.kind is RoughOpeningKind.OTHER else ("sill", "head")
        places += [f"{low} {one.bottom.text(unit)}", f"{high} {one.top.text(unit)}"]
    return tuple(places)


def opening_line(name: str, figures: Iterable[str]) -> str:
    """The same in a line below the drawing."""
    return f"{first_large(name)}: {', '.join(figures)}."


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
    return (
        f"{UNITS[unit]}, from the lower left corner. In rings: order of hanging. Heavy: butt joint. "
        "Two rows of short dashes: tapered joint. Long dashes: framing."
    )


STEPS = "STEPS: tick each one"
CAUTIONS = "CAUTIONS"
NOTES = "NOTES"
MADE_FROM = "MADE FROM"
LISTS = "All boards"
ALL_WALLS = "What it takes, and the order of work"
BOARDS = "BOARDS"
NOT_HERE = "NOT ON THIS PAPER"
NOT_DRAWN = "NOT ON THIS DRAWING"
SHEETS = "SHEETS"
FASTENING = "FASTENING"
HANGING_ORDER = "BOARDS, in the order of hanging"
TAKE_OFF = "TAKE-OFF"
TAKE_OFF_BOARDS = "TAKE-OFF of these boards, each by itself"
SO_FAR = "so far: readings are missing or in question"
OFFCUTS = "One sheet a board; an offcut that is large enough may save one."
MARK_THE_FACE = "Mark the face: left is left."
NO_CUT = "No cut: the whole sheet is hung."
NOT_SAID = "Nobody has said that it is dead and tested. No tool goes into it: cut it beforehand, by hand."
TEST_AGAIN = "Paper doesn't know what has happened since: test again before the tool goes in."


def clock(at: datetime) -> str:
    """A time as the clock on the wall shows it."""
    return f"{at.astimezone():%Y-%m-%d %H:%M}"


def source_line(plan: CutPlan) -> str:
    """What the board is cut from: a sheet, or an offcut by its name."""
    source = "Sheet" if plan.from_offcut is None else f"Offcut “{plan.from_offcut}”,"
    return f"{source} {sheet_size(plan.sheet, plan.board.unit)}, {plan.lies.value}"


def sheet_size(sheet: Sheet, unit: Unit) -> str:
    """`48 x 96 in, 1/2 thick, regular`."""
    return f"{size_text(sheet, unit)} {unit.value}, {sheet.thickness.text(unit)} thick, {sheet.kind}"


def cut_title(cut: CutLine) -> str:
    """`RIGHT EDGE`."""
    return f"{cut.edge.value.upper()} EDGE"


def marks_title(cut: CutLine, unit: Unit) -> str:
    """`RIGHT EDGE: straight cut, marks from the left edge (in)`."""
    return f"{cut_title(cut)}: {cut.shape.value} cut, marks from the {cut.origin.value} edge ({unit.value})"


def cut_hook(cut: CutLine, *, origin_cut: bool, unit: Unit) -> str:
    """Where the tape hooks on for a cut."""
    edge = f"{cut.origin.value} {'cut' if origin_cut else 'factory'} edge"
    return f"{cut.shape.value} cut, tape on the {edge} ({unit.value})"


def other_way(way: str) -> str:
    """Another way to an opening's center, beside its sides: `or its center 16 1/2 from right factory edge`."""
    return f"or its center {way}"


def center_from(edge: str) -> str:
    """Which edge a figure of a box is from."""
    return f"from the {edge}"


def opening_title(opening: OpeningPlan) -> str:
    """`BOX 1: single gang, cut beforehand by hand`."""
    return f"{opening.name.upper()}: {opening.kind}, {opening.method.value}"


def opening_center(opening: OpeningPlan, unit: Unit) -> str:
    """Where the center of an opening lies, from the edges that it is marked from."""
    x, y = opening.center.x.text(unit), opening.center.y.text(unit)
    return f"center {x} from {opening.x_from}, {y} from {opening.y_from}"


def opening_sides(opening: OpeningPlan, unit: Unit) -> str:
    """Where the sides of an opening lie on the board."""
    left, right, top, bottom = (side.text(unit) for side in (opening.left, opening.right, opening.top, opening.bottom))
    return f"sides {left} and {right} from the board's left, {top} and {bottom} from its top"


def circuit_state(state: Circuit | None) -> str:
    """What was said of the circuit of an opening, after its title."""
    if state is None:
        return ""
    return {
        Circuit.DEAD: "; circuit said dead and tested",
        Circuit.LIVE: "; CIRCUIT SAID LIVE",
        Circuit.UNKNOWN: "; CIRCUIT NOT KNOWN: treat as live",
    }[state]


NOT_MARKED = "Nothing is marked: it is cut out along its framing once the board hangs."
"""An opening that is cut in place."""


def waits(opening: OpeningPlan) -> str:
    """An opening that is neither marked nor cut yet."""
    return f"{opening.name} waits: measure it again before it is marked or cut."


def cut_name(cut: CutLine, mark: Mark, unit: Unit) -> str:
    """Which mark of which cut, in a table."""
    return f"{cut.edge.value} edge {place(mark.at, unit)}, from {cut.origin.value}"


def side_name(opening: str, side: str, start: str) -> str:
    """Which side of an opening, in a table."""
    return f"{opening}, {side} side, from {start}"


def circuit_as_said(state: Circuit) -> str:
    """A circuit in a table: nobody here vouches for it. Where nobody said anything, nothing was said of it."""
    if state is Circuit.UNKNOWN:
        return "circuit: not said dead and tested, treat as live"
    return f"circuit: {state.value}, as was said"


def circuit_line(word: BoxWord | None) -> str:
    """By whom a circuit was said to be what, when and until when."""
    if word is None or word.state is Circuit.UNKNOWN:
        return NOT_SAID
    if word.state is Circuit.LIVE:
        return f"SAID LIVE by {word.by}, {clock(word.at)}. No tool goes into it: cut it beforehand, by hand."
    until = f", counts until {clock(word.until)}" if word.until is not None else ""
    return f"Said dead and tested by {word.by}, {clock(word.at)}{until}. {TEST_AGAIN}"


def broken(cut: CutLine, marks: str) -> str:
    """Another cut that leaves less open."""
    return f"Or, closer to what stands there, {cut.edge.value} edge cut in straight pieces: {marks}."


def gaps(each: Iterable[Gap], unit: Unit) -> str:
    """What stays open once the board hangs."""
    taped = [(f"{gap.edge.value} {place(gap.at, unit)}", as_taped(gap.gap, unit)) for gap in each]
    told = "; ".join(f"{where} {width.text(unit)}" for where, width in taped if width)
    tight = "; ".join(where for where, width in taped if not width)
    if not told:
        return f"Checked: once hung no gap stays open: {tight}."
    return f"Checked: once hung these gaps stay open ({unit.value}): {told}.{f' No gap: {tight}.' if tight else ''}"


def reading(label: str, value: str, by: str, note: str | None) -> str:
    """One value that the board was made from, and who called it."""
    return f"{label} {value} ({', '.join(part for part in (by, note) if part)})"


def printed(at: datetime, job: str | None, last: datetime | None, version: str) -> str:
    """When and what from the paper was made."""
    source = f" from job {job}" if job else ""
    entry = f", last entry {clock(last)}" if last is not None else ""
    return f"Made {clock(at)} by fieldvoice {version}{source}{entry}."


def page_of(number: int, count: int) -> str:
    """`page 3 of 16`."""
    return f"page {number} of {count}"


def part_of(title: str, number: int, count: int) -> str:
    """The head of a page; where a board or a wall takes several, which of them it is."""
    return title if count == 1 else f"{title}, part {number} of {count}"


def listed_cut(cut: CutLine, marks: str) -> str:
    """A cut in the list of boards."""
    return f"{cut.edge.value} {marks} from {cut.origin.value}"


def listed_opening(opening: OpeningPlan, at: tuple[Length, Length], unit: Unit) -> str:
    """An opening in the list of boards."""
    x, y = at
    way = "rout" if opening.method is Method.ROUT else "no tool in it" if opening.state is not None else "saw"
    return f"{opening.name} {x.text(unit)}, {y.text(unit)} ({way})"


def count_of_sheets(count: int, size: str) -> str:
    """`2 sheets 48 x 96 in, 1/2 thick, regular`."""
    return f"{counted(count, 'sheet')} {size}"


def on_rack(offcut: Offcut, unit: Unit) -> str:
    """What lies on the rack, under the name that is written on it."""
    return f"On the rack: “{offcut.name}”, {offcut_text(offcut, unit)}"


def board_from_offcut(board: str, offcut: str) -> str:
    """A board that takes no sheet."""
    return f"{board}: from the offcut “{offcut}”"


KEYS = (
    ("Enter", "ticks the step in hand; so does “next”, a foot switch or a clicker that types Enter"),
    ("Backspace", "takes the last tick back; so does “back”"),
    ("any line", "is a call or an order, as if it were said: t 46 7/8, box 1 dead and tested, undo"),
    ("!", "all cautions"),
    ("Tab", "all steps and notes"),
    ("?", "this page, and back"),
    ("Ctrl-L", "redraws the screen"),
    ("Ctrl-C", "ends; everything is kept"),
)
SAY_WHILE_MEASURING = "top forty six and seven eighths · left edge board · what's missing · undo · done"
SAY_WHILE_CUTTING = "next · back · box one dead and tested · say again · next board"
READ_CAUTIONS = "Read these once before the first cut. Enter: read and understood."
NO_CAUTIONS = "There is no plan yet, so nothing to read. Cautions come with it, before the first cut."
NO_STEPS = "There is no plan yet, so no steps."
TOO_SMALL = "There is more: enlarge this window."
WINDOW_TOO_SMALL = "Enlarge this window"
MEASURING = "MEASURING, not to cut yet"
HOLDING = "HOLDING: say resume"
CLIPS = "TOO CLOSE OR TOO LOUD: it clips"
FIRST_CALL = "Call a reading: top forty six and seven eighths"
ENOUGH = "Nothing more is needed: say done."
PART_WAITS = "All is measured: say done, and what is missing is asked for."
SOME_NOT_TAKEN = "Something called wasn't taken: say it again, or say done."
ALL_TICKED = "Every step of this board is ticked. Say next board."

LINK_REFUSED = {
    401: "This link isn't valid here. Ask for the link on the screen at the sheets.",
    403: "This request came from another page, so nothing was done.",
    413: "That is too long for a call.",
    429: "Too many requests from here. Wait a minute.",
    503: "Too many are watching. Close another page first.",
}
"""What a browser is told, by HTTP status."""
PHONE_TAKEN = "another phone is the microphone"


def more_lines(count: int, key: str) -> str:
    """That a page goes on, and which key shows the rest."""
    return f"… {count} more line{'s' if count > 1 else ''}: press {key}"


def board_named(board: str, room: str | None) -> str:
    """The room and the board: `kitchen, board 1`."""
    return f"{room}, board {board}" if room else f"board {board}"


def heard(by: str, words: str, became: str, *, refused: bool) -> str:
    """What somebody called, and what it became where that isn't asked."""
    return f"{by}: “{words}”.{' Not taken:' if refused and became else ''}{f' {became}' if became else ''}"


def edge_marks(edge: Edge, origin: Hook) -> str:
    """Which cut the marks are of, and where the tape hooks on."""
    return f"{edge.value.upper()} EDGE: hook on {hook(origin)}"


def step_of(number: int | None, count: int) -> str:
    """How far the cutting is; None is past the last step."""
    return "CUT, all steps done" if number is None else f"CUT, step {number} of {count}"


def level(shown: str, level_db: float, noise_db: float, *, loud: bool) -> str:
    """What the microphone brings."""
    return f"{shown} {level_db:3.0f} dB, noise {noise_db:3.0f} dB{' LOUD' if loud else ''} "


def notes(count: int) -> str:
    """That a plan has notes."""
    return f"{count} notes on this plan: Tab shows them." if count > 1 else "1 note on this plan: Tab shows it."


TRUST_TITLE = "Let this phone trust the page"
TRUST_WHY = (
    "Without this the phone gives the page no microphone and lets the screen go dark. The certificate can vouch for "
    "addresses of private networks alone, and for no site of the internet."
)
TRUST_COMPARE = (
    "Compare these figures with those on the screen at the sheets. If one differs, stop: it is not our machine."
)
TRUST_STEPS = (
    "Get the certificate with the link below.",
    "Android: Settings, search for “CA certificate”, install it from Downloads.",
    "iPhone: Settings, General, VPN & Device Management: install the profile.",
    "iPhone, after that: Settings, General, About, Certificate Trust Settings: switch it on.",
    "There the phone shows the SHA-256 fingerprint: compare it once more.",
    "Then open the link of the page itself.",
    "When the job is done take the certificate off the phone again, in the same place.",
)
TRUST_GET = "The certificate"
