"""What every request passes first: where it comes from, how often, and with what right."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from time import monotonic
from urllib.parse import urlsplit

from fieldvoice.page.tokens import LinkTokens, Right

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
