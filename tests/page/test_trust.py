"""The page by which a phone gets the machine's certificate."""

from __future__ import annotations

import http.client
from collections.abc import Iterator
from pathlib import Path

import pytest

from fieldvoice.page.authority import PageAuthority, authority
from fieldvoice.page.guard import HEADERS, REQUESTS, Guard, new_tokens
from fieldvoice.page.server import LOOPBACK, serving, trust_application


@pytest.fixture
def trusted(tmp_path: Path) -> Iterator[tuple[int, PageAuthority]]:
    """The page, served."""
    made, guard = authority(tmp_path, ()), Guard(new_tokens(), frozenset())
    with serving(trust_application(made, guard), LOOPBACK, 0) as port:
        guard.hosts = frozenset({f"{LOOPBACK}:{port}"})
        yield port, made


def ask(
    port: int, path: str, method: str = "GET", host: str | None = None
) -> tuple[int, bytes, http.client.HTTPMessage]:
    """One request."""
    connection = http.client.HTTPConnection(LOOPBACK, port, timeout=10)
    connection.request(method, path, headers={"Host": host or f"{LOOPBACK}:{port}"})
    answer = connection.getresponse()
    found = answer.status, answer.read(), answer.headers
    connection.close()
    return found


def test_it_shows_the_fingerprint_to_compare(trusted: tuple[int, PageAuthority]) -> None:
    """The same pairs as on the screen, in rows of eight."""
    port, made = trusted
    status, content, headers = ask(port, "/")
    assert status == 200
    assert made.fingerprint.replace(":", " ") in " ".join(content.decode().split())
    assert all(headers[name] == value for name, value in HEADERS.items())


def test_it_gives_the_certificate_and_no_key(trusted: tuple[int, PageAuthority]) -> None:
    """What a phone installs is the certificate alone."""
    port, made = trusted
    status, content, headers = ask(port, "/fieldvoice.crt")
    assert (status, content) == (200, made.certificate)
    assert headers["Content-Type"] == "application/x-x509-ca-cert"
    for path in ("/authority.key", "/certificate.key", "/../authority.key", "/events", "/board.svg"):
        assert ask(port, path)[0] == 404


def test_it_is_within_the_same_limits(trusted: tuple[int, PageAuthority]) -> None:
    """Our own host alone, nothing to post, and not without end."""
    port, _ = trusted
    assert ask(port, "/", host="elsewhere.example")[0] == 403
    assert ask(port, "/", "POST")[0] in {403, 405}
    assert 429 in [ask(port, "/")[0] for _ in range(REQUESTS.count + 1)]
