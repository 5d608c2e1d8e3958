"""The certificate authority of the machine: it vouches for the page, and can't for anything else; and the page by which
a phone gets its certificate.
"""

from __future__ import annotations

import http.client
import ipaddress
import ssl
import stat
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID

from fieldvoice.page.authority import AUTHORITY_LASTS, CERTIFICATE_LASTS, PageAuthority, authority, fingerprint
from fieldvoice.page.guard import HEADERS, REQUESTS, Guard, new_tokens
from fieldvoice.page.server import LOOPBACK, serving, trust_application

HOME = ("192.168.7.20",)


def shaken_hands(trusted: bytes, certificate: Path, key: Path, host: str) -> None:
    """A client that trusts that certificate alone meets a server with those files, without a network. Raises what
    OpenSSL finds wrong.
    """
    client_context = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
    client_context.load_verify_locations(cadata=trusted)
    server_context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    server_context.load_cert_chain(certificate, key)
    up, down = ssl.MemoryBIO(), ssl.MemoryBIO()
    client = client_context.wrap_bio(down, up, server_hostname=host)
    server = server_context.wrap_bio(up, down, server_side=True)
    waiting = [client.do_handshake, server.do_handshake]
    for _ in range(10):
        for shake in list(waiting):
            try:
                shake()
                waiting.remove(shake)
            except ssl.SSLWantReadError:
                continue
    assert not waiting


def test_it_vouches_for_the_page(tmp_path: Path) -> None:
    """A phone that has installed it meets the page at the machine's address; at another one it doesn't."""
    made = authority(tmp_path, HOME)
    shaken_hands(made.certificate, made.page_certificate, made.page_key, HOME[0])
    with pytest.raises(ssl.SSLCertVerificationError):
        shaken_hands(made.certificate, made.page_certificate, made.page_key, "192.168.7.21")


def test_a_phone_that_has_not_installed_it_refuses(tmp_path: Path) -> None:
    """Another machine's authority is worth nothing here."""
    made, other = authority(tmp_path / "a", HOME), authority(tmp_path / "b", HOME)
    with pytest.raises(ssl.SSLCertVerificationError):
        shaken_hands(other.certificate, made.page_certificate, made.page_key, HOME[0])


def _forged(made: PageAuthority, folder: Path, names: list[x509.GeneralName]) -> tuple[Path, Path]:
    """A certificate that somebody who has the authority's key makes for other names."""
    key = serialization.load_pem_private_key((folder / "authority.key").read_bytes(), None)
    assert isinstance(key, ec.EllipticCurvePrivateKey)
    root = x509.load_der_x509_certificate(made.certificate)
    own = ec.generate_private_key(ec.SECP256R1())
    now = datetime.now(UTC)
    certificate = (
        x509.CertificateBuilder()
        .subject_name(x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "forged")]))
        .issuer_name(root.subject)
        .public_key(own.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - timedelta(days=1))
        .not_valid_after(now + timedelta(days=1))
        .add_extension(x509.SubjectAlternativeName(names), critical=False)
        .sign(key, hashes.SHA256())
    )
    pem = serialization.Encoding.PEM
    file, secret = folder / "forged.pem", folder / "forged.key"
    file.write_bytes(certificate.public_bytes(pem))
    secret.write_bytes(own.private_bytes(pem, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()))
    return file, secret


@pytest.mark.parametrize("host", ["bank.example", "203.0.113.5", "localhost.example"])
def test_its_stolen_key_vouches_for_no_site(tmp_path: Path, host: str) -> None:
    """The authority's own certificate says which addresses it may vouch for, and others are refused."""
    made = authority(tmp_path, HOME)
    digits = host.replace(".", "").isdigit()
    name = x509.IPAddress(ipaddress.ip_address(host)) if digits else x509.DNSName(host)
    with pytest.raises(ssl.SSLCertVerificationError, match="permitted subtree"):
        shaken_hands(made.certificate, *_forged(made, tmp_path, [name]), host)


def test_it_is_made_once(tmp_path: Path) -> None:
    """A phone that has installed it needs nothing more: not after a restart, at another address, nor in a month."""
    now = datetime(2026, 11, 26, tzinfo=UTC)
    first = authority(tmp_path, HOME, now)
    page = first.page_certificate.read_bytes()
    assert authority(tmp_path, HOME, now + timedelta(days=30)).fingerprint == first.fingerprint
    assert first.page_certificate.read_bytes() == page
    moved = authority(tmp_path, ("10.0.0.4",), now + timedelta(days=30))
    assert moved.fingerprint == first.fingerprint
    assert first.page_certificate.read_bytes() != page


def test_what_runs_out_is_made_anew(tmp_path: Path) -> None:
    """The page's certificate without a word; the authority before it is over."""
    now = datetime(2026, 11, 26, tzinfo=UTC)
    first = authority(tmp_path, HOME, now)
    page = first.page_certificate.read_bytes()
    later = authority(tmp_path, HOME, now + CERTIFICATE_LASTS * 0.8)
    assert (later.fingerprint, later.page_certificate.read_bytes() == page) == (first.fingerprint, False)
    assert authority(tmp_path, HOME, now + AUTHORITY_LASTS * 0.8).fingerprint != first.fingerprint


def test_only_the_owner_can_read_the_keys(tmp_path: Path) -> None:
    """Both of them."""
    authority(tmp_path, HOME)
    for name in ("authority.key", "certificate.key"):
        assert stat.S_IMODE((tmp_path / name).stat().st_mode) == 0o600


def test_damaged_files_are_made_anew(tmp_path: Path) -> None:
    """No half of a key is used."""
    first = authority(tmp_path, HOME)
    (tmp_path / "authority.key").write_text("no key")
    assert authority(tmp_path, HOME).fingerprint != first.fingerprint


def test_the_fingerprint_is_as_phones_show_it(tmp_path: Path) -> None:
    """32 pairs of figures."""
    made = authority(tmp_path, HOME)
    assert made.fingerprint == fingerprint(made.certificate)
    assert [len(pair) for pair in made.fingerprint.split(":")] == [2] * 32


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
