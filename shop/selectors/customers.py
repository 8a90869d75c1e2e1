"""Customers: found as their name is typed, listed, and one with all that happened."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.db.models import Count, Q, QuerySet

from shop.models import CLOSED_STATES, Build, Customer, Donor, QuoteVersion, VersionState
from shop.selectors.build_money import BuildMoney, build_money
from shop.selectors.certificates import CertificateRow, certificate_rows
from shop.selectors.paging import Paged, page_bounds


def customers_found(text: str, *, limit: int = 10) -> tuple[Customer, ...]:
    """Customers whose name, mail address or telephone holds every word typed; all by name when nothing is typed."""
    return tuple(customers_matching(text)[:limit])


def customers_matching(text: str) -> QuerySet[Customer]:
    """The same, all of them."""
    rows = Customer.objects.order_by("name", "pk")
    for word in text.split():
        rows = rows.filter(Q(name__icontains=word) | Q(email__icontains=word) | Q(phone__icontains=word))
    return rows


@dataclass(frozen=True, kw_only=True)
class CustomerRow:
    """One customer in the list. `open_builds` and `offers` count what is under way."""

    customer: Customer
    quotes: int
    offers: int
    builds: int
    open_builds: int


@dataclass(frozen=True, kw_only=True)
class BuildWithMoney:
    """A build and its money."""

    build: Build
    money: BuildMoney


@dataclass(frozen=True, kw_only=True)
class CustomerRecord:
    """One customer with all that happened: bikes, quotes by their versions, builds, what was paid and is owed."""

    customer: Customer
    donors: tuple[Donor, ...]
    versions: tuple[QuoteVersion, ...]
    builds: tuple[BuildWithMoney, ...]
    certificates: tuple[CertificateRow, ...]


def customers_list(text: str = "", page: int = 1) -> Paged[CustomerRow]:
    """Customers by name, found by the words typed."""
    found = customers_matching(text)
    count = found.count()
    page, pages, shown = page_bounds(count, page)
    counted = found.annotate(
        quote_count=Count("quotes", distinct=True),
        offer_count=Count("quotes__versions", filter=Q(quotes__versions__state=VersionState.OFFERED), distinct=True),
        build_count=Count("builds", distinct=True),
        open_count=Count("builds", filter=~Q(builds__state__in=CLOSED_STATES), distinct=True),
    )
    rows = tuple(
        CustomerRow(
            customer=row,
            quotes=row.quote_count,
            offers=row.offer_count,
            builds=row.build_count,
            open_builds=row.open_count,
        )
        for row in counted[shown]
    )
    return Paged(rows=rows, count=count, page=page, pages=pages)


def customer_record(public_id: str, day: date) -> CustomerRecord:
    """One customer by public id, as of a day. Raises Customer.DoesNotExist."""
    customer = Customer.objects.get(public_id=public_id)
    versions = QuoteVersion.objects.filter(quote__customer=customer).defer("request", "result")
    builds = list(customer.builds.select_related("donor__family").order_by("-accepted_at"))
    money = build_money(builds)
    return CustomerRecord(
        customer=customer,
        donors=tuple(customer.donors.select_related("family").order_by("-created_at")),
        versions=tuple(versions.select_related("quote__donor__family").order_by("-saved_at")),
        builds=tuple(BuildWithMoney(build=build, money=money[build.pk]) for build in builds),
        certificates=certificate_rows(customer, day),
    )
