"""What builds were to earn by what was agreed, and what they would with the hours that were worked."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

from quoting import QuoteRequest, QuoteResult, from_json
from quoting.price import quoted_h, round_money
from shop.models import Build, StepState
from shop.selectors.shop import the_shop

NONE = Decimal(0)
PLACES = Decimal("0.0001")


@dataclass(frozen=True, kw_only=True)
class BuildMargin:
    """One build in the shop's currency; None where a cost is not known.

    `cost_worked` takes the hours of finished steps as they were worked, the others as quoted.
    """

    build: Build
    accepted_on: date
    net: Decimal
    cost: Decimal | None
    margin: Decimal | None
    margin_rate: Decimal | None
    quoted_h: Decimal
    worked_h: Decimal
    cost_worked: Decimal | None

    @property
    def margin_worked(self) -> Decimal | None:
        return None if self.cost_worked is None else self.net - self.cost_worked


def build_margins(first: date, last: date) -> Iterator[BuildMargin]:
    """Builds accepted from one day to another, both included. Three queries, whatever their number."""
    zone = ZoneInfo(the_shop().zone)
    start = datetime.combine(first, time(), zone)
    end = datetime.combine(last + timedelta(days=1), time(), zone)
    builds = Build.objects.filter(accepted_at__gte=start, accepted_at__lt=end).select_related("customer", "version")
    for build in builds.prefetch_related("steps").order_by("accepted_at", "pk"):
        made = _margin(build, zone)
        if made is not None:
            yield made


def _margin(build: Build, zone: ZoneInfo) -> BuildMargin | None:
    """None for a version without figures."""
    if not build.version.result or not build.version.request:
        return None
    request, result = from_json(QuoteRequest, build.version.request), from_json(QuoteResult, build.version.result)
    option = next((each for each in request.options if each.key == build.option_key), None)
    price = next((each.price for each in result.options if each.key == build.option_key), None)
    if option is None or price is None:
        return None
    worked = {step.code: step.actual_h or NONE for step in build.steps.all() if step.state == StepState.DONE}
    more = NONE
    for step in option.steps:
        if step.code in worked and step.cost_rate is not None:
            more += (worked[step.code] - quoted_h(step, request.policies)) * step.cost_rate
    cost = None if price.cost is None else price.cost + round_money(more, price.currency)
    return BuildMargin(
        build=build,
        accepted_on=build.accepted_at.astimezone(zone).date(),
        net=price.net,
        cost=price.cost,
        margin=price.margin,
        margin_rate=None if price.margin_rate is None else price.margin_rate.quantize(PLACES),
        quoted_h=price.quoted_h,
        worked_h=sum((step.actual_h or NONE for step in build.steps.all()), NONE),
        cost_worked=cost,
    )
