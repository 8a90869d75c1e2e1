"""Opening a quote, and who and what it is about."""

from __future__ import annotations

from decimal import Decimal
from typing import TypedDict, Unpack

from django.contrib.auth.models import User
from django.db import IntegrityError, transaction

from shop.models import Customer, Donor, Job, Quote, QuoteVersion, TaxPlace
from shop.selectors.routing import routing_for
from shop.selectors.shop import the_shop
from shop.services.errors import Refused
from shop.services.events import event_write
from shop.services.numbers import number_take
from shop.services.quotes.draft import draft_edited, locked_draft, locked_quote
from shop.services.quotes.options import option_made
from shop.services.quotes.routing import steps_reload


class WishValues(TypedDict, total=False):
    """What the customer wishes for; None takes a wish back."""

    town_km: float | None
    back_road_km: float | None
    highway_km: float | None
    held_kmh: float | None
    top_kmh: float | None
    hill_percent: float | None
    budget: Decimal | None
    circuit_v: float | None
    circuit_a: float | None
    overnight_h: float | None
    two_up: bool
    by_carrier: bool


def quote_start(
    *,
    person: User | None,
    job: str = Job.CONVERSION,
    customer: Customer | None = None,
    donor: Donor | None = None,
    key: str | None = None,
) -> Quote:
    """A new quote with draft version 1 and option A: the job's steps, the shop's tax place and contingency.

    The same `key` again gives the quote it opened, also when both presses arrive at once.
    """
    opened = Quote.objects.filter(start_key=key).first() if key else None
    if opened is not None:
        return opened
    customer = customer or (donor.owner if donor else None)
    _refuse_other_owner(customer, donor, "donor")
    try:
        return _started(person, Quote(job=job, customer=customer, donor=donor, created_by=person, start_key=key))
    except IntegrityError:  # the other press was quicker; what this one wrote is undone, its number too
        return Quote.objects.get(start_key=key)


@transaction.atomic
def _started(person: User | None, quote: Quote) -> Quote:
    shop = the_shop()
    quote.number = number_take("quote")
    quote.full_clean(validate_unique=False)  # the database decides who was first
    quote.save()
    version = QuoteVersion.objects.create(quote=quote, tax_place=shop.home_tax_place)
    option_made(version, "A", label="", contingency_rate=shop.contingency_rate)
    event_write(person=person, verb="quote started", subject=quote.number, quote=quote, after=quote.get_job_display())
    return quote


@transaction.atomic
def quote_set_customer(*, quote: Quote, customer: Customer | None, person: User | None) -> Quote:
    """Who the quote is for, until it has been offered."""
    row = locked_quote(quote)
    _refuse_other_owner(customer, row.donor, "customer")
    return _quote_changed(row, person, "customer set", str(row.customer or ""), customer=customer)


@transaction.atomic
def quote_set_donor(*, quote: Quote, donor: Donor | None, person: User | None) -> Quote:
    """Which bike it is about, until it has been offered. Its owner becomes the customer when there is none yet."""
    row = locked_quote(quote)
    customer = row.customer or (donor.owner if donor else None)
    _refuse_other_owner(customer, donor, "donor")
    _reload_steps(row, row.job, donor)
    return _quote_changed(row, person, "bike set", str(row.donor or ""), donor=donor, customer=customer)


@transaction.atomic
def quote_set_job(*, quote: Quote, job: str, person: User | None) -> Quote:
    """Which kind of job it is, until it has been offered. The steps follow; hours set by hand stay."""
    row = locked_quote(quote)
    if job not in Job.values:
        raise Refused(f"'{job}' is no kind of job. Choose one of the list.", "job")
    _reload_steps(row, job, row.donor)
    return _quote_changed(row, person, "job set", row.get_job_display(), job=job)


@transaction.atomic
def quote_set_wishes(*, version: QuoteVersion, person: User | None, **wishes: Unpack[WishValues]) -> QuoteVersion:
    """What the customer wishes for. Distances in km, speeds in km/h, whatever the shop's units."""
    row = locked_draft(version)
    for name, value in wishes.items():
        if name not in WishValues.__annotations__:
            raise TypeError(f"quote_set_wishes: no wish is called {name}")
        setattr(row, name, value)
    row.full_clean(exclude=["quote", "tax_place"])
    row.save(update_fields=[*wishes, "saved_at"])
    said = ", ".join(f"{name} {value}" for name, value in wishes.items())
    draft_edited(row, person, "wishes set", after=said)
    return row


@transaction.atomic
def quote_set_tax_place(*, version: QuoteVersion, tax_place: TaxPlace | None, person: User | None) -> QuoteVersion:
    """Where the sale is taxed."""
    row = locked_draft(version)
    before = row.tax_place.name if row.tax_place else ""
    row.tax_place = tax_place
    row.save(update_fields=["tax_place", "saved_at"])
    draft_edited(row, person, "tax place set", before=before, after=tax_place.name if tax_place else "")
    return row


@transaction.atomic
def quote_set_note(*, version: QuoteVersion, note: str, person: User | None) -> QuoteVersion:
    """What the quote says to the customer in the shop's own words."""
    row = locked_draft(version)
    row.note = note.strip()
    row.save(update_fields=["note", "saved_at"])
    draft_edited(row, person, "note set", after=row.note)
    return row


def _refuse_other_owner(customer: Customer | None, donor: Donor | None, field: str) -> None:
    if donor and donor.owner and customer and donor.owner_id != customer.pk:
        raise Refused(
            f"{donor} belongs to {donor.owner}, not to {customer}. Change its owner first, or choose another bike.",
            field,
        )


def _reload_steps(quote: Quote, job: str, donor: Donor | None) -> None:
    old, new = routing_for(quote.job, quote.donor), routing_for(job, donor)
    bays = {bay.name for bay in donor.family.bays.all()} if donor else set()
    for version in quote.versions.filter(state="draft"):
        for option in version.options.all():
            steps_reload(option, old, new)
            option.bay_names = [name for name in option.bay_names if name in bays]
            option.save(update_fields=["bay_names"])


def _quote_changed(quote: Quote, person: User | None, verb: str, before: str, **changed: object) -> Quote:
    for name, value in changed.items():
        setattr(quote, name, value)
    quote.full_clean(exclude=["created_by"])
    quote.save(update_fields=list(changed))
    first = next(iter(changed))
    after = quote.get_job_display() if first == "job" else str(getattr(quote, first) or "")
    event_write(person=person, verb=verb, subject=quote.number, quote=quote, before=before, after=after)
    return quote
