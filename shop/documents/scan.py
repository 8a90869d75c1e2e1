"""The code to scan that leads to the customer's own page, and its address."""

from __future__ import annotations

from dataclasses import dataclass

import segno
from django.conf import settings
from django.urls import reverse
from django.utils.safestring import SafeString, mark_safe

QUIET_MODULES = 4  # ISO/IEC 18004: light border that a reader needs


@dataclass(frozen=True)
class ScanCode:
    """`drawing` inline SVG; `address` what it leads to; `shown` the address without its scheme."""

    drawing: SafeString
    address: str
    shown: str


def scan_code(token: str, of_what: str) -> ScanCode:
    """The code for the page behind a link token. `of_what` is said to screen readers: "quote Q-104"."""
    address = f"{settings.BASE_URL}{reverse('customer-page', args=[token])}"
    drawn = segno.make(address, error="m", micro=False)
    svg = drawn.svg_inline(
        border=QUIET_MODULES, dark="#1d1b19", light="#fff", omitsize=True, svgclass="code", lineclass=None,
        title=f"Code to scan: leads to the live page of {of_what}, {address}",
    )  # fmt: skip
    return ScanCode(mark_safe(svg), address, address.partition("://")[2])  # noqa: S308 - segno escapes the title
