from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from django.urls import reverse

from shop.models import Build, Event
from shop.services.builds import build_hold
from tests.shop.made_builds import make_build
from tests.shop.made_counter import htmx, text
from tests.shop.made_day import Day
from tests.shop.queries import queries_of
from tests.shop.views.guards import EVERYONE, OWNER_ONLY, assert_guarded

LINE = reverse("line")


@pytest.fixture
def three(shop, morning) -> list[Build]:
    """Three builds with an engine to take out each, the first with a promise that can't hold."""
    late: dict[str, Any] = {"promised_from": date(2026, 2, 1), "promised_to": date(2026, 2, 27)}
    return [make_build(place, steps=True, **(late if place == 1 else {})) for place in (1, 2, 3)]


def test_who_may_see_the_line_and_move_in_it(three, client_as):
    assert_guarded(client_as, "line", roles=EVERYONE)
    assert_guarded(client_as, "build-move", three[0].public_id, roles=OWNER_ONLY)


def test_the_line_in_order_with_state_promise_and_delay(three, client_as):
    page = client_as("counter").get(LINE)
    assert [row.build for row in page.context["found"].rows] == three
    late = page.context["found"].rows[0].late_days
    assert late > 0
    assert f'<span class="late">late by {late} days</span>' in text(page)
    assert "no promise" in text(page)


def test_filters_stand_in_the_address(three, boss, client_as):
    client = client_as("counter")
    build_hold(build=three[1], reason="Money", person=boss)

    def shown(**query: str) -> list[str]:
        return [row.build.number for row in client.get(LINE, query).context["found"].rows]

    assert shown(show="late") == ["B-1001"]
    assert shown(show="hold") == ["B-1002"]
    assert shown(q="customer 3") == ["B-1003"]
    assert shown(show="ready") == []
    assert shown(show="no such view") == ["B-1001", "B-1002", "B-1003"]
    tabs = {tab.code: tab.count for tab in client.get(LINE).context["found"].tabs}
    assert (tabs[""], tabs["late"], tabs["hold"]) == (3, 1, 1)


def test_script_gets_the_same_list_without_the_page_around_it(three, client_as):
    client = client_as("counter")
    part = text(client.get(LINE, headers=htmx(True)))
    assert "<html" not in part
    assert part.strip() in text(client.get(LINE))


def test_an_empty_line_says_how_somebody_gets_into_it(shop, client_as):
    assert "Nobody is in line" in text(client_as("counter").get(LINE))
    assert "No build fits" in text(client_as("counter").get(LINE, {"show": "ready"}))


def test_builders_see_the_line_without_a_way_to_money_or_customers(three, client_as):
    page = text(client_as("builder").get(LINE))
    assert three[0].customer.name in page
    assert reverse("customer", args=[three[0].customer.public_id]) not in page


def test_who_would_move_is_shown_before_anybody_does(three, client_as):
    address = reverse("build-move", args=[three[2].public_id])
    page = client_as("owner").get(address, {"place": "1"})
    places = {change.build.number: (change.place_before, change.place_after) for change in page.context["changes"]}
    assert places == {"B-1001": (1, 2), "B-1002": (2, 3), "B-1003": (3, 1)}
    assert "3 builds would move" in text(page)
    assert [row.place for row in Build.objects.order_by("number")] == [1, 2, 3]


def test_a_move_needs_its_reason_and_keeps_what_was_typed(three, client_as):
    client, address = client_as("owner"), reverse("build-move", args=[three[2].public_id])
    answer = client.post(f"{address}?place=1", {"reason": ""})
    assert answer.status_code == 422
    assert "Fill this in." in text(answer)
    assert "3 builds would move" in text(answer)
    moved = client.post(f"{address}?place=1", {"reason": "Needed for a wedding"})
    assert moved.headers["Location"] == LINE
    assert [row.number for row in Build.objects.order_by("place")] == ["B-1003", "B-1001", "B-1002"]
    assert Event.objects.filter(verb="moved in line", reason="Needed for a wedding").count() == 3


@pytest.mark.parametrize(("place", "said"), [("", "Fill this in."), ("0", "Write 1 or more."), ("two", "not a number")])
def test_a_place_that_is_none_is_told(place: str, said: str, three, client_as):
    address = reverse("build-move", args=[three[2].public_id])
    answer = client_as("owner").get(address, {"place": place})
    assert answer.status_code == 422
    assert said in text(answer)


def test_a_place_past_the_end_is_refused_in_words(three, client_as):
    address = reverse("build-move", args=[three[0].public_id])
    answer = client_as("owner").post(f"{address}?place=9", {"reason": "last"})
    assert answer.status_code == 422
    assert "The line has places 1 to 3." in text(answer)


def test_a_build_handed_over_has_no_place_to_move(day: Day, client_as):
    Build.objects.filter(pk=day.build.pk).update(state="cancelled", place=None)
    page = text(client_as("owner").get(reverse("build-move", args=[day.build.public_id]), {"place": "1"}))
    assert "is cancelled and has no place" in page


def test_queries_stay_flat_from_one_build_to_fifty(shop, morning, client_as):
    client = client_as("counter")
    make_build(1, steps=True)
    client.get(LINE)
    one = queries_of(lambda: client.get(LINE))
    for place in range(2, 51):
        make_build(place, steps=True)
    assert queries_of(lambda: client.get(LINE)) == one
