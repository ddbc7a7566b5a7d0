from datetime import timedelta

import pytest
from archive.reports import ISSUED
from cryptography.hazmat.primitives.serialization.pkcs12 import load_pkcs12
from cryptography.x509 import BasicConstraints, KeyUsage

from garboard.archive.own_key import own_key
from garboard.archive.sign import open_key, sign
from garboard.archive.verify import verify

NAME, PASSPHRASE = "Ines Caldervane", "ebb and flood and slack"


@pytest.fixture(scope="module")
def p12() -> bytes:
    return own_key(NAME, PASSPHRASE, at=ISSUED)


def test_a_report_signed_with_an_own_key_is_unchanged_and_says_that_nobody_vouches_for_the_name(
    unsigned: bytes, p12: bytes
) -> None:
    key = open_key(p12, PASSPHRASE, at=ISSUED)

    signed = sign(unsigned, key, reason="Issue of report Q-1", location="Fennick Hard", at=ISSUED)

    answer = verify(signed)
    assert answer.state == "unchanged"
    assert answer.signer is not None
    assert (answer.signer.name, answer.signer.self_signed) == (NAME, True)
    assert any("made by its owner: nobody else vouches" in each for each in answer.sentences)


def test_an_own_key_can_vouch_for_no_other_certificate(p12: bytes) -> None:
    held = load_pkcs12(p12, PASSPHRASE.encode()).cert

    assert held is not None
    stated = held.certificate.extensions
    usage = stated.get_extension_for_class(KeyUsage).value
    limits = stated.get_extension_for_class(BasicConstraints).value
    assert not usage.key_cert_sign
    assert not limits.ca


def test_an_own_key_signs_for_ten_years(p12: bytes) -> None:
    key = open_key(p12, PASSPHRASE)

    assert key.refused_at(ISSUED + timedelta(days=3652)) is None
    assert "expired" in str(key.refused_at(ISSUED + timedelta(days=3654)))


@pytest.mark.parametrize(
    ("name", "passphrase", "said"),
    [
        (NAME, "ebb", "The password has 3 characters"),
        ("", PASSPHRASE, "no name for a certificate"),
        ("a" * 65, PASSPHRASE, "no name for a certificate"),
    ],
)
def test_a_key_without_a_name_or_hardly_protected_is_not_made(
    name: str, passphrase: str, said: str
) -> None:
    with pytest.raises(ValueError, match=said):
        own_key(name, passphrase, at=ISSUED)
