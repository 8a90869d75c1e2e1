"""The claim page: what contradicts itself is refused with its sum."""

from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse

from shop.models import Shop
from tests.shop.made_counter import htmx, text

# Public practitioner report, case A16: "160 km", 28 × 30 Ah of 3.1 kWh, "3 h" on 3 kW.
A16 = {"distance_km": "160 km", "energy_wh": "3.1", "charge_h": "3", "charger_w": "3"}


@pytest.fixture
def client(shop: Shop, client_as) -> Client:
    signed_in: Client = client_as("counter")
    return signed_in


def page(client: Client, query: dict[str, str] | None = None, script: bool = False) -> str:
    return text(client.get(reverse("claims"), query or {}, headers=htmx(script)))


def test_an_empty_page_asks(client: Client) -> None:
    assert "Enter what the advertisement" in page(client)
    assert "Refused" not in page(client)


def test_case_a16_is_refused_twice(client: Client) -> None:
    found = page(client, A16)
    assert found.count(">REFUSED<") == 2
    assert "do not repeat it on a quote" in found
    assert "3.10 kWh × 92 % ÷ 99 mi = 29 Wh/mi" in found
    assert "Energy, charger and time contradict each other" in found
    assert 'value="160 km"' in found


def test_a_fair_claim_agrees_in_the_shops_units(client: Client) -> None:
    Shop.objects.update(units="metric")
    found = page(client, {"distance_km": "55", "energy_wh": "1.79", "body": "light", "speed_kmh": "50"})
    assert ">AGREES<" in found
    assert "REFUSED" not in found
    assert "km likely" in found


def test_what_a_commute_takes_is_worked_out(client: Client) -> None:
    """Question D1: 30 miles at 65 mph."""
    found = page(client, {"distance_km": "30", "speed_kmh": "65"}, script=True)
    assert "<html" not in found
    assert ">WORKED OUT<" in found
    assert "Takes a pack of about" in found


def test_too_little_is_said_so(client: Client) -> None:
    assert "Too little is said" in page(client, {"distance_km": "30"})


@pytest.mark.parametrize(
    ("query", "said"),
    [
        ({"energy_wh": "lots"}, "is not a number"),
        ({"energy_wh": "0", "distance_km": "10"}, "Give more than zero"),
        ({"body": "boat", "distance_km": "10"}, "Select a valid choice"),
    ],
)
def test_bad_input_is_answered_beside_its_field(client: Client, query: dict[str, str], said: str) -> None:
    answer = client.get(reverse("claims"), query)
    assert answer.status_code == 422
    assert said in text(answer)


def test_others_are_kept_out(shop: Shop, client_as) -> None:
    address = reverse("claims")
    assert client_as("builder").get(address).status_code == 403
    assert Client().get(address).status_code == 302
    assert client_as("owner").get(address).status_code == 200
    assert client_as("counter").post(address).status_code == 405
