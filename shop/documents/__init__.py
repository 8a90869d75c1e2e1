"""Documents for customers. Frozen data is read once, turned into the words that are printed, then laid out."""

from __future__ import annotations

from shop.documents.change import ChangeDocument, change_document
from shop.documents.figures import FiguresDocument, figures_document
from shop.documents.quote import QuoteDocument, quote_document
from shop.documents.receipt import ReceiptDocument, receipt_document
from shop.documents.render import document_html, document_pdf, quote_pdf, receipt_pdf

__all__ = [
    "ChangeDocument",
    "FiguresDocument",
    "QuoteDocument",
    "ReceiptDocument",
    "change_document",
    "document_html",
    "document_pdf",
    "figures_document",
    "quote_document",
    "quote_pdf",
    "receipt_document",
    "receipt_pdf",
]
