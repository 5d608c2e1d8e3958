"""A room's facts in words: what is wrong in its file, what its plan keeps, and what to do."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Course, TopPoint
from fieldvoice.records.room_plan import LayoutRule, Piece, PieceName, RoomPlan, RoomWarning, RoomWarningCode, RuleCode
from fieldvoice.records.trouble import Fault, FileFault
from fieldvoice.wording.forms import TO_ITS_SHAPE, Form, InWords, as_planned, counted, joined, piece_size, slope_text

_FAULTS: dict[Fault, str] = {
    Fault.UNREADABLE: "It can't be read ({given}). Check its name and the permissions.",
    Fault.NOT_TOML: "This is not TOML: {given}.",
    Fault.MISSING: "It isn't there. Add it.",
    Fault.PEAK: "A peak is written as peak_height, and peak_from_left where it isn't over the middle. Write it so.",
    Fault.CURVE: "Write a curved wall as a flat one, as wide as its face is long along the curve. "
    "`fieldvoice bend` says which board goes round.",
    Fault.RISING_FLOOR: "A wall is planned over a level floor alone. Leave out one that begins along stairs, and "
    "measure its boards at the wall.",
    Fault.ROUND_OPENING: "An opening is a rectangle. Write the largest one inside it: what board is left in it is cut "
    "out once it hangs.",
    Fault.ONE_OF_BOTH: "A wall has {given} or {allowed}, not both. Take one out.",
    Fault.TOP_OUT_OF_ORDER: "The places where the top changes its slope come from left to right, between the ends of "
    "the wall. Check them.",
    Fault.TOP_RISES_AGAIN: "The top rises, falls and rises again. Write such a wall as two, one on each side of its "
    "lowest place.",
    Fault.NO_PEAK: "A peak is higher than both ends of its wall. Check the heights.",
    Fault.NOT_BREAKS: "“{given}” isn't a list of places, {allowed} at most. Write each as how far from the left end, "
    'and how high: [["40", "108"], ["80", "108"]].',
    Fault.UNKNOWN_KEY: "No such key is known here. Take it out, or use one of: {allowed}.",
    Fault.NOT_TEXT: "{given} is not text. Put it in quotes.",
    Fault.ONE_TABLE: "There is one of it. Write {given} in a line of its own, once, and its keys below.",
    Fault.SEVERAL_TABLES: (
        "There can be several of it. Write {given}, in two brackets, in a line of its own above each one's keys."
    ),
    Fault.NO_TABLE: "It isn't there. Write {given} in a line of its own, and its keys below.",
    Fault.TABLE_AGAIN: (
        "{given} comes again, or with other brackets. Where there can be several, write each in two: [[{low}]]. Else "
        "put its keys under the first."
    ),
    Fault.NOT_A_LIST: "{given} is not a list. Write it in square brackets.",
    Fault.EMPTY: "It is empty. Fill it in.",
    Fault.NO_JOISTS: "It is empty, and a ceiling hangs on its joists. Say where they are, or list their places.",
    Fault.TOO_LONG: "“{given}” is too long. Give it {allowed} characters at most.",
    Fault.NOT_SHOWN: "“{given}” holds marks that can't be printed. Take them out.",
    Fault.DECIMAL: "{given} is a decimal without quotes, which isn't exact. Put it in quotes.",
    Fault.NOT_A_LENGTH: '“{given}” is not a length. Write it like "46 7/8", "1190.5" or a whole number.',
    Fault.NOT_POUNDS: '“{given}” is not pounds a square foot. Write it like "1.78" or a whole number.',
    Fault.LIMITS: "{given} can't be meant. Give {low} to {high}, or check the unit.",
    Fault.TOO_MANY_DIGITS: "A number in it has thousands of digits. Check it.",
    Fault.NOT_POSITIVE: "{given} is not a size. Give a length above zero.",
    Fault.NEGATIVE: "{given} is below zero. Measure from the lower left corner, so that nothing is.",
    Fault.TOO_LARGE: "{given} is over 200 ft (60.96 m). Check the number and the unit.",
    Fault.TOO_FINE: "{given} is finer than a tape shows. Give whole 64ths of an inch, or tenths of a millimeter.",
    Fault.NOT_A_COUNT: "{given} is not a whole number from 1 to {allowed}. Write it without quotes.",
    Fault.NOT_ONE_OF: "“{given}” is not known. Use one of: {allowed}.",
    Fault.NOT_A_SHEET: '“{given}” is not a sheet. Write width and length like "48 x 144".',
    Fault.SHEET_SIZE: "“{given}” can't be a sheet. Give the width first, {low} or more, then the length, "
    "{high} or less.",
    Fault.NOT_MEMBERS: (
        '“{given}” doesn\'t say where the framing is. Write "16 on center from left", for joists '
        '"16 on center along width", or a list of places.'
    ),
    Fault.NO_DIRECTION: (
        '“{given}” doesn\'t say which way the joists are counted. Write "along width" or "along length" behind it: '
        "they run the other way."
    ),
    Fault.SPACING: "{given} on center is outside what is framed. Give {low} to {high}.",
    Fault.OUTSIDE: "{given} It lies outside the surface. Check its place and its size.",
    Fault.OVERLAP: "It overlaps an opening above it in the file. Check their places.",
    Fault.SAME_NAME: "Two surfaces are called “{given}”. Give each its own name in its room.",
    Fault.PIECE_NAME: "Pieces above are called “{given}” too. Give each table a name; `count` is for several alike.",
    Fault.TWICE: "“{given}” is listed twice. Take one out.",
    Fault.TWO_WAYS: "“{given}” is written “{allowed}” above. Write it in one way, or give the other room another name.",
    Fault.NOT_NUMBERS: "“{given}” isn't {allowed} whole numbers above zero. Check the line.",
    Fault.COUNT: "The pieces are not as many as the first line says. Check them, or fix the first line.",
    Fault.OFFCUT_SMALL: "{given} is smaller than any offcut that is kept. Take it out.",
    Fault.OFFCUT_EDGE: "With a factory edge on that side {given} would be wider than any sheet. Write the other side, "
    "or leave the key out.",
    Fault.OFFCUT_LARGE: "{given} is larger than any sheet. Check both sides.",
    Fault.OFFCUT_WIDTH: (
        "{given} has no side that a sheet is wide, as far as both factory edges are apart. Say which are: `long side`, "
        "`short side` or `none`."
    ),
    Fault.FITS_NO_SHEET: "It fits no sheet on the list. Check its size, or add a larger sheet.",
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


_RULES: dict[RuleCode, str] = {
    RuleCode.FEWEST_FEET: "Fewest feet of sheet, then fewest feet of butt joint, then fewest pieces.",
    RuleCode.CEILINGS_FIRST: "Ceilings are hung first, then walls from the top down.",
    RuleCode.JOINTS_ON_FRAMING: "Every butt joint lands on framing.",
    RuleCode.STAGGER: "Butt joints of neighboring courses are {0} or more apart.",
    RuleCode.OPENING_CORNERS: "No butt joint is within {0} of an opening's corner. Where that can be "
    "no board has both its ends over or under an opening that a sheet reaches past.",
    RuleCode.NO_NEEDLESS_JOINT: "There is no butt joint where one sheet reaches.",
    RuleCode.LEAST_PIECE: "No piece is shorter than {0} where its wall is longer.",
    RuleCode.LEAST_STRIP: "No ripped course is narrower than {0} where it can be wider.",
    RuleCode.FACTORY_EDGES: "Factory edges meet; ripped edges go to the floor, the ceiling or a corner.",
    RuleCode.FLOOR_GAP: "The gap at the floor is {0}; anything from {1} to {2} is as good before a sheet is ripped.",
    RuleCode.FOOT_LIFT: "The lowest board is lifted with a foot lift, which the gap of {0} or more leaves room for.",
    RuleCode.ACROSS_JOISTS: "Ceiling sheets run across the joists; along them only at {0} on center or closer.",
    RuleCode.LAYERS_SHIFTED: "Layers keep their long joints {0} and their butt joints {1} apart.",
    RuleCode.FOUR_SIDES: (
        "Under a slope joints are placed, at a peak too, and sheets stood up, so that each board has four sides where "
        "that can be."
    ),
    RuleCode.STAGED_CUTS: (
        "A sheet is cut to length, ripped, then cut to length again, always from edge to edge; under a slope rips are "
        "in steps of {0}."
    ),
}

_WARNINGS: dict[RoomWarningCode, str] = {
    RoomWarningCode.FRAMING_TOO_WIDE: (
        "{surface}: the framing is {0} apart, more than {1}. Board may bow there. Add framing, or ask what your local "
        "code allows."
    ),
    RoomWarningCode.SAG: (
        "{surface}: sheets along joists {0} apart may sag; {1} is the most. Hang them across the joists."
    ),
    RoomWarningCode.WISH_NOT_KEPT: "{surface}: it can't be hung the way that was asked. It is planned as usual.",
    RoomWarningCode.CUT_EDGE_IN_JOINT: (
        "{surface}: {0} of joint has a cut edge in it, since no full sheet ends on its framing. Tape it like a butt "
        "joint."
    ),
    RoomWarningCode.SLIVER: (
        "{surface}: a piece of it is a strip only {0} wide, {1} long: too narrow to screw both edges. Glue it, or let "
        "trim or the board around the corner cover it."
    ),
    RoomWarningCode.NOT_FOUR_SIDED: (
        f"{{surface}}: the slope runs out to a point on a board of it. No marks are given for such a board. "
        f"{TO_ITS_SHAPE}"
    ),
    RoomWarningCode.UNLIKELY_SIDE: "{surface}: few have a side of {0}. Check the number and the unit before you buy.",
}


def rule_text(rule: LayoutRule, unit: Unit) -> str:
    """A rule in a sentence, with its figures."""
    return _RULES[rule.code].format(*_figures(rule.values, unit))


def warning_text(warning: RoomWarning, unit: Unit) -> str:
    """A warning: where, what it means, what to do."""
    about = str(warning.surface) if warning.surface else "The plan"
    return _WARNINGS[warning.code].format(*_figures(warning.values, unit), surface=about)


_ALOUD: dict[RoomWarningCode, str] = {
    RoomWarningCode.FRAMING_TOO_WIDE: "{surface}: framing {0} apart.",
    RoomWarningCode.SAG: "{surface}: sheets along the joists may sag.",
    RoomWarningCode.WISH_NOT_KEPT: "{surface} can't be hung that way.",
    RoomWarningCode.CUT_EDGE_IN_JOINT: "{surface}: a joint has a cut edge.",
    RoomWarningCode.SLIVER: "{surface}: a strip only {0} wide.",
    RoomWarningCode.UNLIKELY_SIDE: "{surface}: few have a side of {0}.",
    RoomWarningCode.NOT_FOUR_SIDED: "{surface}: a board runs out to a point.",
}


def warning_aloud(warning: RoomWarning, ear: InWords) -> str:
    """Where and what, in a breath: what to do is on the screen."""
    about = ear.words(warning.surface) if warning.surface else "The plan"
    return _ALOUD[warning.code].format(*map(ear.length, warning.values), surface=about)


def _figures(values: Sequence[Length], unit: Unit) -> list[str]:
    return [value.text_with_unit(unit) for value in values]


def _run(feet: Fraction, unit: Unit, *, up: bool = True) -> str:
    """Feet of sheet; in a job in millimeters meters of it to the decimeter, a bound never more than it is."""
    if unit is Unit.INCH:
        return f"{Length(feet)} ft"
    run, step = Length(feet * 12), Length.of(100, unit)
    meters = (run.rounded_up(step) if up else run.rounded_down(step)).in_unit(unit) / 1000
    return f"{float(meters):.1f} m"


def all_pieces_text(values: Sequence[object], form: Form) -> str:
    """That every piece of a layout is a board: how many, then those that nothing is cut for yet."""
    count, *begun = map(form.words, values)
    told = f"Every piece of the layout is a board now, {count} in all.{begun_text(begun)}"
    return told if begun else f"{told} Call the next wall, or go on with this board."


def begun_text(boards: Sequence[str]) -> str:
    """The boards that nothing is cut for yet, and how to go on with the first; nothing where there are none."""
    which = "board" if len(boards) == 1 else "boards"
    return f" No plan yet for {which} {joined(boards)}: say board {boards[0]}." if boards else ""


def unsaid_text(names: Sequence[str]) -> str:
    """Names of a planned house that nobody can say, and what to write instead."""
    told = joined([f"“{name}”" for name in names])
    return (
        f"no words lead to {told}. Write rooms as in bathroom, bedroom 2 or room 3, walls as in north, back or 2, and "
        "the ceiling as ceiling."
    )


def not_called_text(unsaid: Sequence[str], twice: Sequence[str]) -> str:
    """That no job takes a house by these names, though it is planned, and what to write instead."""
    begin = "Whether or not it can be planned, `--house` takes it into no job: "
    if unsaid:
        return f"{begin}{unsaid_text(unsaid)}"
    return f"{begin}by their words there are two of {joined(twice)}. Give one of them another name."


def progress_text(feet: Fraction, bound: Fraction | None, unit: Unit) -> str:
    """How far a plan has come."""
    so_far = f"{_run(feet, unit)} of sheet so far"
    if bound is None:
        return f"{so_far}, looking for less."
    return f"{so_far}; no plan can need less than {_run(bound, unit, up=False)}."


def standing_text(plan: RoomPlan) -> str:
    """What a plan comes to, and how far it can be from the best."""
    sheets = counted(sum(one.count for one in plan.sheets), "sheet")
    boards = f"{counted(len(plan.pieces), 'board')} from {sheets}"
    than = "" if plan.proved else f" than {_run(plan.bound_feet, plan.unit, up=False)}"
    feet = f"{_run(plan.feet, plan.unit)} of sheet"
    return f"{boards}: {feet}. Under these rules none can need less{than}. {_joint_text(plan)}"


def _joint_text(plan: RoomPlan) -> str:
    """How much butt joint, and how far that can be from the least. Under a slope both are told to the next 1/16."""
    joint = butt_joint(plan.butt_feet, plan.unit).capitalize()
    least = butt_joint(plan.least_butt_feet, plan.unit)
    if not plan.butt_feet or not (plan.least_butt_feet or plan.least_pieces):
        return f"{joint}."
    if plan.least_pieces is not None:
        return f"{joint}: with as much sheet none can have less, nor fewer boards."
    return f"{joint}: with as much sheet none can have less than {least.removesuffix(' of butt joint')}."


def piece_text(piece: Piece, unit: Unit) -> str:
    """A board: its number, its size as wide by high, and where its lower left corner goes."""
    size = piece_size(piece, unit)
    course = piece.course.value if isinstance(piece.course, Course) else f"course {piece.course}"
    layer = f", layer {piece.layer}" if piece.layer > 1 else ""
    place = f"{piece.x.text(unit)} from the left, {piece.y.text(unit)} up"
    return f"{piece.name.number}. {size}, {piece.lies.value}, {course}{layer}, {place}{_slope(piece, unit)}"


def _slope(piece: Piece, unit: Unit) -> str:
    """How its top slopes, as a board of it is told."""
    if not piece.slopes:
        return ""
    corners = [TopPoint(as_planned(one.across, unit), as_planned(one.height, unit)) for one in piece.top_corners]
    return f", {slope_text(corners, Form(unit))}{', to a point' if piece.pointed else ''}"


def piece_of(name: PieceName) -> str:
    """A piece by its surface, whose own name may end in a number."""
    return f"{name.surface} no. {name.number}"


def cut_from_text(sheet: str, offcut: str | None, others: Sequence[str]) -> str:
    """What a board is cut from, and which others come out of the same sheet."""
    source = f"From a sheet {sheet}" if offcut is None else f"From the offcut {offcut}, {sheet}"
    return f"{source}, with {', '.join(others)}." if others else f"{source}."


def fill_text(width: int, height: int, value: int, bound: int) -> str:
    """What a sheet's best fill is worth."""
    if value == bound:
        return f"{value} out of a sheet of {width} x {height}. None is worth more."
    return f"{value} out of a sheet of {width} x {height}. None is worth more than {bound}."


def list_text(sheets: int, feet: Fraction, bound: Fraction, unit: Unit) -> str:
    """What a list of pieces takes."""
    than = "" if feet == bound else f" than {_run(bound, unit, up=False)}"
    return f"{counted(sheets, 'sheet')}, {_run(feet, unit)}. None can need less{than}."


def butt_joint(feet: Fraction, unit: Unit) -> str:
    """How much butt joint a surface has, as it is taped: `5 ft 4 1/2 in of butt joint`."""
    if not feet:
        return "no butt joint"
    joint = as_planned(Length(feet * 12), unit)
    if unit is Unit.MM:
        return f"{joint.text(unit)} mm of butt joint"
    whole, rest = divmod(joint.inches / 12, 1)
    parts = ([f"{whole} ft"] if whole else []) + ([f"{Length(rest * 12).text(unit)} in"] if rest else [])
    return f"{' '.join(parts)} of butt joint"
