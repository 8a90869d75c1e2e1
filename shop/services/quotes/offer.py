"""Offering a version: what must be settled first, and freezing what it was worked out from."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime
from decimal import Decimal

from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone

from quoting import QuotingError, quote, to_json
from quoting.request import QuoteRequest
from quoting.result import OptionResult, QuoteResult
from shop.models import Job, OptionStep, Quote, QuoteVersion, VersionState
from shop.selectors.findings import STOP, undecided
from shop.selectors.odds import simulated
from shop.selectors.requests import options_with_lines, quote_request, unpriced_parts
from shop.selectors.running import change_of
from shop.services.change_offer import change_offer_keep
from shop.services.documents import quote_facts_keep
from shop.services.errors import Refused
from shop.services.events import event_write
from shop.services.quotes.draft import locked_draft
from shop.services.quotes.options import refuse_large_discount


@transaction.atomic
def version_offer(*, version: QuoteVersion, person: User | None, now: datetime | None = None) -> QuoteVersion:
    """Offer a draft: freeze request and result, set how long it holds, and replace an older offer of the quote.

    Raises Refused while anything that must be settled is open. `now` is the moment it is offered, for tests.
    """
    Quote.objects.select_for_update().get(pk=version.quote_id)
    row = locked_draft(version)
    _refuse_incomplete(row)
    request = replace(quote_request(row, now=now), catalogue=())
    result = _worked_out(request)
    for option in result.options:
        refuse_large_discount(_discount_share(option), person)
        _refuse_option(option, row)
    replaced = row.quote.versions.filter(state=VersionState.OFFERED).first()
    if replaced is not None:
        replaced.state = VersionState.REPLACED
        replaced.save(update_fields=["state"])
        _event(replaced, person, "version replaced", after=str(row))
    row.state = VersionState.OFFERED
    row.offered_at = now or timezone.now()
    row.valid_until = result.options[0].price.valid_until
    row.request, row.result = to_json(request), to_json(result)
    row.full_clean(exclude=["quote", "tax_place"], validate_unique=False)
    row.save()
    quote_facts_keep(version=row)
    change_offer_keep(version=row, request=request, result=result)
    totals = ", ".join(f"{option.key} {option.price.total} {option.price.currency}" for option in result.options)
    _event(row, person, "version offered", after=f"{row}: {totals}, valid until {row.valid_until}")
    return row


def _refuse_incomplete(version: QuoteVersion) -> None:
    about = version.quote
    accepted = about.versions.filter(state=VersionState.ACCEPTED).first()
    if accepted is not None and change_of(version) is None:
        raise Refused(f"{accepted} is accepted and being built. Begin a change order at its build.")
    if about.customer is None:
        raise Refused("The quote has no customer. Choose or add one.", "customer")
    if about.donor is None and about.job != Job.PARTS_KIT:
        raise Refused("The quote has no bike. Choose or add one.", "donor")
    if version.tax_place is None:
        raise Refused("The quote has no tax place. Choose where the sale is taxed.", "tax_place")
    options = list(options_with_lines(version))
    if not options:
        raise Refused("The quote has no option. Add one.", "options")
    for option in options:
        if not (option.parts.all() or option.extras.all() or any(_takes_time(step) for step in option.steps.all())):
            raise Refused(f"Option {option.key} has no lines. Add parts or hours, or remove it.", "options")
    unpriced = unpriced_parts(version)
    if unpriced:
        part, remedy = unpriced[0]
        raise Refused(f"Option {part.option.key}: {part.component.name} has no price. {remedy}", "parts")


def _takes_time(step: OptionStep) -> bool:
    return bool(step.hours or step.high_h or step.lead_days)


def _worked_out(request: QuoteRequest) -> QuoteResult:
    try:
        return quote(request, simulated())
    except QuotingError as error:
        raise Refused(f"The quote cannot be worked out. {error}") from error


def _refuse_option(option: OptionResult, version: QuoteVersion) -> None:
    where = f"Option {option.key}"
    if option.price.missing or option.price.tax_total is None:
        raise Refused(f"{where}: the tax is not known. Enter {', '.join(option.price.missing)}.", "tax_place")
    if option.promise is not None and option.promise.blocked:
        raise Refused(f"{where} has no finish date. {option.promise.blocked}", "promise")
    stops = option.at_level(STOP)
    if stops:
        raise Refused(f"{where} must not be sold so: {_listed(finding.title for finding in stops)}.", "findings")
    decisions = version.options.get(key=option.key).decisions.all()
    open_checks = undecided(option, decisions)
    if open_checks:
        titles = dict.fromkeys(finding.title for finding in open_checks)
        raise Refused(f"{where}: decide first, and say why: {_listed(titles)}.", "findings")


def _discount_share(option: OptionResult) -> Decimal:
    """The discount as a share of the lines it is taken off."""
    price = option.price
    lines = price.parts + price.hours + price.extras + price.contingency
    return abs(price.discount) / lines if lines else Decimal(0)


def _listed(titles: Iterable[str]) -> str:
    """Titles as words of one sentence."""
    return "; ".join(title[:1].lower() + title[1:] for title in titles)


def _event(version: QuoteVersion, person: User | None, verb: str, *, after: str) -> None:
    event_write(person=person, verb=verb, subject=version.quote.number, quote=version.quote, after=after)
