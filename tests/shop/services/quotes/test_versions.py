from __future__ import annotations

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest

from shop.models import CheckDecision, Event, QuoteVersion, Shop
from shop.services.errors import Refused
from shop.services.quotes import (
    part_change,
    quote_set_customer,
    quote_set_donor,
    quote_set_job,
    quote_set_note,
    quote_set_wishes,
    version_decline,
    version_offer,
    version_revise,
    versions_lapse,
)
from tests.shop.made_quotes import make_draft, make_sound_draft

NOW = datetime(2026, 3, 2, 15, 0, tzinfo=UTC)
DAY = date(2026, 3, 2)


@pytest.fixture
def offered(shop: Shop) -> QuoteVersion:
    version = make_sound_draft(shop, DAY)
    quote_set_wishes(version=version, town_km=40.0, person=None)
    quote_set_note(version=version, note="Ready for spring.", person=None)
    return version_offer(version=version, person=None, now=NOW)


def test_a_revision_is_a_copy_that_can_be_edited_while_the_original_stays(offered: QuoteVersion) -> None:
    CheckDecision.objects.create(option=offered.options.get(), rule="vin", reason="seen")
    draft = version_revise(version=offered, person=None)
    assert (draft.number, draft.state, draft.request, draft.result) == (2, "draft", None, None)
    assert (draft.town_km, draft.note, draft.tax_place) == (40.0, "Ready for spring.", offered.tax_place)
    option = draft.options.get()
    assert (option.parts.count(), option.steps.count(), option.decisions.count()) == (19, 5, 1)
    part_change(part=option.parts.get(component__code="CAB-B"), quantity=Decimal(5), person=None)
    assert offered.options.get().parts.get(component__code="CAB-B").quantity == 3
    event = Event.objects.get(verb="version started")
    assert (event.before, event.after) == ("Q-1 version 1", "Q-1 version 2")


def test_one_draft_at_a_time(offered: QuoteVersion) -> None:
    version_revise(version=offered, person=None)
    with pytest.raises(Refused, match="Q-1 version 2 is a draft already"):
        version_revise(version=offered, person=None)


def test_an_accepted_quote_is_not_revised(offered: QuoteVersion) -> None:
    offered.state, offered.accepted_option = "accepted", "A"
    offered.save()
    with pytest.raises(Refused, match=r"is accepted and being built. Begin a change order"):
        version_revise(version=offered, person=None)


def test_customer_bike_and_job_stay_once_it_was_offered(offered: QuoteVersion) -> None:
    version_revise(version=offered, person=None)
    quote = offered.quote
    edits = [
        lambda: quote_set_customer(quote=quote, customer=None, person=None),
        lambda: quote_set_donor(quote=quote, donor=None, person=None),
        lambda: quote_set_job(quote=quote, job="service", person=None),
    ]
    for edit in edits:
        with pytest.raises(Refused, match="Q-1 has been offered"):
            edit()


def test_declining_keeps_the_reason_and_may_be_pressed_twice(offered: QuoteVersion, person) -> None:
    counter = person("counter")
    version_decline(version=offered, reason=" too dear ", person=counter)
    assert version_decline(version=offered, reason="again", person=counter).state == "declined"
    event = Event.objects.get(verb="version declined")
    assert (event.reason, event.person) == ("too dear", counter)


def test_a_draft_cannot_be_declined(shop: Shop) -> None:
    with pytest.raises(Refused, match="only an offered version can be declined"):
        version_decline(version=make_draft(), person=None)


def test_offers_lapse_the_day_after_their_last(offered: QuoteVersion) -> None:
    # Offered 2 March for 30 days: valid until 1 April, that day included.
    assert versions_lapse(date(2026, 4, 1)) == 0
    assert versions_lapse(date(2026, 4, 2)) == 1
    offered.refresh_from_db()
    assert offered.state == "lapsed"
    event = Event.objects.get(verb="version lapsed")
    assert (event.person, event.subject, event.reason) == (None, "Q-1", "valid until 2026-04-01")
    assert versions_lapse(date(2026, 4, 2)) == 0


def test_a_lapsed_offer_can_be_made_again(offered: QuoteVersion) -> None:
    versions_lapse(date(2026, 4, 2))
    again = version_offer(
        version=version_revise(version=offered, person=None), person=None, now=datetime(2026, 4, 10, 15, tzinfo=UTC)
    )
    assert (again.number, again.valid_until) == (2, date(2026, 5, 10))
    offered.refresh_from_db()
    assert offered.state == "lapsed"
