from __future__ import annotations

from datetime import date, time
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from shop.models import ClosedDays, Event, LineLock, OpeningHours, Shop
from tests.shop.made_counter import text
from tests.shop.made_day import Day
from tests.shop.views.guards import OWNER_ONLY, assert_guarded

SETTINGS = reverse("shop-settings")
HOURS = reverse("opening-hours")


def shown(client: Client, address: str, form: str) -> dict[str, Any]:
    """A form as its page shows it."""
    bound = client.get(address).context[form]
    return {each.html_name: each.value() for each in bound if each.value() not in (None, False)}


def test_settings_are_the_owners(shop, client_as):
    for name in ("shop-settings", "opening-hours"):
        assert_guarded(client_as, name, roles=OWNER_ONLY)
    for name in ("opening-hours-save", "closed-days-add", "closed-days-remove"):
        assert_guarded(client_as, name, roles=OWNER_ONLY, post_only=True)


def test_every_setting_stands_on_the_page_once(shop, client_as):
    form = client_as("owner").get(SETTINGS).context["form"]
    grouped = [field.name for _, _, fields in form.groups() for field in fields]
    known = {field.name for field in Shop._meta.concrete_fields} - {"id"}
    assert sorted(grouped) == sorted(known)


def test_what_is_edited_rarely_is_linked(shop, client_as):
    client = client_as("owner")
    page = client.get(SETTINGS)
    for _, address, _ in page.context["elsewhere"]:
        assert client.get(address).status_code == 200, address


def test_saved_unchanged_nothing_changes(shop, client_as):
    client, before = client_as("owner"), Shop.objects.values().get()
    assert client.post(SETTINGS, shown(client, SETTINGS, "form")).headers["Location"] == SETTINGS
    assert Shop.objects.values().get() == before
    assert not Event.objects.filter(verb="setting changed").exists()


def test_changed_as_people_write_it(shop, client_as):
    client = client_as("owner")
    sent = {**shown(client, SETTINGS, "form"), "deposit_rate": "25 %", "deposit_minimum": "$1,500", "rider_kg": "90 kg",
            "usable_share": "88", "cold_c": "-5"}  # fmt: skip
    client.post(SETTINGS, sent)
    shop.refresh_from_db()
    assert (str(shop.deposit_rate), str(shop.deposit_minimum), shop.rider_kg) == ("0.250000", "1500.0000", 90.0)
    assert (shop.usable_share, shop.cold_c) == (0.88, -5.0)
    assert Event.objects.get(verb="setting changed").after.startswith("deposit rate, deposit minimum")


@pytest.mark.parametrize(
    ("changed", "field", "said"),
    [
        ({"name": ""}, "name", "Fill this in."),
        ({"currency": "XQZ"}, "currency", "ISO 4217"),
        ({"locale": "klingon"}, "locale", "is not a locale. Use a tag such as en-US"),
        ({"zone": "Mars/Base"}, "zone", "Select a valid choice"),
        ({"deposit_rate": "130"}, "deposit_rate", "Write 100 or less."),
        ({"cold_c": "30"}, "cold_c", "The cold day must be colder than the warm one of 20 °C."),
        ({"valid_days": "0"}, "valid_days", "Write 1 or more."),
        ({"storage_fee": "a lot"}, "storage_fee", "is not a number"),
    ],
)
def test_what_cannot_be_stands_beside_its_field(changed: dict[str, str], field: str, said: str, shop, client_as):
    client = client_as("owner")
    sent = {**shown(client, SETTINGS, "form"), "deposit_terms": "typed before", **changed}
    answer = client.post(SETTINGS, sent)
    assert answer.status_code == 422
    assert said in " ".join(answer.context["form"].errors[field])
    assert "typed before" in text(answer)
    assert Shop.objects.get().deposit_terms != "typed before"


def test_the_currency_stays_once_something_was_offered_in_it(day: Day, client_as):
    client = client_as("owner")
    answer = client.post(SETTINGS, {**shown(client, SETTINGS, "form"), "currency": "eur"})
    assert answer.status_code == 422
    assert "Quotes and the cash book are kept in USD." in text(answer)


def test_the_zone_is_a_new_revision_of_the_plan(shop, client_as):
    client = client_as("owner")
    before = LineLock.objects.filter(pk=1).values_list("revision", flat=True).first() or 0
    client.post(SETTINGS, {**shown(client, SETTINGS, "form"), "zone": "America/Chicago"})
    assert LineLock.objects.get(pk=1).revision == before + 1


def week() -> list[tuple[int, time, time]]:
    return list(OpeningHours.objects.order_by("weekday", "start").values_list("weekday", "start", "end"))


def test_hours_are_shown_and_saved_whole(shop, client_as):
    client, before = client_as("owner"), week()
    sent = shown(client, HOURS, "hours")
    client.post(reverse("opening-hours-save"), sent)
    assert week() == before
    client.post(
        reverse("opening-hours-save"),
        {**sent, "start-5-0": "09:00", "end-5-0": "1:30 PM", "start-0-0": "", "end-0-0": ""},
    )
    assert (5, time(9), time(13, 30)) in week()
    assert (0, time(8), time(12)) not in week()
    assert Event.objects.get(verb="opening hours changed").subject == "shop"


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"end-0-0": ""}, "Enter both times, or neither."),
        ({"end-0-0": "07:00"}, "Monday: closes at 07:00, before it opens at 08:00."),
        ({"end-0-0": "14:00"}, "Monday: the two times overlap."),
        ({"start-0-0": "early"}, "This is not a time of day."),
    ],
)
def test_hours_that_cannot_be(changed: dict[str, str], said: str, shop, client_as):
    client, before = client_as("owner"), week()
    answer = client.post(reverse("opening-hours-save"), {**shown(client, HOURS, "hours"), **changed})
    assert (answer.status_code, said in text(answer)) == (422, True)
    assert week() == before


def test_a_shop_that_is_never_open_is_refused(shop, client_as):
    answer = client_as("owner").post(reverse("opening-hours-save"), {"nothing": ""})
    assert (answer.status_code, "The shop has to be open some time" in text(answer)) == (422, True)
    assert week()


def test_closed_days_come_and_go(shop, morning, client_as):
    client = client_as("owner")
    sent = {"first": "2026-07-06", "last": "2026-07-17", "reason": "Summer"}
    client.post(reverse("closed-days-add"), sent)
    client.post(reverse("closed-days-add"), sent)  # pressed twice
    assert ClosedDays.objects.get().last == date(2026, 7, 17)
    assert "Summer" in text(client.get(HOURS))
    client.post(reverse("closed-days-remove"), {"first": "2026-07-06", "last": "2026-07-17"})
    assert not ClosedDays.objects.exists()
    assert client.post(reverse("closed-days-remove"), {"first": "x"}).status_code == 422


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"last": "2026-07-01"}, "Ends before it starts."),
        ({"reason": ""}, "Fill this in."),
        ({"first": ""}, "Fill this in."),
    ],
)
def test_closed_days_that_cannot_be(changed: dict[str, str], said: str, shop, client_as):
    sent = {"first": "2026-07-06", "last": "2026-07-17", "reason": "Summer", **changed}
    answer = client_as("owner").post(reverse("closed-days-add"), sent)
    assert (answer.status_code, said in text(answer)) == (422, True)
    assert not ClosedDays.objects.exists()


def test_days_that_are_over_are_not_listed(shop, morning, client_as):
    ClosedDays.objects.create(first=date(2025, 12, 24), last=date(2026, 1, 2), reason="Winter")
    assert "None ahead." in text(client_as("owner").get(HOURS))
