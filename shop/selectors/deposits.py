"""What a deposit buys at this moment: the price, the place and the window of each option that was offered."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime
from decimal import Decimal

from quoting import QuoteRequest, QuoteResult, from_json
from quoting.errors import CalendarError
from quoting.odds import Simulated, told_promise
from quoting.price import TaxAhead
from quoting.promise import insert, prepare, work_out_promise
from quoting.request import Option
from quoting.result import Promise
from shop.models import QuoteVersion, VersionState
from shop.selectors.odds import simulated
from shop.selectors.shop import shop_now, shop_today
from shop.selectors.shop_state import only_about, shop_state
from shop.selectors.tax_ahead import deposit_tax


@dataclass(frozen=True, kw_only=True)
class DepositOption:
    """One option as offered, with its promise as of now. `due` the whole price after any allowance; `tax` in the
    deposit where it is due when the deposit is received.
    """

    key: str
    label: str
    currency: str
    due: Decimal
    deposit: Decimal
    offered: Promise | None
    now: Promise
    tax: TaxAhead


@dataclass(frozen=True, kw_only=True)
class DepositPage:
    """A version to take a deposit for. `barred` why that can't be, with what to do; empty when it can."""

    version: QuoteVersion
    options: tuple[DepositOption, ...]
    barred: str

    def option(self, key: str) -> DepositOption:
        """The one asked for, else the first."""
        return next((each for each in self.options if each.key == key), self.options[0])


def deposit_page(public_id: str) -> DepositPage:
    """An offered version by its public id. Raises QuoteVersion.DoesNotExist, also for a draft."""
    rows = QuoteVersion.objects.select_related("quote__customer", "quote__donor__family", "tax_place")
    version = rows.exclude(state=VersionState.DRAFT).get(public_id=public_id)
    request, result = from_json(QuoteRequest, version.request), from_json(QuoteResult, version.result)
    now, runs = shop_now(), simulated()
    return DepositPage(
        version=version,
        options=tuple(
            DepositOption(
                key=option.key,
                label=option.label,
                currency=worked.price.currency,
                due=worked.price.due,
                deposit=worked.price.deposit,
                offered=worked.promise,
                now=promise_now(request, option, now, runs),
                tax=deposit_tax(version, request, option, worked.price.deposit, now.date()),
            )
            for option, worked in zip(request.options, result.options, strict=True)
        ),
        barred=_barred(version, shop_today()),
    )


def promise_now(
    request: QuoteRequest,
    option: Option,
    now: datetime,
    runs: Simulated | None,
    revision: int | None = None,
) -> Promise:
    """The promise of a frozen option as the shop stands at this moment: others may have joined the line since.

    `runs` as kept by the worker. `revision` of the plan before the change that is being made, when there is one: what
    is worked out inside it sees the new number already.
    """
    state = shop_state(now=now)
    if revision is not None:
        state = replace(state, revision=revision)
    asked = replace(request, now=now, shop=only_about(state, {part.code for part in option.parts}))
    try:
        planned = prepare(asked)
    except CalendarError:
        return work_out_promise(asked, option)  # says why there is no day
    return told_promise(planned, option, insert(planned, option), runs)


def _barred(version: QuoteVersion, today: date) -> str:
    if version.state != VersionState.OFFERED:
        return f"{version} is {version.get_state_display().lower()}. A deposit is taken for an offered version."
    if hasattr(version, "change"):
        return f"{version} is change order {version.change}. Accept it at its own page."
    if version.valid_until is not None and version.valid_until < today:
        return f"{version} has lapsed. Revise it, so that prices are fresh."
    return ""
