"""What the shop writes to suppliers and customers, as a draft that is looked over before it goes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.conf import settings
from django.urls import reverse

from shop import written
from shop.models import Build, PurchaseOrder, PurchaseOrderLine, Shop


@dataclass(frozen=True)
class Letter:
    """`to` empty: no address is known."""

    to: str
    subject: str
    body: str


def order_letter(order: PurchaseOrder, lines: Iterable[PurchaseOrderLine], shop: Shop) -> Letter:
    """The order to its supplier. The lines stand in the text too, for a reader who opens no attachment."""
    rows = [f"- {_units(line, shop)} x {line.component.name}" for line in lines if line.wanted]
    body = "\n".join(
        [
            "Hello,",
            "",
            f"please find our order {order.number} attached:",
            "",
            *rows,
            "",
            "Please confirm it with a day for each line.",
            "",
            shop.name,
            *[row.strip() for row in shop.address.splitlines() if row.strip()],
            *[reached for reached in (shop.phone, shop.email) if reached],
        ]
    )
    return Letter(order.supplier.email, f"Order {order.number} from {shop.name}", body)


def _units(line: PurchaseOrderLine, shop: Shop) -> str:
    count = written.quantity(line.wanted, shop.locale)
    return count if line.component.unit == "piece" else f"{count} {line.component.unit}"


def promise_letter(
    build: Build, *, old: tuple[date | None, date | None], new: tuple[date, date], reason: str, shop: Shop
) -> Letter:
    """To a customer whose promise moves: the old window, the new one, why, and where to look. Sent once."""
    before = written.window(*old, shop.locale) if old[0] else "not yet set"
    body = "\n".join(
        [
            f"Hello {build.customer.name},",
            "",
            f"your {build.title} (build {build.number}) will be finished later than we told you.",
            "",
            f"We had said: {before}",
            f"We now say: {written.window(*new, shop.locale)}",
            f"Why: {reason.strip().rstrip('.')}.",
            "",
            "Your place in line stays yours. Where it stands, at any time:",
            f"{settings.BASE_URL}{reverse('customer-page', args=[build.link_token])}",
            "",
            "If the new date is a difficulty, please answer this letter or call.",
            "",
            shop.name,
            *[reached for reached in (shop.phone, shop.email) if reached],
        ]
    )
    return Letter(build.customer.email, f"Your build {build.number}: a new date", body)
