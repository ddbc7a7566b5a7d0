"""A signing key made here, for a surveyor whom no authority has given one.

Its certificate is self-signed: a report signed with it shows that nothing was changed since, and not who signed.

Source: RFC 5280, sections 4.1 and 4.2.1.3 (certificate, key usage); RFC 7292 (PKCS #12); from memory.
"""

from datetime import datetime, timedelta

from cryptography import x509
from cryptography.hazmat.primitives.asymmetric import rsa
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.serialization import PrivateFormat
from cryptography.hazmat.primitives.serialization.pkcs12 import (
    PBES,
    serialize_key_and_certificates,
)

SHORTEST = 12
"""Characters that a passphrase has at least: nothing else guards the file once it was taken away."""

# RSA of this length, because every PDF reader checks it.
_BITS, _EXPONENT = 3072, 65537
_DAYS = 3653
_ROUNDS = 600_000
# RFC 5280, upper bound of a common name.
_LONGEST_NAME = 64


def own_key(name: str, passphrase: str, *, at: datetime) -> bytes:
    """A new signing key with a certificate it signed itself, valid ten years, as a PKCS #12 file.

    Args:
        name: Who signs with it, 1 to 64 characters.
        passphrase: What protects it, 12 characters or more.
        at: The time; aware.

    Raises:
        ValueError: The name is empty or too long, or the passphrase too short.
    """
    if not 0 < len(name) <= _LONGEST_NAME:
        raise ValueError(
            f'"{name}" is no name for a certificate. Give 1 to {_LONGEST_NAME} letters.'
        )
    if len(passphrase) < SHORTEST:
        raise ValueError(f"The password has {len(passphrase)} characters. Give it {SHORTEST} or more.")  # fmt: skip
    key = rsa.generate_private_key(public_exponent=_EXPONENT, key_size=_BITS)
    subject = x509.Name([x509.NameAttribute(x509.NameOID.COMMON_NAME, name)])
    certificate = (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(subject)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        # A reader's clock may be a little behind.
        .not_valid_before(at - timedelta(days=1))
        .not_valid_after(at + timedelta(days=_DAYS))
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_SIGNS, critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(key, SHA256())
    )
    protected = (
        PrivateFormat.PKCS12.encryption_builder()
        .kdf_rounds(_ROUNDS)
        .key_cert_algorithm(PBES.PBESv2SHA256AndAES256CBC)
        .hmac_hash(SHA256())
        .build(passphrase.encode())
    )
    return serialize_key_and_certificates(name.encode(), key, certificate, None, protected)


_SIGNS = x509.KeyUsage(
    digital_signature=True,
    content_commitment=True,
    key_encipherment=False,
    data_encipherment=False,
    key_agreement=False,
    key_cert_sign=False,
    crl_sign=False,
    encipher_only=False,
    decipher_only=False,
)
