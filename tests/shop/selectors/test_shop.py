from __future__ import annotations

from datetime import UTC, date, datetime
from unittest import mock

import pytest

from shop.models import Shop
from shop.selectors.shop import shop_now, shop_today, the_shop

LATE_UTC = datetime(2026, 3, 10, 2, 30, tzinfo=UTC)


@pytest.mark.django_db
def test_the_row_is_made_once_with_its_defaults() -> None:
    assert the_shop() == the_shop()
    assert Shop.objects.get().pk == 1


@pytest.mark.django_db
def test_the_day_is_the_shops_not_utc() -> None:
    # 02:30 UTC on 10 March 2026 is 22:30 on 9 March in New York (daylight time since 8 March, UTC-4).
    shop = the_shop()
    with mock.patch("django.utils.timezone.now", return_value=LATE_UTC):
        assert shop_now(shop).isoformat() == "2026-03-09T22:30:00-04:00"
        assert shop_today() == date(2026, 3, 9)
        shop.zone = "Pacific/Auckland"
        assert shop_today(shop) == date(2026, 3, 10)
