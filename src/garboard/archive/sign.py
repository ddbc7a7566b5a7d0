"""Signing a report: PAdES baseline B-B, or B-T where a time-stamp service is configured.

The signature certifies the report and allows no change at all. Its field is invisible: what a reader needs
to see stands on the report's own page.

Source: ETSI EN 319 142-1 (from memory), as pyHanko carries it out.
"""

import io
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from asn1crypto import keys
from asn1crypto import pkcs12 as container
from asn1crypto import x509 as asn1
from cryptography import x509
from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat
from cryptography.hazmat.primitives.serialization.pkcs12 import load_pkcs12
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.pdf_utils.misc import PdfError
from pyhanko.sign.fields import InvisSigSettings, MDPPerm, SigFieldSpec, SigSeedSubFilter
from pyhanko.sign.general import SigningError
from pyhanko.sign.signers import PdfSignatureMetadata, PdfSigner, SimpleSigner
from pyhanko.sign.timestamps import HTTPTimeStamper, TimestampRequestError
from pyhanko_certvalidator.registry import SimpleCertificateStore

_FIELD = "Surveyor"
_PATIENCE_S = 20
_SIGNING_USAGES = {"digital_signature", "non_repudiation"}

# Purposes that, when a certificate names no other, say it was not issued to a person for signing.
_OTHER_PURPOSES = {"server_auth", "code_signing", "time_stamping", "ocsp_signing"}


@dataclass(frozen=True, slots=True, kw_only=True)
class SigningKey:
    """A private key with its certificate and the certificates that vouch for it, in DER.

    `name` is the subject's common name; the certificate is valid from `begins` to `ends`.
    """

    name: str
    certificate: bytes
    chain: tuple[bytes, ...]
    private: bytes
    begins: datetime
    ends: datetime

    def __repr__(self) -> str:
        """Whose key it is, and never the key."""
        return f"SigningKey(name={self.name!r})"

    def refused_at(self, at: datetime) -> str | None:
        """Why the certificate cannot sign at a time, as a sentence; None when it can."""
        if at > self.ends:
            return (
                f"The signing certificate of {self.name} expired on {self.ends:%Y-%m-%d}. "
                "Get a new one from its issuer."
            )
        if at < self.begins:
            return (
                f"The signing certificate of {self.name} is valid only from {self.begins:%Y-%m-%d}. "
                "Check the date of this computer, or wait until then."
            )
        return None


def open_key(p12: bytes, passphrase: str, *, at: datetime | None = None) -> SigningKey:
    """The signing key in a PKCS #12 file (.p12, .pfx).

    Args:
        p12: The whole file.
        passphrase: What protects it.
        at: When it will sign; aware. Left out, only `sign` looks whether the certificate is valid.

    Raises:
        ValueError: The file is no PKCS #12 file, the passphrase is wrong, there is no private key or no
            certificate of it inside, or the certificate is not for signing or not valid then.
    """
    try:
        _ = container.Pfx.load(p12, strict=True)["version"].native
    except ValueError:
        raise ValueError(
            "This is not a PKCS #12 file. Give the .p12 or .pfx file that holds the certificate and its key."
        ) from None
    try:
        opened = load_pkcs12(p12, passphrase.encode())
    except ValueError:
        raise ValueError("The password does not open this key file. Type it again.") from None
    if opened.key is None:
        raise ValueError(
            "There is no private key in this file. Export the certificate again together with its key."
        )
    if opened.cert is None:
        raise ValueError(
            "There is no certificate for the private key in this file. Export both together."
        )
    certificate = opened.cert.certificate
    key = SigningKey(
        name=_name(certificate),
        certificate=certificate.public_bytes(Encoding.DER),
        chain=tuple(
            each.certificate.public_bytes(Encoding.DER) for each in opened.additional_certs
        ),
        private=opened.key.private_bytes(Encoding.DER, PrivateFormat.PKCS8, NoEncryption()),
        begins=certificate.not_valid_before_utc,
        ends=certificate.not_valid_after_utc,
    )
    refusal = _not_for_signing(asn1.Certificate.load(key.certificate)) or (
        key.refused_at(at) if at else None
    )
    if refusal:
        raise ValueError(refusal)
    return key


def sign(
    pdf: bytes,
    key: SigningKey,
    *,
    reason: str,
    location: str,
    at: datetime,
    timestamp_url: str | None = None,
) -> bytes:
    """The report, signed so that no later change goes unnoticed.

    Args:
        pdf: The finished report, not signed yet.
        key: Whose signature it gets.
        reason: Why it is signed, for the reader of the signature.
        location: Where.
        at: The time the signer states; aware.
        timestamp_url: Address of a time-stamp service after RFC 3161 (2001); without one the time is only
            what the signer states.

    Raises:
        ValueError: The certificate is not valid at that time, the report cannot be signed or is signed
            already, or the time-stamp service did not answer as it should.
    """
    refusal = key.refused_at(at)
    if refusal:
        raise ValueError(refusal)
    if not pdf.endswith(b"\n"):
        # ISO 19005-3, 6.1.9 wants a line end before the first object that signing appends.
        pdf += b"\n"
    chain = SimpleCertificateStore()  # type: ignore[no-untyped-call]  # pyHanko leaves it untyped
    chain.register_multiple(asn1.Certificate.load(each) for each in key.chain)
    signer = _Signer(
        PdfSignatureMetadata(
            field_name=_FIELD,
            reason=reason,
            location=location,
            certify=True,
            docmdp_permissions=MDPPerm.NO_CHANGES,
            subfilter=SigSeedSubFilter.PADES,
        ),
        signer=SimpleSigner(
            signing_cert=asn1.Certificate.load(key.certificate),
            signing_key=keys.PrivateKeyInfo.load(key.private),
            cert_registry=chain,
        ),
        timestamper=HTTPTimeStamper(timestamp_url, timeout=_PATIENCE_S) if timestamp_url else None,
        new_field_spec=SigFieldSpec(
            _FIELD,
            readable_field_name="Signature of the surveyor",
            invis_sig_settings=InvisSigSettings(box_out_of_bounds=True),
        ),
    )
    signer.at = at
    try:
        signed: bytes = signer.sign_pdf(_Writer(io.BytesIO(pdf))).getvalue()
    except (TimestampRequestError, TimeoutError) as problem:
        raise ValueError(
            f"The time-stamp service at {timestamp_url} gave no time stamp ({problem}). "
            "Try again later, or sign without one."
        ) from problem
    except SigningError as problem:
        raise ValueError(
            f"This report cannot be signed: {str(problem).rstrip('.')}. "
            "A report that is signed already is never signed over; issue an amendment instead."
        ) from problem
    except PdfError as problem:
        raise ValueError(
            f"This is not a PDF that can be signed: {str(problem).rstrip('.')}."
        ) from problem
    return signed


class _Writer(IncrementalPdfFileWriter):
    """pyHanko's writer, which leaves title, producer and dates as the report has them."""

    def _update_meta(self) -> None:
        pass


class _Signer(PdfSigner):
    """pyHanko's signer, at a given time instead of the computer's."""

    at: datetime

    def init_signing_session(self, *args: Any, **kwargs: Any) -> Any:
        session = super().init_signing_session(*args, **kwargs)
        session.system_time = self.at
        return session


def _name(certificate: x509.Certificate) -> str:
    names = certificate.subject.get_attributes_for_oid(x509.NameOID.COMMON_NAME)
    return str(names[0].value) if names else certificate.subject.rfc4514_string()


def _not_for_signing(certificate: asn1.Certificate) -> str | None:
    usage = certificate.key_usage_value
    purposes = certificate.extended_key_usage_value
    if (usage is not None and not _SIGNING_USAGES & usage.native) or (
        purposes is not None and set(purposes.native) <= _OTHER_PURPOSES
    ):
        return (
            f"The certificate of {certificate.subject.human_friendly} was not issued for signing documents. "
            "Use one whose key usage is digital signature or non-repudiation."
        )
    return None
