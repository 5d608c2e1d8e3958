"""`doctor`: what is here, what is missing, and how to get it."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from importlib.metadata import PackageNotFoundError, version

import click

from fieldvoice import __version__
from fieldvoice.commands import options
from fieldvoice.commands.output import emit
from fieldvoice.errors import FieldvoiceError

MISSING = 69


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing looked at: whether it is well, what was found, and what to do where it isn't."""

    what: str
    well: bool
    found: str
    remedy: str | None = None


@click.command()
@options.as_json
def doctor(*, as_json: bool) -> int:
    """Say what this machine has for hearing, speaking and keeping a job, and how to get what is missing.

    Exit status 69 where something is missing.
    """
    findings = tuple(examine())
    if as_json:
        emit({"version": __version__, "findings": [_document(finding) for finding in findings]})
    else:
        for finding in findings:
            click.echo(f"{'ok     ' if finding.well else 'MISSING'}  {finding.what}: {finding.found}")
            if finding.remedy:
                click.echo(f"         → {finding.remedy}")
    return 0 if all(finding.well for finding in findings) else MISSING


def _document(finding: Finding) -> dict[str, str | bool | None]:
    return {"what": finding.what, "ok": finding.well, "found": finding.found, "remedy": finding.remedy}


def examine() -> Iterator[Finding]:
    """Everything that is looked at, in order."""
    yield Finding("fieldvoice", well=True, found=f"{__version__} on Python {sys.version.split()[0]}")
    yield from _packages()
    yield _microphone()
    yield _loudspeaker()
    yield _voice()
    yield from _models()
    yield _data_folder()


def _packages() -> Iterator[Finding]:
    for name, why in (("lark", "reads the language"), ("ctranslate2", "the reading ear"), ("vosk", "the second ear")):
        try:
            yield Finding(name, well=True, found=version(name))
        except PackageNotFoundError:
            yield Finding(name, well=False, found=f"not installed ({why})", remedy=f"pip install {name}")


def _device(kind: str, what: str, without: str) -> Finding:
    try:
        import sounddevice

        device = sounddevice.query_devices(kind=kind)
    except OSError:
        remedy = "install PortAudio: Debian and Ubuntu `apt install libportaudio2`, Fedora `dnf install portaudio`"
        return Finding(what, well=False, found=f"PortAudio isn't here; {without}", remedy=remedy)
    except Exception:  # noqa: BLE001 - PortAudio's own error class, known only once it has loaded
        return Finding(what, well=False, found=f"no device; {without}", remedy="plug one in, then run doctor again")
    return Finding(what, well=True, found=f"{device['name']}, {device['default_samplerate']:.0f} Hz")


def _microphone() -> Finding:
    return _device("input", "microphone", "use `fieldvoice type`")


def _loudspeaker() -> Finding:
    return _device("output", "loudspeaker", "the read-back is on the screen only")


def _voice() -> Finding:
    from fieldvoice.show.voice import Synthesizer

    return _tried("voice", lambda: f"espeak-ng, {Synthesizer().rate} Hz", "pip install espeakng-loader")


def _models() -> Iterator[Finding]:
    """The recognizers: one is enough to hear with, two hear better."""
    from fieldvoice.ears import models

    for recognizer in models.REQUIRED:
        try:
            found = models.find(recognizer)
        except FieldvoiceError as trouble:
            yield Finding(f"{recognizer} model", well=False, found="not here", remedy=str(trouble))
        else:
            yield Finding(f"{recognizer} model", well=True, found=f"{found.name}, from {found.origin}")


def _tried(what: str, look: Callable[[], str], remedy: str) -> Finding:
    try:
        return Finding(what, well=True, found=look())
    except FieldvoiceError as trouble:
        return Finding(what, well=False, found=str(trouble), remedy=remedy)


def _data_folder() -> Finding:
    from platformdirs import user_data_path

    folder = user_data_path("fieldvoice", appauthor=False)
    nearest = next(path for path in (folder, *folder.parents) if path.exists())
    well = os.access(nearest, os.W_OK | os.X_OK) and nearest.is_dir()
    remedy = None if well else f"make {nearest} writable, or keep the job elsewhere with --job FILE"
    return Finding("data folder", well=well, found=str(folder) if well else f"{folder} can't be written", remedy=remedy)
