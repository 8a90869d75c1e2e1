"""Nothing is ordered for a build whose parts deposit is not paid, unless the owner says why."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from django.contrib.auth.models import User

from shop.models import Build, Component
from shop.permissions import OWNER, roles_of
from shop.selectors.parts_hold import parts_holds
from shop.selectors.to_order import to_order
from shop.services.errors import Refused


def parts_hold_guard(wanted: Mapping[Component, Decimal], *, person: User | None, reason: str) -> str:
    """Refuse quantities that only builds behind an unpaid parts deposit need. An owner may, with a reason.

    Returns the words for the log: whose deposit was not waited for; empty when nobody's.
    """
    if not parts_holds(Build.objects.filter(needs__component__in=wanted).distinct()):
        return ""
    said = []
    for row in to_order():
        quantity = wanted.get(row.component, Decimal(0))
        if row.held and quantity > row.open_quantity:
            said += [f"{hold.build}: {hold.left} {hold.currency}" for hold in row.holds]
    if not said:
        return ""
    waits = "Parts deposit not paid: " + "; ".join(dict.fromkeys(said))
    if person is None or OWNER not in roles_of(person):
        raise Refused(f"{waits}. Take the deposit first, or let the owner order at To order and say why.", "reason")
    if not reason.strip():
        raise Refused(f"{waits}. Take the deposit first, or say at To order why it is ordered before.", "reason")
    return f"{waits}. {reason.strip()}"
