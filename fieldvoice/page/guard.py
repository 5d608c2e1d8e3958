"""What every request passes first: where it comes from, how often, and with what right. Who may look and who may tick
is told by random tokens of a job, kept beside the jobs so that a restart changes none.
"""

from __future__ import annotations

import hashlib
import hmac
import json
import secrets
from collections import deque
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from pathlib import Path
from time import monotonic
from urllib.parse import urlsplit

from fieldvoice.errors import NotHere
from fieldvoice.files.durable import make
from fieldvoice.records.trouble import Trouble, Wrong

TOKEN_BYTES = 24
"""Random bytes in a token: 192 bits can't be guessed at any rate that a network carries."""


class Right(StrEnum):
    """What a link lets its holder do."""

    LOOK = "look"
    TICK = "tick"


@dataclass(frozen=True, slots=True)
class LinkTokens:
    """The two tokens of a job: one to look, one to tick steps and type calls as well."""

    look: str
    tick: str

    def right_of(self, token: str) -> Right | None:
        """What a token lets do; None for a wrong one. Takes the same time for every wrong one."""
        held = {
            right: hmac.compare_digest(own.encode(), token.encode("utf-8", "replace")) for right, own in self._all()
        }
        return next((right for right in (Right.TICK, Right.LOOK) if held[right]), None)

    def _all(self) -> tuple[tuple[Right, str], ...]:
        return ((Right.LOOK, self.look), (Right.TICK, self.tick))


def new_tokens() -> LinkTokens:
    """Tokens that nobody has yet."""
    return LinkTokens(secrets.token_urlsafe(TOKEN_BYTES), secrets.token_urlsafe(TOKEN_BYTES))


def tokens_of(job: str, folder: Path) -> LinkTokens:
    """The tokens of the job that is kept under that name, made where it has none. Only the owner can read their file.

    Raises `NotHere` where they can't be kept: then they would change at the next start without a word.
    """
    try:
        kept = json.loads(_file(job, folder).read_text("utf-8"))
        return LinkTokens(str(kept["look"]), str(kept["tick"]))
    except (OSError, ValueError, KeyError, TypeError):
        return renewed(job, folder)


def renewed(job: str, folder: Path) -> LinkTokens:
    """New tokens for the job; links and browsers that have the old ones are shut out. Raises `NotHere`."""
    tokens = new_tokens()
    file = _file(job, folder)
    try:
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        make(file, json.dumps({"look": tokens.look, "tick": tokens.tick}).encode(), over=True, mode=0o600)
    except OSError as trouble:
        raise NotHere(Trouble(Wrong.LINKS_NOT_KEPT, folder=folder, error=trouble.strerror)) from trouble
    return tokens


def _file(job: str, folder: Path) -> Path:
    return folder / f"{hashlib.sha256(job.encode()).hexdigest()[:32]}.json"


COOKIE = "fieldvoice"
HEADERS: Mapping[str, str] = {
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; "
        "manifest-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"
    ),
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cache-Control": "no-store",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "X-Frame-Options": "DENY",
}
"""On every answer: nothing from another host, no code in the page itself, no token in a referrer, nothing kept."""

LONGEST_BODY = 4096
"""Bytes of a posted line: a call has some hundred characters."""


@dataclass(frozen=True, slots=True)
class Limit:
    """At most `count` in `seconds`."""

    count: int
    seconds: float


REQUESTS = Limit(120, 10.0)
"""Requests of one address: a page that is opened makes six, a tick one."""
WRONG = Limit(10, 60.0)
"""Wrong tokens of one address; after that it waits, right or wrong."""
ADDRESSES = 1024
"""Addresses that are remembered; the one not seen for longest is forgotten first."""


@dataclass(slots=True)
class Counter:
    """How often each address did something lately."""

    limit: Limit
    clock: Callable[[], float] = monotonic
    _seen: dict[str, deque[float]] = field(default_factory=dict)

    def add(self, address: str) -> None:
        """It did it now."""
        times = self._seen.pop(address, None) or deque(maxlen=self.limit.count)
        times.append(self.clock())
        self._seen[address] = times
        while len(self._seen) > ADDRESSES:
            del self._seen[next(iter(self._seen))]

    def over(self, address: str) -> bool:
        """Whether it did it as often as it may."""
        times = self._seen.get(address)
        return times is not None and len(times) == self.limit.count and self.clock() - times[0] < self.limit.seconds


@dataclass(slots=True)
class Guard:
    """Decides of each request: its right, or the status that it is refused with."""

    tokens: LinkTokens
    hosts: frozenset[str]
    requests: Counter = field(default_factory=lambda: Counter(REQUESTS))
    wrong: Counter = field(default_factory=lambda: Counter(WRONG))

    def refused(self, address: str, method: str, headers: Mapping[str, str]) -> int | None:
        """The status that the request is refused with whatever it brings; None where it may go on."""
        if self.requests.over(address) or self.wrong.over(address):
            return 429
        self.requests.add(address)
        if headers.get("host", "") not in self.hosts:
            return 403
        origin = headers.get("origin")
        if origin is not None and urlsplit(origin).netloc not in self.hosts:
            return 403
        if method == "POST" and origin is None:
            return 403
        if headers.get("sec-fetch-site", "same-origin") == "cross-site" and method == "POST":
            return 403
        return None

    def right(self, address: str, token: str | None) -> Right | None:
        """What the token lets do; a wrong one is counted against its address."""
        if token is None:
            return None
        right = self.tokens.right_of(token)
        if right is None:
            self.wrong.add(address)
        return right
