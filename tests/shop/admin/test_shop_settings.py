from __future__ import annotations

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest
from django.test import Client

from shop.models import ClosedDays, OpeningHours, Shop
from tests.shop.admin.forms import errors, save
from tests.shop.made_builds import make_accepted
from tests.shop.made_shop import make_customer


def test_the_settings_are_saved(owner: Client) -> None:
    save(owner, "shop_shop_change", 1, deposit_rate="0.25", valid_days="14", units="metric")
    shop = Shop.objects.get()
    assert (shop.deposit_rate, shop.valid_days, shop.units) == (Decimal("0.25"), 14, "metric")


@pytest.mark.parametrize(
    ("changed", "field", "remedy"),
    [
        ({"deposit_rate": "30"}, "deposit_rate", "0.30 is 30 %"),
        ({"margin_floor": "1"}, "margin_floor", "Enter less than 1"),
        ({"discount_limit": "-0.1"}, "discount_limit", "Enter a share from 0 to 1"),
        ({"usable_share": "0"}, "usable_share", "Enter more than 0"),
        ({"deposit_fixed": "0"}, "deposit_fixed", "Enter more than 0"),
        ({"storage_fee": "-1"}, "storage_fee", "Enter 0 or more"),
        ({"currency": "US$"}, "currency", "three-letter code of ISO 4217"),
        ({"zone": "New York"}, "zone", "Use a name such as America/New_York"),
        ({"locale": "american"}, "locale", "Use a tag such as en-US"),
        ({"cold_c": "25"}, "cold_c", "colder than the warm one of 20 °C"),
        ({"hours_percentile": "99"}, "hours_percentile", "less than or equal to 95"),
        ({"name": ""}, "name", "required"),
    ],
)
def test_what_cannot_be_is_named_by_field_with_the_remedy(owner: Client, changed, field: str, remedy: str) -> None:
    before = Shop.objects.values().get()
    found = errors(save(owner, "shop_shop_change", 1, **changed))
    assert list(found) == [field]
    assert remedy in " ".join(found[field])
    assert Shop.objects.values().get() == before


def test_the_currency_can_change_until_something_was_offered_in_it(owner: Client) -> None:
    save(owner, "shop_shop_change", 1, currency="CAD")
    assert Shop.objects.get().currency == "CAD"
    make_accepted("Q-1", make_customer(), offered_at=datetime(2026, 3, 2, tzinfo=UTC))
    found = errors(save(owner, "shop_shop_change", 1, currency="USD"))
    assert found == {"currency": ["Quotes and the cash book are kept in CAD. A shop keeps its one currency."]}


def test_hours_that_overlap_or_run_backward_are_refused(owner: Client) -> None:
    morning = OpeningHours.objects.get(weekday=0, start="08:00")
    found = errors(save(owner, "shop_openinghours_change", morning.pk, end="13:30"))
    assert found == {"start": ["Overlaps Monday 13:00 to 17:00. Change one of the two, or delete it."]}
    found = errors(save(owner, "shop_openinghours_change", morning.pk, end="07:00"))
    assert found == {"end": ["Closes before it opens at 08:00. Enter a later time."]}
    assert save(owner, "shop_openinghours_change", morning.pk, end="13:00").status_code == 302
    assert save(owner, "shop_openinghours_add", weekday="5", start="09:00", end="12:00").status_code == 302


def test_closed_days_run_forward(owner: Client) -> None:
    days = {"first": "2026-07-06", "reason": "summer"}
    found = errors(save(owner, "shop_closeddays_add", **days, last="2026-07-05"))
    assert found == {"last": ["Ends before it starts on 2026-07-06. Enter that day or a later one."]}
    assert save(owner, "shop_closeddays_add", **days, last="2026-07-06").status_code == 302
    assert ClosedDays.objects.get().last == date(2026, 7, 6)
