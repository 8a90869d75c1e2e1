"""Tax at payment: what an entry changes of the tax charged ahead of a build's invoice. Call it under the line's lock.

Taken at payment, given back with a refund, moved to the invoice that charges the whole; what is charged ahead never
stands on more than is held.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from quoting.price import TaxAhead, in_force, minus, negated, part_of, price_sheet, tax_of, taxed_at_payment
from quoting.result import TaxShare
from shop.models import Account, Build, EntryKind, LedgerEntry
from shop.selectors.agreement import agreed_of
from shop.selectors.document_facts import TaxedAtPayment
from shop.selectors.ledger_sums import account_held
from shop.selectors.priced_on import priced_on
from shop.selectors.shop import the_shop
from shop.selectors.tax_ahead import ahead_settled, is_taxed_at_payment, shares_of, standing_ahead
from shop.services.errors import Refused

NONE = Decimal(0)
DEPOSITS = Account.DEPOSITS


@dataclass(frozen=True, kw_only=True)
class AheadMove:
    """What an entry adds to what is charged ahead, below zero what it takes off: `gross` the amount that was taxed,
    `shares` the tax in it. `kept` of what it takes off stays with the authorities. `taxed` what the receipt says.
    """

    gross: Decimal = NONE
    shares: tuple[TaxShare, ...] = ()
    kept: tuple[TaxShare, ...] = ()
    taxed: TaxedAtPayment | None = None

    @property
    def owed(self) -> Decimal:
        """What the authorities are owed more by it."""
        return tax_of(self.shares) + tax_of(self.kept)


NOTHING = AheadMove()


def payment_ahead(build: Build, amount: Decimal, day: date) -> AheadMove:
    """What is taxed of money received on a day towards a build that is not invoiced. Refused where the tax of that day
    is not known.
    """
    if not is_taxed_at_payment(build.version):
        return NOTHING
    agreed = agreed_of(build)
    place = build.version.tax_place_id
    request = priced_on(agreed.request, agreed.option, place=place, customer=build.customer, day=day)
    sheet = price_sheet(request, agreed.option)
    if sheet.tax_total is None or request.tax_place is None:
        raise Refused(f"The tax of {day} is not known: {', '.join(sheet.missing)}. Enter it in the settings first.")
    ahead = taxed_at_payment(sheet, standing_ahead(build).gross, amount)
    if not ahead.gross:
        return NOTHING
    authorities = tuple(
        replace(each, rates=tuple(rate for rate in each.rates if in_force(rate, day)))
        for each in request.tax_place.authorities
    )
    taxed = TaxedAtPayment(ahead=ahead, day=day, place=replace(request.tax_place, authorities=authorities))
    return AheadMove(gross=ahead.gross, shares=ahead.shares, taxed=taxed)


def lowered_ahead(build: Build, *, back: Decimal, kept: Decimal = NONE) -> AheadMove:
    """What is taken off when deposits go: `back` to the customer or to an invoice with tax of its own, or `kept`."""
    standing = standing_ahead(build)
    settled = ahead_settled(standing, account_held(build), back, kept, the_shop().currency)
    return AheadMove(
        gross=settled.left.gross - standing.gross,
        shares=minus(settled.left.shares, standing.shares),
        kept=settled.kept,
    )


def invoiced_ahead(build: Build) -> AheadMove:
    """All of it: an invoice charges the whole tax."""
    standing = standing_ahead(build)
    return AheadMove(gross=-standing.gross, shares=negated(standing.shares))


def undone_ahead(entry: LedgerEntry) -> AheadMove:
    """What undoing an entry does to it: its own part goes or comes back, as far as no invoice has charged it since and
    deposits are held for it.
    """
    build = entry.build
    if build is None or not build.entries.exclude(taxed_ahead=0).exists():
        return NOTHING
    since = build.entries.filter(kind=EntryKind.INVOICE, number__gt=entry.number).exists()
    standing, currency = standing_ahead(build), the_shop().currency
    own = TaxAhead() if since else TaxAhead(gross=entry.taxed_ahead, shares=shares_of(entry, ahead=True))
    rows = entry.postings.all()
    moved = sum((row.amount * ((row.debit == DEPOSITS) - (row.credit == DEPOSITS)) for row in rows), NONE)
    wanted = standing.gross - own.gross
    gross = max(min(wanted, account_held(build) + moved), NONE)
    shares = minus(standing.shares, own.shares)
    if not gross or gross != wanted or any(share.amount < 0 for share in shares):
        shares = part_of(standing, gross, currency).shares
    is_kept = not since and entry.kind in (EntryKind.REFUND, EntryKind.KEPT)
    return AheadMove(
        gross=gross - standing.gross,
        shares=minus(shares, standing.shares),
        kept=negated(shares_of(entry, ahead=False)) if is_kept else (),
    )
