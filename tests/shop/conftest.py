"""What tests of the Django side share: rows of an invented shop, and values for our exact number fields."""

from __future__ import annotations

from decimal import Decimal

import pytest
from model_bakery import generators

from shop.models import Shop
from tests.shop import made_shop

generators.add("shop.models.exact.MoneyField", lambda: Decimal("12.50"))
generators.add("shop.models.exact.QuantityField", lambda: Decimal(2))
generators.add("shop.models.exact.HoursField", lambda: Decimal("1.50"))
generators.add("shop.models.exact.RateField", lambda: Decimal("0.10"))


@pytest.fixture
def shop(db: None) -> Shop:
    """An invented shop with hours, people, benches, the steps of a conversion and a home tax place."""
    return made_shop.make_whole_shop()
