"""`type`: readings from the keyboard, where it is too loud to speak."""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING

import click

from fieldvoice.commands import options
from fieldvoice.commands.output import language_ready, live, show, tell
from fieldvoice.commands.page import Wanted, partner_page, shown_links, with_page
from fieldvoice.commands.talk import Aloud, HouseFile, SaidLine, Talk, job_of, open_job, show_plans, take_house
from fieldvoice.records.hearing import Hearing

if TYPE_CHECKING:
    from fieldvoice.dialogue.session import Session
    from fieldvoice.records.said import Say

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
