"""The sound build every rule is tested on."""

from __future__ import annotations

import pytest

from tests.quoting.rules.bike import Bike


@pytest.fixture
def bike() -> Bike:
    return Bike()
