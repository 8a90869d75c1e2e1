"""Suppliers' closed weeks and price breaks, and the least stock to keep."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from decimal import Decimal

from django.contrib.auth.models import User
from django.db import transaction

from shop.models import Component, Offer, OfferBreak, Supplier, SupplierClosure
from shop.services.errors import Refused
from shop.services.events import event_write
from shop.services.line_lock import line_lock


def closure_add(*, supplier: Supplier, first: date, last: date, person: User | None) -> SupplierClosure:
    """Days a supplier ships nothing, both included. Safe to repeat."""
    with line_lock():
        if last < first:
            raise Refused("The last day lies before the first. Enter a later one.", "last")
        same = SupplierClosure.objects.filter(supplier=supplier, first=first, last=last).first()
        if same is not None:
            return same
        row = SupplierClosure(supplier=supplier, first=first, last=last)
        row.full_clean(exclude=["supplier"])
        row.save(force_insert=True)
        event_write(person=person, verb="supplier closed", subject=supplier.code, after=f"{first} to {last}")
    return row


def closure_remove(*, supplier: Supplier, first: date, last: date, person: User | None) -> None:
    """Take closed days back. Safe to repeat."""
    with line_lock():
        gone, _ = SupplierClosure.objects.filter(supplier=supplier, first=first, last=last).delete()
        if gone:
            event_write(person=person, verb="supplier open", subject=supplier.code, before=f"{first} to {last}")


@transaction.atomic
def offer_breaks_set(
    *, offer: Offer, breaks: Iterable[tuple[Decimal, Decimal]], person: User | None
) -> tuple[OfferBreak, ...]:
    """The lower unit costs of an offer, by the quantity they begin at; they replace what was there."""
    wanted = sorted(breaks)
    quantities = [quantity for quantity, _ in wanted]
    if len(set(quantities)) != len(quantities):
        raise Refused("A quantity stands there twice. Give each its one price.", "breaks")
    costs = [offer.unit_cost, *(cost for _, cost in wanted)]
    if costs != sorted(costs, reverse=True):
        raise Refused("Prices have to fall as quantities rise, from the plain price on. Check the figures.", "breaks")
    if wanted and wanted[0][0] <= offer.least_quantity:
        raise Refused(
            f"The least quantity is {offer.least_quantity.normalize():f} at the plain price. Begin above it.", "breaks"
        )
    before = _said((row.from_quantity, row.unit_cost) for row in offer.breaks.all())
    offer.breaks.all().delete()
    rows = [OfferBreak(offer=offer, from_quantity=quantity, unit_cost=cost) for quantity, cost in wanted]
    for row in rows:
        row.full_clean(exclude=["offer"], validate_unique=False)
        row.save(force_insert=True)
    if before != _said(wanted):
        event_write(
            person=person, verb="price breaks set", subject=offer.component.code, before=before, after=_said(wanted)
        )
    return tuple(rows)


@transaction.atomic
def least_set(*, component: Component, quantity: Decimal, person: User | None, reason: str = "") -> Component:
    """The least stock to keep of a part: below it, it is on the list of what to order. Safe to repeat."""
    row = Component.objects.select_for_update().get(pk=component.pk)
    if quantity < 0:
        raise Refused("Enter zero or more.", "quantity")
    if row.keep_on_shelf != quantity:
        before, row.keep_on_shelf = row.keep_on_shelf, quantity
        row.save(update_fields=["keep_on_shelf"])
        event_write(
            person=person,
            verb="least stock set",
            subject=row.code,
            before=f"{before.normalize():f}",
            after=f"{quantity.normalize():f}",
            reason=reason,
        )
    return row


def _said(breaks: Iterable[tuple[Decimal, Decimal]]) -> str:
    return ", ".join(f"{cost.normalize():f} from {quantity.normalize():f}" for quantity, cost in breaks) or "none"
