"""`listen`: the hanger on the microphone, the partner at the screen."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from fieldvoice.commands import options
from fieldvoice.commands.output import live, tell
from fieldvoice.commands.talk import Talk


@click.command()
@options.job
@options.ear
@click.option("--device", default=None, metavar="NAME", help="The microphone, by its name. Default: the system's.")
@click.option("--wake", default=None, metavar="WORDS", help="Take only what begins with these words.")
@options.quiet
def listen(job: Path | None, ear: str | None, device: str | None, wake: str | None, *, quiet: bool) -> int:
    """Hear readings on the microphone, say each back, and show how to cut the board.

    Goes on with the job where it was left, until Ctrl-C; everything said is kept. What is said while fieldvoice speaks
    isn't taken. Where there is no microphone, or it is too loud, use `fieldvoice type` on the same job.
    """
    from fieldvoice.commands.jobs import open_job
    from fieldvoice.commands.listening import open_ears
    from fieldvoice.ears.listening import Listening
    from fieldvoice.ears.listening import listen as utterances
    from fieldvoice.ears.microphone import Microphone
    from fieldvoice.job.session import Session
    from fieldvoice.language import automaton
    from fieldvoice.show.voice import open_voice

    microphone = Microphone(device, tell)
    try:
        tell("Getting ready to hear.")
        ears, network = open_ears(ear), automaton()
        log = open_job(job)
        try:
            session = Session(log)
            talk = Talk(session)
            voice = open_voice(tell, quiet=quiet)
            _show(talk, ())
            for hearings in utterances(microphone.blocks(), ears, network, Listening(wake=wake)):
                turns, says = talk.take(hearings, "hanger")
                _show(talk, [turn.line() for turn in turns])
                with session.speaking():
                    for say in says:
                        voice.say(say.spoken)
                microphone.skip()
        finally:
            log.close()
    finally:
        microphone.close()
    return 0


def _show(talk: Talk, lines: Sequence[str]) -> None:
    view = talk.look()
    if live():
        from fieldvoice.commands.display import draw

        draw(view)
    else:
        for line in lines:
            click.echo(line)
