"""The invented surveyor's own certificate, made on this computer for the demonstration and worth nothing.

Nobody vouches for it: it is self-signed, and its subject says that the person is invented.
"""

from datetime import UTC, datetime
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import rsa
from cryptography.hazmat.primitives.serialization import BestAvailableEncryption
from cryptography.hazmat.primitives.serialization.pkcs12 import serialize_key_and_certificates

NAME = "Ines Caldervane (invented, for demonstration)"
PASSPHRASE = "invented"
PATH = Path(__file__).parent.parent / "build" / "demo" / "invented-surveyor.p12"

_BEGINS = datetime(2026, 1, 1, tzinfo=UTC)
_ENDS = datetime(2046, 1, 1, tzinfo=UTC)


def key_file(path: Path = PATH) -> Path:
    """The PKCS #12 file of the invented surveyor; made when it is not there yet."""
    if not path.exists():
        path.parent.mkdir(parents=True, exist_ok=True)
        made = path.with_suffix(".new")
        made.write_bytes(_p12())
        made.replace(path)
    return path


def _p12() -> bytes:
    key = rsa.generate_private_key(public_exponent=65537, key_size=3072)
    subject = x509.Name([x509.NameAttribute(x509.NameOID.COMMON_NAME, NAME)])
    certificate = (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(subject)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(_BEGINS)
        .not_valid_after(_ENDS)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(
            x509.KeyUsage(
                digital_signature=True,
                content_commitment=True,
                key_encipherment=False,
                data_encipherment=False,
                key_agreement=False,
                key_cert_sign=False,
                crl_sign=False,
                encipher_only=False,
                decipher_only=False,
            ),
            critical=True,
        )
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(key, hashes.SHA256())
    )
    return serialize_key_and_certificates(
        NAME.encode(), key, certificate, None, BestAvailableEncryption(PASSPHRASE.encode())
    )
