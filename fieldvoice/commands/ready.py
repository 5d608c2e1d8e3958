"""`ready`: what is here, what is missing, and how to get it; `model`: which recognizers' models are here, and whether
their files are what they should be.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from importlib.metadata import PackageNotFoundError, version

import click

from fieldvoice import __version__
from fieldvoice.commands import options
from fieldvoice.commands.output import emit, show, tell
from fieldvoice.errors import BadInput, FieldvoiceError


@click.command()
@click.option("--fetch", "wanted", metavar="NAME", help="Fetch a Vosk model by its name first; needs a network, once.")
@click.option("--verify", is_flag=True, help="Check every file's SHA-256; exit status 65 where one differs.")
@options.as_json
def model(wanted: str | None, *, verify: bool, as_json: bool) -> int:
    """List the recognizers' models on this machine.

    Each stands with where it came from. A model of your own is found through FIELDVOICE_MODELS, a folder that holds it.
    """
    from fieldvoice.ears import models
    from fieldvoice.wording.troubles import not_the_file

    if wanted is not None:
        from fieldvoice.ears.fetch import fetch, known

        tell(f"Fetching {wanted}.")
        fetch(known(wanted), Tenths())
    here = tuple(models.installed())
    wrong = {one.folder: tuple(map(not_the_file, models.exchanged(one))) for one in here} if verify else {}
    if as_json:
        for one in here:
            emit(
                {
                    "name": one.name,
                    "recognizer": one.recognizer,
                    "folder": str(one.folder),
                    "origin": one.origin,
                    "sums_known": bool(one.sums),
                    "problems": list(wrong[one.folder]) if verify else None,
                },
                lines=True,
            )
    else:
        show("reading: fieldvoice's own, always here")
        for one in here:
            state = (
                ("; " + ("verified" if one.sums else "no checksums to verify it by"))
                if verify and not wrong[one.folder]
                else ""
            )
            show(f"{one.recognizer}: {one.name}, from {one.origin}, in {one.folder}{state}")
    troubles = [problem for problems in wrong.values() for problem in problems]
    if troubles:
        raise BadInput(f"{' '.join(troubles)} Remove that model and get it again before you rely on what it hears.")
    return 0 if here else _none()


class Tenths:
    """Tells how much of a model is here, each time that another tenth of it is."""

    def __init__(self) -> None:
        self._told = 0

    def __call__(self, here: int, whole: int) -> None:
        """Of so many bytes so many are here."""
        tenth = 10 * here // max(whole, 1)
        if tenth > self._told:
            self._told = tenth
            tell(f"  {here / 1e6:.0f} of {whole / 1e6:.0f} MB")


def _none() -> int:
    from fieldvoice.ears import models

    for recognizer in models.REQUIRED:
        models.find(recognizer)
    return 0


MISSING = 69
MICROPHONE, DATA_FOLDER = "microphone", "data folder"


@dataclass(frozen=True, slots=True)
class CheckUp:
    """One thing looked at: whether it is well, what was found, what to do where it isn't, and whether most do without
    it (`extra`).
    """

    what: str
    well: bool
    found: str
    remedy: str | None = None
    extra: bool = False

    @property
    def word(self) -> str:
        """The word that the line about it begins with."""
        return "ok" if self.well else "extra" if self.extra else "MISSING"


@click.command()
@options.as_json
def ready(*, as_json: bool) -> int:
    """Say what this machine lacks, and how to get it.

    Looks at all that hearing, speaking and keeping a job take. Exit status 0 where recordings can be heard and a job
    can be kept, else 69. What else is missing is named: without a microphone `listen` can't be used, without a
    loudspeaker or voice the read-back is on the screen only, and one recognizer alone asks more often than two.
    """
    findings = tuple(examine())
    works = verdict(findings)
    if as_json:
        documents = [_document(finding) for finding in findings]
        emit({"version": __version__, "findings": documents, "works": works.found, "ok": works.well})
    else:
        for finding in findings:
            show(f"{finding.word:7}  {finding.what}: {finding.found}")
            if finding.remedy:
                show(f"         → {finding.remedy}")
        show(works.found)
    return 0 if works.well else MISSING


def verdict(findings: Sequence[CheckUp]) -> CheckUp:
    """What can be done with all that was found: well where recordings can be heard and a job can be kept."""
    well = {finding.what for finding in findings if finding.well}
    ears = [name for name in EARS if f"{name} ear" in well]
    keeps = DATA_FOLDER in well
    by = f"by {' and '.join(ears)}{' alone' if len(ears) == 1 else ''}"
    if not ears:
        told = "No speech recognizer installed. Readings can be typed: `fieldvoice type`."
    elif MICROPHONE in well:
        told = f"A job can be heard on the microphone and in recordings, {by}."
    else:
        told = f"Recordings can be heard, {by}; `listen` needs a microphone, and readings can be typed."
    return CheckUp("works", bool(ears) and keeps, told if keeps else f"{told} But no job can be kept here.")


def _document(finding: CheckUp) -> dict[str, str | bool | None]:
    return {"what": finding.what, "ok": finding.well, "found": finding.found, "remedy": finding.remedy}


def examine() -> Iterator[CheckUp]:
    """Everything that is looked at, in order."""
    yield CheckUp("fieldvoice", well=True, found=f"{__version__} on Python {sys.version.split()[0]}")
    yield from _packages()
    yield _microphone()
    yield _loudspeaker()
    yield _voice()
    yield from _ears()
    yield _data_folder()


def _packages() -> Iterator[CheckUp]:
    for name, why in (("lark", "reads the language"), ("ctranslate2", "the reading ear")):
        try:
            yield CheckUp(name, well=True, found=version(name))
        except PackageNotFoundError:
            yield CheckUp(name, well=False, found=f"not installed ({why})", remedy=f"pip install {name}")


def _device(kind: str, what: str, without: str) -> CheckUp:
    try:
        import sounddevice

        device = sounddevice.query_devices(kind=kind)
    except OSError:
        remedy = "install PortAudio: Debian and Ubuntu `apt install libportaudio2`, Fedora `dnf install portaudio`"
        return CheckUp(what, well=False, found=f"PortAudio isn't here; {without}", remedy=remedy)
    except Exception:  # noqa: BLE001 - PortAudio's own error class, known only once it has loaded
        return CheckUp(what, well=False, found=f"no device; {without}", remedy="plug one in, then run it again")
    return CheckUp(what, well=True, found=f"{device['name']}, {device['default_samplerate']:.0f} Hz")


def _microphone() -> CheckUp:
    return _device("input", MICROPHONE, "use `fieldvoice type`")


def _loudspeaker() -> CheckUp:
    return _device("output", "loudspeaker", "the read-back is on the screen only")


def _voice() -> CheckUp:
    from fieldvoice.output.voice import Synthesizer

    return _tried("voice", lambda: f"espeak-ng, {Synthesizer().rate} Hz", "pip install espeakng-loader")


def _ears() -> Iterator[CheckUp]:
    """The recognizers, their models looked for, checked and held against the words of the job: one is enough to hear
    with, two hear better.
    """
    for ear, examine in _EXAMINE.items():
        try:
            yield CheckUp(f"{ear} ear", well=True, found=examine())
        except FieldvoiceError as trouble:
            found, extra = ("isn't here", True) if ear == "vosk" else ("can't be used", False)
            yield CheckUp(f"{ear} ear", well=False, found=found, remedy=str(trouble), extra=extra)
        except ImportError as trouble:
            yield CheckUp(f"{ear} ear", well=False, found=f"a package is missing ({trouble})", remedy="see above")


def _whisper() -> str:
    from fieldvoice.ears import models

    model = models.verified(models.find("whisper"))
    return f"{model.name}, from {model.origin}"


def _reading() -> str:
    from fieldvoice.ears import personal
    from fieldvoice.ears.reading_head.head import ReadingHead
    from fieldvoice.ears.whole_utterance import reading_encoder
    from fieldvoice.language.automaton import vocabulary
    from fieldvoice.wording.forms import counted
    from fieldvoice.wording.troubles import sentence

    unheard = ReadingHead.load().missing(vocabulary())
    reading_encoder()
    own = personal.kept(personal.folder())
    found = sentence(own.note) if own.note else ("fitted to your voice" if own.change is not None else "as shipped")
    return f"{found}; doesn't know {counted(len(unheard), 'word')} of the job" if unheard else found


def _vosk() -> str:
    from fieldvoice.ears import models, open_ear
    from fieldvoice.language.automaton import automaton, vocabulary

    model = models.find("vosk")
    open_ear("vosk", vocabulary(), automaton)
    return f"{model.name}, from {model.origin}"


_EXAMINE: Mapping[str, Callable[[], str]] = {"reading": _reading, "whisper": _whisper, "vosk": _vosk}
EARS = tuple(_EXAMINE)
"""The recognizers, as `--ear` names them."""


def _tried(what: str, look: Callable[[], str], remedy: str) -> CheckUp:
    try:
        return CheckUp(what, well=True, found=look())
    except FieldvoiceError as trouble:
        return CheckUp(what, well=False, found=str(trouble), remedy=remedy)


def _data_folder() -> CheckUp:
    from platformdirs import user_data_path

    folder = user_data_path("fieldvoice", appauthor=False)
    nearest = next(path for path in (folder, *folder.parents) if path.exists())
    well = os.access(nearest, os.W_OK | os.X_OK) and nearest.is_dir()
    remedy = None if well else f"make {nearest} writable, or keep the job elsewhere with --job FILE"
    return CheckUp(DATA_FOLDER, well=well, found=str(folder) if well else f"{folder} can't be written", remedy=remedy)
