"""Trips: the answer there and back, the cycles beside it, and who may ask."""

from __future__ import annotations

import re

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from shop.models import Donor, Shop
from shop.services.quotes import option_copy
from tests.shop.made_counter import Counter, htmx, text
from tests.shop.made_quotes_offered import offer

WAY = {"distance_km": "19", "highway_km": "7.5", "highway_kmh": "62", "climb_m": "820"}


def arrives(page: str) -> list[int]:
    """The shares it arrives with, in order."""
    return [int(share) for share in re.findall(r"Arrives with (-?\d+) %", page)]


def test_the_page_asks_first_and_shows_the_public_cycles(counter: Counter) -> None:
    page = text(counter.get("quote-trip"))
    assert "Say how far it is" in page
    assert "Arrives" not in page
    for cycle in ("UDDS", "HWFET", "part 3", "Steady 55 mph", "Half city cycle, half steady 70 mph"):
        assert cycle in page
    assert "?option=A" in text(counter.get("quote"))


def test_a_commute_without_charging_there_is_answered_both_ways(counter: Counter) -> None:
    """ "30 km, 12 of them at 100 km/h, 250 m climb, no charging there"."""
    page = text(counter.get("quote-trip", query=WAY))
    there, back = arrives(page)
    assert 0 < back < there < 100
    assert "There and back on one charge, 38 mi" in page
    # Twice the way with the height climbed once takes less than twice what the way there takes.
    assert 100 - back < 2 * (100 - there) + 1
    assert page.count("± ") >= 2
    assert "At 62 mph steady" in page
    assert "820 ft" in page


def test_charged_there_only_the_way_counts(counter: Counter) -> None:
    (only,) = arrives(text(counter.get("quote-trip", query={**WAY, "charged_there": "on"})))
    assert only == arrives(text(counter.get("quote-trip", query=WAY)))[0]


def test_cold_and_speed_take_more(counter: Counter) -> None:
    warm = arrives(text(counter.get("quote-trip", query=WAY)))
    assert arrives(text(counter.get("quote-trip", query={**WAY, "cold": "on"})))[0] < warm[0]
    assert arrives(text(counter.get("quote-trip", query={**WAY, "highway_kmh": "45"})))[0] > warm[0]


def test_what_does_not_go_says_by_how_much(counter: Counter) -> None:
    page = text(counter.get("quote-trip", query={"distance_km": "400 km"}))
    assert "Does not get there" in page
    assert "Short by" in page


def test_a_speed_the_bike_does_not_hold_is_said(counter: Counter) -> None:
    page = text(counter.get("quote-trip", query={**WAY, "highway_kmh": "120"}))
    assert "It does not reach that speed" in page


def test_script_is_answered_with_the_answer_alone(counter: Counter) -> None:
    answer = counter.get("quote-trip", query=WAY, script=True)
    assert "<html" not in text(answer)
    assert 'id="answer"' in text(answer)


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"distance_km": ""}, "Fill this in."),
        ({"distance_km": "far"}, "is not a measure"),
        ({"distance_km": "0"}, "Give the length of the trip."),
        ({"highway_km": "30"}, "longer than the trip"),
        ({"highway_kmh": "5"}, "Give a steady speed of"),
    ],
)
def test_bad_input_is_answered_beside_its_field(counter: Counter, changed: dict[str, str], said: str) -> None:
    answer = counter.get("quote-trip", query={**WAY, **changed})
    assert answer.status_code == 422
    assert said in text(answer)
    assert 'value="820"' in text(answer)  # nothing typed is lost


def test_without_a_bike_it_says_what_is_missing(counter: Counter) -> None:
    quote = counter.quote
    quote.donor = None
    quote.save()
    page = text(counter.get("quote-trip", query=WAY))
    assert "Range is not known. It needs a bike" in page


def test_another_option_is_asked_by_its_letter(counter: Counter) -> None:
    option_copy(option=counter.option, person=None)
    page = text(counter.get("quote-trip", query={"option": "B"}))
    assert 'name="option" value="B"' in page
    assert 'name="option" value="A"' in text(counter.get("quote-trip", query={"option": "Z"}))


def test_an_offered_version_is_asked_as_it_was_frozen(counter: Counter) -> None:
    before = arrives(text(counter.get("quote-trip", query=WAY)))
    version = offer(counter.version)
    Donor.objects.update(kerb_kg=900)
    moved = counter.get("quote-trip", query=WAY)
    address = reverse("version-trip", args=[version.public_id])
    assert moved.headers["Location"].startswith(f"{address}?distance_km=19")
    assert arrives(text(counter.client.get(address, WAY))) == before
    assert address in text(counter.client.get(reverse("quote-version", args=[version.public_id])))


def test_queries_stay_flat_with_three_options(counter: Counter) -> None:
    with CaptureQueriesContext(connection) as one:
        counter.get("quote-trip", query=WAY)
    for _ in range(2):
        option_copy(option=counter.option, person=None)
    with CaptureQueriesContext(connection) as three:
        counter.get("quote-trip", query=WAY)
    assert len(three) <= len(one) + 2


def test_others_are_kept_out(counter: Counter, client_as) -> None:
    address = counter.address("quote-trip")
    assert client_as("builder").get(address).status_code == 403
    assert Client().get(address).status_code == 302
    assert counter.client.post(address).status_code == 405
    assert counter.client.get(reverse("quote-trip", args=["no-such-quote"])).status_code == 404
    assert counter.client.get(reverse("version-trip", args=["no-such-version"])).status_code == 404


def test_metric_shops_ask_in_kilometers_and_meters(counter: Counter) -> None:
    Shop.objects.update(units="metric")
    page = text(counter.get("quote-trip", query={"distance_km": "30", "climb_m": "250"}))
    assert "There, 30 km" in page
    assert "250 m" in page
    assert "km/h" in page


def test_the_fragment_is_not_kept_for_the_page(counter: Counter) -> None:
    answer = counter.client.get(counter.address("quote-trip"), WAY, headers=htmx(True))
    assert "HX-Request" in answer.headers["Vary"]
