"""The one stretch of a signed PDF that its signature does not cover: the bytes of the signature itself.

A signature protects the file round it, the attributes it signs and the certificate of the signer. What is
left over (fill, letter case, version numbers, certificates sent along, time stamps) is checked here, so that
not one byte of a report can change unnoticed. One thing cannot be checked: the middle certificates of a chain
that was sent without its root, of which only name and key are proven.

Source: RFC 5652 (2009), sections 5.1 and 5.3; ISO 32000-1 (2008), 12.8.1 (both from memory).
"""

import re
from collections.abc import Iterable
from typing import Any

from asn1crypto import cms, core
from cryptography import x509
from cryptography.exceptions import InvalidSignature

_HEX = re.compile(rb"<(?:[0-9a-f]+|[0-9A-F]+)>")


def is_whole(pdf: bytes, byte_range: Iterable[int]) -> bool:
    """Whether the bytes of a signature are as a signer writes them.

    Args:
        pdf: The whole file.
        byte_range: Offset and length of the two stretches that the signature covers.

    Raises:
        ValueError: The bytes cannot be read as a signature.
    """
    start, length, rest, rest_length = byte_range
    gap = pdf[length:rest]
    if start != 0 or rest + rest_length != len(pdf) or not _HEX.fullmatch(gap):
        return False
    filled = bytes.fromhex(gap[1:-1].decode())
    message = cms.ContentInfo.load(filled)
    return not any(filled[len(message.dump()) :]) and _is_strict(message)


def stamp_of(signer: cms.SignerInfo) -> cms.ContentInfo | None:
    """The time stamp that a signature carries, or None."""
    for attribute in signer["unsigned_attrs"] or ():
        if attribute["type"].native == "signature_time_stamp_token":
            return attribute["values"][0]
    return None


def _is_strict(message: cms.ContentInfo) -> bool:
    data = message["content"]
    (signer,) = data["signer_infos"]
    by_key = signer["sid"].name == "subject_key_identifier"
    is_data = data["encap_content_info"]["content_type"].native == "data"
    return (
        message["content_type"].native == "signed_data"
        and all(map(_is_all_known, (message, data, data["encap_content_info"], signer)))
        and data["version"].native == ("v1" if is_data and not by_key else "v3")
        and signer["version"].native == ("v3" if by_key else "v1")
        and [each.dump() for each in data["digest_algorithms"]]
        == [signer["digest_algorithm"].dump()]
        and (by_key or _names_one_of(signer["sid"].chosen, data["certificates"]))
        and _vouched(data["certificates"], signer)
        and _has_at_most_a_stamp(signer)
    )


def _is_all_known(sequence: core.Sequence) -> bool:
    """Whether the known fields fill a sequence: what stands under a wrong tag or after them is passed over."""
    return sum(len(sequence[name].dump()) for name in sequence) == len(sequence.contents)


def _has_at_most_a_stamp(signer: cms.SignerInfo) -> bool:
    attributes = list(signer["unsigned_attrs"] or ())
    return not attributes or (
        len(attributes) == 1
        and attributes[0]["type"].native == "signature_time_stamp_token"
        and len(attributes[0]["values"]) == 1
        and _is_all_known(attributes[0])
        and _is_strict(attributes[0]["values"][0])
    )


def _names_one_of(named: cms.IssuerAndSerialNumber, choices: Any) -> bool:
    """Whether the signer is named byte for byte as in a certificate, not only in the same letters."""
    return named.dump() in [
        cms.IssuerAndSerialNumber(
            {"issuer": each.chosen.issuer, "serial_number": each.chosen.serial_number}
        ).dump()
        for each in choices
    ]


def _vouched(choices: Any, signer: cms.SignerInfo) -> bool:
    """Whether each certificate was issued by another of them, or by itself.

    Two may lack their issuer: the signer's, which the signature protects, and one that issued another of
    them and names an issuer other than itself, as when a chain is sent without its root.
    """
    certificates = [x509.load_der_x509_certificate(each.chosen.dump()) for each in choices]
    for each in certificates:
        issuers = [other for other in certificates if other.subject == each.issuer]
        if issuers:
            if not all(_issued(issuer, each) for issuer in issuers):
                return False
        elif not _signs(each, signer) and not (
            _names_another_key(each) and any(_issued(each, other) for other in certificates)
        ):
            return False
    return True


def _issued(issuer: x509.Certificate, other: x509.Certificate) -> bool:
    try:
        other.verify_directly_issued_by(issuer)
    except (InvalidSignature, ValueError, TypeError):
        return False
    return True


def _signs(certificate: x509.Certificate, signer: cms.SignerInfo) -> bool:
    sid = signer["sid"]
    if sid.name == "subject_key_identifier":
        return True
    return bool(sid.chosen["serial_number"].native == certificate.serial_number)


def _names_another_key(certificate: x509.Certificate) -> bool:
    """Whether it says that another key issued it; RFC 5280 (2008), 4.2.1.1, lets only a root leave that out."""
    try:
        issuing = certificate.extensions.get_extension_for_class(x509.AuthorityKeyIdentifier).value
        own = certificate.extensions.get_extension_for_class(x509.SubjectKeyIdentifier).value
    except x509.ExtensionNotFound:
        return False
    return issuing.key_identifier not in (None, own.digest)
