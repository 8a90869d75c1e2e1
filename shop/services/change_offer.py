"""What a change order keeps on the day it is offered. It knows nothing of how quotes are made: they ask it."""

from __future__ import annotations

from decimal import Decimal

from quoting import QuoteRequest, QuoteResult
from quoting.price import round_money
from shop.models import ChangeOrder, QuoteVersion
from shop.selectors.odds import simulated
from shop.selectors.running import base_of, change_of, refusals_of
from shop.selectors.shop import the_shop
from shop.selectors.standing import standing_promise, window_like
from shop.services.errors import Refused

NONE = Decimal(0)


def change_offer_keep(*, version: QuoteVersion, request: QuoteRequest, result: QuoteResult) -> ChangeOrder | None:
    """Keep what a change order is held against on the day it is offered; None for a version that is none.

    Call it in the transaction that offers the version. Raises Refused when the build cannot be changed so.
    """
    change = change_of(version)
    if change is None:
        return None
    found = refusals_of(change, request.options[0])
    if found:
        raise Refused(" ".join(found))
    own = standing_promise(change.build.number, simulated())
    before, after = base_of(change).result.price, result.options[0].price
    change.promised_from, change.promised_to = change.build.promised_from, change.build.promised_to
    change.without_from, change.without_to = window_like(own, result.options[0].promise)
    change.deposit = round_money(the_shop().change_deposit_rate * max(after.due - before.due, NONE), result.currency)
    change.full_clean(exclude=["build", "base", "version", "started_by"], validate_unique=False)
    change.save()
    return change
