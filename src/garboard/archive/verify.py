"""Whether a report is still the one that was signed, by whom and when, and whether its findings follow from its notebook.

Made for files from anywhere: whatever the bytes, there is a plain answer. Integrity and trust are told apart:
"unchanged" says that every byte is as it was signed, never that the signer is who the certificate says.
"""

import io
import logging
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any, Literal

from asn1crypto import pem, x509
from pyhanko.pdf_utils.reader import PdfFileReader
from pyhanko.sign.validation import validate_pdf_signature
from pyhanko.sign.validation.pdf_embedded import EmbeddedPdfSignature
from pyhanko.sign.validation.settings import KeyUsageConstraints
from pyhanko.sign.validation.status import PdfSignatureStatus, SignatureCoverageLevel
from pyhanko_certvalidator import ValidationContext
from pyhanko_certvalidator.errors import PathError, ValidationError

from garboard.archive import seal
from garboard.archive.evidence import FINDINGS, NOTEBOOK, disagreement

# Its warnings about broken files go nowhere unless the program that uses us asks for them.
for _reader in ("pyhanko", "pyhanko_certvalidator"):
    logging.getLogger(_reader).addHandler(logging.NullHandler())


def _is_news(record: logging.LogRecord) -> bool:
    """Whether it tells more than the answer: what keeps a certificate from being trusted is said there in words."""
    about = record.exc_info[1] if record.exc_info else None
    return not isinstance(about, (PathError, ValidationError))


logging.getLogger("pyhanko.sign.validation.generic_cms").addFilter(_is_news)

State = Literal["unchanged", "changed after signing", "damaged", "unsigned"]

_STRONG = {"sha256", "sha384", "sha512", "sha3_256", "sha3_384", "sha3_512"}
_USAGE = KeyUsageConstraints(
    key_usage={"digital_signature", "non_repudiation"}, match_all_key_usages=False
)

# A tree of file names deeper or wider than this is no honest one.
_MOST_NODES = 1000

_OPENING: dict[State, str] = {
    "unchanged": "This report is unchanged: every byte is as it was when it was signed.",
    "changed after signing": (
        "This report was changed after it was signed: something was added to the signed file, "
        "which can replace what its pages show. Ask the surveyor for the report as it was issued."
    ),
    "damaged": (
        "This report is damaged, or was altered: it no longer matches its signature. "
        "Do not rely on it; ask the surveyor for another copy."
    ),
    "unsigned": "This file carries no signature: whether it was changed cannot be told.",
}

_ADDED = "A further signature was added later; what is said here is about the first one."


@dataclass(frozen=True, slots=True, kw_only=True)
class Signer:
    """Whose certificate the signature names; `fingerprint` is the SHA-256 of the certificate.

    `trusted` says that the certificate, or one that issued it, is among those the reader trusts.
    """

    name: str
    issuer: str
    fingerprint: str
    self_signed: bool
    trusted: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Signed:
    """When it was signed: the time a time-stamp service confirms, or else what the signer states."""

    at: datetime
    confirmed_by: str | None
    confirmation_trusted: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Verified:
    """What can be said about a file; `sentences` says all of it in words, the most important first.

    `follows` says whether the notebook inside gives the findings inside; None when one of them is missing.
    """

    state: State
    sentences: tuple[str, ...]
    signer: Signer | None = None
    signed: Signed | None = None
    notebook: bytes | None = None
    findings: bytes | None = None
    follows: bool | None = None


def verify(pdf: bytes, trusted: Sequence[bytes] = ()) -> Verified:
    """What can be said about a signed report. Not to be called from within an event loop.

    Args:
        pdf: The whole file; from anywhere.
        trusted: Certificates the reader trusts, DER or PEM: of signers, of issuers, of time-stamp services.

    Raises:
        ValueError: One of the trusted certificates cannot be read.
    """
    roots = [_certificate(each, number) for number, each in enumerate(trusted, 1)]
    if b"%PDF-" not in pdf[:1024]:
        return Verified(
            state="damaged",
            sentences=(
                "This file is empty."
                if not pdf
                else "This file is not a PDF, or its beginning is lost.",
            ),
        )
    try:
        reader = PdfFileReader(io.BytesIO(pdf))
        signatures = list(reader.embedded_signatures)
        judged = _judged(pdf, signatures[0], len(signatures), roots) if signatures else None
    except Exception:  # noqa: BLE001 - whatever a broken file trips in the reader, the answer is the same
        return Verified(state="damaged", sentences=(_OPENING["damaged"],))
    if judged is None and b"/ByteRange" in pdf:
        return Verified(
            state="damaged",
            sentences=(
                "This report is damaged, or was altered: remains of a signature are in it, but no signature. "
                "Do not rely on it; ask the surveyor for another copy.",
            ),
        )
    state, signer, signed = judged or ("unsigned", None, None)
    notebook, findings, follows, about_evidence = _evidence(reader)
    return Verified(
        state=state,
        sentences=(
            _OPENING[state],
            *_about_signer(state, signer),
            *_about_time(signed),
            *([_ADDED] if len(signatures) > 1 else []),
            *about_evidence,
        ),
        signer=signer,
        signed=signed,
        notebook=notebook,
        findings=findings,
        follows=follows,
    )


def _judged(
    pdf: bytes, signature: EmbeddedPdfSignature, signatures: int, roots: list[x509.Certificate]
) -> tuple[State, Signer, Signed | None]:
    at = _time(signature)
    status = validate_pdf_signature(
        signature,
        ValidationContext(trust_roots=roots, moment=at, allow_fetching=False),
        key_usage_settings=_USAGE,
    )
    stamp = status.timestamp_validity
    signed = None
    if stamp is not None:
        signed = Signed(
            at=stamp.timestamp,
            confirmed_by=_name(stamp.signing_cert.subject),
            confirmation_trusted=stamp.trusted,
        )
    elif at is not None:
        signed = Signed(at=at, confirmed_by=None, confirmation_trusted=False)
    certificate = status.signing_cert
    signer = Signer(
        name=_name(certificate.subject),
        issuer=_name(certificate.issuer),
        fingerprint=certificate.sha256.hex(),
        self_signed=certificate.subject == certificate.issuer,
        trusted=at is not None and status.trusted,
    )
    return _state(pdf, signature, signatures, status), signer, signed


def _state(
    pdf: bytes, signature: EmbeddedPdfSignature, signatures: int, status: PdfSignatureStatus
) -> State:
    stamp = status.timestamp_validity
    if not (status.intact and status.valid and (stamp is None or (stamp.intact and stamp.valid))):
        return "damaged"
    if status.md_algorithm not in _STRONG or status.coverage == SignatureCoverageLevel.UNCLEAR:
        return "damaged"
    if (
        status.coverage != SignatureCoverageLevel.ENTIRE_FILE
        or not status.docmdp_ok
        or signatures > 1
        or pdf.count(b"/ByteRange") > 1
    ):
        return "changed after signing"
    return "unchanged" if seal.is_whole(pdf, signature.byte_range) else "damaged"


def _time(signature: EmbeddedPdfSignature) -> datetime | None:
    """The time at which the certificate must have been valid: the stamped one, or else the stated one."""
    token = seal.stamp_of(signature.signer_info)
    if token is not None:
        stamped: datetime = (
            token["content"]["encap_content_info"]["content"].parsed["gen_time"].native
        )
        return stamped
    stated = signature.self_reported_timestamp
    return stated if stated is None or stated.tzinfo else stated.replace(tzinfo=UTC)


def _about_signer(state: State, signer: Signer | None) -> Iterator[str]:
    if signer is None:
        return
    if state == "damaged":
        yield f"The signature in it names {signer.name}."
        return
    yield f"It was signed with the certificate of {signer.name}."
    if signer.trusted:
        yield "You trust that certificate, or the one that issued it."
        return
    if signer.self_signed:
        yield (
            "That certificate was made by its owner: nobody else vouches for the name, "
            "and anyone can make one with any name."
        )
    else:
        yield f"That certificate was issued by {signer.issuer}, which is not among those you trust."
    yield (
        "Before you rely on the name, ask the surveyor, by telephone or in person, for the SHA-256 fingerprint "
        f"of the certificate, and compare: {signer.fingerprint}."
    )


def _about_time(signed: Signed | None) -> Iterator[str]:
    if signed is None:
        yield from ()
    elif signed.confirmed_by is None:
        yield (
            f"The time of signing, {signed.at.isoformat()}, is what the signer states; "
            "no time-stamp service confirms it."
        )
    else:
        trust = (
            "is among those you trust"
            if signed.confirmation_trusted
            else "is not among those you trust"
        )
        yield (
            f"The time-stamp service {signed.confirmed_by} says that the signature existed at "
            f"{signed.at.isoformat()}; its certificate {trust}."
        )


def _evidence(reader: PdfFileReader) -> tuple[bytes | None, bytes | None, bool | None, list[str]]:
    """The notebook and the findings inside, whether one follows from the other, and that in words."""
    try:
        files = list(_attached(reader))
    except Exception:  # noqa: BLE001 - as above
        return None, None, None, ["The files attached to this report cannot be read."]
    held: dict[str, bytes] = {}
    for name, content in files:
        if name in held:
            return (
                None,
                None,
                False,
                [f"Two files called {name} are attached; no honest report has that."],
            )
        held[name] = content
    notebook, findings = held.get(NOTEBOOK), held.get(FINDINGS)
    if notebook is None or findings is None:
        return (
            notebook,
            findings,
            None,
            ["The notebook or its findings are not attached: they cannot be compared."],
        )
    why_not = disagreement(notebook, findings)
    said = why_not or (
        "The notebook attached to it gives exactly the findings attached to it. "
        "Whether the pages say the same is for a reader to compare."
    )
    return notebook, findings, why_not is None, [said]


def _attached(reader: PdfFileReader) -> Iterator[tuple[str, bytes]]:
    """The attached files of ours, by name; a file attached twice comes twice."""
    ahead: list[Any] = [reader.root.get("/Names", {}).get("/EmbeddedFiles", {})]
    for _ in range(_MOST_NODES):
        if not ahead:
            return
        node = ahead.pop()
        ahead.extend(each.get_object() for each in node.get("/Kids", ()))
        for each in list(node.get("/Names", ()))[1::2]:
            described = each.get_object()
            name = str(described.get("/UF", described.get("/F")))
            if name in (NOTEBOOK, FINDINGS):
                yield name, described["/EF"]["/F"].data
    raise ValueError("The tree of attached files has no end.")


def _certificate(given: bytes, number: int) -> x509.Certificate:
    try:
        der = pem.unarmor(given)[2] if pem.detect(given) else given
        certificate = x509.Certificate.load(der, strict=True)
        _ = certificate.native
    except (ValueError, TypeError) as problem:
        raise ValueError(
            f"Trusted certificate {number} cannot be read. Give a certificate as DER or PEM."
        ) from problem
    return certificate


def _name(name: x509.Name) -> str:
    """A name in a certificate as people may see it: printable, and not endless."""
    text = name.native.get("common_name") or name.human_friendly
    return "".join(each if each.isprintable() else "�" for each in str(text))[:200]
