"""The desk's own small certificate authority, so that phones on the same network reach it by HTTPS.

The authority is made once and stays; it can vouch for nothing but private addresses and local names, so that
trusting it opens no other door. The server's certificate is made anew when it nears its end or when the computer
has other names or addresses.

Source: RFC 5280, sections 4.2.1.6 (names), 4.2.1.9 (constraints) and 4.2.1.10 (name constraints); from memory.
"""

import ipaddress
import socket
from collections.abc import Collection, Iterable
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import (
    Encoding,
    NoEncryption,
    PrivateFormat,
    load_pem_private_key,
)
from cryptography.x509.oid import ExtendedKeyUsageOID

from garboard.disk import write_whole

FOLDER = "certificates"
"""The folder of a desk that keeps them."""

AUTHORITY = "authority.crt"

# Browsers accept server certificates of no more than 398 days.
_SERVER_DAYS, _RENEWED_DAYS_BEFORE, _AUTHORITY_DAYS = 397, 30, 3650
_PRIVATE = tuple(
    ipaddress.ip_network(each)
    for each in ("127.0.0.0/8", "10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16", "::1/128", "fc00::/7", "fe80::/10")
)  # fmt: skip
_LOCAL = ("localhost", "local", "lan", "home.arpa", "internal")
_Address = ipaddress.IPv4Address | ipaddress.IPv6Address


@dataclass(frozen=True, slots=True, kw_only=True)
class Certificates:
    """Where the files lie: the authority's certificate to be trusted, the server's with its key."""

    authority: Path
    server: Path
    key: Path


def certificates(folder: Path, names: Collection[str], now: datetime) -> Certificates:
    """The certificates of a desk, made where they are missing or no longer fit.

    Args:
        folder: Where they are kept; nobody else may read the keys.
        names: Names and addresses by which the desk is reached; those that are not local are left out.
        now: The time; aware.
    """
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    wanted = _local(names)
    authority_key, authority = _authority(folder, now)
    found = Certificates(
        authority=folder / AUTHORITY, server=folder / "server.crt", key=folder / "server.key"
    )
    if not _fits(found, authority, wanted, now):
        _issue(found, authority_key, authority, wanted, now)
    return found


def own_names() -> tuple[str, ...]:
    """The names and addresses by which other computers on the network may reach this one."""
    host = socket.gethostname()
    names = {"localhost", "127.0.0.1", "::1", f"{host}.local"}
    with suppress(OSError):
        names |= {str(each[4][0]).partition("%")[0] for each in socket.getaddrinfo(host, None)}
    names |= set(_outward())
    return tuple(sorted(names))


def outward_name() -> str:
    """The address, or else the name, by which a device of the same network surely finds this computer."""
    return next(iter(_outward()), f"{socket.gethostname()}.local")


def _outward() -> Iterable[str]:
    """The address this computer would use to reach others; nothing is sent."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.168.0.1", 9))
        except OSError:
            return
        yield str(probe.getsockname()[0])


def _local(names: Collection[str]) -> tuple[x509.GeneralName, ...]:
    found: list[x509.GeneralName] = []
    for each in sorted(set(names)):
        address = _address(each)
        if address is None:
            if each.rpartition(".")[2] in _LOCAL or each.endswith(".home.arpa"):
                found.append(x509.DNSName(each))
        elif any(address in network for network in _PRIVATE):
            found.append(x509.IPAddress(address))
    return tuple(found)


def _address(text: str) -> _Address | None:
    try:
        return ipaddress.ip_address(text)
    except ValueError:
        return None


def _authority(folder: Path, now: datetime) -> tuple[ec.EllipticCurvePrivateKey, x509.Certificate]:
    key_path, path = folder / "authority.key", folder / AUTHORITY
    if key_path.exists() and path.exists():
        held = x509.load_pem_x509_certificate(path.read_bytes())
        if held.not_valid_after_utc > now + timedelta(days=_SERVER_DAYS):
            key = load_pem_private_key(key_path.read_bytes(), None)
            assert isinstance(key, ec.EllipticCurvePrivateKey)
            return key, held
    key = ec.generate_private_key(ec.SECP256R1())
    subject = x509.Name([x509.NameAttribute(x509.NameOID.COMMON_NAME, f"Garboard desk on {socket.gethostname()}"[:64])])  # fmt: skip
    permitted = [*(x509.IPAddress(each) for each in _PRIVATE), *map(x509.DNSName, _LOCAL)]
    made = (
        _certificate(subject, subject, key.public_key(), now, _AUTHORITY_DAYS)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage(signs_certificates=True), critical=True)
        .add_extension(
            x509.NameConstraints(permitted_subtrees=permitted, excluded_subtrees=None),
            critical=True,
        )
        .sign(key, hashes.SHA256())
    )
    write_whole(key_path, _pem(key), mode=0o600)
    write_whole(path, made.public_bytes(Encoding.PEM))
    return key, made


def _issue(
    to: Certificates,
    authority_key: ec.EllipticCurvePrivateKey,
    authority: x509.Certificate,
    names: tuple[x509.GeneralName, ...],
    now: datetime,
) -> None:
    key = ec.generate_private_key(ec.SECP256R1())
    subject = x509.Name([x509.NameAttribute(x509.NameOID.COMMON_NAME, "Garboard desk")])
    issuer_key = authority_key.public_key()
    made = (
        _certificate(subject, authority.subject, key.public_key(), now, _SERVER_DAYS)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(signs_certificates=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.SubjectAlternativeName(names), critical=False)
        .add_extension(
            x509.AuthorityKeyIdentifier.from_issuer_public_key(issuer_key), critical=False
        )
        .sign(authority_key, hashes.SHA256())
    )
    write_whole(to.key, _pem(key), mode=0o600)
    write_whole(to.server, made.public_bytes(Encoding.PEM))


def _fits(
    found: Certificates,
    authority: x509.Certificate,
    names: tuple[x509.GeneralName, ...],
    now: datetime,
) -> bool:
    if not (found.server.exists() and found.key.exists()):
        return False
    held = x509.load_pem_x509_certificate(found.server.read_bytes())
    # A kill between the two files leaves a certificate beside the key of another.
    key = load_pem_private_key(found.key.read_bytes(), None)
    if held.public_key() != key.public_key():
        return False
    stated = held.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    is_fresh = held.not_valid_after_utc > now + timedelta(days=_RENEWED_DAYS_BEFORE)
    try:
        held.verify_directly_issued_by(authority)
    except Exception:  # noqa: BLE001 - whatever does not fit is made anew
        return False
    return is_fresh and set(names) <= set(stated)


def _certificate(
    subject: x509.Name,
    issuer: x509.Name,
    key: ec.EllipticCurvePublicKey,
    now: datetime,
    days: int,
) -> x509.CertificateBuilder:
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(key)
        .serial_number(x509.random_serial_number())
        # A phone's clock may be a little behind.
        .not_valid_before(now - timedelta(days=1))
        .not_valid_after(now + timedelta(days=days - 1))
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key), critical=False)
    )


def _usage(*, signs_certificates: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not signs_certificates,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        key_cert_sign=signs_certificates,
        crl_sign=signs_certificates,
        encipher_only=False,
        decipher_only=False,
    )


def _pem(key: ec.EllipticCurvePrivateKey) -> bytes:
    return key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())
