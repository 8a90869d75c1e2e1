"""Simulated windows on the screens: what they say, when they are stale or missing, and to whom they are not shown."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime
from typing import Any

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from shop.models import Build, Offer, OptionPart, Shop
from shop.selectors.odds import kept_timelines
from shop.services.builds import build_promise_change
from shop.services.line_lock import line_lock
from tests.shop.made_builds import make_build, make_day_build
from tests.shop.made_counter import Counter, text
from tests.shop.made_day import Day
from tests.shop.made_odds import draw, give_from_odds, keep_line, made_odds
from tests.shop.made_parts import make_component, make_offer, receive
from tests.shop.made_quotes import make_sound_draft
from tests.shop.queries import queries_of


@pytest.fixture(autouse=True)
def nothing_read_before() -> Iterator[None]:
    kept_timelines.cache_clear()
    yield
    kept_timelines.cache_clear()


def change_the_plan() -> None:
    with line_lock():
        pass


def counter_page(counter: Counter) -> str:
    return text(counter.get("quote"))


def test_the_counter_says_what_its_window_rests_on(counter: Counter):
    plain = counter_page(counter)
    assert "From likely to slow hours and deliveries" in plain
    assert 'data-odds="none"' in plain
    draw()
    page = counter_page(counter)
    assert "50 % of 40 simulated runs are done by the first day, 80 % by the last" in page
    assert "simulated runs" in page
    assert "As planned, without anything going otherwise" in page
    assert "Fewer runs than usual" in page
    change_the_plan()
    stale = counter_page(counter)
    assert "As of plan 0, before the last change" in stale
    draw()
    assert 'data-odds="fresh"' in counter_page(counter)


def test_a_change_at_the_counter_takes_two_more_queries_with_odds_at_most(counter: Counter):
    def change() -> None:
        assert counter.post("option-pack", "A", pack__series="20", pack__parallel="24").status_code == 200

    change()
    plain = queries_of(change)
    draw()
    change()  # reads the timelines once
    assert queries_of(change) <= plain + 1


def test_the_line_waiting_and_today_show_window_chance_and_cause(day: Day, client_as):
    Build.objects.update(promised_from=date(2026, 3, 2), promised_to=date(2026, 3, 12))
    keep_line({day.build.number: made_odds(deciders=())})
    client = client_as("owner")
    for name in ("line", "waiting", "today"):
        page = text(client.get(reverse(name)))
        assert "kept in 5 of 10 runs" in page, name
        assert "tight" in page, name
        assert "4 days over" in page or name == "waiting", name
    assert "Mar 10 – 16" in text(client.get(reverse("line")))
    assert 'data-odds="fresh"' in text(client.get(reverse("waiting")))


@pytest.mark.parametrize("role", ["owner", "counter", "builder"])
def test_stale_odds_say_so_to_everyone_in_the_shop(day: Day, client_as, role: str):
    draw()
    change_the_plan()
    client = client_as(role)
    for name in ("line", "waiting"):
        assert "before the last change" in text(client.get(reverse(name))), name


def test_a_build_shows_how_sure_its_promise_is(day: Day, client_as):
    Build.objects.update(promised_from=date(2026, 3, 2), promised_to=date(2026, 3, 20))
    keep_line({day.build.number: made_odds()})
    page = text(client_as("counter").get(reverse("build", args=[day.build.public_id])))
    assert "kept in 9 of 10 runs" in page
    assert "4 days to spare" in page


def test_the_deposit_page_says_when_there_are_no_runs_yet(day: Day, client_as):
    address = reverse("deposit-take", args=[day.offered.public_id])
    client = client_as("counter")
    assert "no simulated runs are there yet" in text(client.get(address))
    draw()
    assert "no simulated runs are there yet" not in text(client.get(address))


def test_customers_are_shown_windows_and_no_odds(day: Day, client_as, client):
    draw()
    for page in (
        reverse("customer-page", args=[day.build.link_token]),
        reverse("receipt-document", args=[day.entry.public_id]),
    ):
        shown = text(client_as("counter").get(page))
        for word in ("simulated", "runs", "80 %", "to spare"):
            assert word not in shown, (page, word)


def finish(build: Build, day: int) -> None:
    moment = datetime(2026, 3, day, 17, tzinfo=UTC)
    Build.objects.filter(pk=build.pk).update(state="handed_over", place=None, finished_at=moment, handed_over_at=moment)


def test_the_log_counts_how_often_each_level_was_kept(shop: Shop, morning: datetime, client_as):
    """Ready on the 12th, the 16th and the 25th; P50 is the 10th, P80 the 16th, P90 the 20th. By hand: none of 3 at
    50 %, 2 at 80 %, 2 at 90 %."""
    builds = [make_build(place) for place in (1, 2, 3)]
    for build, ready in zip(builds, (12, 16, 25), strict=True):
        give_from_odds(build)
        finish(build, ready)
    page = client_as("owner").get(reverse("promise-log"))
    assert [(rate.level, rate.kept, rate.count) for rate in page.context["log"].rates] == [
        (50, 0, 3), (80, 2, 3), (90, 2, 3),
    ]  # fmt: skip
    shown = text(page)
    assert "Of 3 promises at 80 %, 2 kept." in shown
    assert "simulated runs, 50 % and 80 %" in shown
    rows = page.context["rates"].rows
    assert rows[1][:4] == ("80 %", "3", "2", "67 %")


def test_a_slip_stands_in_the_log_with_its_days_and_reason(day: Day, client_as, boss):
    last = Build.objects.get(pk=day.build.pk).promised_to
    assert last is not None
    later = date.fromordinal(last.toordinal() + 9)
    build_promise_change(build=day.build, finish_from=last, finish_to=later, reason="Motor late", person=boss)
    page = text(client_as("owner").get(reverse("promise-log")))
    assert "9 days later:" in page
    assert "Motor late" in page
    assert "No promise from simulated runs has come due yet" in page


# In a browser: the motor decides until a stocked one takes its place.


@pytest.fixture
def two_motors(shop: Shop) -> Any:
    """A draft whose motor takes two months to come; one like it is on the shelf."""
    today = date.today()  # noqa: DTZ011 - the rows' own day
    draft = make_sound_draft(shop, today)
    Offer.objects.filter(component__code="MOT-1").update(lead_low_days=50, lead_days=60, lead_high_days=80)
    stocked = make_component("MOT-1", code="MOT-2", name="hub motor 10 kW 72 V, shelf")
    make_offer(stocked, priced_on=today)
    receive(stocked, 1)
    make_day_build()
    draw()
    return draft


@pytest.mark.django_db(transaction=True)
def test_a_stocked_motor_brings_the_window_forward(
    two_motors: Any, page_as: Callable[[str], Page], live_server: Any
) -> None:
    page = page_as("counter")
    page.goto(live_server.url + reverse("quote", args=[two_motors.quote.public_id]))
    when = page.locator("#when")
    expect(when).to_contain_text("simulated run")
    expect(when).to_contain_text("the hub motor 10 kW 72 V decides")
    before = page.inner_text("[data-figure=window]")
    page.locator("#parts .line", has_text="hub motor 10 kW").get_by_role("link", name="Exchange").click()
    page.get_by_role("button", name="Take hub motor 10 kW 72 V, shelf").click()
    expect(page.locator("[data-figure=window]")).not_to_have_text(before)
    expect(when).not_to_contain_text("the hub motor 10 kW 72 V decides")
    expect(when.locator("[data-odds=fresh]")).to_contain_text("50 % of 40 simulated runs")
    kept = OptionPart.objects.get(option__version=two_motors, component__kind="motor")
    assert kept.component.code == "MOT-2"
