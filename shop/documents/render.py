"""Documents as HTML and as PDF: the same template for both, so that they say the same."""

from __future__ import annotations

from typing import cast

from django.template.loader import render_to_string
from django.templatetags.static import static

from shop.documents.change import ChangeDocument
from shop.documents.figures import FiguresDocument
from shop.documents.invoice import InvoiceDocument
from shop.documents.papers import MoneyDocument
from shop.documents.quote import QuoteDocument, quote_document
from shop.documents.receipt import ReceiptDocument, receipt_document
from shop.models import LedgerEntry, QuoteVersion
from shop.pdf import PageSize, render_pdf
from shop.selectors.documents import issued_quote, issued_receipt

Document = QuoteDocument | ReceiptDocument | ChangeDocument | FiguresDocument | InvoiceDocument | MoneyDocument
TEMPLATES: dict[type, str] = {
    QuoteDocument: "documents/quote.html",
    ReceiptDocument: "documents/receipt.html",
    FiguresDocument: "documents/figures.html",
    InvoiceDocument: "documents/invoice.html",
    MoneyDocument: "documents/money.html",
    ChangeDocument: "documents/change.html",
}
PRINT_STYLES = tuple(f"css/document{part}.css" for part in ("", "_parts", "_changes", "_money", "_figures"))
SCREEN_STYLES = ("css/document_screen.css",)
PRINTED = "app:///"  # how shop.pdf names our static files


def document_html(document: Document, *, pdf_address: str = "", back_address: str = "") -> str:
    """A page of its own for a browser: the document on paper, above it the way to its PDF and back."""
    styles = [static(name) for name in (*PRINT_STYLES, *SCREEN_STYLES)]
    return _html(document, styles, font="Inter", pdf_address=pdf_address, back_address=back_address, on_screen=True)


def document_pdf(document: Document) -> bytes:
    """Raises shop.pdf.PdfUnavailable where the machine cannot."""
    html = _html(document, [PRINTED + name for name in PRINT_STYLES], font="Bench Sans")
    paper = "A4" if document.head.paper == "A4" else "Letter"
    return render_pdf(html, page_size=cast("PageSize", paper))


def quote_pdf(version: QuoteVersion) -> bytes:
    """The PDF of an offered version, the same bytes each time. Raises QuoteVersion.DoesNotExist for a draft."""
    return document_pdf(quote_document(issued_quote(version)))


def receipt_pdf(entry: LedgerEntry) -> bytes:
    """The PDF of a deposit's receipt. Raises LedgerEntry.DoesNotExist for an entry without one."""
    return document_pdf(receipt_document(issued_receipt(entry)))


def _html(document: Document, styles: list[str], **context: object) -> str:
    return render_to_string(TEMPLATES[type(document)], {"document": document, "styles": styles, **context})
