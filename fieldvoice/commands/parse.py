"""`parse`: words in, meaning out, no job touched."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from fieldvoice.commands import options
from fieldvoice.commands.files import lines_of
from fieldvoice.commands.output import emit, show
from fieldvoice.errors import BadUsage
from fieldvoice.records.hearing import Source
from fieldvoice.records.length import Unit
from fieldvoice.records.utterance import Status, Utterance


@click.command()
@click.argument("words", nargs=-1)
@click.option(
    "--from", "file", type=click.Path(path_type=Path), help="Read an utterance a line from FILE (- is standard input)."
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
