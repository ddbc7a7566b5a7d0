"""The validator the other tests lean on: it must be able to say no."""

import pytest
import typst
from verapdf import failures

_PLAIN = b"""
#set document(title: "Report on Quillet (invented)")
#set text(lang: "en")
= Quillet
"""


def test_a_pdf_that_does_not_claim_to_be_archival_fails_the_archival_rules() -> None:
    pdf = typst.compile(_PLAIN)

    found = failures(pdf, "3a")

    assert [each.split()[0] for each in found] == ["6.6.4-1"]


def test_a_pdf_that_does_not_claim_to_be_accessible_fails_the_accessibility_rules() -> None:
    pdf = typst.compile(_PLAIN)

    found = failures(pdf, "ua1")

    assert "5-1" in [each.split()[0] for each in found]


def test_what_is_no_pdf_is_an_error_and_not_a_pass() -> None:
    with pytest.raises(RuntimeError, match="gave no answer"):
        failures(b"not a PDF", "3a")
