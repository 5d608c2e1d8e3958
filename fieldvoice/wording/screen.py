"""What stands on the screen and on the page beside marks, readings and steps, what each key does, and what helps a
phone to trust the page.
"""

from __future__ import annotations

from fieldvoice.records.meaning import Edge
from fieldvoice.records.plan import Hook
from fieldvoice.wording.figures import hook

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
