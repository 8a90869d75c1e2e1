from __future__ import annotations

import hashlib
from datetime import date, datetime, timedelta
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse
from icalendar import Calendar

from quoting.result import LinePlan
from shop.models import BookedPlan, BookedStep, Build, BuildStep, Feed, Leave, Person
from shop.models.exact import new_link_token
from shop.selectors.plan import planned
from shop.services.builds import build_hold, build_promise_change
from shop.services.calendars import feed_make, feed_revoke
from tests.shop.made_builds import make_day_build
from tests.shop.made_counter import text
from tests.shop.made_day import Day
from tests.shop.queries import queries_of
from tests.shop.views.guards import EVERYONE, assert_guarded

PAGE, NEW = reverse("calendars"), reverse("calendar-new")
QUARTER = timedelta(minutes=15)


def link(boss: User, who: str = "", **changed: Any) -> str:
    """The address of a calendar: of somebody's bench work, or of the promised finishes."""
    person = Person.objects.get(name=who) if who else None
    values: dict[str, Any] = {"kind": "work" if who else "finishes", "who": person, "label": "Phone", **changed}
    _, token = feed_make(**{"key": new_link_token(), **values}, person=boss)
    return reverse("calendar-feed", args=[token])


def events_at(address: str, **sent: str) -> dict[str, Any]:
    """What a calendar program reads, by UID."""
    answer = Client().get(address, headers=sent)
    assert answer.status_code == 200
    return {str(event["uid"]): event for event in Calendar.from_ical(answer.content).walk("VEVENT")}


def sent(**changed: str) -> dict[str, str]:
    return {"kind": "finishes", "who": "", "label": "Office wall", "key": new_link_token(), **changed}


def test_who_may_make_and_revoke(day: Day, boss, client_as):
    assert_guarded(client_as, "calendars", roles=EVERYONE)
    feed, _ = feed_make(kind="finishes", who=None, label="Phone", key="k", person=boss)
    address = reverse("calendar-revoke", args=[feed.public_id])
    assert client_as("builder").post(address).status_code == 404  # not theirs
    assert client_as("counter").get(address).status_code == 405
    assert client_as("owner").post(address).status_code == 302


def test_the_link_is_shown_once_and_its_token_is_nowhere_kept(shop, morning, client_as):
    client = client_as("owner")
    made = sent()
    page = client.post(NEW, made)
    address = page.context["address"]
    assert address in text(page)
    token = address.removesuffix(".ics").rpartition("/")[2]
    assert len(token) >= 22  # 128 bits in base64 without padding: 128 / 6
    assert Feed.objects.get().token_sha256 == hashlib.sha256(token.encode()).hexdigest()
    assert token not in str(list(Feed.objects.values()))
    assert token not in text(client.get(PAGE))
    again = client.post(NEW, made)  # a second press of the same form
    assert Feed.objects.count() == 1
    assert "was shown once" in text(again)


def test_a_builder_makes_their_own_and_sees_no_other(shop, morning, boss, client_as):
    client = client_as("builder")
    me = User.objects.get(groups__name="builder")
    ana, ben = Person.objects.get(name="Ana Example"), Person.objects.get(name="Ben Example")
    Person.objects.filter(pk=ana.pk).update(user=me)
    link(boss, "Ben Example", label="Not mine")
    assert client.post(NEW, sent(kind="finishes")).status_code == 422
    assert client.post(NEW, sent(kind="work", who=ben.public_id)).status_code == 422
    assert client.post(NEW, sent(kind="work", who=ana.public_id)).status_code == 200
    page = text(client.get(PAGE))
    assert "Office wall" in page
    assert "Not mine" not in page


@pytest.mark.parametrize(
    ("wrong", "field"), [({"label": ""}, "label"), ({"kind": "moon"}, "kind"), ({"kind": "work"}, "who")]
)
def test_what_cannot_be_read_is_said_beside_its_field(wrong: dict[str, str], field: str, shop, morning, client_as):
    answer = client_as("owner").post(NEW, sent(**wrong))
    assert answer.status_code == 422
    assert answer.context["form"].errors[field]
    assert not Feed.objects.exists()


def test_unknown_and_revoked_links_are_not_found(shop, morning, boss):
    address = link(boss)
    assert Client().get(address).status_code == 200
    for _ in range(2):
        feed_revoke(feed=Feed.objects.get(), person=boss)
    assert Client().get(address).status_code == 404
    assert Client().get(reverse("calendar-feed", args=["x" * 22])).status_code == 404
    assert Client().post(address).status_code in (403, 405)


def test_a_persons_work_is_told_day_by_day(shop, morning, boss):
    """Six hours from Monday the 2nd, 9:00, with an hour for lunch: until 16:00, 14:00 to 21:00 UTC. The second build
    takes the rest of Monday and Tuesday from 8:00: two pieces."""
    one, two = make_day_build(1), make_day_build(2)
    events = events_at(link(boss, "Ben Example"))
    step = {build: build.steps.get().public_id for build in (one, two)}
    first = events[f"step-{step[one]}-1@testserver"]
    assert [moment.dt.isoformat() for moment in (first["dtstart"], first["dtend"])] == [
        "2026-03-02T09:00:00-05:00",
        "2026-03-02T16:00:00-05:00",
    ]
    pieces = [events[f"step-{step[two]}-{number}@testserver"] for number in (1, 2)]
    assert [piece["dtstart"].dt.date() for piece in pieces] == [date(2026, 3, 2), date(2026, 3, 3)]
    assert pieces[0]["dtend"].dt.hour == 17
    assert (first["location"], first["summary"]) == ("Pack 1", "Wire and set up, B-1001")
    assert events_at(link(boss, "Ana Example")) == {}


def test_no_money_and_of_the_customer_the_name_alone(day: Day, boss):
    for address in (link(boss), link(boss, "Ana Example")):
        body = Client().get(address).content.decode().replace("\r\n ", "")
        for private in (day.customer.email, day.customer.phone, f"{day.build.total:,.0f}", str(day.build.total)):
            assert not private or private not in body
    assert day.customer.name in Client().get(link(boss)).content.decode().replace("\r\n ", "")


def test_a_changed_promise_is_the_same_event_told_anew(day: Day, boss, set_clock, morning):
    address = link(boss)
    uid = f"promise-{day.build.public_id}@testserver"
    before = events_at(address)[uid]
    day.build.refresh_from_db()
    assert day.build.promised_to is not None
    assert before["dtend"].dt == day.build.promised_to + timedelta(days=1)
    set_clock(morning + QUARTER)
    first, last = date(2026, 9, 1), date(2026, 9, 20)
    build_promise_change(build=day.build, finish_from=first, finish_to=last, reason="The ship is late", person=boss)
    after = events_at(address)[uid]
    assert (after["dtstart"].dt, after["dtend"].dt) == (date(2026, 9, 1), date(2026, 9, 21))
    assert int(after["sequence"]) == int(before["sequence"]) + 1
    assert "The ship is late" not in str(after)


def test_work_that_moves_keeps_its_uid_and_counts_up_and_what_stays_is_not_told_anew(
    shop, morning: datetime, boss, set_clock
):
    one, two = make_day_build(1), make_day_build(2)
    address = link(boss, "Ben Example")
    uids = [f"step-{build.steps.get().public_id}-1@testserver" for build in (one, two)]
    before = events_at(address)
    set_clock(morning + QUARTER)
    Leave.objects.create(person=Person.objects.get(name="Ben Example"), first=date(2026, 3, 3), last=date(2026, 3, 9))
    BuildStep.objects.filter(build=one).update(
        state="doing", started_at=morning, person=Person.objects.get(name="Ben Example"), bench=None
    )
    after = events_at(address)
    assert [int(event[uid]["sequence"]) for event in (before, after) for uid in uids] == [0, 0, 0, 1]
    pieces = [row.pieces for row in BookedStep.objects.filter(step__build=two)]
    assert pieces[0][-1][0].startswith("2026-03-10")  # over the leave nothing is told


def test_a_build_on_hold_is_told_no_more_and_counts_on(shop, morning, boss, set_clock):
    build = make_day_build(1)
    address = link(boss, "Ben Example")
    assert events_at(address)
    build_hold(build=build, reason="Title missing", person=boss)
    set_clock(morning + QUARTER)
    assert events_at(address) == {}
    Build.objects.update(hold_reason="")
    set_clock(morning + 2 * QUARTER)
    (event,) = events_at(address).values()
    assert int(event["sequence"]) == 2


def test_asked_ever_so_often_the_work_is_planned_once_in_a_quarter_of_an_hour(
    shop, morning, boss, set_clock, monkeypatch
):
    make_day_build(1)
    made: list[Any] = []

    def counted(*args: Any) -> LinePlan:
        made.append(args)
        return planned(*args)

    monkeypatch.setattr("shop.services.booked.planned", counted)
    address = link(boss, "Ben Example")
    for minutes in (0, 1, 14, 15, 16):
        set_clock(morning + timedelta(minutes=minutes))
        Client().get(address)
    assert len(made) == 2


def test_nothing_is_sent_again_while_nothing_changed(shop, morning, boss):
    make_day_build(1)
    address = link(boss, "Ben Example")
    answer = Client().get(address)
    assert answer.headers["Content-Type"] == "text/calendar; charset=utf-8"
    assert answer.headers["Cache-Control"] == "private, max-age=900"
    again = Client().get(address, headers={"if-none-match": answer.headers["ETag"]})
    assert (again.status_code, again.content) == (304, b"")
    assert again.headers["ETag"] == answer.headers["ETag"]
    Build.objects.update(title="Anvil 900")
    assert Client().get(address, headers={"if-none-match": answer.headers["ETag"]}).status_code == 200
    assert Client().head(address).content == b""


def test_queries_stay_flat(shop, morning, boss, client_as):
    work, finishes, client = link(boss, "Ben Example"), link(boss), client_as("owner")

    def asked() -> list[int]:
        return [queries_of(lambda: client.get(work)), queries_of(lambda: client.get(finishes)), queries_of(page)]

    def page() -> Any:
        return client.get(PAGE)

    make_day_build(1, promised_from=date(2026, 3, 9), promised_to=date(2026, 3, 20))
    client.get(work)
    few = asked()
    for place in range(2, 12):
        make_day_build(place, promised_from=date(2026, 3, 9), promised_to=date(2026, 3, 20))
        link(boss, label=f"Phone {place}")
    BookedPlan.objects.all().delete()
    client.get(work)
    assert asked() == few
