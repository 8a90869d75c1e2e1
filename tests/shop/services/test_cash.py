from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.core.exceptions import ValidationError

from quoting import from_json
from quoting.result import QuoteResult
from shop.models import (
    Build,
    BuildStep,
    Component,
    Event,
    LedgerEntry,
    PartNeed,
    Posting,
    PromiseEntry,
    QuoteVersion,
    Sequence,
    Shop,
    Skill,
    StockMove,
)
from shop.services import cash
from shop.services.cash import deposit_take
from shop.services.errors import Refused
from shop.services.quotes import version_decline, version_offer, version_revise
from tests.shop.made_offers import DAY, make_offered, price_of, take
from tests.shop.made_parts import SOUND, receive
from tests.shop.made_quotes import make_sound_draft

LEFT_BY_A_DEPOSIT = (Build, BuildStep, PartNeed, PromiseEntry, LedgerEntry, Posting, StockMove)


@pytest.fixture
def version(shop: Shop, morning: datetime) -> QuoteVersion:
    return make_offered(shop)


@pytest.fixture
def till(person: Callable[[str], User]) -> User:
    return person("counter")


def refused(version: QuoteVersion, till: User, **changed: Any) -> Refused:
    """Taking is refused and leaves nothing behind."""
    rows = [model._default_manager.count() for model in (*LEFT_BY_A_DEPOSIT, Event)]
    state = QuoteVersion.objects.get(pk=version.pk).state
    with pytest.raises(Refused) as caught:
        take(version, till, **changed)
    assert [model._default_manager.count() for model in (*LEFT_BY_A_DEPOSIT, Event)] == rows
    assert QuoteVersion.objects.get(pk=version.pk).state == state
    return caught.value


def test_a_deposit_accepts_the_version_and_books_the_money(version: QuoteVersion, till: User) -> None:
    taken = take(version, till, reference="drawer 2")
    version.refresh_from_db()
    assert (version.state, version.accepted_option) == ("accepted", "A")
    entry, build = taken.entry, taken.build
    assert taken.created
    assert (entry.kind, entry.number, entry.receipt, entry.day) == ("deposit", 1, "R-1", DAY)
    assert (entry.method, entry.reference, entry.person, entry.build) == ("cash", "drawer 2", till, build)
    assert entry.customer == version.quote.customer
    posting = entry.postings.get()
    assert (posting.debit, posting.credit, posting.amount) == ("cash", "deposits", price_of(version).deposit)
    assert (build.number, build.place, build.state, build.total) == ("B-1", 1, "in_line", price_of(version).due)
    assert build.title == "Anvil 500, 1999, Back road"


def test_the_build_takes_its_steps_and_parts_from_the_frozen_quote(version: QuoteVersion, till: User) -> None:
    version.options.get().parts.all().delete()  # what is edited later does not count
    build = take(version, till).build
    rows = build.steps.values_list("position", "code", "skill__code", "likely_h")[1:3]
    assert list(rows) == [(2, "mounts", "fabrication", Decimal(12)), (3, "pack", "electric", Decimal(14))]
    needs = {need.component.code: need for need in build.needs.select_related("component")}
    assert needs.keys() == SOUND.keys()
    assert (needs["CEL-1"].quantity, needs["CEL-1"].step_code) == (Decimal(480), "pack")
    assert (needs["MOT-1"].quantity, needs["MOT-1"].step_code) == (Decimal(1), "wiring")
    assert needs["LMP-1"].step_code == ""  # no step names lamps: the plan takes them for the first one on a bench


def test_hours_set_by_hand_keep_the_spread_of_the_estimate(shop: Shop, morning: datetime, till: User) -> None:
    draft = make_sound_draft(shop, DAY)
    draft.options.get().steps.filter(code="mounts").update(hours=Decimal(24))
    offered = version_offer(version=draft, person=None, now=morning)
    mounts = take(offered, till).build.steps.get(code="mounts")
    # 8, 12, 18 h estimated; 24 h is twice the likely 12 h.
    assert (mounts.low_h, mounts.likely_h, mounts.high_h) == (Decimal(16), Decimal(24), Decimal(36))
    assert mounts.quoted_h == 24


def test_the_first_promise_is_written_down(version: QuoteVersion, till: User) -> None:
    build = take(version, till).build
    entry = build.promises.get()
    assert (entry.kind, entry.finish_from, entry.finish_to) == ("first", build.promised_from, build.promised_to)
    assert entry.revision == 1
    # Nothing is on the shelf: 14 days of lead time, a day of goods-in, then at least the 26 h of pack, wiring and test.
    assert entry.finish_from > DAY + timedelta(days=14 + 1)
    event = Event.objects.get(verb="deposit taken")
    assert (event.subject, event.quote, event.build, event.person) == ("B-1", version.quote, build, till)
    assert event.after == f"{price_of(version).deposit} USD, place 1, {entry.finish_from} to {entry.finish_to}"


def test_the_same_press_again_takes_nothing(version: QuoteVersion, till: User) -> None:
    first = take(version, till)
    again = take(version, till)
    assert (again.entry, again.build, again.created) == (first.entry, first.build, False)
    assert (
        LedgerEntry.objects.count() == Build.objects.count() == Event.objects.filter(verb="deposit taken").count() == 1
    )


def test_the_same_key_with_another_amount_is_refused(version: QuoteVersion, till: User) -> None:
    amount = price_of(version).deposit
    take(version, till)
    assert "entry 1 of the cash book" in refused(version, till, amount=amount + 1).message
    assert "entry 1 of the cash book" in refused(version, till, method="card").message


def test_a_second_till_with_its_own_key_is_refused(version: QuoteVersion, till: User) -> None:
    take(version, till)
    answer = refused(version, till, key="till-2")
    assert answer.message == "Q-1 version 1 was accepted already: build B-1. Its deposit is in the cash book."


def test_a_draft_is_not_taken_for(shop: Shop, morning: datetime, till: User) -> None:
    draft = make_sound_draft(shop, DAY)
    with pytest.raises(Refused, match="is draft"):
        deposit_take(version=draft, option_key="A", amount=Decimal(100), method="cash", person=till, key="k")


def test_a_declined_version_is_not_taken_for(version: QuoteVersion, till: User) -> None:
    version_decline(version=version, person=till)
    assert "is declined" in refused(version, till).message


def test_a_version_is_taken_for_until_its_last_day_and_no_longer(version: QuoteVersion, till: User, set_clock) -> None:
    assert version.valid_until == date(2026, 4, 1)  # 2 March + 30 days
    set_clock(datetime(2026, 4, 2, 4, 0, tzinfo=UTC))  # midnight in New York
    assert refused(version, till).message.startswith("Q-1 version 1 was valid until 2026-04-01. Revise it")
    set_clock(datetime(2026, 4, 2, 3, 59, tzinfo=UTC))  # 23:59 on the 1st
    assert take(version, till).created


def test_the_older_version_counts_while_the_next_is_a_draft(version: QuoteVersion, till: User) -> None:
    version_revise(version=version, person=till)
    assert take(version, till).created


def test_an_option_that_is_not_there(version: QuoteVersion, till: User) -> None:
    answer = refused(version, till, option_key="B")
    assert (answer.message, answer.field) == ("There is no option B. Choose one of A.", "option_key")


@pytest.mark.parametrize(
    ("amount", "said"),
    [
        ("4000.005", "more decimals than USD has"),
        ("0", "more than zero"),
        ("-1", "more than zero"),
        ("NaN", "decimals"),
        ("Infinity", "decimals"),
    ],
)
def test_what_is_no_amount(version: QuoteVersion, till: User, amount: str, said: str) -> None:
    answer = refused(version, till, amount=Decimal(amount))
    assert said in answer.message
    assert answer.field == "amount"


def test_the_whole_price_can_be_taken_and_not_a_cent_more(version: QuoteVersion, till: User) -> None:
    due = price_of(version).due
    assert refused(version, till, amount=due + Decimal("0.01")).field == "amount"
    assert take(version, till, amount=due).created


def test_less_than_the_policy_is_the_owners_to_allow(version: QuoteVersion, till: User, person) -> None:
    less = price_of(version).deposit - Decimal("0.01")
    assert refused(version, till, amount=less).field == "amount"
    assert refused(version, till, amount=less, allow_less=True).message.endswith("The owner may take less.")
    owner = person("owner")
    assert refused(version, owner, amount=less).field == "amount"  # not by accident
    assert take(version, owner, amount=less, allow_less=True).created


def test_how_it_was_paid_and_when(version: QuoteVersion, till: User) -> None:
    assert refused(version, till, method="barter").field == "method"
    assert refused(version, till, received_on=DAY + timedelta(days=1)).field == "received_on"
    with pytest.raises(ValidationError) as caught:
        take(version, till, reference="x" * 81)
    assert "reference" in caught.value.error_dict
    assert not LedgerEntry.objects.exists()
    taken = take(version, till, method="checks", received_on=DAY - timedelta(days=3))
    assert taken.entry.day == DAY - timedelta(days=3)
    assert taken.entry.postings.get().debit == "checks"


def test_the_promise_is_worked_out_when_the_money_comes(version: QuoteVersion, till: User, set_clock) -> None:
    set_clock(datetime(2026, 3, 16, 14, 0, tzinfo=UTC))  # two weeks later: parts ordered now come two weeks later
    build = take(version, till).build
    promise = from_json(QuoteResult, version.result).options[0].promise
    assert promise is not None
    assert promise.finish_from is not None
    assert build.promised_from == promise.finish_from + timedelta(days=14)


def test_what_left_the_catalogue_or_the_settings_is_refused(version: QuoteVersion, till: User) -> None:
    Component.objects.filter(code="MOT-1").update(code="MOT-9")
    assert refused(version, till).message == "No longer in the catalogue: MOT-1. Revise the quote."
    Component.objects.filter(code="MOT-9").update(code="MOT-1")
    Skill.objects.filter(code="electric").update(code="wiring")
    assert refused(version, till).message == "The shop no longer has the skill electric. Revise the quote."


def test_without_a_date_no_place_is_given(version: QuoteVersion, till: User) -> None:
    Component.objects.get(code="MOT-1").offers.all().delete()
    answer = refused(version, till)
    assert answer.message.startswith("There is no finish date to promise. hub motor 10 kW 72 V is not on the shelf")


def test_stock_is_kept_for_the_new_build(version: QuoteVersion, till: User) -> None:
    motor, cell = Component.objects.get(code="MOT-1"), Component.objects.get(code="CEL-1")
    receive(motor, 3)
    receive(cell, 100)
    build = take(version, till).build
    kept = {move.component.code: move for move in StockMove.objects.filter(kind="reserved").select_related("component")}
    assert {code: move.reserved for code, move in kept.items()} == {"MOT-1": Decimal(1), "CEL-1": Decimal(100)}
    assert {move.need and move.need.build for move in kept.values()} == {build}


@pytest.mark.parametrize("step", ["build_make", "promise_write", "deposit_post", "stock_allot", "event_write"])
def test_a_failure_anywhere_leaves_nothing(
    version: QuoteVersion, till: User, step: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    receive(Component.objects.get(code="MOT-1"), 1)
    real = getattr(cash, step)

    def fail_after(*args: object, **kwargs: object) -> None:
        real(*args, **kwargs)
        raise OSError("the disk is full")

    monkeypatch.setattr(cash, step, fail_after)
    with pytest.raises(OSError, match="full"):
        take(version, till)
    monkeypatch.undo()
    for model in LEFT_BY_A_DEPOSIT:
        assert model._default_manager.exclude(pk=StockMove.objects.get().pk if model is StockMove else 0).count() == 0
    assert not Sequence.objects.filter(name__in=["build", "receipt", "entry"], next_number__gt=1).exists()
    version.refresh_from_db()
    assert (version.state, version.accepted_option) == ("offered", "")


def test_after_a_failure_the_same_press_works_and_no_number_is_missing(
    version: QuoteVersion, till: User, morning: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(**_: object) -> None:
        raise OSError("the disk is full")

    with monkeypatch.context() as patch:
        patch.setattr(cash, "event_write", fail)
        with pytest.raises(OSError, match="full"):
            take(version, till)
    taken = take(version, till)
    assert (taken.created, taken.entry.number, taken.entry.receipt, taken.build.number) == (True, 1, "R-1", "B-1")
