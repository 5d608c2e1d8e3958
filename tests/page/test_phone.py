"""The hanger's phone as the microphone: its sound, its button, and a link that drops."""

from __future__ import annotations

import threading
from collections.abc import Iterator

import numpy as np
import pytest
from websockets import Origin
from websockets.exceptions import InvalidStatus
from websockets.sync.client import connect

from fieldvoice.ears.sound import MISSING, RATE, Frames
from fieldvoice.ears.talk_key import KeyHeld
from fieldvoice.page.app import Page
from fieldvoice.page.guard import Guard
from fieldvoice.page.partner import Feed
from fieldvoice.page.phone import KEPT_SECONDS, PhoneMicrophone
from fieldvoice.page.server import CONNECTIONS_AN_ADDRESS, LOOPBACK, SILENT_SECONDS, served
from fieldvoice.records.trouble import Trouble, Wrong
from tests.page.serving import TOKENS, Hands


def sound(value: int, seconds: float = 0.02) -> bytes:
    """Sound of one value."""
    return np.full(round(seconds * RATE), value, "<i2").tobytes()


def taken(phone: PhoneMicrophone, count: int) -> list[tuple[int, int | None, bool]]:
    """The next blocks: how long, their value, and whether the button was down; -1 for missing sound."""
    found = []
    blocks = phone.blocks()
    for _ in range(count):
        block = next(blocks)
        length = -1 if block is MISSING else len(block)
        found.append((length, int(block[0]) if length > 0 else None, phone.held()))
    return found


def test_the_button_goes_with_its_sound() -> None:
    """However late the blocks are taken, what came while the button was down counts as such, and nothing else."""
    told: list[Trouble] = []
    phone = PhoneMicrophone(told.append)
    assert phone.begin("one")
    phone.sound(sound(1))
    phone.button(down=True)
    phone.sound(sound(2))
    phone.sound(sound(3))
    phone.button(down=False)
    phone.sound(sound(4))
    assert taken(phone, 4) == [(-1, None, False), (320, 1, False), (640, 2, True), (320, 4, False)]
    assert told == [Trouble(Wrong.PHONE_JOINED)]


@pytest.mark.parametrize(("value", "told"), [(0, 1), (700, 1)])
def test_a_phone_without_sound_is_told_of_once(value: int, told: int) -> None:
    """One that is muted sends zeros, and the same sample for ever is no sound either."""
    troubles: list[Trouble] = []
    phone = PhoneMicrophone(troubles.append)
    phone.begin("one")
    phone.button(down=True)
    blocks = phone.blocks()
    for _ in range(60):
        phone.sound(sound(value, 0.1))
        next(blocks)
    assert troubles.count(Trouble(Wrong.PHONE_SILENT)) == told


def test_a_link_that_drops_in_a_call_is_told_and_the_call_is_gone() -> None:
    """Missing sound ends what had begun; the hanger is asked to say it again."""
    told: list[Trouble] = []
    phone = PhoneMicrophone(told.append)
    phone.begin("one")
    phone.button(down=True)
    phone.sound(sound(2))
    phone.end("one")
    assert taken(phone, 4) == [(-1, None, False), (0, None, False), (320, 2, True), (-1, None, False)]
    assert told[-1] == Trouble(Wrong.PHONE_DROPPED)
    phone.begin("one")
    phone.end("one")
    assert told[-1] == Trouble(Wrong.PHONE_LEFT)


def test_one_phone_at_a_time() -> None:
    """A second one is told so; when the first is gone it may come. What isn't the phone can't end the link."""
    phone = PhoneMicrophone(lambda _: None)
    assert phone.begin("one")
    assert not phone.begin("two")
    phone.end("two")
    assert not phone.begin("two")
    phone.end("one")
    assert phone.begin("two")


def test_sound_that_nobody_takes_is_bounded_and_counts_as_missing() -> None:
    """Memory stays bounded, and no half of a call is taken for a whole one."""
    phone = PhoneMicrophone(lambda _: None)
    phone.begin("one")
    phone.button(down=True)
    for _ in range(round(3 * KEPT_SECONDS / 0.02)):
        phone.sound(sound(5))
    lengths = [length for length, _, _ in taken(phone, 2)]
    assert lengths[0] == -1
    assert lengths[1] <= KEPT_SECONDS * RATE


def test_a_phone_that_sends_nothing_more_with_its_button_down_is_no_call() -> None:
    """A phone that went to sleep: what had begun is forgotten, and asked for again."""
    told: list[Trouble] = []
    phone = PhoneMicrophone(told.append)
    phone.begin("one")
    phone.button(down=True)
    phone.sound(sound(5))
    assert (-1, None, False) in taken(phone, 14)[2:]
    assert told[-1] == Trouble(Wrong.PHONE_DROPPED)


def test_odd_bytes_are_no_sound() -> None:
    """Half a sample at the end is left out; nothing raises."""
    phone = PhoneMicrophone(lambda _: None)
    phone.begin("one")
    phone.sound(b"\x01")
    phone.sound(b"\x01\x00\x02")
    assert taken(phone, 2)[1] == (1, 1, False)


def test_the_first_press_begins_a_call() -> None:
    """A phone whose button goes down as its link comes up is heard from its first word on."""
    phone = PhoneMicrophone(lambda _: None)
    phone.begin("one")
    phone.button(down=True)
    phone.sound(sound(6, 0.5))
    phone.button(down=False)
    key, heard = KeyHeld(phone.held), []
    blocks = phone.blocks()
    for _ in range(4):
        block = next(blocks)
        if block is MISSING:
            key.interrupted()
        else:
            heard += [cut for cut in key.take(block) if len(cut.frames)]
    assert [len(cut.frames) for cut in heard] == [8000]


@pytest.fixture
def linked() -> Iterator[tuple[int, PhoneMicrophone, list[Trouble]]]:
    """A page that takes the sound of a phone, its port, and what is told."""
    told: list[Trouble] = []
    phone = PhoneMicrophone(told.append)
    guard = Guard(TOKENS, frozenset())
    with served(Page(Feed(), guard, Hands(), phone=phone), LOOPBACK) as port:
        guard.hosts = frozenset({f"{LOOPBACK}:{port}"})
        yield port, phone, told


def _link(port: int, token: str | None, origin: str | None = None) -> object:
    headers = {"Cookie": f"fieldvoice={token}"} if token is not None else {}
    return connect(
        f"ws://{LOOPBACK}:{port}/sound",
        origin=Origin(origin or f"http://{LOOPBACK}:{port}"),
        additional_headers=headers,
        open_timeout=10,
    )


@pytest.mark.parametrize(
    ("token", "origin"),
    [(None, None), ("guessed", None), (TOKENS.look, None), (TOKENS.tick, "http://elsewhere.example")],
    ids=["no link", "a wrong one", "one that only looks", "from another page"],
)
def test_who_may_not_talk(
    linked: tuple[int, PhoneMicrophone, list[Trouble]], token: str | None, origin: str | None
) -> None:
    """Refused before any sound is taken."""
    port, _, told = linked
    with pytest.raises(InvalidStatus):
        _link(port, token, origin)
    assert told == []


def test_a_link_stays_and_its_place_is_given_back(linked: tuple[int, PhoneMicrophone, list[Trouble]]) -> None:
    """Longer than a silent connection may; and a phone that comes and goes all day is never shut out."""
    port, _, told = linked
    with _link(port, TOKENS.tick) as link:  # type: ignore[attr-defined]
        for _ in range(round((SILENT_SECONDS + 1) / 0.1)):
            link.send(sound(1))
            threading.Event().wait(0.1)
        assert told == [Trouble(Wrong.PHONE_JOINED)]
    for _ in range(CONNECTIONS_AN_ADDRESS + 5):
        with _link(port, TOKENS.tick) as link:  # type: ignore[attr-defined]
            link.send(sound(1))


def test_sound_comes_over_the_link(linked: tuple[int, PhoneMicrophone, list[Trouble]]) -> None:
    """From the phone's button to the blocks that the ears take, and to the word when the link is gone."""
    port, phone, told = linked
    blocks: list[tuple[Frames, bool]] = []
    done = threading.Event()

    def take() -> None:
        for block in phone.blocks():
            blocks.append((block, phone.held()))
            if len(blocks) > 400:
                return

    thread = threading.Thread(target=take, daemon=True)
    thread.start()
    with _link(port, TOKENS.tick) as link:  # type: ignore[attr-defined]
        link.send("down")
        for _ in range(10):
            link.send(sound(7))
        link.send("up")
        link.send(sound(8))
        link.send("down")
        done.wait(0.5)
    done.wait(1)
    phone.close()
    thread.join(5)
    held = np.concatenate([block for block, down in blocks if down])
    assert set(held.tolist()) == {7}
    assert len(held) == 3200
    assert told == [Trouble(Wrong.PHONE_JOINED), Trouble(Wrong.PHONE_DROPPED)]
