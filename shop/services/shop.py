"""The shop's own settings, opening hours and closed days."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, time
from itertools import pairwise
from typing import Any

from babel import Locale, UnknownLocaleError
from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import transaction

from quoting.errors import RequestError
from quoting.price import minor_digits
from shop.models import ClosedDays, LedgerEntry, OpeningHours, QuoteVersion, Shop, VersionState
from shop.selectors.shop import the_shop
from shop.services.errors import Refused
from shop.services.events import event_write
from shop.services.line_lock import line_lock

Span = tuple[int, time, time]  # weekday from Monday = 0, opens, closes
MOVES_PLAN = frozenset({"zone", "handling_days"})  # what decides finish dates


@transaction.atomic
def shop_save(*, person: User | None, **values: Any) -> Shop:
    """Change the values given. Raises ValidationError by field."""
    the_shop()
    row = Shop.objects.select_for_update().get(pk=1)
    known = {field.name for field in Shop._meta.concrete_fields} - {"id"}
    unknown = set(values) - known
    if unknown:
        raise TypeError(f"shop_save: no value is called {sorted(unknown)[0]}")
    changed = [name for name, value in values.items() if getattr(row, name) != value]
    before = row.currency
    for name in changed:
        setattr(row, name, values[name])
    _guard_words(row, before)
    row.full_clean()
    if not changed:
        return row
    row.save()
    if MOVES_PLAN & set(changed):
        _plan_moves()
    said = ", ".join(name.replace("_", " ") for name in changed)
    event_write(person=person, verb="setting changed", subject="shop", after=said)
    return row


def _guard_words(row: Shop, currency_before: str) -> None:
    errors: dict[str, str] = {}
    try:
        minor_digits(row.currency)
    except RequestError as error:
        errors["currency"] = error.problems[0].remedy
    if row.currency != currency_before and _amounts_are_kept():
        errors["currency"] = f"Quotes and the cash book are kept in {currency_before}. A shop keeps its one currency."
    try:
        Locale.parse(row.locale, sep="-" if "-" in row.locale else "_")
    except (UnknownLocaleError, ValueError):
        errors["locale"] = f"'{row.locale}' is not a locale. Use a tag such as en-US or en-GB."
    if row.cold_c >= row.warm_c:
        errors["cold_c"] = f"The cold day must be colder than the warm one of {row.warm_c:g} °C."
    if errors:
        raise ValidationError(errors)


def _amounts_are_kept() -> bool:
    return QuoteVersion.objects.exclude(state=VersionState.DRAFT).exists() or LedgerEntry.objects.exists()


def _plan_moves() -> None:
    """A new revision of the plan: finish dates follow."""
    with line_lock():
        pass


def opening_hours_set(*, spans: Iterable[Span], person: User | None) -> tuple[OpeningHours, ...]:
    """Make these the week's opening hours. Raises Refused for spans that end before they begin or overlap.

    Finish dates follow: it is a new revision of the plan. Safe to repeat.
    """
    wanted = sorted(set(spans))
    if not wanted:
        raise Refused("The shop has to be open some time, or no date can be worked out. Enter at least one day.")
    for weekday, start, end in wanted:
        if end <= start:
            day = OpeningHours.Weekday(weekday).label
            raise Refused(f"{day}: closes at {end:%H:%M}, before it opens at {start:%H:%M}. Enter a later time.")
    for one, following in pairwise(wanted):
        if following[0] == one[0] and following[1] < one[2]:
            day = OpeningHours.Weekday(one[0]).label
            raise Refused(f"{day}: the two times overlap. Begin the second after {one[2]:%H:%M}.")
    with line_lock():
        rows = list(OpeningHours.objects.select_for_update().order_by("weekday", "start"))
        if [(row.weekday, row.start, row.end) for row in rows] == wanted:
            return tuple(rows)
        OpeningHours.objects.all().delete()
        made = OpeningHours.objects.bulk_create(
            OpeningHours(weekday=weekday, start=start, end=end) for weekday, start, end in wanted
        )
        said = "; ".join(str(row) for row in made)
        event_write(person=person, verb="opening hours changed", subject="shop", after=said)
    return tuple(made)


def closed_days_add(*, first: date, last: date, reason: str, person: User | None) -> ClosedDays:
    """Close the shop on some days, both included. Safe to repeat."""
    if last < first:
        raise Refused("Ends before it starts. Enter that day or a later one.", "last")
    with line_lock():
        known = ClosedDays.objects.filter(first=first, last=last).first()
        if known is not None:
            return known
        row = ClosedDays(first=first, last=last, reason=reason.strip())
        row.full_clean()
        row.save()
        event_write(
            person=person, verb="closed days added", subject="shop", after=f"{first} to {last}", reason=row.reason
        )
    return row


def closed_days_remove(*, first: date, last: date, person: User | None) -> None:
    """Open again on days that were to be closed. Safe to repeat."""
    with line_lock():
        row = ClosedDays.objects.filter(first=first, last=last).first()
        if row is not None:
            row.delete()
            event_write(person=person, verb="closed days removed", subject="shop", before=f"{row}")
