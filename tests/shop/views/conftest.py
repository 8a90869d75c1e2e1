"""Fixtures of the screens' tests."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime

import pytest
from django.contrib.auth.models import User
from django.test import Client

from shop.models import Shop
from tests.shop.made_counter import Counter
from tests.shop.made_day import Day, make_day
from tests.shop.made_quotes import make_sound_draft
from tests.shop.replayed import replayed


@pytest.fixture
def counter(shop: Shop, client_as: Callable[[str], Client]) -> Counter:
    """The counter role at a draft of the sound build, priced today."""
    return Counter(client_as("counter"), make_sound_draft(shop, date.today()))  # noqa: DTZ011 - the rows' own day


@pytest.fixture
def owner_counter(shop: Shop, client_as: Callable[[str], Client]) -> Counter:
    """The owner at such a draft."""
    return Counter(client_as("owner"), make_sound_draft(shop, date.today()))  # noqa: DTZ011 - the rows' own day


@pytest.fixture
def boss(person: Callable[[str], User]) -> User:
    """An owner who has done what is done in the fixture `day`."""
    return person("owner")


@pytest.fixture
def day(shop: Shop, morning: datetime, boss: User) -> Day:
    """One of everything on the screens, on the morning of the 2nd of March 2026."""
    return replayed(("day", morning), lambda: make_day(shop, boss))
