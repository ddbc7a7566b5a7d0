"""Certificates made for the tests: authorities, people, services."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime

from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import rsa
from cryptography.hazmat.primitives.serialization import (
    BestAvailableEncryption,
    Encoding,
    NoEncryption,
    PrivateFormat,
)
from cryptography.hazmat.primitives.serialization.pkcs12 import serialize_key_and_certificates
from cryptography.x509.oid import ExtendedKeyUsageOID

PASSPHRASE = "antifouling"
SIGNING = ("digital_signature", "content_commitment")
_USAGES = (
    "digital_signature", "content_commitment", "key_encipherment", "data_encipherment", "key_agreement",
    "key_cert_sign", "crl_sign", "encipher_only", "decipher_only",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Identity:
    """A certificate with its key and the certificates of those who issued it."""

    certificate: x509.Certificate
    key: rsa.RSAPrivateKey
    chain: tuple[x509.Certificate, ...] = ()

    @property
    def der(self) -> bytes:
        return self.certificate.public_bytes(Encoding.DER)

    @property
    def pem(self) -> bytes:
        return self.certificate.public_bytes(Encoding.PEM)

    @property
    def key_der(self) -> bytes:
        return self.key.private_bytes(Encoding.DER, PrivateFormat.PKCS8, NoEncryption())

    @property
    def p12(self) -> bytes:
        return serialize_key_and_certificates(
            b"key",
            self.key,
            self.certificate,
            self.chain,
            BestAvailableEncryption(PASSPHRASE.encode()),
        )


def identity(
    name: str,
    *,
    issuer: Identity | None = None,
    usages: Iterable[str] = SIGNING,
    purpose: x509.ObjectIdentifier | None = None,
    ends: datetime = datetime(2046, 1, 1, tzinfo=UTC),
) -> Identity:
    """A certificate for a name, self-signed unless an issuer is given; valid from the start of 2026."""
    key = rsa.generate_private_key(public_exponent=65537, key_size=2048)
    subject = x509.Name([x509.NameAttribute(x509.NameOID.COMMON_NAME, name)])
    wanted = set(usages)
    builder = (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer.certificate.subject if issuer else subject)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(datetime(2026, 1, 1, tzinfo=UTC))
        .not_valid_after(ends)
        .add_extension(x509.BasicConstraints("key_cert_sign" in wanted, None), critical=True)
        .add_extension(x509.KeyUsage(**{each: each in wanted for each in _USAGES}), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
    )
    if issuer:
        builder = builder.add_extension(
            x509.AuthorityKeyIdentifier.from_issuer_public_key(issuer.key.public_key()),
            critical=False,
        )
    if purpose:
        builder = builder.add_extension(x509.ExtendedKeyUsage([purpose]), critical=True)
    return Identity(
        certificate=builder.sign(issuer.key if issuer else key, hashes.SHA256()),
        key=key,
        chain=(issuer.certificate, *issuer.chain) if issuer else (),
    )


def authority(name: str, issuer: Identity | None = None) -> Identity:
    """One that issues certificates."""
    return identity(name, issuer=issuer, usages=("key_cert_sign", "crl_sign"))


def time_stamper(name: str, issuer: Identity) -> Identity:
    """The certificate of a time-stamp service."""
    return identity(name, issuer=issuer, purpose=ExtendedKeyUsageOID.TIME_STAMPING)
