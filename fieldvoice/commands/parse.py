"""`parse` and `recording`: words or recordings in, meaning out, no job touched."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from time import perf_counter
from typing import TYPE_CHECKING

import click

from fieldvoice.commands import options
from fieldvoice.commands.options import lines_of
from fieldvoice.commands.output import emit, language_ready, show, tell
from fieldvoice.errors import BadInput, BadUsage
from fieldvoice.records.hearing import Hearing, Source
from fieldvoice.records.length import Unit
from fieldvoice.records.utterance import Ask, Question, Status, Utterance

if TYPE_CHECKING:
    from fieldvoice.ears.ear import Ear


@click.command()
@click.argument("words", nargs=-1)
@click.option(
    "--from",
    "file",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Read an utterance a line from FILE (- is standard input).",
)
@click.option(
    "--spoken",
    "source",
    flag_value=Source.SPOKEN.value,
    help="The words were heard: words that sound alike are corrected.",
)
@click.option(
    "--typed",
    "source",
    flag_value=Source.TYPED.value,
    help="The words were typed, and are taken as they stand (the default).",
)
@options.in_unit
@options.as_json
def parse(words: Sequence[str], file: Path | None, source: str | None, unit: str, *, as_json: bool) -> int:
    """Say what WORDS mean, without touching any job.

    Exit status 1 where any utterance isn't understood.
    """
    from fieldvoice.language.understanding import understand

    if bool(words) == bool(file):
        raise BadUsage('Nothing to parse: give the words, as in `fieldvoice parse "top forty six"`, or --from FILE.')
    lines = lines_of(file) if file else [" ".join(words)]
    language_ready()
    understood = True
    for line in lines:
        utterance = understand(line, Source(source or Source.TYPED.value), Unit(unit))
        understood = understood and utterance.status is Status.UNDERSTOOD
        _show(utterance, Unit(unit), as_json=as_json, several=file is not None)
    return 0 if understood else 1


def _show(utterance: Utterance, unit: Unit, *, as_json: bool, several: bool) -> None:
    if as_json:
        from fieldvoice.output.documents.meanings import utterance_document

        emit(utterance_document(utterance, unit), lines=several)
    else:
        show(plain(utterance, unit))


def plain(utterance: Utterance, unit: Unit) -> str:
    """The utterance for a person: what fieldvoice would read back, ask or refuse."""
    from fieldvoice.language.phrases import read_back
    from fieldvoice.wording.forms import Form
    from fieldvoice.wording.questions import asked, refused

    match utterance.status:
        case Status.UNDERSTOOD:
            return "; ".join(read_back(meaning, unit) for meaning in utterance.meanings) or "(nothing but filler words)"
        case Status.UNCLEAR:
            return f"unclear: {asked(utterance, Form(unit))}"
        case Status.REFUSED:
            return f"refused: {refused(utterance, Form(unit))}"


@click.command()
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path), metavar="WAV...")
@options.ear
@options.in_unit
@options.as_json
def recording(files: Sequence[Path], ear: str | None, unit: str, *, as_json: bool) -> int:
    """Say what was heard in each WAV, and what it means. One utterance a file; no job is touched.

    A file that can't be used is named, the others are still heard, and the exit status is 65.
    """
    from fieldvoice.commands.recognizers import open_ears

    sound = [file for file in files if _is_sound(file)]
    ears = open_ears(ear, lambda: Unit(unit)) if sound else ()
    results = [_one(ears, file, Unit(unit), as_json=as_json) for file in sound]
    return max(results) if len(sound) == len(files) else BadInput.exit_status


def _is_sound(file: Path) -> bool:
    """Whether the file begins as a recording; told where not, before a recognizer is made ready for it."""
    from fieldvoice.ears.wav import check_head

    try:
        check_head(file)
    except BadInput as trouble:
        tell(f"fieldvoice: {trouble}")
        return False
    return True


def _one(ears: Sequence[Ear], file: Path, unit: Unit, *, as_json: bool) -> int:
    from fieldvoice.commands.recognizers import report
    from fieldvoice.ears import listening

    try:
        hearings = listening.utterance(ears, file, report)[0]
    except BadInput as trouble:
        tell(f"fieldvoice: {trouble}")
        return trouble.exit_status
    hearing, utterance = understood(hearings, unit)
    _show_heard(file, hearing, utterance, unit, as_json=as_json)
    return 0 if utterance.status is Status.UNDERSTOOD else 1


def understood(hearings: Sequence[Hearing], unit: Unit = Unit.INCH) -> tuple[Hearing, Utterance]:
    """What the recognizers heard together, as one hearing with the time that all of it took, and what the verdict makes
    of it: what it doubts is unclear, and what it refuses is refused.
    """
    from fieldvoice.language.verdict import Expectation, Finding, judge

    start = perf_counter()
    verdict = judge(hearings, Expectation(unit=unit))
    utterance = verdict.utterance
    if verdict.finding is Finding.DOUBT and utterance.status is Status.UNDERSTOOD:
        ways = (utterance.meanings, *verdict.rivals) if verdict.rivals else ()
        ask = Question(Ask.NOT_SURE, (utterance.heard, verdict.about or ""))
        utterance = replace(utterance, status=Status.UNCLEAR, meanings=(), alternatives=ways, ask=ask)
    names = " + ".join(hearing.recognizer for hearing in hearings)
    seconds = sum(hearing.seconds for hearing in hearings) + perf_counter() - start
    return replace(hearings[0], recognizer=names, seconds=seconds), utterance


def _show_heard(file: Path, hearing: Hearing, utterance: Utterance, unit: Unit, *, as_json: bool) -> None:
    from fieldvoice.output.documents.meanings import hearing_document

    if as_json:
        emit(hearing_document(str(file), hearing, utterance, unit), lines=True)
    else:
        show(f"{file} ({hearing.recognizer}): “{utterance.heard}” → {plain(utterance, unit)}")
