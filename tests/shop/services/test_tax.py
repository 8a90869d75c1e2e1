from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError

from shop.models import Event, TaxAuthority, TaxRate
from shop.services.tax import tax_rate_problems, tax_rates_set

pytestmark = pytest.mark.django_db


def rate(begin: str, end: str | None, value: str = "0.06", tax_class: str = "parts") -> TaxRate:
    return TaxRate(
        tax_class=tax_class,
        rate=Decimal(value),
        begin=date.fromisoformat(begin),
        end=date.fromisoformat(end) if end else None,
    )


@pytest.fixture
def authority() -> TaxAuthority:
    return TaxAuthority.objects.create(name="State of Example", level="state")


def test_rates_that_follow_day_on_day_are_kept(authority: TaxAuthority, person) -> None:
    owner = person("owner")
    rows = [rate("2026-01-01", "2026-06-30"), rate("2026-07-01", None, "0.065"), rate("2020-01-01", None, "0", "fee")]
    tax_rates_set(authority=authority, rows=rows, person=owner)
    assert authority.rates.count() == 3
    event = Event.objects.get()
    assert (event.person, event.before) == (owner, "")
    assert event.after == "fee 0 from 2020-01-01; parts 0.06 from 2026-01-01; parts 0.065 from 2026-07-01"


@pytest.mark.parametrize(
    ("rows", "says"),
    [
        ([rate("2026-01-01", None), rate("2026-07-01", None)], "Rate 2, begin: parts from 2026-07-01 overlaps rate 1"),
        ([rate("2026-01-01", "2026-06-30"), rate("2026-06-30", None)], "overlaps rate 1, which holds to 2026-06-30"),
        ([rate("2026-01-01", "2026-06-30"), rate("2026-07-02", None)], "no rate from 2026-07-01 to 2026-07-01"),
        ([rate("2026-01-01", None), rate("2026-01-01", None)], "overlaps"),
        ([rate("2026-01-01", "2025-12-31")], "Rate 1, end: is before the begin date"),
    ],
)
def test_overlaps_and_gaps_are_refused_and_nothing_changes(authority: TaxAuthority, rows, says: str) -> None:
    tax_rates_set(authority=authority, rows=[rate("2020-01-01", None, "0.05")], person=None)
    with pytest.raises(ValidationError, match=says):
        tax_rates_set(authority=authority, rows=rows, person=None)
    assert [row.rate for row in authority.rates.all()] == [Decimal("0.05")]


def test_setting_the_rates_again_replaces_them(authority: TaxAuthority) -> None:
    tax_rates_set(authority=authority, rows=[rate("2020-01-01", None)], person=None)
    (kept,) = authority.rates.all()
    kept.end = date(2026, 6, 30)
    tax_rates_set(authority=authority, rows=[rate("2026-07-01", None, "0.07"), kept], person=None)
    assert [str(row.rate) for row in authority.rates.order_by("begin")] == ["0.060000", "0.070000"]


def test_another_class_has_its_own_days(authority: TaxAuthority) -> None:
    assert tax_rate_problems([rate("2026-01-01", None), rate("2026-03-01", None, tax_class="fee")]) == ()
