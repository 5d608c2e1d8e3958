"""One example of every trouble, and the golden texts: `python -m tests.wording.samples` writes them anew."""

import errno
from collections.abc import Mapping
from pathlib import Path

from fieldvoice.journal.format import Lost
from fieldvoice.records.board import Lies, Sheet
from fieldvoice.records.ledger import Call, Standing
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Dimension, Reading, Slot
from fieldvoice.records.trouble import Hinders, Hindrance, Trouble, Wrong
from fieldvoice.wording.troubles import sentence

GOLDEN = Path(__file__).with_name("troubles.txt")

JOB, WAV, FOLDER = Path("kitchen.job"), Path("call.wav"), Path("models")

TOP = Reading(Length("46 7/8"), Dimension.WIDTH, Slot.TOP)
CALL = Call(1, "1", "hanger", TOP, "top forty six and seven eighths", Standing.DOUBTFUL)

LAYERS_TOO_NEAR = Hindrance(Hinders.JOINTS_TOO_NEAR, surface="den north", layers=2)
CURES = (Lies.STANDING, 1, Sheet(Length(48), Length(168)))

TOLD: Mapping[Hinders | Wrong, Mapping[str, object]] = {
    Hinders.HELD_BACK: {"box": "box 1"},
    Hinders.NO_SHEET_OF_LENGTH: {},
    Hinders.WALL_IN_FLOOR_GAP: {"surface": "den north"},
    Hinders.NO_LAYOUT: {"why": LAYERS_TOO_NEAR, "cures": CURES, "unit": Unit.INCH},
    Hinders.NO_JOINT_PLACES: {"surface": "den north", "layers": 1},
    Hinders.JOINTS_TOO_NEAR: {"surface": "den north", "layers": 2},
    Hinders.ROUND_WHAT_HANGS: {"surface": "den north"},
    Hinders.NOT_FOUR_SIDED: {},
    Hinders.NO_FASTENING_ROW: {"fastener": "nail", "framing": "steel"},
    Hinders.NO_LENGTH_SOLD: {"fastener": "screw", "least": Length("3 1/8")},
    Wrong.JOURNAL_BUSY: {"path": JOB},
    Wrong.JOURNAL_CLOSED: {},
    Wrong.JOURNAL_DAMAGED: {"path": JOB, "aside": Path("kitchen.job.damaged"), "lost": (Lost(3, 5), Lost(9, None))},
    Wrong.JOURNAL_NOT_OPENED: {"path": JOB, "errno": errno.EACCES},
    Wrong.JOURNAL_NOT_READ: {"path": JOB, "error": "Input/output error"},
    Wrong.LOST_UNCONFIRMED: {"numbers": ("3", "any after 8")},
    Wrong.TO_CONFIRM: {"calls": (CALL,), "unit": Unit.INCH},
    Wrong.NOT_KEPT: {"path": JOB, "cause": errno.ENOSPC, "waiting": 2},
    Wrong.NO_JOURNAL: {"path": JOB},
    Wrong.NOT_A_JOURNAL: {"path": JOB},
    Wrong.NEWER_JOURNAL: {"path": JOB},
    Wrong.OLD_JOB: {"path": JOB},
    Wrong.OLD_JOB_DAMAGED: {"path": JOB, "error": "no such table: entry"},
    Wrong.NO_EXPORT: {"line": 1},
    Wrong.NO_EXPORT_FORMAT: {"format": "fieldvoice job"},
    Wrong.NO_EXPORT_ENTRIES: {},
    Wrong.OTHER_EXPORT: {"version": 1},
    Wrong.EXPORT_CHANGED: {"entry": 4},
    Wrong.EXPORT_OUT_OF_ORDER: {"entry": 4, "number": 2, "last": 3},
    Wrong.EXPORT_CUT_OFF: {"entry": 4},
    Wrong.EXPORT_NOT_OPENED: {"error": "KeyError: 'furlong'"},
    Wrong.JOB_THERE: {"path": JOB},
    Wrong.JOB_NOT_WRITTEN: {"path": JOB, "error": "[Errno 30] Read-only file system: 'kitchen.job'"},
    Wrong.NO_MICROPHONE: {},
    Wrong.NO_SUCH_MICROPHONE: {"name": "usb", "there": "Built-in; USB Audio"},
    Wrong.NO_PORTAUDIO: {},
    Wrong.MICROPHONE_NOT_OPENED: {"name": "USB Audio", "error": "Device unavailable"},
    Wrong.MICROPHONE_SILENT: {"name": "USB Audio"},
    Wrong.MICROPHONE_TOO_LOUD: {"name": "USB Audio"},
    Wrong.MICROPHONE_GONE: {"name": "USB Audio"},
    Wrong.MICROPHONE_BACK: {"name": "USB Audio"},
    Wrong.NARROW_MICROPHONE: {"name": "USB Audio", "rate": 8000},
    Wrong.SOUND_DROPPED: {"seconds": 1.25},
    Wrong.PHONE_JOINED: {},
    Wrong.PHONE_LEFT: {},
    Wrong.PHONE_DROPPED: {},
    Wrong.PHONE_SILENT: {},
    Wrong.WAV_NOT_READ: {"path": WAV, "error": "No such file or directory"},
    Wrong.NO_WAV: {"name": "call.wav"},
    Wrong.WAV_EMPTY: {"name": "call.wav"},
    Wrong.WAV_WITHOUT_SOUND: {"name": "call.wav"},
    Wrong.WAV_CUT_OFF: {"name": "call.wav"},
    Wrong.WAV_RATE: {"name": "call.wav", "rate": 4000, "lowest": 8000, "highest": 192000},
    Wrong.WAV_TOO_LONG: {"name": "call.wav", "seconds": 9000.0, "longest": 600.0},
    Wrong.RECORDING_SILENT: {"name": "call.wav"},
    Wrong.RECORDING_TOO_LOUD: {"name": "call.wav", "share": 0.034},
    Wrong.NOBODY_SPEAKS: {"name": "call.wav"},
    Wrong.SOUND_NOT_KEPT: {"error": OSError(errno.ENOSPC, "No space left on device", "a.wav")},
    Wrong.NO_EAR: {"troubles": ("The reading ear is damaged.", "No Whisper model is here.")},
    Wrong.NO_RECOGNIZER: {"name": "kaldi", "there": "reading, whisper, vosk"},
    Wrong.NO_CTRANSLATE2: {"error": "No module named 'ctranslate2'"},
    Wrong.NO_VOSK: {"error": "No module named 'vosk'"},
    Wrong.NO_VOSK_MODEL: {"name": "vosk-model-small-en-us-0.15", "setting": "FIELDVOICE_MODELS"},
    Wrong.NO_WHISPER_MODEL: {"setting": "FIELDVOICE_MODELS"},
    Wrong.NO_MODEL_FOLDER: {"folder": FOLDER, "recognizer": "vosk"},
    Wrong.MODEL_NOT_COMPLETE: {"folder": FOLDER, "recognizer": "vosk", "missing": "am/final.mdl, conf/mfcc.conf"},
    Wrong.MODEL_EXCHANGED: {"name": "tiny.en", "files": (FOLDER / "model.bin", FOLDER / "config.json")},
    Wrong.WHISPER_NOT_LOADED: {"folder": FOLDER},
    Wrong.WHISPER_TOKENS: {"folder": FOLDER},
    Wrong.VOSK_NOT_LOADED: {"folder": FOLDER},
    Wrong.VOSK_WORDS_FIXED: {"folder": FOLDER, "name": "vosk-model-small-en-us-0.15"},
    Wrong.VOSK_LACKS_WORDS: {"folder": FOLDER, "missing": tuple("abcdefghijklmn"), "words": 300},
    Wrong.HEAD_NOT_READ: {"folder": FOLDER, "error": "FileNotFoundError"},
    Wrong.HEAD_CHANGED: {"folder": FOLDER},
    Wrong.ENCODER_NOT_READ: {"folder": FOLDER, "error": "FileNotFoundError"},
    Wrong.ENCODER_CHANGED: {"folder": FOLDER},
    Wrong.FITTING_DAMAGED: {},
    Wrong.FITTED_TO_OTHER_EAR: {},
    Wrong.FITTED_ON_OTHER_MICROPHONE: {"fitted_on": "USB Audio", "device": "Built-in"},
    Wrong.NO_MODEL_TO_FETCH: {"name": "tiny", "there": "vosk-model-small-en-us-0.15"},
    Wrong.MODEL_NOT_WRITTEN: {"name": "tiny.en", "folder": FOLDER, "error": "No space left on device"},
    Wrong.FETCHED_IN_PART: {"name": "tiny.en", "error": "timed out"},
    Wrong.FETCHED_OTHER: {"name": "tiny.en"},
    Wrong.NO_ARCHIVE: {"name": "tiny.en"},
    Wrong.ARCHIVE_LACKS: {"name": "tiny.en", "missing": "model.bin"},
    Wrong.ARCHIVE_LEADS_OUT: {"name": "tiny.en"},
    Wrong.ARCHIVE_TOO_LARGE: {"name": "tiny.en"},
    Wrong.NO_LOUDSPEAKER: {},
    Wrong.NO_SYNTHESIZER: {"error": "No module named 'espeakng_loader'"},
    Wrong.NO_SUCH_VOICE: {"name": "en-us"},
    Wrong.NO_DXF_LIBRARY: {},
    Wrong.PORT_TAKEN: {"port": 8080, "error": "Address already in use"},
    Wrong.LINKS_NOT_KEPT: {"folder": FOLDER, "error": "No space left on device"},
    Wrong.CERTIFICATE_NOT_KEPT: {"folder": FOLDER, "error": "No space left on device"},
    Wrong.NO_SECURE_LIBRARY: {},
}


def texts() -> str:
    """Every trouble in words, a line each, by its code."""
    return "".join(f"{what}: {sentence(_made(what, tuple(told.items())))}\n" for what, told in TOLD.items())


def _made(what: Hinders | Wrong, told: tuple[tuple[str, object], ...]) -> Hindrance | Trouble:
    return Hindrance(what, told) if isinstance(what, Hinders) else Trouble(what, told)


if __name__ == "__main__":
    GOLDEN.write_text(texts(), encoding="utf-8")
