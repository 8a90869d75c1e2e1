"""The page of a hand-over: what stands between a build and its customer, and what the owner may pass over."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from decimal import Decimal

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse

from shop.models import Build, Event, Shop, StockUnit
from shop.services.payments import invoice_pay
from tests.shop.made_counter import text
from tests.shop.made_money import make_invoiced_kit


@pytest.fixture
def build(shop: Shop, morning: datetime, person: Callable[[str], User]) -> Build:
    """Invoiced and paid, its motor issued before anybody entered a number."""
    till = person("counter")
    invoice = make_invoiced_kit(till)
    invoice_pay(invoice=invoice, amount=Decimal("1086.05"), method="card", person=till, key="p")
    StockUnit.objects.update(place="missing", need=None)
    return Build.objects.get()


def test_a_missing_number_is_led_to_and_then_it_goes(build: Build, client_as: Callable[[str], Client]) -> None:
    client, address = client_as("counter"), reverse("build-hand-over", args=[build.public_id])
    page = text(client.get(address))
    enter = reverse("need-numbers", args=[build.public_id, build.needs.get().component.public_id])
    assert "The serial number of hub motor 10 kW 72 V is not entered." in page
    assert enter in page
    assert "Hand it over</button>" not in page
    refused = client.post(address, {"override": "in a hurry"})
    assert (refused.status_code, Build.objects.get().state) == (422, "ready")
    assert "only the owner may hand it over, and says why" in text(refused)
    assert client.post(enter, {"serials": "M-77"}).status_code == 302
    assert "Are its parts numbered?" not in text(client.get(address))
    assert client.post(address).status_code == 302
    assert Build.objects.get().state == "handed_over"


def test_the_owner_passes_over_it_with_a_reason(build: Build, client_as: Callable[[str], Client]) -> None:
    client, address = client_as("owner"), reverse("build-hand-over", args=[build.public_id])
    assert "Hand it over all the same, because" in text(client.get(address))
    assert client.post(address, {"override": " "}).status_code == 422
    assert client.post(address, {"override": "Plate worn off"}).status_code == 302
    assert Event.objects.get(verb="handed over without serial numbers").reason == "Plate worn off"
    assert "Plate worn off" in text(client.get(reverse("build", args=[build.public_id])))
