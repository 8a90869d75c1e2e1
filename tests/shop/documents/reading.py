"""Reading documents back: PDFs with pypdfium2 and pikepdf, HTML with the standard library, amounts by their digits."""

from __future__ import annotations

import io
import os
import re
from collections.abc import Iterator
from decimal import Decimal
from html.parser import HTMLParser
from typing import Any

import pikepdf
import pypdfium2
import pytest

from shop import pdf

needs_pango = pytest.mark.skipif(
    bool(pdf.missing_libraries()) and not os.environ.get("CI"), reason=f"Pango is missing. {pdf.PANGO_REMEDY}"
)


def pages_of(data: bytes) -> list[str]:
    """The text of each page, spaces made plain."""
    document = pypdfium2.PdfDocument(data)
    try:
        return [re.sub(r"\s+", " ", page.get_textpage().get_text_range()) for page in document]
    finally:
        document.close()


def text_of(data: bytes) -> str:
    return " ".join(pages_of(data))


def lines_of(data: bytes) -> list[str]:
    """Lines of text of all pages, as the eye sees them."""
    document = pypdfium2.PdfDocument(data)
    try:
        texts = [page.get_textpage().get_text_range() for page in document]
    finally:
        document.close()
    return [line.strip().replace("\xa0", " ") for text in texts for line in text.splitlines() if line.strip()]


def figure(text: str, digits: int) -> Decimal:
    """An amount by its digits alone, whatever the locale's marks: the last `digits` of them are the minor unit's."""
    number = Decimal(re.sub(r"\D", "", text)).scaleb(-digits)
    return -number if "\u2212" in text else number


def opened(data: bytes) -> pikepdf.Pdf:
    return pikepdf.open(io.BytesIO(data))


def elements(node: Any) -> Iterator[Any]:
    """Every structure element below a node, in reading order."""
    children = node.get("/K", [])
    for child in children if isinstance(children, pikepdf.Array) else [children]:
        if isinstance(child, pikepdf.Dictionary) and "/S" in child:
            yield child
            yield from elements(child)


class Cells(HTMLParser):
    """Cells of the tables of one class, row by row."""

    def __init__(self, table: str) -> None:
        super().__init__()
        self.table, self.inside, self.cell = table, 0, False
        self.rows: list[list[str]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "table" and (self.inside or self.table in (dict(attrs).get("class") or "").split()):
            self.inside += 1
        elif self.inside and tag == "tr":
            self.rows.append([])
        elif self.inside and tag in {"td", "th"}:
            self.cell = True
            self.rows[-1].append("")

    def handle_endtag(self, tag: str) -> None:
        if tag == "table" and self.inside:
            self.inside -= 1
        elif tag in {"td", "th"}:
            self.cell = False

    def handle_data(self, data: str) -> None:
        if self.cell:
            self.rows[-1][-1] += data


def cells_of(html: str, table: str) -> list[list[str]]:
    reader = Cells(table)
    reader.feed(html)
    return [[" ".join(cell.split()) for cell in row] for row in reader.rows]
