from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from shop.models import TaxRate
from shop.selectors.tax import engine_tax_place
from tests.shop.made_shop import make_tax_place

DAY = date(2026, 3, 2)


@pytest.mark.django_db
def test_a_place_is_its_stack_in_order_with_every_class_stated() -> None:
    place = make_tax_place(rates=("0.06", "0.01", "0.005"))
    engine = engine_tax_place(place.pk, DAY)
    assert (engine.code, engine.name, engine.mode) == ("port-example", "Port Example", "added")
    assert [authority.level for authority in engine.authorities] == ["state", "county", "city"]
    parts = [rate for authority in engine.authorities for rate in authority.rates if rate.tax_class == "parts"]
    assert [rate.rate for rate in parts] == [Decimal("0.06"), Decimal("0.01"), Decimal("0.005")]
    untaxed = [rate for rate in engine.authorities[0].rates if not rate.taxed]
    assert len(untaxed) == 5


@pytest.mark.django_db
def test_rates_that_ended_before_the_day_stay_out_and_later_ones_stay_in() -> None:
    place = make_tax_place(rates=("0.06",))
    authority = place.authorities.get()
    parts = authority.rates.get(tax_class="parts")
    parts.begin, parts.end = date(2026, 2, 1), date(2026, 3, 31)
    parts.save()
    TaxRate.objects.create(
        authority=authority, tax_class="parts", rate=Decimal("0.05"), begin=date(2020, 1, 1), end=date(2026, 1, 31)
    )
    TaxRate.objects.create(authority=authority, tax_class="parts", rate=Decimal("0.065"), begin=date(2026, 4, 1))
    rates = [rate.rate for rate in engine_tax_place(place.pk, DAY).authorities[0].rates if rate.tax_class == "parts"]
    assert rates == [Decimal("0.06"), Decimal("0.065")]
    # On the last day of the old rate, it is still there.
    assert len(engine_tax_place(place.pk, date(2026, 1, 31)).authorities[0].rates) == 8


@pytest.mark.django_db
def test_caps_thresholds_and_whether_they_hold_per_item_are_carried_over() -> None:
    place = make_tax_place(rates=("0.06",))
    TaxRate.objects.filter(tax_class="parts").update(cap=Decimal(5000), threshold=Decimal(100), per_item=True)
    (rate,) = [row for row in engine_tax_place(place.pk, DAY).authorities[0].rates if row.tax_class == "parts"]
    assert (rate.cap, rate.threshold, rate.per_item) == (Decimal(5000), Decimal(100), True)


@pytest.mark.parametrize("layers", [1, 3])
@pytest.mark.django_db
def test_queries_stay_flat(layers: int, django_assert_num_queries) -> None:
    place = make_tax_place(rates=("0.06", "0.01", "0.005")[:layers])
    with django_assert_num_queries(3):
        engine_tax_place(place.pk, DAY)
