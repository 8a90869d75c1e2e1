"""Every address of the application: who may open it, and what an unknown id gives.

A route that is added is walked by itself; when it has an id of a new kind, IDS says which row it is tried with.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.db import transaction
from django.test import Client
from django.urls import URLPattern, URLResolver, reverse

from shop.models import ExpectedDateChange, Feed, Mail, Offer, Replan, Shop, StepTurn, Trial
from shop.permissions import ROLES
from shop.selectors.calendars import token_digest
from shop.urls import urlpatterns
from tests.shop.made_day import Day, make_day
from tests.shop.replayed import replayed

# What people without an account may open. Everything else asks for a sign-in.
PUBLIC = {"sign-in", "sign-out", "icon"}
BY_LINK = {
    "calendar-feed",
    "customer-page",
    "customer-figures-document",
    "customer-figures-pdf",
    "customer-quote-document",
    "customer-quote-pdf",
    "customer-receipt-document",
    "customer-receipt-pdf",
    "customer-paper",
    "customer-paper-pdf",
    "customer-change-document",
    "customer-change-pdf",
}
FEED_TOKEN = "a-link-of-a-calendar"
OWNERS_SITE = "admin:"  # has its own tests, tests/shop/admin/; here only that it is closed to others
UNKNOWN = "no-such-id"
NO_SUCH_METHOD = 405
DONE = {200, 302}
SAID_WHY_NOT = {404, 409, 422}  # a POST with nothing in it names no part, is refused, or is told what is missing

# (how the address begins, the name of its parameter) -> the value of a row that is there. The longest beginning wins.
IDS: dict[tuple[str, str], Callable[[Day], str]] = {
    ("quotes/", "public_id"): lambda day: day.draft.quote.public_id,
    ("quotes/", "key"): lambda day: "A",
    ("quotes/", "kind"): lambda day: "motor",
    ("quotes/", "component_id"): lambda day: day.motor.public_id,
    ("quotes/", "code"): lambda day: "pack",
    ("quotes/", "rule"): lambda day: "vin",
    ("versions/", "version_id"): lambda day: day.offered.public_id,
    ("builds/", "public_id"): lambda day: day.build.public_id,
    ("builds/", "component_id"): lambda day: day.motor.public_id,
    ("steps/", "step_id"): lambda day: day.step().public_id,
    ("stores/", "public_id"): lambda day: day.motor.public_id,
    ("orders/", "public_id"): lambda day: day.sent.public_id,
    ("orders/", "line_id"): lambda day: day.line.public_id,
    ("orders/", "entry"): lambda day: a_slip(day).entry,
    ("orders/", "build_id"): lambda day: day.build.public_id,
    ("stores/", "form"): lambda day: "csv",
    ("orders/", "form"): lambda day: "csv",
    ("stores/by-file/", "file_id"): lambda day: UNKNOWN,
    ("orders/by-file/", "file_id"): lambda day: UNKNOWN,
    ("stores/", "stand_in_id"): lambda day: day.charger.public_id,
    ("suppliers/", "file_id"): lambda day: UNKNOWN,
    ("suppliers/", "public_id"): lambda day: day.supplier.public_id,
    ("suppliers/", "component_id"): lambda day: an_offer(day).component.public_id,
    ("letters/", "mail_id"): lambda day: a_letter(day).public_id,
    ("orders/to-make/", "supplier_id"): lambda day: day.supplier.public_id,
    ("customers/", "public_id"): lambda day: day.customer.public_id,
    ("customers/", "certificate_id"): lambda day: day.customer.certificates.get_or_create(number="X-1")[0].public_id,
    ("donors/", "public_id"): lambda day: day.donor.public_id,
    ("donors/families/", "public_id"): lambda day: day.family.public_id,
    ("deposits/", "entry_id"): lambda day: day.entry.public_id,
    ("cash-book/", "entry_id"): lambda day: day.entry.public_id,
    ("receipts/", "entry_id"): lambda day: day.entry.public_id,
    ("invoices/", "invoice_id"): lambda day: day.invoice.public_id,
    ("papers/", "entry_id"): lambda day: day.invoice.public_id,
    ("statements/", "paper_id"): lambda day: day.statement.public_id,
    ("catalogue/", "public_id"): lambda day: day.motor.public_id,
    ("catalogue/", "supplier_id"): lambda day: day.supplier.public_id,
    ("catalogue/", "kind"): lambda day: "motor",
    ("catalogue/", "form"): lambda day: "csv",
    ("catalogue/import/", "public_id"): lambda day: UNKNOWN,
    ("exports/", "table"): lambda day: "ledger",
    ("exports/", "form"): lambda day: "csv",
    ("tax/import/", "public_id"): lambda day: UNKNOWN,
    ("bench-plan/turns/", "turn_id"): lambda day: a_turn(day).public_id,
    ("calendars/", "public_id"): lambda day: a_feed(day).public_id,
    ("calendars/", "token"): lambda day: FEED_TOKEN if a_feed(day) else "",
    ("changes/", "change_id"): lambda day: day.change.public_id,
    ("c/", "change_id"): lambda day: day.change.public_id,
    ("bench-plan/replans/", "public_id"): lambda day: a_replan().public_id,
    ("what-if/odds/", "trial_id"): lambda day: Trial.objects.get_or_create(key="k", revision=0)[0].public_id,
    ("c/", "token"): lambda day: day.build.link_token,
    ("c/", "version_id"): lambda day: day.accepted.public_id,
    ("c/", "entry_id"): lambda day: day.entry.public_id,
}


def an_offer(day: Day) -> Offer:
    """Something the supplier sells."""
    values = {"unit_cost": Decimal(725), "priced_on": date(2026, 3, 2), "preferred": False}
    return Offer.objects.get_or_create(component=day.motor, supplier=day.supplier, defaults=values)[0]


def a_slip(day: Day) -> ExpectedDateChange:
    """A day the supplier named for the order on its way."""
    values = {"line": day.line, "new": day.line.expected_on, "reason": "as confirmed"}
    return ExpectedDateChange.objects.get_or_create(entry="route", defaults=values)[0]


def a_letter(day: Day) -> Mail:
    """A letter about the order on its way."""
    values = {"to": "yard@example.com", "subject": "Order", "body": "Please send", "order": day.sent}
    return Mail.objects.get_or_create(key="route", defaults=values)[0]


# Rows only the person who made them sees: to everybody else they are not there.
ONES_OWN = {
    "price-list-file",
    "price-list-apply",
    "counts-import-file",
    "counts-import-apply",
    "purchases-import-file",
    "purchases-import-apply",
    "catalogue-import-file",
    "catalogue-import-apply",
    "tax-import-file",
    "tax-import-apply",
}
# Parameters that are no id of a row, or name one that may be gone already: any value is answered with what to do.
NO_ID = {
    ("check-decide", "rule"),
    ("check-reopen", "rule"),
    ("part-choose", "kind"),
    ("offer-remove", "supplier_id"),
}


def a_turn(day: Day) -> StepTurn:
    """Two steps of the one build there is: enough to be looked up."""
    first, then = day.build.steps.all()[:2]
    return StepTurn.objects.get_or_create(first=first, then=then, defaults={"reason": "Said"})[0]


def a_feed(day: Day) -> Feed:
    made = {"kind": "finishes", "label": "Office wall", "key": "k", "made_by": User.objects.order_by("pk")[0]}
    return Feed.objects.get_or_create(token_sha256=token_digest(FEED_TOKEN), defaults=made)[0]


def a_replan() -> Replan:
    hours = ("lateness_before_h", "lateness_h", "lateness_bound_h", "flow_before_h", "flow_h", "flow_bound_h")
    found = {"method": "solver", "ended_lateness": "proved", "ended_flow": "work", "builds": [], "steps": []}
    return Replan.objects.get_or_create(revision=0, defaults={**dict.fromkeys(hours, 1.0), **found})[0]


@dataclass(frozen=True)
class Route:
    """One address: its name, how it is written, what it takes, and the view behind it."""

    name: str
    pattern: str
    parameters: tuple[str, ...]
    view: Any

    @property
    def roles(self) -> frozenset[str] | None:
        found: frozenset[str] | None = getattr(self.view, "roles", None)
        return found

    def address(self, day: Day, **other: str) -> str:
        return reverse(self.name, kwargs={name: other.get(name) or self.known(day, name) for name in self.parameters})

    def known(self, day: Day, name: str) -> str:
        fitting = [start for start, parameter in IDS if parameter == name and self.pattern.startswith(start)]
        assert fitting, f"{self.pattern}: say in IDS which {name} it is tried with"
        return IDS[max(fitting, key=len), name](day)


def routes(patterns: list[Any] = urlpatterns, start: str = "", space: str = "") -> Iterator[Route]:
    """Every address that has a name."""
    for each in patterns:
        if isinstance(each, URLResolver):
            inner = f"{each.namespace}:" if each.namespace else ""
            yield from routes(each.url_patterns, start + str(each.pattern), space + inner)
        elif isinstance(each, URLPattern) and each.name:
            found = tuple(each.pattern.converters) or tuple(each.pattern.regex.groupindex)
            yield Route(space + each.name, start + str(each.pattern), found, each.callback)


OURS = [route for route in routes() if not route.name.startswith(OWNERS_SITE)]
GUARDED = [route for route in OURS if route.name not in PUBLIC | BY_LINK]


@pytest.fixture
def owner(person: Callable[[str], User]) -> User:
    return person("owner")


@pytest.fixture
def day(shop: Shop, morning: datetime, owner: User) -> Day:
    made = replayed(("day", morning), lambda: make_day(shop, owner))
    assert made.change.deposit is not None  # made before anything is counted
    assert made.invoice.document == "INV-1"
    assert made.statement.day is not None
    return made


def asked(client: Client, address: str, method: str) -> int:
    """The status of one request, whatever it wrote taken back again."""
    with transaction.atomic():
        status = getattr(client, method)(address).status_code
        transaction.set_rollback(True)
    return int(status)


def opened(client: Client, address: str) -> tuple[str, int]:
    """Looked at; posted to with nothing in it where that is all one can do."""
    status = asked(client, address, "get")
    return ("get", status) if status != NO_SUCH_METHOD else ("post", asked(client, address, "post"))


def test_every_route_of_ours_says_who_may_open_it():
    assert [route.name for route in GUARDED if not route.roles or not route.roles <= set(ROLES)] == []
    assert len(GUARDED) > 60


def test_every_route_has_a_name():
    """A route without one would be walked by nobody here; the browser's icon is the only one."""
    nameless = [str(each.pattern) for each in urlpatterns if isinstance(each, URLPattern) and not each.name]
    assert nameless == ["favicon.ico"]


def test_signed_out_people_are_sent_to_sign_in(day: Day):
    sign_in, stranger = reverse("sign-in"), Client()
    wrong = []
    for route in GUARDED:
        for method in ("get", "post"):
            answer = getattr(stranger, method)(route.address(day))
            if answer.status_code != 302 or not answer.headers["Location"].startswith(f"{sign_in}?next="):
                wrong.append((route.name, method, answer.status_code))
    assert wrong == []


@pytest.mark.parametrize("role", ROLES)
def test_each_role_opens_what_it_is_declared_for_and_nothing_else(role: str, day: Day, client_as):
    client, wrong = client_as(role), []
    for route in GUARDED:
        address = route.address(day)
        allowed = role == "owner" or role in (route.roles or ())
        method, status = opened(client, address)
        fine = DONE if method == "get" and route.name not in ONES_OWN else DONE | SAID_WHY_NOT
        fits = status in fine if allowed else status == 403
        if not fits:
            wrong.append((route.name, method, status))
    assert wrong == []


@pytest.mark.parametrize("role", sorted(set(ROLES) - {"owner"}))
def test_nobody_writes_where_nobody_of_the_role_may_look(role: str, day: Day, client_as):
    client = client_as(role)
    closed = [route for route in GUARDED if role not in (route.roles or ())]
    found = {route.name: asked(client, route.address(day), "post") for route in closed}
    assert {name: status for name, status in found.items() if status not in (403, NO_SUCH_METHOD)} == {}


def test_an_unknown_id_is_not_found(day: Day, client_as):
    client, wrong = client_as("owner"), []
    for route in GUARDED:
        for name in route.parameters:
            if (route.name, name) in NO_ID:
                continue
            address = route.address(day, **{name: UNKNOWN})
            method, status = opened(client, address)
            if status != 404:
                wrong.append((route.name, name, method, status))
    assert wrong == []


def test_no_get_writes_anything(day: Day, client_as):
    """Looking at a page as often as one likes leaves the shop as it was."""
    client = client_as("owner")
    before = day.build.events.count(), day.build.entries.count()
    for route in GUARDED:
        client.get(route.address(day))
    assert (day.build.events.count(), day.build.entries.count()) == before


def test_pages_by_link_ask_for_no_account_and_know_no_other_link(day: Day):
    stranger, by_link = Client(), [route for route in OURS if route.name in BY_LINK]
    assert by_link
    for route in by_link:
        assert stranger.get(route.address(day)).status_code in (200, 503), route.name
        assert stranger.get(route.address(day, token="x" * 22)).status_code == 404, route.name
        assert stranger.post(route.address(day)).status_code in (403, 405), route.name


def test_the_owners_site_is_closed_to_everybody_else(day: Day, client_as):
    index = reverse("admin:index")
    for client in (Client(), client_as("counter"), client_as("builder")):
        assert client.get(index, follow=True).status_code in (200, 403)
        assert b"What is edited a few times a year" not in client.get(index, follow=True).content
    assert client_as("owner").get(index).status_code == 200
