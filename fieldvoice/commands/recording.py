"""`recording`: recordings in, words and meaning out, no job touched."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from time import perf_counter
from typing import TYPE_CHECKING

import click

from fieldvoice.commands import options
from fieldvoice.commands.output import emit, show, tell
from fieldvoice.errors import BadInput
from fieldvoice.records.hearing import Hearing
from fieldvoice.records.length import Unit
from fieldvoice.records.utterance import Ask, Question, Status, Utterance

if TYPE_CHECKING:
    from fieldvoice.ears.ear import Ear


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
    from fieldvoice.ears import recorded

    try:
        hearings = recorded.utterance(ears, file, report)[0]
    except BadInput as trouble:
        tell(f"fieldvoice: {trouble}")
        return trouble.exit_status
    hearing, utterance = understood(hearings, unit)
    _show(file, hearing, utterance, unit, as_json=as_json)
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


def _show(file: Path, hearing: Hearing, utterance: Utterance, unit: Unit, *, as_json: bool) -> None:
    from fieldvoice.commands.parse import plain
    from fieldvoice.output.documents.meanings import hearing_document

    if as_json:
        emit(hearing_document(str(file), hearing, utterance, unit), lines=True)
    else:
        show(f"{file} ({hearing.recognizer}): “{utterance.heard}” → {plain(utterance, unit)}")
