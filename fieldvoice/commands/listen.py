"""`listen`: the hanger on the microphone, the partner at the screen."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Sequence
from contextlib import ExitStack, closing
from pathlib import Path
from threading import Lock
from typing import TYPE_CHECKING, Protocol

import click

from fieldvoice.commands import options
from fieldvoice.commands.output import tell
from fieldvoice.commands.page import Wanted, partner_page, with_page
from fieldvoice.commands.talk import Talk
from fieldvoice.errors import BadUsage

if TYPE_CHECKING:
    from fieldvoice.commands.live import Screen
    from fieldvoice.dialogue.session import Session
    from fieldvoice.dialogue.view import Say
    from fieldvoice.ears.listening import Moment
    from fieldvoice.ears.microphone import Microphone
    from fieldvoice.ears.sound import Frames
    from fieldvoice.output.voice import Voice
    from fieldvoice.page.phone import PhoneMicrophone


@click.command()
@options.job
@options.ear
@options.device
@click.option(
    "--push-to-talk",
    is_flag=True,
    help="Hear only while the space bar is held, or from one press of it to the next.",
)
@click.option(
    "--wake", default=None, metavar="WORDS", help="Take only what begins with these words, such as “okay sheet”."
)
@click.option("--phone", is_flag=True, help="A phone that has the page open is the microphone: --page --secure.")
@options.keep_audio
@options.quiet
@with_page
def listen(
    job: Path | None,
    ear: str | None,
    device: str | None,
    wake: str | None,
    *,
    push_to_talk: bool,
    phone: bool,
    keep_audio: bool,
    quiet: bool,
    wanted: Wanted,
) -> int:
    """Hear readings on the microphone, say each back, and show how to cut the board.

    Goes on with the job where it was left, until Ctrl-C; everything said is kept. What is said while fieldvoice speaks
    isn't taken. The last row of the screen shows how loud voice and noise are, and the words as they come.

    Where others talk within hearing, --wake makes it take only what begins with a phrase. Where noise is too loud to
    tell where a reading ends, --push-to-talk lets a key tell; a clicker or foot switch that types a space will do.
    Where there is no microphone, or it is too loud for any, use `fieldvoice type` on the same job.
    With --page the partner's phone shows the job; with --phone the hanger's is the microphone, with a button to talk.
    """
    from fieldvoice.commands.jobs import open_job, with_sound
    from fieldvoice.commands.keys import presses
    from fieldvoice.commands.listening import enough, open_ears, outlook, own_voice
    from fieldvoice.commands.live import Screen
    from fieldvoice.dialogue.session import Session
    from fieldvoice.ears.listening import Listening
    from fieldvoice.ears.listening import listen as utterances
    from fieldvoice.ears.microphone import Microphone, device_name
    from fieldvoice.ears.talk_key import Presses
    from fieldvoice.journal.files import job_file
    from fieldvoice.output.voice import open_voice
    from fieldvoice.page.phone import PhoneMicrophone

    if push_to_talk and wake is not None:
        raise BadUsage("With the talk key nothing else is heard, so a wake phrase isn't wanted: give one of the two.")
    if phone and (not wanted.secure or push_to_talk or wake is not None or device is not None):
        raise BadUsage(
            "With --phone a button on the phone is the talk key: give --page --secure with it, and no --device, --wake "
            "or --push-to-talk."
        )
    wake = wake and " ".join(wake.lower().split())
    with ExitStack() as open_now:
        screen = Screen(key=push_to_talk)
        held = Presses(open_now.enter_context(presses(b" "))) if push_to_talk else None
        tell("Getting ready to hear.")
        name = _PHONE if phone else device_name(device)
        ears = open_ears(ear, lambda: session.unit, wake, own_voice(name))
        link = PhoneMicrophone(screen.tell) if phone else None
        microphone = open_now.enter_context(closing(link or Microphone(name, screen.tell)))
        path = job_file(job)
        talk = Talk(session := Session(open_now.enter_context(closing(open_job(path)))))
        voice = open_voice(tell, quiet=quiet)
        screen.show(talk.look(), ())
        mouth = Lock()

        def from_page(says: Sequence[Say]) -> None:
            """What the page's own calls have to say."""
            screen.show(talk.look(), [say.text for say in says])
            with mouth:
                speak(says, voice, session, microphone)

        changed = open_now.enter_context(partner_page(wanted, session, path, from_page, link))
        sounds: deque[Frames] = deque(maxlen=1)
        how = Listening(
            lambda words: outlook(words, session.unit),
            muted=lambda: session.muted,
            held=link.held if link is not None else held,
            wake=wake,
            enough=lambda hearings, others: enough(hearings, others, session.unit),
            moment=_meter(screen, microphone),
            sound=sounds.append if keep_audio else None,
        )
        for hearings in utterances(microphone.blocks(), ears, how):
            kept = with_sound(hearings, sounds.pop().tobytes(), path) if sounds else hearings
            turns, says = talk.take(kept, "hanger")
            changed()
            screen.show(talk.look(), [turn.line() for turn in turns])
            with mouth:
                speak(says, voice, session, microphone)
    return 0


_PHONE = "phone"
"""The name of a microphone that is a phone: a voice may be fitted on it as on any other."""


def _meter(screen: Screen, microphone: Microphone | PhoneMicrophone) -> Callable[[Moment], None]:
    """Shows each moment with the level that the microphone had then."""
    return lambda now: screen.moment(now, microphone.level)


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
