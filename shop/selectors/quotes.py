"""Quotes for the list and the counter, and what a version comes to."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from django.db.models import OuterRef, Q, QuerySet, Subquery
from django.db.models.fields.json import KT

from quoting import QuoteRequest, QuoteResult, from_json, quote
from shop.models import OPTION_KEYS, Build, Quote, QuoteOption, QuoteVersion
from shop.selectors.odds import simulated
from shop.selectors.requests import options_with_lines, quote_request

PER_PAGE = 50


def worked_out(version: QuoteVersion) -> QuoteResult:
    """What a version comes to: frozen once it is offered, worked out from its rows while it is a draft.

    Raises quoting's RequestError or CalendarError, with the remedy in it, when a draft can't be worked out.
    """
    if version.result is not None:
        return from_json(QuoteResult, version.result)
    return quote(quote_request(version), simulated())


def frozen_request(version: QuoteVersion) -> QuoteRequest | None:
    """What an offered version was worked out from; None for a draft."""
    return None if version.request is None else from_json(QuoteRequest, version.request)


@dataclass(frozen=True, kw_only=True)
class QuoteFilter:
    """What the list is asked for: words in number, customer, family or VIN; a state of the newest version; a page."""

    text: str = ""
    state: str = ""
    page: int = 1


@dataclass(frozen=True, kw_only=True)
class QuoteRow:
    """One quote in the list, by its newest version. `totals` by option; empty for a draft."""

    quote: Quote
    version: QuoteVersion
    totals: tuple[tuple[str, Decimal], ...]
    currency: str
    build: str


@dataclass(frozen=True, kw_only=True)
class QuoteList:
    """One page of the list."""

    rows: tuple[QuoteRow, ...]
    count: int
    page: int
    pages: int


@dataclass(frozen=True, kw_only=True)
class QuotePage:
    """Everything the counter shows of one version, but for what it comes to."""

    quote: Quote
    version: QuoteVersion
    versions: tuple[QuoteVersion, ...]
    options: tuple[QuoteOption, ...]


def quotes_list(filters: QuoteFilter) -> QuoteList:
    """Quotes by their newest version, last saved first. Two queries, whatever the number of quotes."""
    rows = _found(_newest_versions(), filters)
    count = rows.count()
    pages = max(-(-count // PER_PAGE), 1)
    page = min(max(filters.page, 1), pages)
    shown = rows.order_by("-saved_at", "-pk")[(page - 1) * PER_PAGE : page * PER_PAGE]
    return QuoteList(rows=tuple(_row(version) for version in shown), count=count, page=page, pages=pages)


def quote_page(public_id: str) -> QuotePage:
    """The counter's rows of one version, by the version's public id. Raises QuoteVersion.DoesNotExist."""
    version = QuoteVersion.objects.select_related(
        "quote__customer", "quote__donor__family", "quote__donor__owner", "tax_place"
    ).get(public_id=public_id)
    others = version.quote.versions.defer("request", "result").order_by("-number")
    return QuotePage(
        quote=version.quote,
        version=version,
        versions=tuple(others),
        options=tuple(options_with_lines(version)),
    )


def _newest_versions() -> QuerySet[QuoteVersion]:
    newest = QuoteVersion.objects.filter(quote=OuterRef("quote")).order_by("-number").values("pk")[:1]
    rows = QuoteVersion.objects.filter(pk=Subquery(newest))
    return rows.select_related("quote__customer", "quote__donor__family")


def _found(rows: QuerySet[QuoteVersion], filters: QuoteFilter) -> QuerySet[QuoteVersion]:
    if filters.state:
        rows = rows.filter(state=filters.state)
    for word in filters.text.split():
        rows = rows.filter(
            Q(quote__number__icontains=word)
            | Q(quote__customer__name__icontains=word)
            | Q(quote__donor__family__name__icontains=word)
            | Q(quote__donor__vin__icontains=word)
        )
    # The frozen texts are long: only the few figures the list shows are read out of them.
    totals = {
        f"{figure}_{index}": KT(f"result__options__{index}__{path}")
        for index in range(len(OPTION_KEYS))
        for figure, path in (("key", "key"), ("total", "price__total"))
    }
    build = Build.objects.filter(version__quote=OuterRef("quote")).values("number")[:1]
    return rows.defer("request", "result").annotate(
        shown_currency=KT("result__currency"), build_number=Subquery(build), **totals
    )


def _row(version: QuoteVersion) -> QuoteRow:
    figures = ((getattr(version, f"key_{n}"), getattr(version, f"total_{n}")) for n in range(len(OPTION_KEYS)))
    return QuoteRow(
        quote=version.quote,
        version=version,
        totals=tuple((key, Decimal(total)) for key, total in figures if key),
        currency=version.shown_currency or "",  # type: ignore[attr-defined]
        build=version.build_number or "",  # type: ignore[attr-defined]
    )
