"""The invented rows that other tests build on are themselves sound."""

from __future__ import annotations

from datetime import date

import pytest

from shop.models import Component, RoutingStep, Shop
from tests.shop import made_parts
from tests.shop.made_shop import make_whole_shop


@pytest.mark.django_db
def test_every_invented_component_passes_its_own_checks() -> None:
    made = made_parts.make_sound_components(date(2026, 3, 1))
    assert len(made) == len(made_parts.SOUND) == Component.objects.filter(offers__preferred=True).count()
    made_parts.make_donor().full_clean()


def test_making_the_shop_twice_makes_it_once(shop: Shop) -> None:
    steps = RoutingStep.objects.count()
    assert make_whole_shop() == shop
    assert RoutingStep.objects.count() == steps
