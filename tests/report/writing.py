"""The writers as one call each: the copies are made, then the document is written."""

from typing import Any

from garboard.report.copies import Originals, copies
from garboard.report.document import Document, Written
from garboard.report.docx import write_docx
from garboard.report.html import write_html
from garboard.report.typst_pdf import write_pdf


def pdf_of(document: Document, original: Originals, **options: Any) -> Written:
    """The PDF of a document."""
    return write_pdf(document, dict(copies(document, original)), **options)


def html_of(document: Document, original: Originals) -> Written:
    """The web page of a document."""
    return write_html(document, dict(copies(document, original)))


def docx_of(document: Document, original: Originals, **options: Any) -> Written:
    """The editable copy of a document."""
    return write_docx(document, dict(copies(document, original)), **options)
