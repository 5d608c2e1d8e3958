"""`listen`: the hanger on the microphone, the partner at the screen."""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

import click

from fieldvoice.commands import options
from fieldvoice.commands.output import live, tell
from fieldvoice.commands.talk import Talk

if TYPE_CHECKING:
    from fieldvoice.ears.sound import Frames
    from fieldvoice.job.session import Session
    from fieldvoice.job.view import Say
    from fieldvoice.show.voice import Voice


@click.command()
@options.job
@options.ear
@click.option("--device", default=None, metavar="NAME", help="The microphone, by its name. Default: the system's.")
@click.option("--wake", default=None, metavar="WORDS", help="Take only what begins with these words.")
@options.keep_audio
@options.quiet
def listen(
    job: Path | None, ear: str | None, device: str | None, wake: str | None, *, keep_audio: bool, quiet: bool
) -> int:
    """Hear readings on the microphone, say each back, and show how to cut the board.

    Goes on with the job where it was left, until Ctrl-C; everything said is kept. What is said while fieldvoice speaks
    isn't taken. Where there is no microphone, or it is too loud, use `fieldvoice type` on the same job.
    """
    from fieldvoice.commands.jobs import open_job, with_sound
    from fieldvoice.commands.listening import open_ears
    from fieldvoice.ears.listening import Listening
    from fieldvoice.ears.listening import listen as utterances
    from fieldvoice.ears.microphone import Microphone
    from fieldvoice.job.files import job_file
    from fieldvoice.job.session import Session
    from fieldvoice.language import automaton
    from fieldvoice.show.voice import open_voice

    microphone = Microphone(device, tell)
    try:
        tell("Getting ready to hear.")
        ears, network = open_ears(ear), automaton()
        path = job_file(job)
        log = open_job(path)
        try:
            session = Session(log)
            talk = Talk(session)
            voice = open_voice(tell, quiet=quiet)
            _show(talk, ())
            sounds: deque[Frames] = deque(maxlen=1)
            how = Listening(lambda: session.muted, wake=wake, sound=sounds.append if keep_audio else None)
            for hearings in utterances(microphone.blocks(), ears, network, how):
                kept = with_sound(hearings, sounds.pop().tobytes(), path) if sounds else hearings
                turns, says = talk.take(kept, "hanger")
                _show(talk, [turn.line() for turn in turns])
                speak(says, voice, session, microphone)
        finally:
            log.close()
    finally:
        microphone.close()
    return 0


class Mute(Protocol):
    """What can be told that sound in it is fieldvoice's own."""

    def skip(self) -> None:
        """Forgets what came in and wasn't taken yet."""


def speak(says: Sequence[Say], voice: Voice, session: Session, microphone: Mute) -> None:
    """Says everything with the microphone shut. Where nothing could be heard nothing is skipped either: what came in
    meanwhile is the hanger's.
    """
    with session.speaking():
        heard = [voice.say(say.spoken) for say in says]
    if any(heard):
        microphone.skip()


def _show(talk: Talk, lines: Sequence[str]) -> None:
    view = talk.look()
    if live():
        from fieldvoice.commands.display import draw

        draw(view)
    else:
        for line in lines:
            click.echo(line)
