"""`practice`: ten readings called out, and how this voice is heard on this microphone."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from statistics import median
from typing import TYPE_CHECKING

import click

from fieldvoice.commands import options
from fieldvoice.commands.output import emit, tell
from fieldvoice.errors import BadInput
from fieldvoice.records.hearing import Hearing, Source

if TYPE_CHECKING:
    from fieldvoice.ears import Ear
    from fieldvoice.show.documents import Document

CALLS = (
    "top forty one and three eighths",
    "middle forty one and an eighth",
    "bottom forty and fifteen sixteenths",
    "height left ninety five and a quarter",
    "height right ninety five and an eighth",
    "top twenty six and seven eighths",
    "bottom thirty one and eleven sixteenths",
    "height right eighty eight and a half",
    "width fourteen and five eighths",
    "bottom thirty",
)
"""Readings of our own board, and two that sound like others: fourteen like forty, thirty like thirteen."""


@dataclass(frozen=True, slots=True)
class Tried:
    """One call and how it was taken: "right", "asked" again, or "wrong", taken for something else without a question.
    Seconds run from the last sample to the verdict.
    """

    call: str
    heard: str
    taken: str
    seconds: float

    def document(self) -> Document:
        """The call for other programs."""
        return {"call": self.call, "heard": self.heard, "taken": self.taken, "seconds": round(self.seconds, 3)}


@click.command()
@click.option(
    "--from", "folder", type=click.Path(path_type=Path), help="Ten WAVs in order of name, for the microphone."
)
@options.ear
@click.option("--device", default=None, metavar="NAME", help="The microphone, by its name. Default: the system's.")
@options.as_json
def practice(folder: Path | None, ear: str | None, device: str | None, *, as_json: bool) -> int:
    """Call out ten readings and see how YOUR voice is heard on your microphone. Nothing is kept.

    Do it where you work, with the noise that is there. What is asked again costs a moment; what is taken for something
    else would have been a wrong cut had nobody looked at the read-back.
    """
    from fieldvoice.commands.listening import open_ears

    files = recordings(folder) if folder is not None else ()
    ears = open_ears(ear)
    hearings = _of_files(ears, files) if folder is not None else _called(ears, device)
    results = []
    for call, heard in zip(CALLS, hearings, strict=False):
        results.append(tried(call, heard))
        tell(f"  “{results[-1].heard}”: {results[-1].taken}")
    if as_json:
        emit({"recognizers": [each.name for each in ears], "calls": [each.document() for each in results]})
    else:
        click.echo(summary(results))
    return 0


def tried(call: str, hearings: Sequence[Hearing]) -> Tried:
    """How the verdict takes what was heard of a call."""
    from fieldvoice.language import understand
    from fieldvoice.language.verdict import Finding, judge

    verdict = judge(hearings)
    meant = understand(call, Source.SPOKEN)
    taken = "asked"
    if verdict.finding is Finding.ACCEPT:
        taken = "right" if verdict.utterance.meanings == meant.meanings else "wrong"
    return Tried(call, hearings[0].words, taken, sum(hearing.seconds for hearing in hearings))


def summary(results: Sequence[Tried]) -> str:
    """The figures in words, each call that wasn't right, and what to make of ten of them."""
    counts = {taken: sum(each.taken == taken for each in results) for taken in ("right", "asked", "wrong")}
    lines = [
        (
            f"{counts['right']} of {len(results)} right, {counts['asked']} asked again, {counts['wrong']} taken for "
            f"something else; {median(each.seconds for each in results):.2f} s from the end of a call to its verdict."
        ),
        *(f"  {each.taken}: “{each.call}”, heard as “{each.heard}”" for each in results if each.taken != "right"),
        "Ten calls tell little about rare mistakes: go on watching the read-back.",
    ]
    return "\n".join(lines)


def recordings(folder: Path) -> tuple[Path, ...]:
    """The WAVs of a folder in order of name. Raises `BadInput` where they aren't as many as the calls."""
    from fieldvoice.commands.files import is_sound

    found = tuple(sorted(file for file in folder.glob("*") if is_sound(file)))
    if len(found) != len(CALLS):
        raise BadInput(
            f"{folder} holds {len(found)} WAVs, and {len(CALLS)} are needed, so nothing was measured. Record these, a "
            f"file each, in order of name: {'; '.join(CALLS)}."
        )
    return found


def _of_files(ears: Sequence[Ear], files: Sequence[Path]) -> Iterator[Sequence[Hearing]]:
    from fieldvoice.commands.listening import hear_file

    for number, file in enumerate(files):
        tell(f"{number + 1} of {len(CALLS)}: {CALLS[number]}")
        yield hear_file(ears, file)


def _called(ears: Sequence[Ear], device: str | None) -> Iterator[Sequence[Hearing]]:
    from fieldvoice.commands.listening import outlook
    from fieldvoice.ears.listening import Listening, listen
    from fieldvoice.ears.microphone import Microphone

    microphone = Microphone(device, tell)
    try:
        utterances = listen(microphone.blocks(), ears, Listening(outlook))
        for number, call in enumerate(CALLS):
            tell(f"{number + 1} of {len(CALLS)}. Call out: {call}")
            yield next(utterances)
    finally:
        microphone.close()
