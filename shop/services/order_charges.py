"""What a supplier charges when it is not what was ordered."""

from __future__ import annotations

from decimal import Decimal

from django.contrib.auth.models import User

from shop.models import Offer, PurchaseOrderLine
from shop.selectors.offers import offer_cost
from shop.selectors.shop import shop_today
from shop.services.errors import Refused
from shop.services.events import event_write


def line_charge(*, line: PurchaseOrderLine, unit_cost: Decimal, person: User | None) -> PurchaseOrderLine:
    """Keep what one unit of a line was charged, and carry the new price to the supplier's offer.

    Landed cost is worked out of the offer, so quotes from now on cost right; offered ones stay as they are. An offer
    with a price break for this quantity keeps its plain price: the break is changed.
    """
    if unit_cost < 0:
        raise Refused("A price can't be below zero.", "unit_cost")
    before = line.unit_cost if line.invoiced_cost is None else line.invoiced_cost
    line.invoiced_cost = unit_cost
    line.full_clean(exclude=["order", "component"], validate_unique=False)
    line.save(update_fields=["invoiced_cost"])
    offer = Offer.objects.filter(supplier=line.order.supplier, component=line.component).first()
    if offer is not None and offer_cost(offer, line.quantity) != unit_cost:
        reached = offer.breaks.filter(from_quantity__lte=line.quantity).order_by("from_quantity").last()
        if reached is not None:
            reached.unit_cost = unit_cost
            reached.save(update_fields=["unit_cost"])
        else:
            offer.unit_cost = unit_cost
        offer.priced_on = shop_today()
        offer.save(update_fields=["unit_cost", "priced_on"])
    event_write(
        person=person,
        verb="price differs",
        subject=line.order.number,
        before=f"{line.component.name}: {before.normalize():f}",
        after=f"{unit_cost.normalize():f} {line.order.supplier.currency} each",
    )
    return line
