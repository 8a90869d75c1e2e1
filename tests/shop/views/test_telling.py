"""A supplier's slip entered, taken back, and the customers told."""

from __future__ import annotations

from datetime import date

from django.core import mail as outbox
from django.urls import reverse

from quoting import from_json
from quoting.result import Odds
from shop.models import Build, ExpectedDateChange, Mail, PromiseEntry
from tests.shop.made_counter import text
from tests.shop.made_day import Day
from tests.shop.made_odds import draw
from tests.shop.queries import queries_of
from tests.shop.views.guards import DESK, assert_guarded

LATER = date(2026, 8, 3)


def slip(client, day: Day):
    """Six more weeks and then some: the motor on P-310 comes on the 3rd of August."""
    asked = f"{reverse('order-dates', args=[day.sent.public_id])}?lines={day.line.public_id}&new_date={LATER}"
    return client.post(asked, {"reason": "six more weeks"})


def cells_are_here(day: Day) -> None:
    """Everything but the motor is on the shelf, so that the motor decides."""
    for need in day.build.needs.exclude(component=day.motor).select_related("component"):
        need.component.moves.create(kind="received", on_hand=need.quantity)


def test_who_may_tell(day: Day, client_as):
    order = day.sent.public_id
    assert_guarded(client_as, "order-tell", order, roles=DESK)
    assert_guarded(client_as, "order-tell-one", order, day.build.public_id, roles=DESK, post_only=True)


def test_a_slip_leads_to_the_customers_and_is_told_once(day: Day, client_as, django_capture_on_commit_callbacks):
    cells_are_here(day)
    client = client_as("counter")
    answer = slip(client, day)
    tell = reverse("order-tell", args=[day.sent.public_id])
    assert answer.headers["Location"] == tell
    page = client.get(tell)
    draft = page.context["drafts"][0]
    assert draft.told.row.build == day.build
    assert "Why: six more weeks." in draft.form["body"].value()
    one = reverse("order-tell-one", args=[day.sent.public_id, day.build.public_id])
    sent = {bound.html_name: str(bound.value() or "") for bound in draft.form}
    to = f"{day.build.public_id}-to"
    nobody = client.post(one, {**sent, to: ""})
    assert (nobody.status_code, Mail.objects.count()) == (422, 0)
    with django_capture_on_commit_callbacks(execute=True):
        for _ in range(2):
            client.post(one, {**sent, to: "casey@example.com"})
    assert (Mail.objects.get().state, len(outbox.outbox)) == ("sent", 1)
    entry = PromiseEntry.objects.filter(build=day.build).last()
    assert entry is not None
    assert (entry.kind, entry.reason) == ("changed", "six more weeks")
    assert Build.objects.get(pk=day.build.pk).promised_to == draft.told.finish_to
    assert "Nobody to tell" in text(client.get(tell))
    assert "six more weeks" in text(client.get(reverse("line")))


def test_the_new_window_is_that_of_the_runs_once_they_know_of_the_slip(day: Day, client_as):
    cells_are_here(day)
    client = client_as("counter")
    draw()
    slip(client, day)
    tell = reverse("order-tell", args=[day.sent.public_id])
    page = client.get(tell)
    assert not page.context["drafts"][0].told.simulated
    assert "being simulated anew" in text(page)
    window = draw().line[day.build.number]
    page = client.get(tell)
    told = page.context["drafts"][0].told
    odds = from_json(Odds, window)
    assert (told.simulated, told.finish_from, told.finish_to) == (True, odds.p50, odds.p80)
    assert "being simulated anew" not in text(page)


def test_a_day_is_taken_back_until_something_else_was_entered(day: Day, client_as):
    client = client_as("counter")
    before = day.sent.lines.get().expected_on
    slip(client, day)
    change = ExpectedDateChange.objects.get()
    undo = reverse("order-dates-undo", args=[day.sent.public_id, change.entry])
    assert undo in text(client.get(reverse("order", args=[day.sent.public_id])))
    for _ in range(2):
        client.post(undo)
    assert (day.sent.lines.get().expected_on, ExpectedDateChange.objects.count()) == (before, 2)
    slip(client, day)
    first, later = ExpectedDateChange.objects.filter(undoes=None).order_by("pk")
    assert later.pk > first.pk
    day.sent.lines.update(expected_on=date(2026, 9, 1))
    refused = client.post(reverse("order-dates-undo", args=[day.sent.public_id, later.entry]))
    assert (refused.status_code, "another day since" in text(refused)) == (409, True)
    assert client.post(reverse("order-dates-undo", args=[day.sent.public_id, "none"])).status_code == 404


def test_waiting_shows_the_days_named_before(day: Day, client_as):
    client = client_as("counter")
    slip(client, day)
    change = ExpectedDateChange.objects.get()
    ExpectedDateChange.objects.create(line=day.line, old=change.new, new=date(2026, 8, 10), reason="a week")
    assert "named before: " in text(client.get(reverse("waiting")))
    few = queries_of(lambda: client.get(reverse("waiting")))
    ExpectedDateChange.objects.create(line=day.line, old=change.new, new=date(2026, 8, 17), reason="and one")
    assert queries_of(lambda: client.get(reverse("waiting"))) == few
