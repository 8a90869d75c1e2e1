"""The line as planned at this moment. One plan serves a page: work it out once and pass it on."""

from __future__ import annotations

from collections.abc import Collection
from datetime import datetime
from functools import lru_cache

from quoting.promise import plan_line
from quoting.request import Policies, ShopState
from quoting.result import LinePlan
from shop.models import Shop
from shop.selectors.requests import engine_policies
from shop.selectors.shop import shop_now, the_shop
from shop.selectors.shop_state import shop_state

KEPT_PLANS = 64  # a slip's preview or Waiting looks at some dozens of "what if"s of one state (our own choice)


def line_plan(*, now: datetime | None = None, shop: Shop | None = None) -> LinePlan:
    """Every open build as the shop stands now, to the minute."""
    state, moment, policies = plan_basis(now=now, shop=shop)
    return planned(state, moment, policies)


def plan_basis(
    *, now: datetime | None = None, shop: Shop | None = None, codes: Collection[str] | None = ()
) -> tuple[ShopState, datetime, Policies]:
    """What a plan is worked out from: to plan a changed shop, change the state and give it to `planned`.

    The state knows the components builds need and those in `codes`; None: the whole catalogue.
    """
    shop = shop or the_shop()
    moment = (now or shop_now(shop)).replace(second=0, microsecond=0)
    return shop_state(now=moment, shop=shop, codes=codes), moment, engine_policies(shop, None, moment.date())


@lru_cache(maxsize=KEPT_PLANS)
def planned(state: ShopState, now: datetime, policies: Policies) -> LinePlan:
    """The plan of a state. Kept by all it is worked out from, so that it can't be stale."""
    return plan_line(state, now, now.date(), policies)
