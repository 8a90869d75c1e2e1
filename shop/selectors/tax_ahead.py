"""Tax charged on deposits when they were received, where a place taxes at payment."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

from django.db.models import Min, Sum

from quoting import QuoteRequest, from_json
from quoting.price import (
    TaxAhead,
    exempt_in_force,
    keep_rates,
    minus,
    part_of,
    plus,
    price_sheet,
    rates_are_same,
    round_money,
    taxed_at_payment,
)
from quoting.request import Option
from quoting.result import PriceSheet, TaxShare
from shop.models import Build, DocumentFacts, EntryKind, EntryTax, LedgerEntry, QuoteVersion, TaxPlace
from shop.selectors.document_facts import ReceiptFacts, TaxedAtPayment
from shop.selectors.priced_on import priced_on
from shop.selectors.shop import the_shop

NONE = Decimal(0)
COLUMNS = ("authority", "level", "taxable", "amount")


@dataclass(frozen=True, kw_only=True)
class TaxedRow:
    """A payment that was taxed when it was received, and stands."""

    receipt: str
    taxed: TaxedAtPayment


@dataclass(frozen=True, kw_only=True)
class AheadSettled:
    """What becomes of tax charged ahead when deposits go: what is `left`, given `back`, and `kept` by the authority."""

    left: TaxAhead
    back: tuple[TaxShare, ...]
    kept: tuple[TaxShare, ...]


def shares_of(entry: LedgerEntry, *, ahead: bool) -> tuple[TaxShare, ...]:
    """An entry's tax by authority: that charged ahead, or the other. Without rates: the papers tell them."""
    return _shares(entry.taxes.filter(ahead=ahead).order_by("position").values(*COLUMNS), the_shop().currency)


def standing_ahead(build: Build) -> TaxAhead:
    """What is charged ahead of a build's invoice as the book stands."""
    gross = build.entries.aggregate(sum=Sum("taxed_ahead"))["sum"] or NONE
    if not gross:
        return TaxAhead()
    currency = the_shop().currency
    rows = EntryTax.objects.filter(entry__build=build, ahead=True).order_by().values("authority", "level")
    sums = rows.annotate(taxable=Sum("taxable"), amount=Sum("amount"), first=Min("pk")).order_by("first")
    return TaxAhead(gross=round_money(gross, currency), shares=_shares(sums, currency))


def ahead_settled(standing: TaxAhead, held: Decimal, back: Decimal, kept: Decimal, currency: str) -> AheadSettled:
    """Of `held`, `back` is given back and `kept` kept. What was not taxed goes back first; the tax on what is kept
    stays with the authority.
    """
    returned = part_of(standing, min(standing.gross, held - back), currency)
    left = part_of(standing, min(standing.gross, held - back - kept), currency)
    return AheadSettled(
        left=left, back=minus(standing.shares, returned.shares), kept=minus(returned.shares, left.shares)
    )


def is_taxed_at_payment(version: QuoteVersion) -> bool:
    """Whether money for it is taxed when it is received, as its tax place says now."""
    place = version.tax_place
    return place is not None and place.tax_point == TaxPlace.Point.PAYMENT


def deposit_tax(version: QuoteVersion, request: QuoteRequest, option: Option, amount: Decimal, day: date) -> TaxAhead:
    """What a first deposit is taxed when it is received on a day; nothing where tax falls on the invoice, or is not
    known.
    """
    if not is_taxed_at_payment(version):
        return TaxAhead()
    asked = priced_on(request, option, place=version.tax_place_id, customer=version.quote.customer, day=day)
    sheet = price_sheet(asked, option)
    return TaxAhead() if sheet.tax_total is None else taxed_at_payment(sheet, NONE, amount)


def taxed_rows(build: Build) -> tuple[TaxedRow, ...]:
    """Payments since the last invoice that were taxed when they were received, the first one first. Three queries."""
    last = build.entries.filter(kind=EntryKind.INVOICE).order_by("-number").values_list("number", flat=True).first()
    entries = build.entries.filter(taxed_ahead__gt=0, receipt__isnull=False, reversed_by__isnull=True)
    numbers = dict(entries.filter(number__gt=last or 0).order_by("number").values_list("pk", "receipt"))
    kept = dict(DocumentFacts.objects.filter(entry__in=numbers).values_list("entry_id", "facts"))
    facts = {entry: from_json(ReceiptFacts, kept[entry]).taxed for entry in numbers}
    return tuple(
        TaxedRow(receipt=receipt or "", taxed=taxed) for pk, receipt in numbers.items() if (taxed := facts[pk])
    )


def with_kept_rates(
    request: QuoteRequest, sheet: PriceSheet, ahead: TaxAhead, rows: tuple[TaxedRow, ...]
) -> PriceSheet:
    """An invoice's price on its day: what was taxed by other rates keeps them. A customer who is exempt by then is not
    taxed at all, and has all of it taken back.
    """
    place = request.tax_place
    if place is None or sheet.tax_total is None or exempt_in_force(request.policies, place):
        return sheet
    classes = sorted({line.tax_class for line in sheet.lines if line.amount and line.tax_class})
    now, paid = (place, request.day), [row.taxed for row in rows]
    changed = [row.ahead for row in paid if not rates_are_same((row.place, row.day), now, classes)]
    if not changed:
        return sheet
    taxed = TaxAhead(gross=sum((each.gross for each in changed), NONE), shares=plus([], _all_of(changed)))
    whole = sum((row.ahead.gross for row in paid), NONE)
    if ahead.gross < whole:  # some went back since
        part = round_money(Fraction(taxed.gross) * Fraction(ahead.gross) / Fraction(whole), sheet.currency)
        taxed = part_of(taxed, part, sheet.currency)
    return keep_rates(sheet, taxed)


def _all_of(paid: list[TaxAhead]) -> tuple[TaxShare, ...]:
    return tuple(share for each in paid for share in each.shares)


def _shares(rows: Iterable[Mapping[str, Any]], currency: str) -> tuple[TaxShare, ...]:
    found = []
    for row in rows:
        taxable, amount = (round_money(row[name], currency) for name in ("taxable", "amount"))
        if taxable or amount:
            named = {name: str(row[name]) for name in ("authority", "level")}
            found.append(TaxShare(**named, rates=(), taxable=taxable, amount=amount))
    return tuple(found)
