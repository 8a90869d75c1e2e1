"""What a supplier asks: quantities it sells, and the unit cost from a quantity on."""

from __future__ import annotations

import math
from decimal import Decimal

from shop.models import Offer


def order_quantity(offer: Offer, wanted: Decimal) -> Decimal:
    """A quantity the supplier sells: at least the least, in whole packs."""
    packs = math.ceil(max(wanted, offer.least_quantity) / offer.pack_quantity)
    return packs * offer.pack_quantity


def offer_cost(offer: Offer, quantity: Decimal) -> Decimal:
    """The unit cost of a quantity, in the supplier's currency: the price break it reaches, else the plain one.

    Give the offer with `breaks` prefetched when there are many.
    """
    reached = [row for row in offer.breaks.all() if row.from_quantity <= quantity]
    return max(reached, key=lambda row: row.from_quantity).unit_cost if reached else offer.unit_cost
