"""`practice`: ten readings called out, how this voice is heard on this microphone, and the ear fitted to it."""

from __future__ import annotations

import sys
from collections import deque
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, closing
from pathlib import Path
from typing import TYPE_CHECKING

import click

from fieldvoice.commands import options
from fieldvoice.commands.output import emit, show, tell
from fieldvoice.errors import BadInput, BadUsage
from fieldvoice.practice import CALLS, PracticeCall, TrialHead, fit, keep_clips, tried
from fieldvoice.records.hearing import EarKind, Hearing
from fieldvoice.records.practice import FitOutcome, Tried
from fieldvoice.wording import practice as wording

if TYPE_CHECKING:
    from fieldvoice.ears.ear import Ear
    from fieldvoice.ears.sound import Frames
    from fieldvoice.output.documents import Document, Json

    Heard = tuple[tuple[Hearing, ...], Frames]


@click.command()
@click.option(
    "--from",
    "folder",
    type=click.Path(path_type=Path),
    metavar="FOLDER",
    help="Ten WAVs in order of name, for the microphone.",
)
@options.ear
@options.device
@click.option("--keep", is_flag=True, help="Keep the recordings and fit the reading ear to them, without asking.")
@click.option("--forget", is_flag=True, help="Remove the recordings and the fit, and hear as shipped.")
@options.as_json
def practice(
    folder: Path | None, ear: str | None, device: str | None, *, keep: bool, forget: bool, as_json: bool
) -> int:
    """Call out ten readings and see how YOUR voice is heard.

    Do it where you work, with the noise that is there. A call that is asked again costs a moment; one that is taken for
    something else would be a wrong cut if nobody looked at the read-back.

    Ten calls show a microphone that is too quiet, too loud or too narrow, too much noise, and words that are always
    misheard. They can't show rare mistakes: with none in ten there may still be one in four (95 %).

    Afterward it asks whether to keep the ten recordings and fit the reading ear to your voice. They are kept only if
    you say yes, and only on this machine. The fit is tried on calls that were held back, and kept only if nearly all
    of them become likelier, no fewer come out right, and none becomes wrong. It counts for this microphone, by its
    name, and not for others or for recordings. --forget removes it all.
    """
    if forget:
        return _forget()
    if keep and folder is not None and not device:
        raise BadUsage(
            "Name the microphone of these recordings with --device: what is fitted to them counts for it alone."
        )
    calls, results = list[PracticeCall](), []
    with ExitStack() as open_now:
        if folder is not None:
            ears, heard = _of_files(ear, recordings(folder))
        else:
            ears, heard, device = _called(ear, device, open_now)
        for text, (hearings, frames) in zip(CALLS, heard, strict=False):
            calls.append(PracticeCall(text, frames, tuple(hearings)))
            results.append(tried(text, hearings))
            tell(f"  “{results[-1].heard}”: {results[-1].taken}")
    document: dict[str, Json] = {
        "recognizers": [each.name for each in ears],
        "calls": [_call_document(each) for each in results],
    }
    if not as_json:
        show(wording.summary(results))
    if not any(one.kind is EarKind.READING for one in calls[0].hearings):
        tell("The reading ear isn't among these recognizers, so there is nothing to fit and nothing is kept.")
    elif device and (keep or _wanted(as_json=as_json)):
        document["fit"] = _kept(calls, device)
    if as_json:
        emit(document)
    return 0


def recordings(folder: Path) -> tuple[Path, ...]:
    """The WAVs of a folder in order of name. Raises `BadInput` where they aren't as many as the calls."""
    from fieldvoice.commands.options import is_sound

    if not folder.is_dir():
        raise BadInput(f"{folder} isn't a folder that can be read, so nothing was measured. Check its name.")
    found = tuple(sorted(file for file in folder.glob("*") if is_sound(file)))
    if len(found) != len(CALLS):
        raise BadInput(
            f"{folder} holds {len(found)} WAVs, and {len(CALLS)} are needed, so nothing was measured. Record these, a "
            f"file each, in order of name: {'; '.join(CALLS)}."
        )
    return found


def _of_files(ear: str | None, files: Sequence[Path]) -> tuple[Sequence[Ear], Iterator[Heard]]:
    """The recognizers, as shipped, and what they hear in each file."""
    from fieldvoice.commands.recognizers import open_ears, report
    from fieldvoice.ears.listening import utterance

    ears = open_ears(ear)

    def heard() -> Iterator[Heard]:
        for number, file in enumerate(files):
            tell(f"{number + 1} of {len(CALLS)}: {CALLS[number]}")
            yield utterance(ears, file, report)

    return ears, heard()


def _called(ear: str | None, device: str | None, open_now: ExitStack) -> tuple[Sequence[Ear], Iterator[Heard], str]:
    """The recognizers, fitted to this microphone where they are, what they hear of each call, and its name."""
    from fieldvoice.commands.recognizers import open_ears, own_voice
    from fieldvoice.ears.listening import Listening, listen
    from fieldvoice.ears.microphone import Microphone, device_name
    from fieldvoice.language.outlook import outlook
    from fieldvoice.wording.troubles import sentence

    name = device_name(device)
    ears = open_ears(ear, voice=own_voice(name))
    microphone = open_now.enter_context(closing(Microphone(name, lambda trouble: tell(sentence(trouble)))))

    def heard() -> Iterator[Heard]:
        sounds: deque[Frames] = deque(maxlen=1)
        utterances = listen(microphone.blocks(), ears, Listening(outlook, sound=sounds.append))
        for number, call in enumerate(CALLS):
            tell(f"{number + 1} of {len(CALLS)}. Call out: {call}")
            yield next(utterances), sounds.pop()

    return ears, heard(), name


def _wanted(*, as_json: bool) -> bool:
    """The person's yes; where nobody can be asked it is no."""
    from fieldvoice.ears import personal

    if as_json or not sys.stdin.isatty():
        return False
    return click.confirm(
        f"Keep these {len(CALLS)} recordings in {personal.folder()} and fit the reading ear to your voice? They stay "
        "on this machine; `fieldvoice practice --forget` removes them.",
        err=True,
    )


def _kept(calls: Sequence[PracticeCall], device: str) -> Document:
    """Keeps the recordings, fits, and keeps the change where it is worth it; says what came of it."""
    from fieldvoice.ears import personal

    where = personal.folder()
    try:
        keep_clips(where, calls)
        tell(f"The recordings are kept in {where}. Fitting; this takes about a minute.")
        made = fit(calls, TrialHead.open())
        # A fit of an earlier day was never tried on these calls, so it doesn't outlive them.
        personal.unfit(where)
        if made.change is not None:
            personal.keep(where, made.change, device, _fit_document(made.outcome))
    except OSError as trouble:
        raise BadUsage(
            f"Nothing can be kept in {where} ({trouble.strerror or trouble}), so the reading ear hears as before. Fix "
            "the folder's permissions or make room, then practice again."
        ) from trouble
    tell(wording.outcome(made.outcome))
    return _fit_document(made.outcome)


def _fit_document(made: FitOutcome) -> Document:
    """The figures for other programs."""
    pairs = {"held_back": (made.before, made.after), "other_voices": (made.others_before, made.others_after)}
    figures: Document = {
        name: {"before": dict(before), "after": dict(after)} for name, (before, after) in pairs.items()
    }
    return {"kept": made.objection is None, "why": wording.why(made), "likelier": made.likelier, **figures}


def _call_document(one: Tried) -> Document:
    """One call for other programs."""
    noise = None if one.noise_db is None else round(one.noise_db, 1)
    seconds = round(one.seconds, 3)
    return {"call": one.call, "heard": one.heard, "taken": one.taken, "seconds": seconds, "noise_db": noise}


def _forget() -> int:
    from fieldvoice.ears import personal

    where = personal.folder()
    try:
        there = personal.forget(where)
    except OSError as trouble:
        raise BadUsage(
            f"{where} can't be removed ({trouble.strerror or trouble}): recordings of you may still be there. Remove "
            "that folder by hand."
        ) from trouble
    tell(
        f"Removed {where}; the reading ear hears as shipped from the next start on."
        if there
        else "Nothing of your voice is kept here."
    )
    return 0
