"""Parts that wait for money: builds whose terms ask for a deposit before their parts are ordered, not paid yet."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from decimal import Decimal

from quoting.price import round_money
from shop.models import Build, DocumentFacts, QuoteVersion
from shop.selectors.build_money import build_money

NONE = Decimal(0)


@dataclass(frozen=True, kw_only=True)
class PartsHold:
    """A build whose deposit for parts is not paid: `asked` in all by then, `left` of it; its customer is to be told."""

    build: Build
    currency: str
    asked: Decimal
    left: Decimal


def parts_holds(builds: Collection[Build]) -> Mapping[int, PartsHold]:
    """Of these builds the open ones whose parts deposit is not paid, by build id. A fixed number of queries.

    By the terms kept with the version that counts: the share of the price, and no less than the deposit for the place.
    """
    waiting = {build.pk: build for build in builds if build.is_open}
    rates = _rates({build.version_id for build in waiting.values()})
    waiting = {pk: build for pk, build in waiting.items() if build.version_id in rates}
    if not waiting:
        return {}
    results = dict(QuoteVersion.objects.filter(pk__in=rates).values_list("pk", "result"))
    money = build_money(waiting.values())
    found = {}
    for pk, build in waiting.items():
        result = results[build.version_id]
        if result is None:
            continue
        deposits = [option["price"]["deposit"] for option in result["options"] if option["key"] == build.option_key]
        currency = result["currency"]
        share = round_money(build.total * rates[build.version_id], currency)
        asked = max([share, *map(Decimal, deposits)])
        left = round_money(asked - money[pk].held, currency)
        if left > 0 and not money[pk].invoiced:
            found[pk] = PartsHold(build=build, currency=currency, asked=asked, left=left)
    return found


def _rates(version_ids: Collection[int]) -> dict[int, Decimal]:
    """The share of the price that is asked before parts are ordered, by version; those that ask none are left out."""
    facts = DocumentFacts.objects.filter(version__in=version_ids).values_list("version_id", "facts")
    rates = {pk: Decimal(each["letterhead"].get("parts_deposit_rate") or 0) for pk, each in facts if pk is not None}
    return {pk: rate for pk, rate in rates.items() if rate}
