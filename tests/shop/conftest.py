"""What tests of the Django side share: rows of an invented shop, and values for our exact number fields."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from decimal import Decimal
from pathlib import Path

import pytest
from model_bakery import generators

from shop.models import Shop
from tests.shop import made_offers, made_shop
from tests.shop.replayed import replayed
from tests.shop.threads import Threads

generators.add("shop.models.exact.MoneyField", lambda: Decimal("12.50"))
generators.add("shop.models.exact.QuantityField", lambda: Decimal(2))
generators.add("shop.models.exact.HoursField", lambda: Decimal("1.50"))
generators.add("shop.models.exact.RateField", lambda: Decimal("0.10"))


@pytest.fixture
def shop(db: None) -> Shop:
    """An invented shop with hours, people, benches, the steps of a conversion and a home tax place."""
    return replayed("shop", made_shop.make_whole_shop)


@pytest.fixture
def set_clock(monkeypatch: pytest.MonkeyPatch) -> Callable[[datetime], None]:
    """set_clock(moment): from now on it is that moment, aware, for the shop and for rows that note when."""

    def stand(moment: datetime) -> None:
        monkeypatch.setattr("django.utils.timezone.now", lambda: moment)

    return stand


@pytest.fixture
def morning(set_clock: Callable[[datetime], None]) -> datetime:
    """Monday the 2nd of March 2026, 9:00 in New York, when quotes made by `made_offers` were offered."""
    set_clock(made_offers.MORNING)
    return made_offers.MORNING


@pytest.fixture
def threads(transactional_db: None, tmp_path: Path) -> Callable[[], Threads]:
    """threads(): call it when the rows are made; then run functions at the same moment, see `Threads`."""
    return lambda: Threads(tmp_path)
