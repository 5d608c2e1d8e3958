"""`listen`: the hanger on the microphone, the partner at the screen, with keys and lines at any moment. `type`:
readings from the keyboard, where it is too loud to speak.
"""

from __future__ import annotations

import _thread
import sys
import threading
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack, closing, contextmanager
from dataclasses import replace
from functools import partial
from pathlib import Path
from time import monotonic
from typing import TYPE_CHECKING

import click

from fieldvoice.commands import options
from fieldvoice.commands.desk import Desk
from fieldvoice.commands.output import block_cell, language_ready, live, show, tell
from fieldvoice.commands.page import Wanted, partner_page, shown_links, with_page
from fieldvoice.commands.talk import (
    Aloud,
    HouseFile,
    SaidLine,
    Talk,
    job_of,
    open_job,
    show_plans,
    take_house,
    with_sound,
)
from fieldvoice.commands.terminal import Keyboard, KeyOrder, Window, keyboard, medium, window
from fieldvoice.errors import BadUsage, NotHere
from fieldvoice.records.hearing import Hearing

if TYPE_CHECKING:
    from rich.text import Text

    from fieldvoice.dialogue.session import Session
    from fieldvoice.dialogue.view import Job
    from fieldvoice.ears.listening import Listening, Moment
    from fieldvoice.ears.microphone import Level, Microphone
    from fieldvoice.ears.sound import Frames
    from fieldvoice.page.phone import PhoneMicrophone
    from fieldvoice.records.said import Say


PHONE = "phone"
"""What a fit to a voice is kept under where a phone is the microphone."""


@click.command()
@options.job
@options.house_of_job
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
    """Hear readings on the microphone and show how to cut the board.

    Each is said back, on the screen and aloud. Goes on with the job where you left off, until Ctrl-C; everything said
    is kept. What is said while fieldvoice speaks isn't taken. The last row of the screen shows how loud voice and noise
    are, and the words as they come. Meanwhile the partner can type a line at any moment; Enter on an empty one ticks
    the step in hand, `?` shows the other keys.

    Where others talk within hearing, --wake makes it take only what begins with a phrase. Where noise is too loud to
    tell where a reading ends, --push-to-talk lets a key tell; a clicker or foot switch that types a space will do.
    Where there is no microphone, or it is too loud for one, use `fieldvoice type` on the same job.
    With --page the partner's phone shows the job; with --phone the hanger's is the microphone, with a button to talk.
    With --house the job begins with the walls and ceilings of a planned house: say the room, the wall, next board.
    """
    from fieldvoice.commands.recognizers import open_ears, own_voice
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


CLIPPED_SECONDS = 2.0
"""So long it is shown that the sound clipped: a person must have time to see it."""
WAIT_SECONDS = 0.25
"""The keyboard is waited for so long at a time; then the window is looked after."""
IDLE, HEARING = "listening", "hearing"
KEY_UP, KEY_DOWN = "SPACE TO TALK", "TALKING, space ends"


class Screen:
    """A live screen where both ends are a terminal; elsewhere plain lines. `key` says that a key opens the microphone.

    What is told stays on the screen until the next utterance was taken. `said` gets what is to be said aloud to what
    the partner did, `changed` is called after it.
    """

    def __init__(
        self,
        job: Job,
        said: Callable[[Sequence[Say]], None],
        changed: Callable[[], None],
        *,
        key: bool,
    ) -> None:
        self._desk = Desk(job, "partner")
        self._said, self._changed = said, changed
        self._key = key
        self._idle, self._busy = (KEY_UP, KEY_DOWN) if key else (IDLE, HEARING)
        self._clipped = float("-inf")
        self._row: Text | None = None
        self._keys: Keyboard | None = None
        self._glass: Window | None = None
        self._painting = threading.Lock()
        self._presses = 0
        self._fault: Exception | None = None

    @contextmanager
    def open(self) -> Iterator[None]:
        """The screen with its keys for as long as this is open. Raises `BadUsage` where there is no terminal and a talk
        key is wanted.
        """
        with ExitStack() as opened:
            if self._key and not live():
                raise BadUsage("The talk key is read from the terminal, and this isn't one. Leave out --push-to-talk.")
            if live():
                try:
                    self._keys = opened.enter_context(keyboard())
                except NotHere:
                    if self._key:
                        raise
                else:
                    self._glass = opened.enter_context(window())
                    opened.enter_context(self._watched())
            yield

    def presses(self) -> int:
        """How often the talk key was pressed since this was asked last."""
        count, self._presses = self._presses, 0
        return count

    def show(self, lines: Sequence[str]) -> None:
        """The job after an utterance; where there is no screen, the lines that were said."""
        self._desk.heard()
        if self._glass is not None:
            self.paint()
            return
        for line in lines:
            show(line)

    def tell(self, message: str) -> None:
        """A message to the person."""
        if self._glass is None:
            tell(message)
        else:
            self._desk.tell(message)
            self.paint()

    def moment(self, now: Moment, level: Level) -> None:
        """The row of the microphone, drawn anew where it changed."""
        if self._glass is None:
            return
        from fieldvoice.output.screen.parts import MicrophoneState, meter

        self._clipped = monotonic() if level.clipping else self._clipped
        clipping = monotonic() - self._clipped < CLIPPED_SECONDS
        heard = MicrophoneState(level.db, now.noise_db, clipping, self._busy if now.speaking else self._idle, now.words)
        row = meter(heard, max(self._glass.size[0] - 1, 20), blocks=block_cell() != "#")
        if self._row is None or row.markup != self._row.markup:
            self._row = row
            self.paint()

    def paint(self) -> None:
        """The window as it should be now."""
        if self._glass is not None and self._keys is not None:
            with self._painting:
                self._desk.paint(self._glass, medium(), self._keys.typing.text, self._row)

    @contextmanager
    def _watched(self) -> Iterator[None]:
        """Keys are heeded in a thread of their own: the microphone has the main one."""
        over = threading.Event()
        thread = threading.Thread(target=self._watch, args=(over,), name="keys", daemon=True)
        thread.start()
        try:
            yield
        except KeyboardInterrupt:
            if self._fault is not None:
                raise self._fault from None
            raise
        finally:
            over.set()
            thread.join(2)

    def _watch(self, over: threading.Event) -> None:
        """Heeds keys; what goes wrong there ends the session as if it had gone wrong in the main thread."""
        try:
            self._heed(over)
        except Exception as fault:  # noqa: BLE001 - nobody else would see it, and the keys would be dead
            self._fault = fault
            _thread.interrupt_main()

    def _heed(self, over: threading.Event) -> None:
        assert self._keys is not None
        while not over.is_set():
            for pressed in self._keys.wait(WAIT_SECONDS):
                if pressed is KeyOrder.END:
                    _thread.interrupt_main()
                    return
                if pressed is KeyOrder.TALK:
                    self._presses += 1
                    continue
                says = self._desk.pressed(pressed)
                self.paint()
                self._changed()
                self._said(says)
            self.paint()


LOOK_AGAIN_SECONDS = 1.0


@click.command("type")
@options.job
@options.house_of_job
@options.who
@with_page
@options.quiet
@options.as_json
def type_lines(job: Path | None, house: Path | None, who: str, *, quiet: bool, as_json: bool, wanted: Wanted) -> int:
    """Type readings, a line each, and see how to cut the board.

    Type them as you would say them, or short: `t 46 7/8`. Goes on with the job where you left off. In a terminal it is
    a screen: Enter on an empty line ticks the step in hand, Backspace takes the tick back, `?` shows the other keys.
    Ends with Ctrl-D, or where piped input ends; then the plan is printed. No "dead and tested" from piped input counts:
    only a person tests. With --page the partner's phone shows the job, ticks its steps and takes calls as well. With
    --house the job begins with the walls and ceilings of a planned house: say the room, the wall, next board.
    """
    from fieldvoice.dialogue.session import Session
    from fieldvoice.output.voice import open_voice
    from fieldvoice.wording.troubles import sentence

    planned = HouseFile.read(house)
    language_ready()
    with ExitStack() as open_now:
        path = job_of(job, planned)
        session = Session(open_now.enter_context(open_job(path)))
        aloud = Aloud(open_voice(tell, quiet=quiet or as_json), session)
        if trouble := session.view().journal_trouble:
            tell(f"fieldvoice: {sentence(trouble)}")
        talk = Talk(session, present=sys.stdin.isatty())
        turns, says = take_house(talk, planned, who)
        links: list[str] = []
        changed = open_now.enter_context(partner_page(wanted, session, path, aloud.say, told=links.append))
        if live() and not as_json and _at_the_desk(session, who, aloud, changed, shown_links(links)):
            return show_plans(talk, None, as_json=False)
        for link in links:
            tell(link)
        _answer(turns, says, aloud, as_json=as_json)
        while (line := _next_line()) is not None:
            turns, says = talk.take([Hearing.typed(line)], who)
            changed()
            _answer(turns, says, aloud, as_json=as_json)
        return show_plans(talk, None, as_json=as_json, transcript=True)


def _answer(turns: Sequence[SaidLine], says: Sequence[Say], aloud: Aloud, *, as_json: bool) -> None:
    if turns and not as_json:
        show("\n".join(turn.line() for turn in turns))
    aloud.say(says)


def _next_line() -> str | None:
    """The next line that holds something; None at the end."""
    while line := sys.stdin.readline():
        if line.strip():
            return line.strip()
    return None


def _at_the_desk(session: Session, who: str, aloud: Aloud, changed: Callable[[], None], links: Sequence[str]) -> bool:
    """The session on a screen until Ctrl-D; False where this platform gives no single keys."""
    from fieldvoice.commands.desk import Desk
    from fieldvoice.commands.terminal import KeyOrder, keyboard, medium, window
    from fieldvoice.errors import NotHere

    with ExitStack() as open_now:
        try:
            keys = open_now.enter_context(keyboard())
        except NotHere:
            return False
        glass = open_now.enter_context(window())
        desk = Desk(session, who)
        for line in links:
            desk.tell(line)
        while True:
            desk.paint(glass, medium(), keys.typing.text)
            for pressed in keys.wait(LOOK_AGAIN_SECONDS):
                if pressed is KeyOrder.END:
                    return True
                says = desk.pressed(pressed)
                desk.paint(glass, medium(), keys.typing.text)
                changed()
                aloud.say(says)
