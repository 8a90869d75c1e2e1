"""Posted rows and offered versions can't be edited or deleted, whichever way Python is gone around."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

import pytest
from django.db import IntegrityError, connection, models, transaction

from shop.models import (
    DocumentFacts,
    EntryTax,
    Event,
    ExpectedDateChange,
    IssuedPaper,
    LedgerEntry,
    Lending,
    PaperFile,
    Posting,
    PromiseEntry,
    QuoteVersion,
    StockMove,
    UnitMove,
)
from shop.models.triggers import APPEND_ONLY
from tests.shop.made_builds import make_accepted, make_build, make_order_line
from tests.shop.made_parts import make_component, receive
from tests.shop.made_quotes import make_draft
from tests.shop.made_shop import make_customer
from tests.shop.models.rows import MAKERS, a_move, a_unit


def an_entry() -> LedgerEntry:
    build = make_build()
    return LedgerEntry.objects.create(
        number=1,
        kind="deposit",
        day=date(2026, 3, 2),
        build=build,
        customer=build.customer,
        method="cash",
        receipt="R-1",
        key="k",
    )


def a_posting() -> Posting:
    return Posting.objects.create(entry=an_entry(), debit="cash", credit="deposits", amount=Decimal(100))


def a_promise() -> PromiseEntry:
    days = {"finish_from": date(2026, 5, 4), "finish_to": date(2026, 5, 20)}
    return PromiseEntry.objects.create(build=make_build(), kind="first", revision=1, **days)


def a_date_change() -> ExpectedDateChange:
    return ExpectedDateChange.objects.create(line=make_order_line(make_component("MOT-1"), 1), reason="six more weeks")


def a_tax() -> EntryTax:
    amounts = {"taxable": Decimal(100), "amount": Decimal(6)}
    return EntryTax.objects.create(entry=an_entry(), position=1, authority="State", level="state", **amounts)


def a_file() -> PaperFile:
    return PaperFile.objects.create(sha256="0" * 64, data=b"%PDF-1.7")


def a_paper() -> IssuedPaper:
    return IssuedPaper.objects.create(kind="receipt", entry=an_entry(), file=a_file())


def some_facts() -> DocumentFacts:
    return DocumentFacts.objects.create(entry=an_entry(), facts={"place": 7})


def a_unit_move() -> UnitMove:
    return UnitMove.objects.create(unit=a_unit(), move=a_move())


def a_lending() -> Lending:
    return Lending.objects.create(**MAKERS[Lending]())


# A posted row of each table, and a value to change in it.
POSTED: dict[str, tuple[Callable[[], models.Model], dict[str, Any]]] = {
    "shop_ledgerentry": (an_entry, {"reference": "changed"}),
    "shop_posting": (a_posting, {"amount": Decimal(1)}),
    "shop_entrytax": (a_tax, {"amount": Decimal(1)}),
    "shop_paperfile": (a_file, {"data": b"another"}),
    "shop_issuedpaper": (a_paper, {"kind": "void"}),
    "shop_stockmove": (lambda: receive(make_component("MOT-1"), 1), {"reason": "changed"}),
    "shop_event": (lambda: Event.objects.create(verb="did", subject="Q-1"), {"reason": "changed"}),
    "shop_promiseentry": (a_promise, {"reason": "changed"}),
    "shop_expecteddatechange": (a_date_change, {"reason": "changed"}),
    "shop_documentfacts": (some_facts, {"facts": {"place": 1}}),
    "shop_unitmove": (a_unit_move, {"unit": None}),
    "shop_lending": (a_lending, {"reason": "changed"}),
}


def test_every_append_only_table_is_tried_here() -> None:
    assert set(POSTED) == set(APPEND_ONLY)


@pytest.mark.django_db
@pytest.mark.parametrize("table", APPEND_ONLY)
def test_a_posted_row_cannot_be_changed_or_deleted(table: str) -> None:
    make, changed = POSTED[table]
    row = make()
    manager = type(row)._default_manager
    with pytest.raises(IntegrityError, match="posted rows stay as they are"), transaction.atomic():
        manager.filter(pk=row.pk).update(**changed)
    with pytest.raises(IntegrityError, match="posted rows stay as they are"), transaction.atomic():
        manager.filter(pk=row.pk).delete()
    with pytest.raises(IntegrityError), transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(f"DELETE FROM {table}")  # noqa: S608  a name from our own list
    assert manager.filter(pk=row.pk).exists()


@pytest.fixture
def offered(db: None) -> QuoteVersion:
    return make_accepted("Q-1", make_customer(), option="", state="offered", request={"a": 1}, result={"b": 2})


FROZEN_CHANGES: list[dict[str, Any]] = [
    {"request": {"a": 2}},
    {"result": {"b": 3}},
    {"result": None},
    {"number": 7},
    {"offered_at": datetime(2026, 1, 1, tzinfo=UTC)},
    {"valid_until": date(2030, 1, 1)},
    {"state": "draft", "offered_at": None, "request": None, "result": None},
]


@pytest.mark.parametrize("changed", FROZEN_CHANGES, ids=lambda changed: ",".join(changed))
def test_what_was_offered_stays_as_it_was(offered: QuoteVersion, changed: dict[str, Any]) -> None:
    with pytest.raises(IntegrityError), transaction.atomic():
        QuoteVersion.objects.filter(pk=offered.pk).update(**changed)
    offered.refresh_from_db()
    assert (offered.request, offered.result, offered.state) == ({"a": 1}, {"b": 2}, "offered")


def test_an_offered_version_cannot_be_deleted(offered: QuoteVersion) -> None:
    with pytest.raises(IntegrityError, match="an offered version stays as it is"), transaction.atomic():
        QuoteVersion.objects.filter(pk=offered.pk).delete()
    with pytest.raises(IntegrityError), transaction.atomic():
        offered.quote.delete()


@pytest.mark.parametrize(
    "changed",
    [{"state": "declined"}, {"state": "lapsed"}, {"state": "replaced"}, {"state": "accepted", "accepted_option": "A"}],
    ids=lambda changed: changed["state"],
)
def test_an_offered_version_moves_on(offered: QuoteVersion, changed: dict[str, Any]) -> None:
    QuoteVersion.objects.filter(pk=offered.pk).update(**changed)
    offered.refresh_from_db()
    assert offered.state == changed["state"]


@pytest.mark.django_db
def test_a_draft_is_edited_and_deleted_freely() -> None:
    draft = make_draft()
    QuoteVersion.objects.update(note="changed")
    draft.refresh_from_db()
    assert draft.note == "changed"
    draft.delete()
    assert not QuoteVersion.objects.exists()


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("turn", ["first", "second"])
def test_tests_with_real_transactions_start_with_empty_tables_and_the_triggers_in_place(turn: str) -> None:
    assert not StockMove.objects.exists()
    receive(make_component("MOT-1"), 1)
    with pytest.raises(IntegrityError, match="posted rows stay as they are"):
        StockMove.objects.all().delete()
