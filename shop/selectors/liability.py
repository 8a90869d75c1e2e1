"""Deposits the shop holds for customers on a day: what it owes, for which builds, and for how long."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.db.models import Case, F, Q, Sum, When

from shop.models import Account, Build, BuildState, EntryKind, LedgerEntry, Posting
from shop.models.exact import MoneyField
from shop.selectors.build_money import BuildMoney, build_money
from shop.selectors.shop import shop_today

NONE = Decimal(0)
STATE_WORDS = dict(BuildState.choices)
AGES = ((30, "Up to 30 days"), (60, "31 to 60 days"), (90, "61 to 90 days"), (None, "Over 90 days"))


@dataclass(frozen=True, kw_only=True)
class HeldRow:
    """A build the shop holds deposits for. `since` the day of the oldest that stood then; `money` as of now."""

    build: Build
    held: Decimal
    since: date
    days: int
    money: BuildMoney
    state: str


@dataclass(frozen=True, kw_only=True)
class AgeBand:
    """Deposits of an age."""

    label: str
    count: int
    held: Decimal


@dataclass(frozen=True, kw_only=True)
class Liability:
    """What is held at the end of a day, the oldest first, and by age."""

    day: date
    rows: tuple[HeldRow, ...]
    bands: tuple[AgeBand, ...]
    total: Decimal


def liability(day: date | None = None) -> Liability:
    """As the book says for a day, today unless told. A fixed number of queries."""
    day = day or shop_today()
    held = _held_by_build(day)
    shown = ("public_id", "number", "state", "total", "customer__public_id", "customer__name")
    builds = list(Build.objects.filter(pk__in=held).select_related("customer").only(*shown).order_by())
    since = _since(set(held), day)
    money = build_money(builds)
    rows = sorted(
        (
            HeldRow(
                build=build,
                held=held[build.pk],
                since=since.get(build.pk, day),
                days=(day - since.get(build.pk, day)).days,
                money=money[build.pk],
                state=STATE_WORDS[build.state],
            )
            for build in builds
        ),
        key=lambda row: (row.since, row.build.number),
    )
    return Liability(day=day, rows=tuple(rows), bands=_bands(rows), total=sum(held.values(), NONE))


def _held_by_build(day: date) -> dict[int, Decimal]:
    """Builds with something held at the end of a day."""
    rows = Posting.objects.filter(Q(debit=Account.DEPOSITS) | Q(credit=Account.DEPOSITS), day__lte=day)
    signed = Case(When(credit=Account.DEPOSITS, then=F("amount")), default=-F("amount"), output_field=MoneyField())
    sums = rows.order_by().values("build_id").annotate(held=Sum(signed)).exclude(held=0)
    return {row["build_id"]: row["held"] for row in sums}


def _since(build_ids: set[int], day: date) -> dict[int, date]:
    """The oldest deposit of each build that stood on a day."""
    entries = LedgerEntry.objects.filter(build__in=build_ids, kind=EntryKind.DEPOSIT, day__lte=day).order_by("-day")
    rows = entries.values_list("build_id", "day", "reversed_by__day")
    return {build: taken for build, taken, undone in rows if build is not None and (undone is None or undone > day)}


def _bands(rows: list[HeldRow]) -> tuple[AgeBand, ...]:
    bands, least = [], 0
    for most, label in AGES:
        mine = [row.held for row in rows if row.days >= least and (most is None or row.days <= most)]
        bands.append(AgeBand(label=label, count=len(mine), held=sum(mine, NONE)))
        least = (most or 0) + 1
    return tuple(bands)
