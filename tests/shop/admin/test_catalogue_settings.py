from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.test import Client

from shop.models import ExchangeRate, Offer, Supplier
from shop.selectors.shop import shop_today
from tests.shop.admin.forms import errors, save
from tests.shop.made_parts import make_component, make_family, make_offer, make_supplier


def test_a_supplier_is_added_with_its_closed_weeks(owner: Client) -> None:
    made = save(
        owner,
        "shop_supplier_add",
        code="south-yard",
        name="South Yard",
        currency="EUR",
        **{
            "closures-TOTAL_FORMS": "1",
            "closures-0-first": "2026-08-01",
            "closures-0-last": "2026-08-15",
        },
    )
    assert made.status_code == 302
    supplier = Supplier.objects.get()
    assert (supplier.currency, supplier.closures.get().last) == ("EUR", date(2026, 8, 15))


def test_a_currency_that_is_none_is_refused(owner: Client) -> None:
    found = errors(save(owner, "shop_supplier_change", make_supplier().pk, currency="EURO"[:3].lower()))
    assert found == {"currency": ["Use the three-letter code of ISO 4217 in capitals, such as USD."]}


@pytest.mark.parametrize(
    ("changed", "field", "remedy"),
    [
        ({"currency": "USD"}, "currency", "USD is the shop's own currency"),
        ({"currency": "XXX"}, "currency", "ISO 4217"),
        ({"rate": "0"}, "rate", "Enter more than 0"),
    ],
)
def test_exchange_rates_that_cannot_be(owner: Client, changed, field: str, remedy: str) -> None:
    good = {"currency": "EUR", "day": "2026-03-02", "rate": "1.0825"}
    found = errors(save(owner, "shop_exchangerate_add", **{**good, **changed}))
    assert list(found) == [field]
    assert remedy in found[field][0]
    assert save(owner, "shop_exchangerate_add", **good).status_code == 302
    assert str(ExchangeRate.objects.get().rate) == "1.082500"


def test_preferring_an_offer_takes_the_preference_from_the_other(owner: Client) -> None:
    motor = make_component("MOT-1")
    first = make_offer(motor, priced_on=date(2026, 1, 5))
    second = make_offer(motor, priced_on=date(2026, 1, 5), supplier=make_supplier("south-yard"), preferred=False)
    assert save(owner, "shop_offer_change", second.pk, preferred="on", unit_cost="700").status_code == 302
    assert set(Offer.objects.filter(preferred=True)) == {second}
    first.refresh_from_db()
    second.refresh_from_db()
    assert (first.preferred, second.unit_cost) == (False, Decimal(700))


def test_an_offer_is_added_and_deleted(owner: Client) -> None:
    motor, supplier = make_component("MOT-1"), make_supplier()
    made = save(
        owner,
        "shop_offer_add",
        component=motor.pk,
        supplier=supplier.pk,
        unit_cost="725.50",
        priced_on=str(shop_today()),
        lead_days="14",
    )
    assert made.status_code == 302
    offer = Offer.objects.get()
    assert (str(offer.unit_cost), offer.lead_days, offer.preferred) == ("725.5000", 14, True)
    assert owner.post(f"/admin/shop/offer/{offer.pk}/delete/", {"post": "yes"}).status_code == 302
    assert not Offer.objects.exists()


@pytest.mark.parametrize(
    ("changed", "field", "remedy"),
    [
        ({"unit_cost": "-1"}, "unit_cost", "Enter 0 or more"),
        ({"pack_quantity": "0"}, "pack_quantity", "Enter more than 0"),
        ({"priced_on": str(date(2999, 1, 1))}, "priced_on", "lies ahead"),
        ({"lead_low_days": "20"}, "lead_days", "must rise from low to likely to high"),
    ],
)
def test_an_offer_that_cannot_be_is_refused_by_its_field(owner: Client, changed, field: str, remedy: str) -> None:
    offer = make_offer(make_component("MOT-1"), priced_on=shop_today() - timedelta(days=1))
    found = errors(save(owner, "shop_offer_change", offer.pk, **changed))
    assert list(found) == [field]
    assert remedy in found[field][0]


@pytest.mark.parametrize(
    ("changed", "field", "remedy"),
    [
        ({"front_share": "48"}, "front_share", "0.48 is 48 %"),
        ({"last_year": "1990"}, "last_year", "Before the first year, 1995"),
        ({"removed_kg": "205"}, "removed_kg", "More leaves than the bike weighs (205 kg)"),
        ({"kerb_kg": "-1"}, "kerb_kg", "greater than or equal to 0"),
    ],
)
def test_a_family_that_cannot_be_is_refused_by_its_field(owner: Client, changed, field: str, remedy: str) -> None:
    found = errors(save(owner, "shop_donorfamily_change", make_family().pk, **changed))
    assert field in found
    assert remedy in found[field][0]


def test_an_empty_figure_of_a_family_stays_unknown(owner: Client) -> None:
    family = make_family()
    assert save(owner, "shop_donorfamily_change", family.pk, gvwr_kg="").status_code == 302
    family.refresh_from_db()
    assert family.gvwr_kg is None
