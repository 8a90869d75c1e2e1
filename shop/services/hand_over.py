"""Hand-over: the last act of a build. Invoiced, paid and numbered, or the owner says why not."""

from __future__ import annotations

from django.contrib.auth.models import User
from django.utils import timezone

from quoting.price import round_money
from shop.models import Build, BuildState
from shop.permissions import OWNER, roles_of
from shop.selectors.build_money import build_money
from shop.selectors.ledger_sums import uncleared
from shop.selectors.shop import the_shop
from shop.selectors.units import unnumbered_needs
from shop.services.builds import open_build
from shop.services.errors import Refused
from shop.services.events import build_event
from shop.services.line_lock import line_lock
from shop.services.places import line_in_order, places_give
from shop.services.stock import stock_allot


def build_hand_over(*, build: Build, person: User, override: str = "") -> Build:
    """Hand a ready build to its customer; its place goes to those behind. Safe to repeat.

    Refused before it is invoiced. With something still to pay, a check that has not cleared, or a serial number that
    nobody entered, only the owner may, with the reason in `override`.
    """
    with line_lock():
        row = Build.objects.get(pk=build.pk)
        if row.state == BuildState.HANDED_OVER:
            return row
        row = open_build(build)
        if row.state != BuildState.READY:
            raise Refused(f"{row} is {row.get_state_display().lower()}. It is handed over when it is ready.")
        money = build_money([row])[row.pk]
        if not money.invoiced:
            raise Refused(f"{row} is not invoiced. Make its invoice first.")
        unpaid, numbers = hand_over_lacks(row), " ".join(map(str, unnumbered_needs(row)))
        lacks = {"handed over unpaid": unpaid, "handed over without serial numbers": numbers}
        override = override.strip()
        if any(lacks.values()) and not (override and OWNER in roles_of(person)):
            said = " ".join(filter(None, lacks.values()))
            raise Refused(f"{said} The owner may hand it over all the same and says why.", "override")
        place, row.state, row.place, row.hold_reason = row.place, BuildState.HANDED_OVER, None, ""
        row.handed_over_at = timezone.now()
        row.save(update_fields=["state", "place", "hold_reason", "handed_over_at"])
        build_event(build=row, person=person, verb="handed over", before=f"place {place}")
        for verb, lack in lacks.items():
            if lack:
                build_event(build=row, person=person, verb=verb, after=lack, reason=override)
        places_give(line_in_order(), person=person, reason="A build ahead was handed over.")
        stock_allot(person=person, reason=f"{row} was handed over.")
    return row


def hand_over_lacks(build: Build) -> str:
    """What of the money is not there, in words; empty when all is paid and cleared."""
    money, currency = build_money([build])[build.pk], the_shop().currency
    if money.owed > 0:
        return f"{round_money(money.owed, currency)} is still to pay."
    waits = uncleared(build)
    return f"A check of {round_money(waits, currency)} has not cleared." if waits > 0 else ""
