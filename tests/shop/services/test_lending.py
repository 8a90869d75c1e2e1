"""A unit kept for one build handed to another."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal

import pytest
from django.db.models import QuerySet

from shop.models import Build, Component, Event, Lending, PartNeed, Shop, StockUnit
from shop.selectors.balances import pinned_units, reserved_by_need
from shop.selectors.lending import borrowers, lending_preview
from shop.selectors.plan import line_plan
from shop.services.errors import Refused
from shop.services.lending import part_lend
from shop.services.stock_count import stock_count, stock_receive
from shop.services.stock_issue import stock_issue
from shop.services.unit_choice import need_units_set
from tests.shop.made_builds import make_day_build, make_need
from tests.shop.made_offers import make_part

ONE, TWO = Decimal(1), Decimal(2)


@pytest.fixture
def motor(shop: Shop, morning: datetime) -> Component:
    return make_part("MOT-1")


@pytest.fixture
def needs(motor: Component) -> list[PartNeed]:
    """Three builds of a day's work each need a motor; the first has it, the rest wait two weeks. Promised with room."""
    made = [
        make_need(
            make_day_build(place, promised_from=date(2026, 3, 2), promised_to=date(2026, 5, 29)), motor, 1, "wiring"
        )
        for place in (1, 2, 3)
    ]
    stock_receive(component=motor, quantity=ONE, serials=["M-1"], person=None)
    return made


def kept(needs: list[PartNeed]) -> list[int]:
    sums = reserved_by_need()
    return [int(sums.get(need.pk, 0)) for need in needs]


def promised(need: PartNeed, day: date) -> None:
    rows: QuerySet[Build] = Build.objects.filter(pk=need.build_id)
    rows.update(promised_to=day)


def lend(needs: list[PartNeed], fro: int, to: int, key: str = "k", **changed: str) -> Lending:
    said = {"reason": "customer leaves on Friday", **changed}
    return part_lend(lender=needs[fro], borrower=needs[to], quantity=ONE, person=None, key=key, **said)


def test_it_stays_with_the_borrower_whoever_stands_ahead(needs: list[PartNeed], motor: Component):
    assert [row.need for row in borrowers(needs[0])] == needs[1:]
    for _ in range(2):
        lend(needs, 0, 2)
    assert (kept(needs), Lending.objects.count()) == ([0, 0, 1], 1)
    plan = line_plan()
    finishes = [build.finish_from for build in plan.builds]
    # the third needs no delivery any more: its day's work comes before those that wait for one
    assert finishes[2] is not None
    assert finishes[0] is not None
    assert finishes[2] < finishes[0]
    stock_receive(component=motor, quantity=ONE, person=None)  # the next goes to the lender: it is first in line
    assert kept(needs) == [1, 0, 1]
    stock_issue(need=needs[2], person=None)
    assert (kept(needs), pinned_units()) == ([1, 0, 0], {})


def test_the_preview_names_who_moves_and_the_log_says_why(needs: list[PartNeed]):
    preview = lending_preview(needs[0], needs[2], ONE)
    # the second waits for its own motor, and then for the bench the first now takes at that time
    assert [change.build.pk for change in preview.changes] == [need.build_id for need in needs]
    later, _, sooner = (change.days_later for change in preview.changes)
    assert later is not None
    assert sooner is not None
    assert (later > 0, sooner < 0, preview.breaks) == (True, True, ())
    lend(needs, 0, 2)
    events = Event.objects.filter(verb="part lent").order_by("pk")
    assert [(event.build, event.reason) for event in events] == [
        (needs[0].build, "customer leaves on Friday"),
        (needs[2].build, "customer leaves on Friday"),
    ]


def test_a_broken_promise_stops_it_unless_it_is_said_why(needs: list[PartNeed]):
    """The first build takes a day; promised within the week, it would wait two weeks for the next motor."""
    promised(needs[0], date(2026, 3, 9))
    with pytest.raises(Refused, match="breaks the promise to B-1001") as refused:
        lend(needs, 0, 2)
    assert (refused.value.field, kept(needs)) == ("override", [1, 0, 0])
    made = lend(needs, 0, 2, override="both customers agreed")
    assert (made.override, kept(needs)) == ("both customers agreed", [0, 0, 1])


def test_what_cannot_be_handed_over(needs: list[PartNeed], motor: Component):
    with pytest.raises(Refused, match="Say why it goes"):
        lend(needs, 0, 1, reason=" ")
    with pytest.raises(Refused, match="0 are kept for B-1002"):
        lend(needs, 1, 2)
    with pytest.raises(Refused, match="another build that needs the same part"):
        lend(needs, 0, 0)
    stock_receive(component=motor, quantity=TWO, person=None)
    with pytest.raises(Refused, match="B-1003 lacks 0"):
        lend(needs, 0, 2)


def test_lent_on_it_is_the_last_ones(needs: list[PartNeed]):
    lend(needs, 0, 2)
    lend(needs, 2, 1, key="l")
    assert kept(needs) == [0, 1, 0]
    lend(needs, 1, 0, key="m")  # and back to whom it came from
    assert kept(needs) == [1, 0, 0]


def test_a_missing_unit_is_missing_at_the_borrower_too(needs: list[PartNeed], motor: Component):
    need_units_set(need=needs[0], serials=["M-1"], person=None)
    lend(needs, 0, 2)
    assert StockUnit.objects.get().need is None  # it was chosen for the lender
    stock_count(component=motor, counted=Decimal(0), reason="gone", person=None)
    assert (kept(needs), pinned_units()) == ([0, 0, 0], {})
