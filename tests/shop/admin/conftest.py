"""The owner at the settings pages of an invented shop."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from django.test import Client

from shop.models import Shop


@pytest.fixture
def owner(client_as: Callable[[str], Client], shop: Shop) -> Client:
    return client_as("owner")
