"""Storage of a bike that is ready and not fetched: what has come up by a day, by the terms of its quote."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from shop.models import Build, BuildState, EntryKind, LedgerEntry
from shop.selectors.document_facts import quote_facts
from shop.selectors.money_facts import InvoiceFacts, kept_facts
from shop.selectors.shop import shop_today


@dataclass(frozen=True, kw_only=True)
class StorageDue:
    """Days that may be charged and were not, at `fee` a day before tax. `free_until`: the last day at no charge."""

    days: int
    fee: Decimal
    charged_days: int
    told_on: date
    free_until: date

    @property
    def amount(self) -> Decimal:
        return self.days * self.fee


def storage_due(build: Build, *, day: date | None = None) -> StorageDue | None:
    """None when nothing counts: not ready, the customer not told, or no fee in the terms that were printed."""
    terms = quote_facts(build.version).letterhead
    if build.state != BuildState.READY or build.told_ready_on is None or not terms.storage_fee:
        return None
    stood = ((day or shop_today()) - build.told_ready_on).days - terms.storage_free_days
    charged = sum(kept_facts(entry, InvoiceFacts).stored_days for entry in _charged(build))
    return StorageDue(
        days=max(stood - charged, 0),
        fee=terms.storage_fee,
        charged_days=charged,
        told_on=build.told_ready_on,
        free_until=date.fromordinal(build.told_ready_on.toordinal() + terms.storage_free_days),
    )


def _charged(build: Build) -> list[LedgerEntry]:
    """Storage invoices of a build that were not credited."""
    rows = build.entries.filter(kind=EntryKind.STORAGE)
    return list(rows.exclude(followers__kind=EntryKind.CREDIT_NOTE))
