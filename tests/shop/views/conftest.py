"""Fixtures of the screens' tests."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

import pytest
from django.test import Client

from shop.models import Shop
from tests.shop.made_counter import Counter
from tests.shop.made_quotes import make_sound_draft


@pytest.fixture
def counter(shop: Shop, client_as: Callable[[str], Client]) -> Counter:
    """The counter role at a draft of the sound build, priced today."""
    return Counter(client_as("counter"), make_sound_draft(shop, date.today()))  # noqa: DTZ011 - the rows' own day


@pytest.fixture
def owner_counter(shop: Shop, client_as: Callable[[str], Client]) -> Counter:
    """The owner at such a draft."""
    return Counter(client_as("owner"), make_sound_draft(shop, date.today()))  # noqa: DTZ011 - the rows' own day
