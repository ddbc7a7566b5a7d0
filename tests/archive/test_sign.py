from collections.abc import Callable
from datetime import UTC, datetime
from typing import Literal

import pytest
from archive.certificates import PASSPHRASE, Identity, authority, identity
from archive.reports import ISSUED
from cryptography.hazmat.primitives.serialization import BestAvailableEncryption
from cryptography.hazmat.primitives.serialization.pkcs12 import serialize_key_and_certificates
from cryptography.x509.oid import ExtendedKeyUsageOID
from verapdf import failures

from garboard.archive.sign import SigningKey, open_key, sign
from garboard.archive.verify import verify


def signed_by(key: SigningKey, pdf: bytes, timestamp_url: str | None = None) -> bytes:
    return sign(
        pdf,
        key,
        reason="Issue of report Q-1",
        location="Fennick Hard",
        at=ISSUED,
        timestamp_url=timestamp_url,
    )


@pytest.mark.parametrize("flavour", ["3a", "ua1"])
@pytest.mark.parametrize("report", ["unsigned", "signed", "stamped"])
def test_a_report_stays_archival_and_accessible_when_it_is_signed(
    report: str, flavour: Literal["3a", "ua1"], request: pytest.FixtureRequest
) -> None:
    assert failures(request.getfixturevalue(report), flavour) == []


def test_signing_only_appends(unsigned: bytes, signed: bytes) -> None:
    assert signed.startswith(unsigned + b"\n")


def test_the_time_of_signing_is_the_one_given_and_not_the_computers(signed: bytes) -> None:
    stated = verify(signed).signed

    assert stated is not None
    assert stated.at == ISSUED


def test_a_time_stamp_service_confirms_the_time(
    stamped: bytes, clock: Identity, issuer: Identity
) -> None:
    stamp = verify(stamped, [issuer.der]).signed

    assert stamp is not None
    assert stamp.confirmed_by == "Fennick Hard Clock (invented)"
    assert stamp.at == ISSUED
    assert stamp.confirmation_trusted


def test_a_signed_report_is_not_signed_over(signed: bytes, surveyor: Identity) -> None:
    key = open_key(surveyor.p12, PASSPHRASE)

    with pytest.raises(ValueError, match="issue an amendment instead"):
        signed_by(key, signed)


@pytest.mark.parametrize("rubbish", [b"", b"not a PDF", b"%PDF-1.7\n"])
def test_what_is_no_pdf_is_refused(rubbish: bytes, surveyor: Identity) -> None:
    key = open_key(surveyor.p12, PASSPHRASE)

    with pytest.raises(ValueError, match="not a PDF that can be signed"):
        signed_by(key, rubbish)


def test_a_time_stamp_service_that_refuses_is_named(
    unsigned: bytes, surveyor: Identity, clock_url: str
) -> None:
    key = open_key(surveyor.p12, PASSPHRASE)

    with pytest.raises(ValueError, match=f"service at {clock_url}broken gave no time stamp"):
        signed_by(key, unsigned, f"{clock_url}broken")


def test_a_time_stamp_service_that_cannot_be_reached_is_named(
    unsigned: bytes, surveyor: Identity
) -> None:
    key = open_key(surveyor.p12, PASSPHRASE)

    with pytest.raises(ValueError, match="gave no time stamp"):
        signed_by(key, unsigned, "http://127.0.0.1:9/")


def test_a_wrong_passphrase_is_said_so(surveyor: Identity) -> None:
    with pytest.raises(ValueError, match="password does not open"):
        open_key(surveyor.p12, "boot-top")


@pytest.mark.parametrize(
    "shorten", [lambda p12: b"", lambda p12: p12[:200], lambda p12: b"?" * 200]
)
def test_a_file_that_is_no_key_file_is_said_so(
    shorten: Callable[[bytes], bytes], surveyor: Identity
) -> None:
    with pytest.raises(ValueError, match="not a PKCS #12 file"):
        open_key(shorten(surveyor.p12), PASSPHRASE)


def test_a_file_without_a_private_key_is_said_so(surveyor: Identity) -> None:
    only_certificates = serialize_key_and_certificates(
        None, None, None, [surveyor.certificate], BestAvailableEncryption(PASSPHRASE.encode())
    )

    with pytest.raises(ValueError, match="no private key"):
        open_key(only_certificates, PASSPHRASE)


def test_a_file_without_the_certificate_of_its_key_is_said_so(surveyor: Identity) -> None:
    only_key = serialize_key_and_certificates(
        None, surveyor.key, None, None, BestAvailableEncryption(PASSPHRASE.encode())
    )

    with pytest.raises(ValueError, match="no certificate for the private key"):
        open_key(only_key, PASSPHRASE)


@pytest.mark.parametrize(
    "other",
    [
        authority("Orrow Estuary Authority (invented)"),
        identity("A cipher (invented)", usages=["key_encipherment"]),
        identity("A server (invented)", purpose=ExtendedKeyUsageOID.SERVER_AUTH),
    ],
    ids=["authority", "encryption only", "server"],
)
def test_a_certificate_for_something_else_is_refused(other: Identity) -> None:
    with pytest.raises(ValueError, match="not issued for signing documents"):
        open_key(other.p12, PASSPHRASE)


def test_an_expired_certificate_opens_for_nothing_later(unsigned: bytes) -> None:
    expired = identity("Ines Caldervane (invented)", ends=datetime(2026, 5, 1, tzinfo=UTC))

    with pytest.raises(ValueError, match="expired on 2026-05-01"):
        open_key(expired.p12, PASSPHRASE, at=ISSUED)
    with pytest.raises(ValueError, match="expired on 2026-05-01"):
        signed_by(open_key(expired.p12, PASSPHRASE), unsigned)


def test_a_certificate_is_not_used_before_it_is_valid(surveyor: Identity) -> None:
    with pytest.raises(ValueError, match="valid only from 2026-01-01"):
        open_key(surveyor.p12, PASSPHRASE, at=datetime(2025, 12, 31, tzinfo=UTC))


def test_a_key_never_shows_itself_in_words(surveyor: Identity) -> None:
    key = open_key(surveyor.p12, PASSPHRASE)

    assert repr(key) == "SigningKey(name='Ines Caldervane (invented)')"
