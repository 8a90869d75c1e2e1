"""Change orders begun and dropped. The Counter edits the draft as any other."""

from __future__ import annotations

from django.contrib.auth.models import User
from django.db import transaction

from quoting.price import quoted_h, round_money
from quoting.request import Policies
from shop.models import Build, BuildState, ChangeOrder, OptionExtra, Quote, QuoteOption, QuoteVersion, Shop, TaxClass
from shop.selectors.requests import WISH_NAMES, engine_policies
from shop.selectors.running import Base, base_of
from shop.selectors.shop import shop_today, the_shop
from shop.services.errors import Refused
from shop.services.events import event_write
from shop.services.quotes.options import option_copied
from shop.services.stock import reason_guard

COPIED = (*WISH_NAMES, "tax_place", "note")


@transaction.atomic
def change_start(*, build: Build, reason: str, person: User | None) -> ChangeOrder:
    """A draft version of what the build was agreed at, to be changed at the Counter.

    Prices, rates and hours stay as agreed until somebody changes them; what the shop asks for planning anew is added as
    a line. Refused for a build that is ready or closed, and while another change order is a draft.
    """
    row = Build.objects.select_related("version__quote").get(pk=build.pk)
    quote = Quote.objects.select_for_update().get(pk=row.version.quote_id)
    reason = reason_guard(reason, "Say what the customer wants changed.")
    if not row.is_open or row.state == BuildState.READY:
        raise Refused(f"{row} is {row.get_state_display().lower()}. Quote what is still wanted as a new job.")
    draft = quote.versions.filter(state="draft").first()
    if draft is not None:
        raise Refused(f"{draft} is a draft already. Change that one, or drop it.")
    base = row.version
    number = max(quote.versions.values_list("number", flat=True)) + 1
    version = QuoteVersion(quote=quote, number=number, **{name: getattr(base, name) for name in COPIED})
    version.full_clean(exclude=["quote", "tax_place"])
    version.save()
    change = ChangeOrder(number=_number(row), build=row, base=base, version=version, reason=reason, started_by=person)
    change.full_clean(exclude=["build", "base", "version", "started_by"])
    change.save()
    option = option_copied(QuoteOption.objects.get(version=base, key=row.option_key), version, row.option_key)
    shop = the_shop()
    _keep_agreed(option, base_of(change), engine_policies(shop, quote.customer, shop_today(shop)))
    _charge_planning(option, shop)
    _event(change, person, "change order begun", reason=reason)
    return change


@transaction.atomic
def change_drop(*, change: ChangeOrder, person: User | None) -> Build:
    """Throw away a draft nobody was offered. The build stays as it is."""
    row = (
        ChangeOrder.objects.select_for_update(of=("self",)).select_related("version__quote", "build").get(pk=change.pk)
    )
    if not row.version.is_draft:
        state = row.version.get_state_display().lower()
        raise Refused(f"{row} is {state} and stays on record. Say at its page that it was declined.")
    version, build = row.version, row.build
    _event(row, person, "change order dropped")
    row.delete()
    version.delete()
    return build


def _number(build: Build) -> str:
    """The build's number and a count: "B-1007-C2". A draft that was dropped gives its number back."""
    taken = [int(number.rpartition("C")[2]) for number in build.changes.values_list("number", flat=True)]
    return f"{build.number}-C{max(taken, default=0) + 1}"


def _keep_agreed(option: QuoteOption, base: Base, policies: Policies) -> None:
    """Hold each line at what was agreed: prices, rates, and hours that another percentile would quote otherwise."""
    prices = {part.code: part.unit_price for part in base.option.parts}
    for part in option.parts.select_related("component"):
        part.unit_price = prices.get(part.component.code, part.unit_price)
        part.save(update_fields=["unit_price"])
    agreed = {step.code: step for step in base.option.steps}
    for step in option.steps.all():
        line = agreed.get(step.code)
        if line is None:
            continue
        step.rate = line.rate
        hours = quoted_h(line, base.request.policies)
        if quoted_h(line, policies) != hours:
            step.hours = hours
        step.save(update_fields=["rate", "hours"])


def _charge_planning(option: QuoteOption, shop: Shop) -> None:
    """A line for the hours it takes to plan a running build anew, when the shop asks for them."""
    amount = round_money(shop.replanning_h * shop.replanning_rate, shop.currency)
    if not amount:
        return
    OptionExtra.objects.create(
        option=option,
        kind=OptionExtra.Kind.OTHER,
        label=f"Planning the change, {shop.replanning_h.normalize():f} h",
        amount=amount,
        tax_class=TaxClass.FABRICATION,
    )


def _event(change: ChangeOrder, person: User | None, verb: str, *, reason: str = "") -> None:
    event_write(
        person=person,
        verb=verb,
        subject=change.build.number,
        quote=change.version.quote,
        build=change.build,
        after=f"{change}, {change.version}",
        reason=reason,
    )
