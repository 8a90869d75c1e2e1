"""Labels to stick on shelves and boxes: name, code, shelf, and a code to scan that leads to the part in Stores."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import segno
from django.conf import settings
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils.safestring import SafeString, mark_safe

from shop.documents.render import PRINTED
from shop.models import Component, Shop, StockUnit
from shop.pdf import render_pdf
from shop.selectors.shop import the_shop

MOST_LABELS = 500  # twenty sheets; more is a slip of the finger (our own choice)
ACROSS = 3
QUIET_MODULES = 4  # ISO/IEC 18004: light border that a reader needs
STYLES = ("css/document.css", "css/labels.css")


@dataclass(frozen=True)
class Label:
    """One label. `serial` empty on a shelf's."""

    name: str
    code: str
    shelf: str
    serial: str
    drawing: SafeString
    address: str


@dataclass(frozen=True)
class LabelSheet:
    """Labels in rows of ACROSS."""

    language: str
    shop_name: str
    paper: str
    rows: tuple[tuple[Label, ...], ...]


def label_sheet(
    components: Iterable[Component], *, copies: int = 1, units: Iterable[StockUnit] = (), shop: Shop | None = None
) -> LabelSheet:
    """`copies` of each part's label, and one of each unit's. Raises ValueError for more than MOST_LABELS."""
    shop = shop or the_shop()
    labels = [label for component in components for label in [_label(component)] * copies]
    labels += [_label(unit.component, unit.serial) for unit in units]
    if len(labels) > MOST_LABELS:
        raise ValueError(f"{len(labels)} labels")
    return LabelSheet(
        language=shop.locale.partition("-")[0],
        shop_name=shop.name,
        paper=shop.paper,
        rows=_in_rows(labels),
    )


def labels_pdf(sheet: LabelSheet) -> bytes:
    """Raises shop.pdf.PdfUnavailable where the machine cannot."""
    html = render_to_string("documents/labels.html", {"sheet": sheet, "styles": [PRINTED + name for name in STYLES]})
    return render_pdf(html, page_size="A4" if sheet.paper == "A4" else "Letter")


def _label(component: Component, serial: str = "") -> Label:
    address = f"{settings.BASE_URL}{reverse('stock', args=[component.public_id])}"
    drawn = segno.make(address, error="m", micro=False)
    svg = drawn.svg_inline(
        border=QUIET_MODULES, dark="#1d1b19", light="#fff", omitsize=True, svgclass="code", lineclass=None,
        title=f"Code to scan: leads to {component.name} in Stores, {address}",
    )  # fmt: skip
    drawing = mark_safe(svg)  # noqa: S308 - segno escapes the title
    return Label(component.name, component.code, component.shelf, serial, drawing, address)


def _in_rows(labels: Sequence[Label]) -> tuple[tuple[Label, ...], ...]:
    return tuple(tuple(labels[first : first + ACROSS]) for first in range(0, len(labels), ACROSS))
