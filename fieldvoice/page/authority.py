"""A certificate authority of this machine, for phones that are to trust its page and nothing else.

Browsers give a page the microphone, and keep the screen awake, only where they trust its certificate. The authority's
own certificate is bound to addresses of private networks (RFC 1918, RFC 3927; RFC 5280, section 4.2.1.10): whoever had
its key could vouch for no site of the open internet.
"""

from __future__ import annotations

import hashlib
import ipaddress
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from fieldvoice.errors import NotHere
from fieldvoice.files.durable import make
from fieldvoice.records.trouble import Trouble, Wrong

if TYPE_CHECKING:
    from cryptography import x509
    from cryptography.hazmat.primitives.asymmetric.ec import EllipticCurvePrivateKey

NETWORKS = ("127.0.0.0/8", "10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16")
"""The only addresses that it may vouch for."""
NAMES = ("localhost", "local")
"""The only names."""
AUTHORITY_LASTS = timedelta(days=730)
CERTIFICATE_LASTS = timedelta(days=90)
"""A certificate of the page is made anew when it has less than a third of that left, or the machine's address changes;
phones notice nothing of it."""


@dataclass(frozen=True, slots=True)
class PageAuthority:
    """Where its certificate and the page's files are, and the SHA-256 of the certificate to compare on the phone."""

    certificate: bytes
    fingerprint: str
    page_certificate: Path
    page_key: Path


def authority(folder: Path, addresses: Sequence[str], now: datetime | None = None) -> PageAuthority:
    """The authority that is kept in the folder, made where there is none or where it is over, with a certificate of the
    page for those addresses. Raises `NotHere` where the library isn't installed or nothing can be kept.
    """
    try:
        from cryptography.hazmat.primitives import serialization
    except ImportError as trouble:
        raise NotHere(Trouble(Wrong.NO_SECURE_LIBRARY)) from trouble
    now = now or datetime.now(UTC)
    try:
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        key, root = _kept(folder / "authority", now) or _made(folder / "authority", now)
        _page_certificate(folder / "certificate", key, root, addresses, now)
    except OSError as trouble:
        raise NotHere(Trouble(Wrong.CERTIFICATE_NOT_KEPT, folder=folder, error=trouble.strerror)) from trouble
    content = root.public_bytes(serialization.Encoding.DER)
    files = (folder / "certificate").with_suffix(".pem"), (folder / "certificate").with_suffix(".key")
    return PageAuthority(content, fingerprint(content), *files)


def fingerprint(certificate: bytes) -> str:
    """The SHA-256 of a certificate in pairs of figures, as phones show it."""
    digest = hashlib.sha256(certificate).hexdigest().upper()
    return ":".join(digest[place : place + 2] for place in range(0, len(digest), 2))


def _kept(base: Path, now: datetime) -> tuple[EllipticCurvePrivateKey, x509.Certificate] | None:
    """The key and certificate in a pair of files; None where there are none that last for another while."""
    from cryptography import x509
    from cryptography.hazmat.primitives import serialization
    from cryptography.hazmat.primitives.asymmetric import ec

    try:
        certificate = x509.load_pem_x509_certificate(base.with_suffix(".pem").read_bytes())
        key = serialization.load_pem_private_key(base.with_suffix(".key").read_bytes(), None)
    except (OSError, ValueError, TypeError):
        return None
    lasts = certificate.not_valid_after_utc - certificate.not_valid_before_utc
    left = certificate.not_valid_after_utc - now
    right = isinstance(key, ec.EllipticCurvePrivateKey) and key.public_key() == certificate.public_key()
    if not right or left < lasts / 3 or certificate.not_valid_before_utc > now:
        return None
    assert isinstance(key, ec.EllipticCurvePrivateKey)
    return key, certificate


def _made(base: Path, now: datetime) -> tuple[EllipticCurvePrivateKey, x509.Certificate]:
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes
    from cryptography.hazmat.primitives.asymmetric import ec
    from cryptography.x509.oid import NameOID

    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, f"fieldvoice on this machine {now:%Y-%m-%d}")])
    permitted: list[x509.GeneralName] = [x509.IPAddress(ipaddress.ip_network(network)) for network in NETWORKS]
    permitted += [x509.DNSName(each) for each in NAMES]
    builder = _builder(name, name, key, now, AUTHORITY_LASTS)
    builder = builder.add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
    builder = builder.add_extension(x509.NameConstraints(permitted, None), critical=True)
    builder = builder.add_extension(_usage(sign_certificates=True), critical=True)
    identifier = x509.SubjectKeyIdentifier.from_public_key(key.public_key())
    root = builder.add_extension(identifier, critical=False).sign(key, hashes.SHA256())
    _keep(base, key, root)
    return key, root


def _page_certificate(
    base: Path, key: EllipticCurvePrivateKey, root: x509.Certificate, addresses: Sequence[str], now: datetime
) -> None:
    """Makes the page's certificate where the one that is kept isn't of this authority and for these addresses."""
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes
    from cryptography.hazmat.primitives.asymmetric import ec
    from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

    wanted = {ipaddress.ip_address(address) for address in ("127.0.0.1", *addresses)}
    kept = _kept(base, now)
    if kept is not None and _is_for(kept[1], root, wanted):
        return
    own = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "fieldvoice page")])
    names: list[x509.GeneralName] = [x509.IPAddress(each) for each in sorted(wanted, key=str)]
    builder = _builder(name, root.subject, own, now, CERTIFICATE_LASTS)
    builder = builder.add_extension(x509.SubjectAlternativeName([*names, x509.DNSName("localhost")]), critical=False)
    builder = builder.add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
    builder = builder.add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
    builder = builder.add_extension(_usage(sign_certificates=False), critical=True)
    issuer = x509.AuthorityKeyIdentifier.from_issuer_public_key(key.public_key())
    _keep(base, own, builder.add_extension(issuer, critical=False).sign(key, hashes.SHA256()))


def _is_for(
    certificate: x509.Certificate, root: x509.Certificate, wanted: set[ipaddress.IPv4Address | ipaddress.IPv6Address]
) -> bool:
    from cryptography import x509
    from cryptography.exceptions import InvalidSignature

    try:
        certificate.verify_directly_issued_by(root)
        names = certificate.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    except (ValueError, TypeError, InvalidSignature, x509.ExtensionNotFound):
        return False
    return set(names.get_values_for_type(x509.IPAddress)) == wanted


def _builder(
    name: x509.Name, issuer: x509.Name, key: EllipticCurvePrivateKey, now: datetime, lasts: timedelta
) -> x509.CertificateBuilder:
    from cryptography import x509

    return (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(issuer)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - timedelta(days=1))  # a phone whose clock is behind trusts it, too
        .not_valid_after(now + lasts)
    )


def _usage(*, sign_certificates: bool) -> x509.KeyUsage:
    from cryptography import x509

    return x509.KeyUsage(
        digital_signature=not sign_certificates,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        key_cert_sign=sign_certificates,
        crl_sign=sign_certificates,
        encipher_only=False,
        decipher_only=False,
    )


def _keep(base: Path, key: EllipticCurvePrivateKey, certificate: x509.Certificate) -> None:
    """Both files; only their owner can read the key."""
    from cryptography.hazmat.primitives import serialization

    pem, pkcs8 = serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8
    content = key.private_bytes(pem, pkcs8, serialization.NoEncryption())
    make(base.with_suffix(".key"), content, over=True, mode=0o600)
    make(base.with_suffix(".pem"), certificate.public_bytes(pem), over=True)
