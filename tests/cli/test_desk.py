"""The partner's desk: one key a step, every page a key away, and a line at any moment."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

from rich.text import Text

from fieldvoice.commands.desk import PROMPT, Desk
from fieldvoice.commands.terminal import KeyOrder, TypedLine, Window
from fieldvoice.dialogue.view import View, in_hand
from fieldvoice.output.screen.parts import RICH
from fieldvoice.records.hearing import Hearing
from fieldvoice.records.said import Say
from fieldvoice.wording import cautions
from fieldvoice.wording.captions import NO_CAUTIONS
from tests.cli.test_terminal import Glass
from tests.output.scene import DONE, GATHERING


@dataclass
class Sheets:
    """A job that does what it is told and remembers who told it."""

    now: View
    did: list[str] = field(default_factory=list)

    def take(self, hearing: Hearing, who: str) -> Sequence[Say]:
        """A line."""
        self.did.append(f"{who}: {hearing.words}")
        return (Say("taken", "taken"),)

    def tick(self, seen: View, who: str) -> Sequence[Say] | None:
        """A step is done."""
        step = in_hand(seen)
        if step is None or step != in_hand(self.now):
            return None
        self.did.append(f"{who} ticks {step.number}")
        self.now = replace(self.now, ticked=self.now.ticked | {step.number})
        return ()

    def untick(self, who: str) -> Sequence[Say]:
        """The last one isn't."""
        self.did.append(f"{who} unticks")
        self.now = replace(self.now, ticked=self.now.ticked - {max(self.now.ticked, default=0)})
        return ()

    def acknowledge(self, seen: View, who: str) -> Sequence[Say]:
        """The cautions were read."""
        self.did.append(f"{who} has read")
        self.now = replace(self.now, acknowledged=True)
        return ()

    def view(self) -> View:
        """As it is."""
        return self.now


def desk(view: View) -> tuple[Desk, Sheets, Glass]:
    """A desk, its job and its glass."""
    sheets, glass = Sheets(view), Glass()
    return Desk(sheets, "partner"), sheets, glass


def text(one: Desk, glass: Glass) -> str:
    """What the window shows."""
    one.paint(Window(glass), RICH, "t 46")
    return "\n".join(glass.frame())


def test_one_key_a_step_after_the_cautions_were_read_once() -> None:
    """The first Enter brings the cautions, the second acknowledges them, from then on each ticks a step."""
    one, sheets, glass = desk(DONE)
    one.pressed(KeyOrder.TICK)
    assert "CAUTIONS" in text(one, glass)
    assert sheets.did == []
    for _ in range(6):
        one.pressed(KeyOrder.TICK)
    assert sheets.did == ["partner has read", *(f"partner ticks {n}" for n in range(1, 6))]
    assert "Every step of this board is ticked." in text(one, glass)


def test_the_marks_are_there_before_the_cautions_are_read() -> None:
    """Nothing pushes them off; the cautions come with the first tick."""
    one, _, glass = desk(DONE)
    assert "RIGHT EDGE: hook on the left factory edge" in text(one, glass)


def test_backspace_takes_the_last_tick_back() -> None:
    """Under the partner's name."""
    one, sheets, _ = desk(replace(DONE, acknowledged=True, ticked=frozenset({1, 2})))
    one.pressed(KeyOrder.UNTICK)
    one.pressed(KeyOrder.TICK)
    assert sheets.did == ["partner unticks", "partner ticks 2"]


def test_nothing_is_ticked_while_measuring() -> None:
    """There is no plan to cut from."""
    one, sheets, _ = desk(GATHERING)
    one.pressed(KeyOrder.TICK)
    assert sheets.did == []


def test_a_line_is_the_partners_call_and_its_answer_is_said() -> None:
    """Whatever page is looked at."""
    one, sheets, glass = desk(DONE)
    one.pressed(KeyOrder.KEYS)
    assert "Backspace" in text(one, glass)
    says = one.pressed(TypedLine("right 95 1/8"))
    assert sheets.did == ["partner: right 95 1/8"]
    assert [say.spoken for say in says] == ["taken"]
    assert "Backspace" not in text(one, glass)


def test_a_key_brings_its_page_and_the_same_key_leads_back() -> None:
    """So does Enter, which then ticks nothing."""
    one, sheets, glass = desk(replace(DONE, acknowledged=True))
    for key, shown in ((KeyOrder.KEYS, "KEYS"), (KeyOrder.DETAILS, "STEPS AND NOTES"), (KeyOrder.CAUTIONS, "CAUTIONS")):
        one.pressed(key)
        assert shown in text(one, glass)
        one.pressed(key)
        assert "hook on" in text(one, glass)
    one.pressed(KeyOrder.KEYS)
    one.pressed(KeyOrder.TICK)
    assert sheets.did == []
    assert "hook on" in text(one, glass)


def test_what_is_told_stays_until_the_next_key() -> None:
    """Above what is typed, and with the meter's row under it."""
    one, _, glass = desk(DONE)
    one.tell("The microphone is gone.")
    one.paint(Window(glass), RICH, "", Text("level"))
    frame = glass.frame()
    assert frame[-3:] == ["! The microphone is gone.", "level", PROMPT]
    one.pressed(KeyOrder.KEYS)
    assert "gone" not in text(one, glass)


def test_cautions_that_need_more_than_one_window_are_read_to_their_end(sized: Callable[[int, int], Glass]) -> None:
    """Enter goes on to the next part; only what is behind the last one acknowledges."""
    sheets, glass = Sheets(DONE), sized(30, 6)
    one, window = Desk(sheets, "partner"), Window(glass)
    one.pressed(KeyOrder.TICK)
    parts = list[str]()
    for _ in range(20):
        one.paint(window, RICH, "")
        parts.append(" ".join(" ".join(glass.frame()).replace("!", "").split()))
        one.pressed(KeyOrder.TICK)
        if sheets.did:
            break
    assert sheets.did == ["partner has read"]
    assert len(parts) > 2
    last = " ".join(cautions.every(DONE.cautions, ())[-1].split()[-4:])
    assert [last in part for part in parts] == [False] * (len(parts) - 1) + [True]


def test_where_there_are_no_cautions_none_are_read() -> None:
    """Before a plan is there Enter on their page leads back; its own will come."""
    one, sheets, glass = desk(replace(GATHERING, plan=None, cautions=()))
    one.pressed(KeyOrder.CAUTIONS)
    assert NO_CAUTIONS in " ".join(text(one, glass).split())
    one.pressed(KeyOrder.TICK)
    assert sheets.did == []
    assert "CAUTIONS" not in text(one, glass)


def test_the_screen_is_drawn_anew_where_something_else_wrote_over_it() -> None:
    """Ctrl-L writes rows that haven't changed as well."""
    one, _, glass = desk(DONE)
    window = Window(glass)
    one.paint(window, RICH, "")
    glass.frame()
    one.paint(window, RICH, "")
    assert "hook on" not in glass.getvalue()
    one.pressed(KeyOrder.REDRAW)
    one.paint(window, RICH, "")
    assert "hook on" in glass.getvalue()
