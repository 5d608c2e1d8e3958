"""`listen`: the hanger on the microphone, the partner at the screen."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from contextlib import ExitStack, closing
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from fieldvoice.commands import options
from fieldvoice.commands.output import tell
from fieldvoice.commands.page import Wanted, partner_page, shown_links, with_page
from fieldvoice.commands.talk import Talk
from fieldvoice.errors import BadUsage

PHONE = "phone"
"""What a fit to a voice is kept under where a phone is the microphone."""

if TYPE_CHECKING:
    from fieldvoice.commands.live import Screen
    from fieldvoice.dialogue.session import Session
    from fieldvoice.ears.listening import Listening
    from fieldvoice.ears.microphone import Microphone
    from fieldvoice.ears.sound import Frames
    from fieldvoice.page.phone import PhoneMicrophone


@click.command()
@options.job
@options.house
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
@with_page
@options.keep_audio
@options.quiet
def listen(
    job: Path | None,
    house: Path | None,
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

    Goes on with the job where you left off, until Ctrl-C; everything said is kept. What is said while fieldvoice speaks
    isn't taken. The last row of the screen shows how loud voice and noise are, and the words as they come. Meanwhile
    the partner can type a line at any moment; Enter on an empty one ticks the step in hand, `?` shows the other keys.

    Where others talk within hearing, --wake makes it take only what begins with a phrase. Where noise is too loud to
    tell where a reading ends, --push-to-talk lets a key tell; a clicker or foot switch that types a space will do.
    Where there is no microphone, or it is too loud for one, use `fieldvoice type` on the same job.
    With --page the partner's phone shows the job; with --phone the hanger's is the microphone, with a button to talk.
    With --house the job begins with the walls and ceilings of a planned house: say the room, the wall, next board.
    """
    from fieldvoice.commands.aloud import Aloud
    from fieldvoice.commands.houses import HouseFile, job_of, take_house
    from fieldvoice.commands.live import Screen
    from fieldvoice.commands.recognizers import open_ears, own_voice
    from fieldvoice.commands.talk import open_job, with_sound
    from fieldvoice.dialogue.session import Session
    from fieldvoice.ears.listening import listen as utterances
    from fieldvoice.ears.microphone import Microphone, device_name
    from fieldvoice.ears.talk_key import Presses
    from fieldvoice.output.voice import open_voice
    from fieldvoice.page.phone import PhoneMicrophone
    from fieldvoice.wording.troubles import sentence

    _check_together(wanted, device, wake, push_to_talk=push_to_talk, phone=phone)
    planned = HouseFile.read(house)
    wake = wake and " ".join(wake.lower().split())
    with ExitStack() as open_now:
        tell("Getting ready to hear.")
        path = job_of(job, planned)
        session = Session(open_now.enter_context(open_job(path)))
        talk = Talk(session)
        taken, told = take_house(talk, planned, "partner")
        name = PHONE if phone else device_name(device)
        ears = open_ears(ear, lambda: session.unit, wake, own_voice(name))
        said: list[Callable[[str], None]] = [tell]
        opened = PhoneMicrophone if phone else partial(Microphone, name)
        microphone = open_now.enter_context(closing(opened(lambda trouble: said[-1](sentence(trouble)))))
        aloud = Aloud(open_voice(tell, quiet=quiet), session, microphone)
        by_phone = microphone if isinstance(microphone, PhoneMicrophone) else None
        links: list[str] = []
        changed = open_now.enter_context(partner_page(wanted, session, path, aloud.say, by_phone, links.append))
        screen = Screen(session, aloud.say, changed, key=push_to_talk)
        open_now.enter_context(screen.open())
        said.append(screen.tell)
        screen.show([turn.line() for turn in taken])
        for line in shown_links(links):
            screen.tell(line)
        sounds: deque[Frames] = deque(maxlen=1)
        how = replace(
            _how(session, screen, microphone),
            held=by_phone.held if by_phone is not None else Presses(screen.presses) if push_to_talk else None,
            wake=wake,
            sound=sounds.append if keep_audio else None,
        )
        screen.paint()
        aloud.ready()
        aloud.say(told)
        for hearings in utterances(microphone.blocks(), ears, how):
            kept = with_sound(hearings, sounds.pop().tobytes(), path) if sounds else hearings
            turns, says = talk.take(kept, "hanger")
            screen.show([turn.line() for turn in turns])
            changed()
            aloud.say(says)
    return 0


def _check_together(wanted: Wanted, device: str | None, wake: str | None, *, push_to_talk: bool, phone: bool) -> None:
    """`BadUsage` for options of which each says how a call begins."""
    if push_to_talk and wake is not None:
        raise BadUsage("With the talk key nothing else is heard, so no wake phrase is needed: give one of the two.")
    if phone and (not wanted.secure or push_to_talk or wake is not None or device is not None):
        raise BadUsage(
            "With --phone a button on the phone is the talk key: give --page --secure with it, and no --device, --wake "
            "or --push-to-talk."
        )


def _how(session: Session, screen: Screen, microphone: Microphone | PhoneMicrophone) -> Listening:
    """How it is listened for a session: within the language of its unit, each moment shown with the level it had."""
    from fieldvoice.ears.listening import Listening
    from fieldvoice.language.outlook import enough, outlook

    return Listening(
        lambda words: outlook(words, session.unit),
        muted=lambda: session.muted,
        enough=lambda hearings, others: enough(hearings, [ear.kind for ear in others], session.unit),
        moment=lambda now: screen.moment(now, microphone.level),
    )
