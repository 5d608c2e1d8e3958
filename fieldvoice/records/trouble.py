"""What went wrong, as values: what hinders a plan, and what is wrong with the machine, both worded in
`wording.troubles`; and what is wrong in a file that a person wrote, at its table and key.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Any, Generic, TypeVar


class Hinders(StrEnum):
    """What keeps a plan, a layout or the screws from being told: all that the dialogue tells of, so that a job's file
    may hold these, and none of the others.
    """

    HELD_BACK = "held back"
    NO_SHEET_OF_LENGTH = "sheet length not listed"
    WALL_IN_FLOOR_GAP = "wall in floor gap"
    NO_LAYOUT = "no layout"
    NO_JOINT_PLACES = "no place for joints"
    JOINTS_TOO_NEAR = "joints too near"
    ROUND_WHAT_HANGS = "round what hangs"
    NOT_FOUR_SIDED = "not four-sided"
    NO_FASTENING_ROW = "no fastening row"
    NO_LENGTH_SOLD = "no fastener so long"


class Wrong(StrEnum):
    """What is wrong with a file, a device or an installation, by what it is about."""

    JOURNAL_BUSY = "journal busy"
    JOURNAL_CLOSED = "journal closed"
    JOURNAL_DAMAGED = "journal damaged"
    JOURNAL_NOT_OPENED = "journal not opened"
    JOURNAL_NOT_READ = "journal not read"
    LOST_UNCONFIRMED = "lost, unconfirmed"
    TO_CONFIRM = "values to confirm"
    NOT_KEPT = "not kept"
    NO_JOURNAL = "no journal there"
    NOT_A_JOURNAL = "not a journal"
    NEWER_JOURNAL = "newer journal"
    OLD_JOB = "job of 0.1"
    OLD_JOB_DAMAGED = "job of 0.1 damaged"

    NO_EXPORT = "no exported job"
    NO_EXPORT_FORMAT = "no exported job's format"
    NO_EXPORT_ENTRIES = "no exported entries"
    OTHER_EXPORT = "export of another version"
    EXPORT_CHANGED = "export changed"
    EXPORT_OUT_OF_ORDER = "export out of order"
    EXPORT_CUT_OFF = "export cut off"
    EXPORT_NOT_OPENED = "export not opened"
    JOB_THERE = "job there already"
    JOB_NOT_WRITTEN = "job not written"

    NO_MICROPHONE = "no microphone"
    NO_SUCH_MICROPHONE = "no such microphone"
    NO_PORTAUDIO = "no portaudio"
    MICROPHONE_NOT_OPENED = "microphone not opened"
    MICROPHONE_SILENT = "microphone silent"
    MICROPHONE_TOO_LOUD = "microphone too loud"
    MICROPHONE_GONE = "microphone gone"
    MICROPHONE_BACK = "microphone back"
    NARROW_MICROPHONE = "narrow microphone"
    SOUND_DROPPED = "sound dropped"
    PHONE_JOINED = "phone joined"
    PHONE_LEFT = "phone left"
    PHONE_DROPPED = "phone dropped"
    PHONE_SILENT = "phone silent"

    WAV_NOT_READ = "wav not read"
    NO_WAV = "no wav"
    WAV_EMPTY = "wav empty"
    WAV_WITHOUT_SOUND = "wav without sound"
    WAV_CUT_OFF = "wav cut off"
    WAV_RATE = "wav rate"
    WAV_TOO_LONG = "wav too long"
    RECORDING_SILENT = "recording silent"
    RECORDING_TOO_LOUD = "recording too loud"
    NOBODY_SPEAKS = "nobody speaks"
    SOUND_NOT_KEPT = "sound not kept"

    NO_EAR = "no ear"
    NO_RECOGNIZER = "no recognizer"
    NO_CTRANSLATE2 = "no ctranslate2"
    NO_VOSK = "no vosk"
    NO_VOSK_MODEL = "no vosk model"
    NO_WHISPER_MODEL = "no whisper model"
    NO_MODEL_FOLDER = "no model folder"
    MODEL_NOT_COMPLETE = "model not complete"
    MODEL_EXCHANGED = "model exchanged"
    WHISPER_NOT_LOADED = "whisper not loaded"
    WHISPER_TOKENS = "whisper tokens"
    VOSK_NOT_LOADED = "vosk not loaded"
    VOSK_WORDS_FIXED = "vosk words fixed"
    VOSK_LACKS_WORDS = "vosk lacks words"
    HEAD_NOT_READ = "head not read"
    HEAD_CHANGED = "head changed"
    ENCODER_NOT_READ = "encoder not read"
    ENCODER_CHANGED = "encoder changed"
    FITTING_DAMAGED = "fitting damaged"
    FITTED_TO_OTHER_EAR = "fitted to other ear"
    FITTED_ON_OTHER_MICROPHONE = "fitted on other microphone"

    NO_MODEL_TO_FETCH = "no model to fetch"
    MODEL_NOT_WRITTEN = "model not written"
    FETCHED_IN_PART = "fetched in part"
    FETCHED_OTHER = "fetched other"
    NO_ARCHIVE = "no archive"
    ARCHIVE_LACKS = "archive lacks"
    ARCHIVE_LEADS_OUT = "archive leads out"
    ARCHIVE_TOO_LARGE = "archive too large"

    NO_LOUDSPEAKER = "no loudspeaker"
    NO_SYNTHESIZER = "no synthesizer"
    NO_SUCH_VOICE = "no such voice"
    NO_DXF_LIBRARY = "no dxf library"

    PORT_TAKEN = "port taken"
    LINKS_NOT_KEPT = "links not kept"
    CERTIFICATE_NOT_KEPT = "certificate not kept"
    NO_SECURE_LIBRARY = "no secure library"


Code = TypeVar("Code", bound=StrEnum)


@dataclass(frozen=True, slots=True, init=False)
class _Coded(Generic[Code]):
    """A code, and the values that its sentence in `wording.troubles` tells, each with its name."""

    what: Code
    told: tuple[tuple[str, object], ...]

    def __init__(self, what: Code, told: tuple[tuple[str, object], ...] = (), **named: object) -> None:
        object.__setattr__(self, "what", what)
        object.__setattr__(self, "told", (*told, *named.items()))

    @property
    def named(self) -> dict[str, Any]:
        """What is told, by its names."""
        return dict(self.told)


@dataclass(frozen=True, slots=True, init=False)
class Hindrance(_Coded[Hinders]):
    """One thing that keeps a plan, a layout or the screws back. A job's file may hold it."""

    what: Hinders


@dataclass(frozen=True, slots=True, init=False)
class Trouble(_Coded[Wrong]):
    """One thing that is wrong with a file, a device or an installation."""

    what: Wrong


class Fault(StrEnum):
    """The ways in which a value can be wrong."""

    UNREADABLE = "unreadable"
    NOT_TOML = "not TOML"
    MISSING = "missing"
    UNKNOWN_KEY = "unknown key"
    PEAK = "peak"
    CURVE = "curve"
    RISING_FLOOR = "rising floor"
    ROUND_OPENING = "round opening"
    ONE_OF_BOTH = "one of both"
    TOP_OUT_OF_ORDER = "top out of order"
    TOP_RISES_AGAIN = "top rises again"
    NO_PEAK = "no peak"
    NOT_BREAKS = "not breaks"
    NOT_TEXT = "not text"
    ONE_TABLE = "one table"
    SEVERAL_TABLES = "several tables"
    NO_TABLE = "no table"
    TABLE_AGAIN = "table again"
    NOT_A_LIST = "not a list"
    EMPTY = "empty"
    NO_JOISTS = "no joists"
    TOO_LONG = "too long"
    NOT_SHOWN = "not shown"
    DECIMAL = "decimal without quotes"
    NOT_A_LENGTH = "not a length"
    NOT_POUNDS = "not pounds"
    LIMITS = "limits"
    TOO_MANY_DIGITS = "too many digits"
    NOT_POSITIVE = "not positive"
    NEGATIVE = "negative"
    TOO_LARGE = "too large"
    TOO_FINE = "too fine"
    NOT_A_COUNT = "not a count"
    NOT_ONE_OF = "not one of"
    NOT_A_SHEET = "not a sheet"
    SHEET_SIZE = "sheet size"
    OFFCUT_SMALL = "offcut small"
    OFFCUT_LARGE = "offcut large"
    OFFCUT_EDGE = "offcut edge"
    OFFCUT_WIDTH = "offcut width"
    NOT_MEMBERS = "not members"
    SPACING = "spacing"
    NO_DIRECTION = "no direction"
    OUTSIDE = "outside"
    OVERLAP = "overlap"
    SAME_NAME = "same name"
    PIECE_NAME = "piece name"
    TWO_WAYS = "two ways"
    TWICE = "twice"
    NOT_NUMBERS = "not numbers"
    COUNT = "count"
    FITS_NO_SHEET = "fits no sheet"


@dataclass(frozen=True, slots=True)
class FileFault:
    """One problem: the `table` as a person counts it ("wall 2, opening 1"), the `key` where one is to blame, what is
    wrong, the value `given`, and the values that would do (`allowed`).
    """

    table: str
    key: str | None
    fault: Fault
    given: str = ""
    allowed: tuple[str, ...] = ()
