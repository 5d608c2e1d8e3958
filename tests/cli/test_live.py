"""The live screen: keys and lines while the microphone is heard, and what is told stays in sight."""

from __future__ import annotations

import os
import pty
import re
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack
from dataclasses import dataclass, field

import pytest

from fieldvoice.commands import listen
from fieldvoice.commands.terminal import medium
from fieldvoice.ears.listening import Moment
from fieldvoice.ears.microphone import Level
from fieldvoice.errors import BadUsage
from fieldvoice.records.said import Say
from tests.cli.test_desk import Sheets
from tests.cli.test_terminal import Glass
from tests.output.scene import DONE, GATHERING

QUIET = Level(-50.0, clipping=False)


@dataclass
class Partner:
    """Somebody at a terminal: what is typed, and what the glass shows."""

    keys: int
    screen: listen.Screen
    sheets: Sheets
    aloud: list[str] = field(default_factory=list)
    written: Callable[[], str] = lambda: ""

    def types(self, text: str) -> None:
        """Keys, as the terminal sends them."""
        os.write(self.keys, text.encode())

    def sees(self, wanted: str, within: float = 10.0) -> bool:
        """Whether that comes to be seen."""
        until = time.monotonic() + within
        while time.monotonic() < until:
            if wanted in re.sub(r"\x1b\[[0-9;?]*[A-Za-z]", "", self.written()):
                return True
            time.sleep(0.02)
        return False


@pytest.fixture(params=[False, True], ids=["listening", "talk key"])
def partner(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Iterator[Partner]:
    """A partner at a job that may be cut, with and without a talk key."""
    typing, inner = pty.openpty()
    sheets = Sheets(DONE)
    aloud: list[str] = []
    glass = Glass()
    with os.fdopen(inner, "r", encoding="utf-8") as stdin, ExitStack() as opened:
        monkeypatch.setattr(sys, "stdin", stdin)
        monkeypatch.setattr(sys, "stdout", glass)
        monkeypatch.setattr(listen, "live", lambda: True)

        def said(says: Sequence[Say]) -> None:
            aloud.extend(say.spoken for say in says)

        screen = listen.Screen(sheets, said, lambda: None, key=request.param)
        opened.enter_context(screen.open())
        yield Partner(typing, screen, sheets, aloud, glass.getvalue)
    os.close(typing)


def test_while_it_listens_the_partner_types_and_ticks(partner: Partner) -> None:
    """In the same window: cautions read, a step ticked, a call taken, its answer said."""
    partner.types("\n")
    assert partner.sees("CAUTIONS")
    partner.types("\n\nright 95 1/8\n")
    until = time.monotonic() + 10
    while len(partner.sheets.did) < 3 and time.monotonic() < until:
        time.sleep(0.02)
    assert partner.sheets.did == ["partner has read", "partner ticks 1", "partner: right 95 1/8"]
    until = time.monotonic() + 10
    while not partner.aloud and time.monotonic() < until:
        time.sleep(0.02)
    assert partner.aloud == ["taken"]


def test_the_space_bar_is_the_talk_key_and_a_blank_in_a_line(partner: Partner) -> None:
    """On an empty line it is counted; within one it is a blank."""
    partner.types("  t 46\n ")
    until = time.monotonic() + 10
    while len(partner.sheets.did) < 1 and time.monotonic() < until:
        time.sleep(0.02)
    time.sleep(0.3)
    assert partner.sheets.did == ["partner: t 46"]
    assert partner.screen.presses() == 3
    assert partner.screen.presses() == 0


def test_what_is_told_stays_until_the_next_utterance(partner: Partner) -> None:
    """The microphone is gone: seen until something was said."""
    partner.screen.tell("The microphone is gone.")
    assert partner.sees("! The microphone is gone.")
    partner.screen.show([])
    assert "gone" not in "".join(line.plain for line in partner.screen._desk._lines(80, 20, medium()))


def test_the_last_row_says_what_is_being_done(partner: Partner) -> None:
    """And clipping stays long enough to be seen."""
    idle, busy = ("SPACE TO TALK", "TALKING, space ends") if partner.screen._key else ("listening", "hearing")
    partner.screen.moment(Moment(speaking=False, words="", noise_db=-60.0), QUIET)
    assert partner.sees(idle)
    partner.screen.moment(Moment(speaking=True, words="top forty", noise_db=-60.0), QUIET)
    assert partner.sees(f"{busy}: top forty")
    partner.screen.moment(Moment(speaking=True, words="", noise_db=-60.0), Level(0.0, clipping=True))
    assert partner.sees("it clips")


def test_in_a_pipe_lines_are_said_and_no_level_is_drawn(capsys: pytest.CaptureFixture[str]) -> None:
    """What was said goes to standard output, what is told to standard error."""
    shown = listen.Screen(Sheets(GATHERING), lambda _: None, lambda: None, key=False)
    with shown.open():
        shown.show(["hanger: yes"])
        shown.moment(Moment(speaking=True, words="top", noise_db=-60.0), QUIET)
        shown.tell("The microphone is gone.")
    captured = capsys.readouterr()
    assert (captured.out, captured.err) == ("hanger: yes\n", "The microphone is gone.\n")


def test_without_a_terminal_there_is_no_talk_key() -> None:
    """Said at once, with what to leave out."""
    with (
        pytest.raises(BadUsage, match="--push-to-talk"),
        listen.Screen(Sheets(DONE), lambda _: None, lambda: None, key=True).open(),
    ):
        pass


def test_what_goes_wrong_at_the_keys_ends_the_session(monkeypatch: pytest.MonkeyPatch) -> None:
    """A thread that dies unseen would leave keys that do nothing; the fault comes out where the microphone is read."""
    typing, inner = pty.openpty()
    sheets = Sheets(DONE)

    def fails(*_: object) -> None:
        raise RuntimeError("broken")

    with os.fdopen(inner, "r", encoding="utf-8") as stdin:
        monkeypatch.setattr(sys, "stdin", stdin)
        monkeypatch.setattr(sys, "stdout", Glass())
        monkeypatch.setattr(listen, "live", lambda: True)
        monkeypatch.setattr(sheets, "take", fails)
        screen = listen.Screen(sheets, lambda _: None, lambda: None, key=False)

        def goes_on() -> None:
            with screen.open():
                os.write(typing, b"t 46\n")
                for _ in range(600):
                    time.sleep(0.1)

        with pytest.raises(RuntimeError, match="broken"):
            goes_on()
    os.close(typing)
