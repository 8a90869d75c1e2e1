from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest
from django.contrib.auth.models import User

from shop.models import Build, Quote, QuoteVersion, Shop
from shop.selectors.customer_page import CustomerPage, customer_page
from shop.services.builds import build_move, build_promise_change
from shop.services.cash_reverse import deposit_correct, entry_reverse
from shop.services.quotes import version_offer, version_revise
from tests.shop.made_builds import make_build
from tests.shop.made_offers import DAY, make_offered, price_of, take
from tests.shop.made_quotes import make_draft, make_sound_draft


@pytest.fixture
def owner(person: Callable[[str], User]) -> User:
    return person("owner")


@pytest.fixture
def version(shop: Shop, morning: datetime) -> QuoteVersion:
    return make_offered(shop)


def papers(page: CustomerPage) -> list[tuple[str, str]]:
    return [(paper.kind, paper.label) for paper in page.papers]


def test_an_offer_before_the_deposit(version: QuoteVersion, set_clock, morning: datetime) -> None:
    page = customer_page(version.quote.link_token)
    assert (page.customer_name, page.title, page.quote_number) == ("Casey Example", "Anvil 500, 1999", "Q-1")
    assert (page.version, page.is_open, page.build, page.money) == (version, True, None, None)
    assert papers(page) == [("quote", "Quote Q-1 version 1")]
    assert page.papers[0].day == DAY
    set_clock(morning + timedelta(days=31))
    assert customer_page(version.quote.link_token).is_open is False


def test_after_the_deposit_both_links_lead_to_the_build(version: QuoteVersion, owner: User) -> None:
    taken = take(version, owner)
    page = customer_page(taken.build.link_token)
    assert page == customer_page(version.quote.link_token)
    assert (page.build, page.is_open, page.steps_done, page.steps) == (taken.build, False, 0, 5)
    assert page.money is not None
    assert page.money.owed == taken.build.total - price_of(version).deposit
    assert [entry.kind for entry in page.promises] == ["first"]
    assert papers(page) == [("receipt", "Receipt R-1"), ("quote", "Quote Q-1 version 1")]


def test_a_new_place_and_a_new_promise_are_shown_with_their_reason(version: QuoteVersion, owner: User) -> None:
    build = take(version, owner).build
    make_build(2)
    build_move(build=build, place=2, reason="you asked for it", person=owner)
    build_promise_change(
        build=build, finish_from=DAY, finish_to=date(2026, 12, 1), reason="motor is late", person=owner
    )
    page = customer_page(build.link_token)
    assert [(move.before, move.after, move.reason) for move in page.moves] == [
        ("place 1", "place 2", "you asked for it")
    ]
    assert [entry.reason for entry in page.promises] == ["", "motor is late"]
    assert page.build is not None
    assert page.build.promised_to == date(2026, 12, 1)


def test_a_corrected_receipt_takes_the_place_of_the_wrong_one(version: QuoteVersion, owner: User) -> None:
    taken = take(version, owner)
    amount = price_of(version).deposit + 5
    deposit_correct(entry=taken.entry, amount=amount, method="cash", reason="typo", person=owner, key="fix")
    page = customer_page(taken.build.link_token)
    assert papers(page)[0] == ("receipt", "Receipt R-2")
    assert page.money is not None
    assert page.money.paid == amount


def test_a_draft_that_was_never_offered_shows_nothing(version: QuoteVersion, owner: User) -> None:
    draft = make_draft("Q-2")
    with pytest.raises(Quote.DoesNotExist):
        customer_page(draft.quote.link_token)
    for token in ("", "nothing", version.quote.public_id, version.public_id):
        with pytest.raises(Quote.DoesNotExist):
            customer_page(token)


def test_a_paper_bears_the_date_on_the_shops_wall(shop: Shop, set_clock) -> None:
    night = datetime(2026, 3, 3, 2, 0, tzinfo=UTC)  # 21:00 on the 2nd in New York
    set_clock(night)
    version = version_offer(version=make_sound_draft(shop, DAY), person=None, now=night)
    assert customer_page(version.quote.link_token).papers[0].day == DAY


def test_a_revision_is_shown_once_it_is_offered(version: QuoteVersion, owner: User) -> None:
    draft = version_revise(version=version, person=owner)
    assert customer_page(version.quote.link_token).version == version
    newer = version_offer(version=draft, person=owner)
    page = customer_page(version.quote.link_token)
    assert (page.version, page.is_open) == (newer, True)
    assert papers(page) == [("quote", "Quote Q-1 version 2"), ("quote", "Quote Q-1 version 1")]


def test_after_a_reversal_the_newest_build_counts(version: QuoteVersion, owner: User) -> None:
    first = take(version, owner)
    entry_reverse(entry=first.entry, reason="bounced", person=owner, key="undo")
    page = customer_page(version.quote.link_token)
    assert page.build is not None
    assert (page.build.state, page.money and page.money.owed) == ("cancelled", Decimal(0))
    newer = version_offer(version=version_revise(version=version, person=owner), person=owner)
    page = customer_page(version.quote.link_token)
    assert (page.build, page.version, page.is_open) == (None, newer, True)
    second = take(newer, owner, "again")
    assert customer_page(version.quote.link_token).build == second.build
    assert customer_page(first.build.link_token).build == first.build


def test_the_page_carries_none_of_the_shops_own_figures(version: QuoteVersion, owner: User) -> None:
    take(version, owner)
    page = customer_page(version.quote.link_token)
    assert {field.name for field in fields(page)} == {
        "customer_name", "title", "quote_number", "version", "is_open", "build", "steps_done", "steps", "promises",
        "moves", "money", "papers", "change",
    }  # fmt: skip
    # What was frozen holds costs and margins: it is not even read.
    assert page.version.get_deferred_fields() == {"request", "result"}
    assert Build.objects.get().version_id == page.version.pk
