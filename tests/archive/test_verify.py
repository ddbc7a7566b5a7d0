import io
import logging
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pikepdf
import pytest
from archive.certificates import PASSPHRASE, Identity, authority, identity
from archive.reports import ISSUED, report, survey
from asn1crypto import keys, x509
from hypothesis import given, settings
from hypothesis import strategies as st
from pyhanko.pdf_utils.generic import NumberObject, pdf_name
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.sign.fields import SigSeedSubFilter
from pyhanko.sign.signers import PdfSignatureMetadata, PdfSigner, SimpleSigner
from pyhanko_certvalidator.registry import SimpleCertificateStore

from garboard.archive.evidence import findings_json, notebook_jsonl
from garboard.archive.sign import open_key, sign
from garboard.archive.verify import verify

MUST_NOT_PASS = {"changed after signing", "damaged", "unsigned"}
ANYWHERE = st.integers(0, 2**32)


def signed_by(whose: Identity, pdf: bytes) -> bytes:
    return sign(
        pdf, open_key(whose.p12, PASSPHRASE), reason="Issue", location="Fennick Hard", at=ISSUED
    )


def updated(pdf: bytes, change: Callable[[Any], None]) -> bytes:
    """The PDF with a change appended, as a PDF editor saves it."""
    writer: Any = IncrementalPdfFileWriter(io.BytesIO(pdf))
    change(writer)
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def turned(writer: Any) -> None:
    """The first page on its side."""
    page, _ = writer.find_page_for_modification(0)
    page.get_object()[pdf_name("/Rotate")] = NumberObject(90)  # type: ignore[no-untyped-call]  # pyHanko leaves it untyped
    writer.update_container(page.get_object())


def with_notebook(notebook: bytes) -> Callable[[Any], None]:
    def exchange(writer: Any) -> None:
        names = list(writer.root["/Names"]["/EmbeddedFiles"]["/Names"])
        described = next(
            each.get_object()
            for each in names[1::2]
            if each.get_object()["/UF"] == "notebook.jsonl"
        )
        stream = described["/EF"]["/F"]
        stream._data, stream._encoded_data = notebook, None
        del stream["/Filter"]
        stream.pop("/Length", None)
        writer.update_container(stream)

    return exchange


class Careless(PdfSigner):
    """Signs without minding what earlier signatures forbid."""

    def _enforce_certification_constraints(self, reader: Any) -> None:
        pass


def signed_again(whose: Identity, pdf: bytes) -> bytes:
    signer = Careless(
        PdfSignatureMetadata(field_name="Another", subfilter=SigSeedSubFilter.PADES),
        signer=SimpleSigner(
            x509.Certificate.load(whose.der),
            keys.PrivateKeyInfo.load(whose.key_der),
            SimpleCertificateStore(),  # type: ignore[no-untyped-call]  # pyHanko leaves it untyped
        ),
    )
    signed: bytes = signer.sign_pdf(IncrementalPdfFileWriter(io.BytesIO(pdf))).getvalue()
    return signed


@pytest.fixture(scope="session")
def stranger() -> Identity:
    """Somebody else, whose certificate bears the surveyor's name."""
    return identity("Ines Caldervane (invented)")


def test_an_untouched_report_is_unchanged(signed: bytes) -> None:
    found = verify(signed)

    assert found.state == "unchanged"
    assert found.sentences[0] == (
        "This report is unchanged: every byte is as it was when it was signed."
    )


def test_a_time_stamped_report_is_unchanged(stamped: bytes) -> None:
    assert verify(stamped).state == "unchanged"


def test_an_unchanged_report_says_who_signed_and_when(signed: bytes, surveyor: Identity) -> None:
    found = verify(signed)

    assert found.signer is not None
    assert found.signer.name == "Ines Caldervane (invented)"
    assert found.signed is not None
    assert (found.signed.at, found.signed.confirmed_by) == (ISSUED, None)
    assert any("is what the signer states" in each for each in found.sentences)


def test_what_self_signed_means_is_said_with_the_fingerprint_to_compare(signed: bytes) -> None:
    found = verify(signed)

    assert found.signer is not None
    assert found.signer.self_signed
    assert not found.signer.trusted
    assert any("anyone can make one with any name" in each for each in found.sentences)
    assert any(found.signer.fingerprint in each for each in found.sentences)


def test_a_certificate_nobody_trusts_is_told_in_the_answer_and_not_in_the_terminal(
    signed: bytes, stamped: bytes, caplog: pytest.LogCaptureFixture
) -> None:
    with caplog.at_level(logging.WARNING):
        answers = [verify(signed), verify(stamped)]

    assert [each.signer and each.signer.trusted for each in answers] == [False, False]
    assert caplog.records == []


def test_what_else_goes_wrong_in_a_signature_is_still_told_to_whoever_listens(
    caplog: pytest.LogCaptureFixture,
) -> None:
    reader = logging.getLogger("pyhanko.sign.validation.generic_cms")

    with caplog.at_level(logging.WARNING):
        reader.warning("something else", exc_info=ValueError("of its own"))

    assert [each.getMessage() for each in caplog.records] == ["something else"]


def test_a_signer_whose_certificate_is_trusted_is_trusted(
    signed: bytes, surveyor: Identity
) -> None:
    found = verify(signed, [surveyor.pem])

    assert found.signer is not None
    assert found.signer.trusted
    assert "You trust that certificate, or the one that issued it." in found.sentences


def test_a_signer_whom_a_trusted_authority_vouches_for_is_trusted(
    stamped: bytes, issuer: Identity
) -> None:
    with_it, without_it = verify(stamped, [issuer.der]).signer, verify(stamped).signer

    assert with_it is not None
    assert with_it.trusted
    assert without_it is not None
    assert not without_it.trusted


def test_a_chain_sent_without_its_root_is_followed_to_the_root(
    unsigned: bytes, issuer: Identity
) -> None:
    office = authority("Fennick Hard Office (invented)", issuer)
    whole = identity("Jory Pask-Lund (invented)", issuer=office)

    found = verify(signed_by(replace(whole, chain=whole.chain[:1]), unsigned), [issuer.der])

    assert found.state == "unchanged"
    assert found.signer is not None
    assert found.signer.trusted


def test_a_time_stamp_service_nobody_trusts_is_called_so(stamped: bytes) -> None:
    found = verify(stamped)

    assert found.signed is not None
    assert not found.signed.confirmation_trusted
    assert any("certificate is not among those you trust" in each for each in found.sentences)


def test_integrity_does_not_depend_on_trust(signed: bytes, stranger: Identity) -> None:
    assert verify(signed, [stranger.der]).state == "unchanged"


def test_a_forger_with_the_same_name_is_not_trusted(
    unsigned: bytes, stranger: Identity, surveyor: Identity
) -> None:
    found = verify(signed_by(stranger, unsigned), [surveyor.der])

    assert found.signer is not None
    assert found.signer.name == "Ines Caldervane (invented)"
    assert not found.signer.trusted


def test_a_trusted_certificate_that_cannot_be_read_is_named(
    signed: bytes, surveyor: Identity
) -> None:
    with pytest.raises(ValueError, match="Trusted certificate 2 cannot be read"):
        verify(signed, [surveyor.der, b"rubbish"])


def test_a_name_cannot_write_on_the_readers_screen(unsigned: bytes) -> None:
    found = verify(signed_by(identity("Ines\x1b[31m\nThis report is trusted."), unsigned))

    assert found.signer is not None
    assert all(each.isprintable() for each in found.sentences)


@settings(max_examples=300)
@given(ANYWHERE, st.integers(0, 7))
def test_no_flipped_bit_anywhere_goes_unnoticed(signed: bytes, where: int, bit: int) -> None:
    flipped = bytearray(signed)
    flipped[where % len(signed)] ^= 1 << bit

    assert verify(bytes(flipped)).state in MUST_NOT_PASS


@settings(max_examples=300)
@given(ANYWHERE, st.integers(0, 7))
def test_no_flipped_bit_in_signature_certificates_or_time_stamp_goes_unnoticed(
    stamped: bytes, where: int, bit: int
) -> None:
    begins = stamped.index(b"/Contents <")
    flipped = bytearray(stamped)
    flipped[begins + where % (stamped.index(b">", begins) + 1 - begins)] ^= 1 << bit

    assert verify(bytes(flipped)).state in MUST_NOT_PASS


@given(ANYWHERE)
def test_no_part_cut_off_goes_unnoticed(signed: bytes, where: int) -> None:
    assert verify(signed[: where % len(signed)]).state in MUST_NOT_PASS


@given(ANYWHERE, st.binary(min_size=1, max_size=40))
def test_nothing_put_in_anywhere_goes_unnoticed(signed: bytes, where: int, put_in: bytes) -> None:
    at = where % (len(signed) + 1)

    assert verify(signed[:at] + put_in + signed[at:]).state in MUST_NOT_PASS


@given(st.binary(max_size=200), st.sampled_from([b"", b"%PDF-1.7\n", b"%PDF-1.7\n%%EOF"]))
def test_any_bytes_at_all_get_a_plain_answer(rubbish: bytes, opening: bytes) -> None:
    found = verify(opening + rubbish)

    assert found.state == "damaged"
    assert found.sentences


def test_an_empty_file_is_called_empty() -> None:
    assert verify(b"").sentences == ("This file is empty.",)


def test_what_is_no_pdf_is_called_so() -> None:
    assert "not a PDF" in verify(b"Dear Tamsin,").sentences[0]


def test_a_report_without_a_signature_is_unsigned(unsigned: bytes) -> None:
    found = verify(unsigned)

    assert found.state == "unsigned"
    assert "whether it was changed cannot be told" in found.sentences[0]


def test_a_report_whose_signature_was_cut_off_whole_is_unsigned(
    unsigned: bytes, signed: bytes
) -> None:
    assert verify(signed[: len(unsigned)]).state == "unsigned"


def test_a_report_whose_signature_was_unhooked_is_damaged(signed: bytes) -> None:
    found = verify(signed.replace(b"/AcroForm", b"/AcroFarm"))

    assert found.state == "damaged"
    assert "remains of a signature" in found.sentences[0]


def test_a_report_saved_anew_by_another_program_is_not_unchanged(signed: bytes) -> None:
    with pikepdf.open(io.BytesIO(signed)) as pdf:
        out = io.BytesIO()
        pdf.save(out)

    assert verify(out.getvalue()).state == "damaged"


def test_a_report_with_an_update_appended_was_changed_after_signing(
    signed: bytes, surveyor: Identity
) -> None:
    found = verify(updated(signed, turned), [surveyor.der])

    assert found.state == "changed after signing"
    assert found.signer is not None
    assert found.signer.trusted


def test_a_single_line_end_appended_is_a_change(signed: bytes) -> None:
    assert verify(signed + b"\n").state == "changed after signing"


def test_a_second_signature_is_a_change_and_named(signed: bytes, stranger: Identity) -> None:
    found = verify(signed_again(stranger, signed))

    assert found.state == "changed after signing"
    assert any("A further signature was added later" in each for each in found.sentences)


def test_a_change_is_not_covered_up_by_a_signature_of_another(
    signed: bytes, stranger: Identity, surveyor: Identity
) -> None:
    found = verify(signed_again(stranger, updated(signed, turned)), [surveyor.der])

    assert found.state == "changed after signing"


def test_a_signature_hidden_behind_another_is_a_change(signed: bytes, stranger: Identity) -> None:
    def unhook(writer: Any) -> None:
        del writer.root["/AcroForm"]
        del writer.root["/Perms"]
        writer.update_root()

    found = verify(signed_again(stranger, updated(signed, unhook)))

    assert found.state == "changed after signing"


def test_the_notebook_comes_out_as_it_went_in(signed: bytes) -> None:
    found = verify(signed)

    assert found.notebook == notebook_jsonl(survey())
    assert found.findings == findings_json(survey())


def test_the_findings_follow_from_the_notebook(signed: bytes) -> None:
    found = verify(signed)

    assert found.follows is True
    assert any("gives exactly the findings" in each for each in found.sentences)


def test_a_notebook_exchanged_before_signing_does_not_give_the_findings(
    surveyor: Identity,
) -> None:
    other = report(notebook_jsonl(survey("No play in the rudder")), findings_json(survey()))

    found = verify(signed_by(surveyor, other))

    assert (found.state, found.follows) == ("unchanged", False)
    assert any("does not give the findings" in each for each in found.sentences)


def test_a_notebook_exchanged_after_signing_is_a_change_and_does_not_give_the_findings(
    signed: bytes,
) -> None:
    found = verify(updated(signed, with_notebook(notebook_jsonl(survey("No play")))))

    assert (found.state, found.follows) == ("changed after signing", False)
    assert found.notebook == notebook_jsonl(survey("No play"))


def test_a_report_without_a_notebook_says_that_nothing_can_be_compared(surveyor: Identity) -> None:
    found = verify(signed_by(surveyor, report(None, findings_json(survey()))))

    assert (found.state, found.follows) == ("unchanged", None)
    assert any("are not attached" in each for each in found.sentences)


def test_attached_files_without_end_are_called_unreadable(unsigned: bytes) -> None:
    def into_itself(writer: Any) -> None:
        tree = writer.root["/Names"]["/EmbeddedFiles"]
        loop = writer.add_object(tree)
        tree[pdf_name("/Kids")] = type(tree["/Names"])([loop])
        writer.root["/Names"][pdf_name("/EmbeddedFiles")] = loop
        writer.update_container(writer.root["/Names"])
        writer.update_root()

    found = verify(updated(unsigned, into_itself))

    assert found.follows is not True
