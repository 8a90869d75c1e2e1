"""The books as tables to take away: rows of the cash book, tax by authority, deposits held, margin by build.

Entries and accounts are read as they are, whatever kinds there will be, so that totals are those of the cash book.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from zoneinfo import ZoneInfo

from django.db.models import Count, Min, Q, Sum
from django.db.models.functions import TruncMonth

from shop.models import Account, Build, EntryTax, Posting
from shop.selectors.build_margins import build_margins
from shop.selectors.shop import the_shop

NONE = Decimal(0)
CHUNK = 500  # rows read at a time
Cell = str | Decimal | date | int | None


@dataclass(frozen=True, kw_only=True)
class Export:
    """One table of a period. `count` of its rows and `total` of its main column are known without reading them all.

    `rows` reads them, a chunk at a time.
    """

    key: str
    label: str
    about: str
    headings: tuple[str, ...]
    count: int
    total: Decimal
    total_label: str
    rows: Callable[[], Iterable[tuple[Cell, ...]]]


LEDGER_HEADINGS = (
    "entry", "day", "entered", "kind", "build", "customer", "debit", "credit", "amount", "method", "reference",
    "receipt", "document", "concerns", "reverses", "reason", "person",
)  # fmt: skip
TAX_HEADINGS = ("month", "authority", "level", "documents", "taxable", "tax")
DEPOSIT_HEADINGS = ("build", "customer", "state", "held", "first received", "days held", "tax charged in it")
MARGIN_HEADINGS = (
    "build", "customer", "job", "state", "accepted", "net agreed", "cost agreed", "margin agreed", "margin rate agreed",
    "hours quoted", "hours worked", "cost with hours worked", "margin with hours worked",
)  # fmt: skip


def exports(first: date, last: date) -> tuple[Export, ...]:
    """All tables of a period, both days included. A fixed number of queries until rows are read."""
    return (ledger(first, last), tax(first, last), deposits(last), margins(first, last))


def export(key: str, first: date, last: date) -> Export | None:
    """One table by its key; None for one there is not."""
    makers: Mapping[str, Callable[[], Export]] = {
        "ledger": lambda: ledger(first, last),
        "tax": lambda: tax(first, last),
        "deposits": lambda: deposits(last),
        "margin": lambda: margins(first, last),
    }
    made = makers.get(key)
    return made() if made else None


def ledger(first: date, last: date) -> Export:
    """Every posting, in the order of the book. Each amount stands once, so debits and credits both add up to it."""
    rows = Posting.objects.filter(entry__day__gte=first, entry__day__lte=last)
    known = rows.order_by().aggregate(count=Count("pk"), total=Sum("amount"))

    def read() -> Iterator[tuple[Cell, ...]]:
        zone = ZoneInfo(the_shop().zone)
        about = rows.select_related(
            "entry__build", "entry__customer", "entry__person", "entry__concerns", "entry__reverses"
        )
        for row in about.order_by("entry__number", "pk").iterator(chunk_size=CHUNK):
            yield _posting(row, zone)

    return Export(
        key="ledger",
        label="Cash book",
        about="Every posting of the period: from which account to which, for whom, with its numbers.",
        headings=LEDGER_HEADINGS,
        count=known["count"],
        total=known["total"] or NONE,
        total_label="moved",
        rows=read,
    )


def _posting(row: Posting, zone: ZoneInfo) -> tuple[Cell, ...]:
    entry = row.entry
    return (
        entry.number,
        entry.day,
        _moment(entry.at, zone),
        entry.get_kind_display(),
        entry.build.number if entry.build else "",
        entry.customer.name,
        row.get_debit_display(),
        row.get_credit_display(),
        row.amount,
        entry.get_method_display(),
        entry.reference,
        entry.receipt or "",
        entry.document or "",
        entry.concerns.number if entry.concerns else None,
        entry.reverses.number if entry.reverses else None,
        entry.reason,
        entry.person.get_username() if entry.person else "",
    )


def _moment(at: datetime, zone: ZoneInfo) -> str:
    return at.astimezone(zone).strftime("%Y-%m-%d %H:%M")


def tax(first: date, last: date) -> Export:
    """What was charged in the period, by month and authority: with invoices, less credit notes, and with deposits where
    they are taxed when they are received, less what invoices took off for it. Its sum is what the account Tax owed
    moved by.
    """
    rows = EntryTax.objects.filter(entry__day__gte=first, entry__day__lte=last)
    known = rows.order_by().aggregate(total=Sum("amount"))
    by_month = rows.order_by().annotate(month=TruncMonth("entry__day")).values("month", "authority", "level")
    sums = by_month.annotate(documents=Count("entry", distinct=True), taxable=Sum("taxable"), amount=Sum("amount"))

    def read() -> Iterator[tuple[Cell, ...]]:
        for row in sums.order_by("month", "level", "authority"):
            month = row["month"].strftime("%Y-%m")
            yield month, row["authority"], row["level"], row["documents"], row["taxable"], row["amount"]

    return Export(
        key="tax",
        label="Tax by authority",
        about="What invoices charged less what credit notes gave back, by month and authority; also what was charged "
        "with deposits in places that tax at payment, which the invoice then leaves out.",
        headings=TAX_HEADINGS,
        count=sums.order_by().count(),
        total=known["total"] or NONE,
        total_label="tax",
        rows=read,
    )


def deposits(day: date) -> Export:
    """What each build has lying as a deposit at the end of a day, and the tax that was charged in it at payment. The
    sums are what the accounts Deposits held and Tax charged ahead hold.
    """
    side = {"in": Q(credit=Account.DEPOSITS), "out": Q(debit=Account.DEPOSITS)}
    moved = Posting.objects.filter(side["in"] | side["out"], entry__day__lte=day).order_by()
    sums = moved.values("entry__build_id").annotate(
        came=Sum("amount", filter=side["in"], default=NONE),
        went=Sum("amount", filter=side["out"], default=NONE),
        first=Min("entry__day", filter=side["in"]),
    )
    held = [row for row in sums if row["came"] != row["went"]]
    taxed = _tax_ahead(day)

    def read() -> Iterator[tuple[Cell, ...]]:
        builds = Build.objects.select_related("customer").in_bulk([row["entry__build_id"] for row in held])
        for row in sorted(held, key=lambda each: (str(each["first"]), each["entry__build_id"] or 0)):
            build = builds.get(row["entry__build_id"])
            yield (
                build.number if build else "",
                build.customer.name if build else "",
                build.get_state_display() if build else "",
                row["came"] - row["went"],
                row["first"],
                (day - row["first"]).days if row["first"] else None,
                taxed.get(row["entry__build_id"], NONE),
            )

    return Export(
        key="deposits",
        label="Open deposits",
        about="What is held for each build at the end of the last day: a debt to the customer, not a sale.",
        headings=DEPOSIT_HEADINGS,
        count=len(held),
        total=sum((row["came"] - row["went"] for row in held), NONE),
        total_label="held",
        rows=read,
    )


def _tax_ahead(day: date) -> Mapping[int | None, Decimal]:
    """Tax charged ahead of an invoice at the end of a day, by build."""
    side = {"up": Q(debit=Account.TAX_AHEAD), "down": Q(credit=Account.TAX_AHEAD)}
    rows = Posting.objects.filter(side["up"] | side["down"], day__lte=day).order_by().values("build_id")
    sums = rows.annotate(
        up=Sum("amount", filter=side["up"], default=NONE), down=Sum("amount", filter=side["down"], default=NONE)
    )
    return {row["build_id"]: row["up"] - row["down"] for row in sums}


def margins(first: date, last: date) -> Export:
    """Builds accepted in the period with what they were to earn, and would with the hours that were worked."""
    found = tuple(build_margins(first, last))

    def read() -> Iterator[tuple[Cell, ...]]:
        for row in found:
            yield (
                row.build.number,
                row.build.customer.name,
                row.build.get_job_display(),
                row.build.get_state_display(),
                row.accepted_on,
                row.net,
                row.cost,
                row.margin,
                row.margin_rate,
                row.quoted_h,
                row.worked_h,
                row.cost_worked,
                row.margin_worked,
            )

    return Export(
        key="margin",
        label="Margin by build",
        about="Builds accepted in the period: as agreed, and with the hours worked so far in place of those quoted.",
        headings=MARGIN_HEADINGS,
        count=len(found),
        total=sum((row.margin for row in found if row.margin is not None), NONE),
        total_label="margin agreed",
        rows=read,
    )
