"""Tax places made from a stack of authorities, and tax holidays."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from decimal import Decimal

from django.contrib.auth.models import User
from django.db import transaction
from django.utils.text import slugify

from shop.models import TaxAuthority, TaxClass, TaxPlace, TaxPlaceAuthority, TaxRate
from shop.services.errors import Refused
from shop.services.events import event_write
from shop.services.tax import tax_rates_set

DAY = timedelta(days=1)
FIELDS = ("tax_class", "taxed", "rate", "begin", "end", "cap", "threshold", "per_item", "whole")


@transaction.atomic
def tax_place_of(*, codes: Sequence[str], person: User | None) -> TaxPlace:
    """The place where exactly these authorities tax, made when there is none. Refused while one has no rates."""
    rows = {authority.code: authority for authority in TaxAuthority.objects.filter(code__in=codes)}
    missing = [code for code in codes if code not in rows]
    if missing or not codes:
        raise Refused(
            f"No rates are known of {', '.join(missing) or 'anybody there'}. Read the state's rate file first."
        )
    for place in (
        TaxPlace.objects.filter(authorities__in=rows.values()).distinct().prefetch_related("layers__authority")
    ):
        if {layer.authority.code for layer in place.layers.all()} == set(codes):
            return place
    narrowest = rows[codes[-1]]
    place = TaxPlace(name=narrowest.name[:120], code=_free_code(narrowest))
    place.full_clean()
    place.save()
    TaxPlaceAuthority.objects.bulk_create(
        TaxPlaceAuthority(place=place, authority=rows[code], position=position)
        for position, code in enumerate(codes, start=1)
    )
    event_write(person=person, verb="tax place added", subject=place.code[:60], after=", ".join(codes)[:300])
    return place


@transaction.atomic
def tax_holiday_add(
    *, authority: TaxAuthority, tax_class: str, first: date, last: date, up_to: Decimal | None, person: User | None
) -> TaxAuthority:
    """Between two days a class is not taxed, or with `up_to` only single items above that amount are, wholly.

    The rates in force are parted at both days and go on after it. Refused where no rate is in force all the time.
    """
    if last < first:
        raise Refused("The holiday ends before it begins. Enter a later last day.", "last")
    row = TaxAuthority.objects.select_for_update().get(pk=authority.pk)
    own = list(row.rates.filter(tax_class=tax_class).order_by("begin"))
    over = [rate for rate in own if rate.begin <= last and (rate.end is None or rate.end >= first)]
    if not over or over[0].begin > first or (over[-1].end is not None and over[-1].end < last):
        label = TaxClass(tax_class).label.lower()
        raise Refused(f"{row} has no rate for {label} on all of these days. Enter it first.", "first")
    rows = [rate for rate in row.rates.all() if rate.tax_class != tax_class]
    for rate in own:
        rows.extend(_parted(rate, first, last, up_to))
    return tax_rates_set(authority=row, rows=rows, person=person)


def _parted(rate: TaxRate, first: date, last: date, up_to: Decimal | None) -> list[TaxRate]:
    """A rate before, in and after a holiday; itself when it does not touch it."""
    if rate.begin > last or (rate.end is not None and rate.end < first):
        return [_copy(rate)]
    made = []
    if rate.begin < first:
        made.append(_copy(rate, end=first - DAY))
    inside = {"begin": max(rate.begin, first), "end": last if rate.end is None else min(rate.end, last)}
    if up_to is None:
        none = {"taxed": False, "rate": Decimal(0), "cap": None, "threshold": None, "per_item": False, "whole": False}
        made.append(_copy(rate, **inside, **none))
    elif rate.taxed:
        made.append(_copy(rate, **inside, threshold=up_to, per_item=True, whole=True))
    else:
        made.append(_copy(rate, **inside))
    if rate.end is None or rate.end > last:
        made.append(_copy(rate, begin=last + DAY))
    return made


def _copy(rate: TaxRate, /, **changed: object) -> TaxRate:
    return TaxRate(**{**{name: getattr(rate, name) for name in FIELDS}, **changed})


def _free_code(authority: TaxAuthority) -> str:
    base = slugify(authority.name)[:34] or "place"
    taken = set(TaxPlace.objects.filter(code__startswith=base).values_list("code", flat=True))
    return next(code for n in range(1, len(taken) + 2) if (code := base if n == 1 else f"{base}-{n}") not in taken)
