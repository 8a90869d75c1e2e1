"""A build out of the sound quote, and a change order to it, by the services: what a customer wants mid-build."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.contrib.auth.models import User

from shop.models import Build, ChangeOrder, QuoteOption, Shop
from shop.services.change_accept import Agreement, ChangeAccepted, change_accept
from shop.services.change_orders import change_start
from tests.shop import made_quotes_offered
from tests.shop.made_offers import DAY, make_offered, take_again

AGREED = Agreement(by="Alex Example", how="signed", on=date(2026, 3, 2))


def make_running(shop: Shop, person: User) -> Build:
    """The sound build, its deposit taken on the morning of the 2nd of March 2026."""
    return take_again(make_offered(shop), person).build


def begin(build: Build, person: User | None, reason: str = "heated grips after all") -> tuple[ChangeOrder, QuoteOption]:
    """A draft, and its one option."""
    change = change_start(build=build, reason=reason, person=person)
    return change, QuoteOption.objects.get(version=change.version)


def offer(change: ChangeOrder) -> ChangeOrder:
    """Decide every open check, then offer it."""
    change.version.refresh_from_db()
    made_quotes_offered.offer(change.version)
    return ChangeOrder.objects.select_related("build", "base", "version__quote").get(pk=change.pk)


def accept(change: ChangeOrder, person: User, **changed: Any) -> ChangeAccepted:
    return change_accept(**{"change": change, "agreement": AGREED, "person": person, **changed})


__all__ = ["AGREED", "DAY", "accept", "begin", "make_running", "offer"]
