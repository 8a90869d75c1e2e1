"""Lead times measured from past orders, order-by days at a chosen chance, reorder points."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime, timedelta
from decimal import Decimal

import pytest

from shop.models import Component, Offer, Shop, StockMove
from shop.selectors.lead_history import lead_at, lead_spread, measured_leads
from shop.selectors.plan import line_plan
from shop.selectors.reorder import reorder_rows
from shop.selectors.to_order import to_order
from tests.shop.made_builds import make_day_build, make_need, make_order, make_order_line
from tests.shop.made_offers import MORNING, make_part
from tests.shop.queries import queries_of

Clock = Callable[[datetime], None]


@pytest.fixture
def motor(shop: Shop, morning: datetime) -> Component:
    return make_part("MOT-1")


def came(component: Component, days: int, number: int) -> None:
    """An order of `days` ago that has come today."""
    order = make_order(f"P-{number}", ordered_on=MORNING.date() - timedelta(days=days), state="received")
    line = make_order_line(component, 1, order=order)
    StockMove.objects.create(component=component, kind="received", on_hand=Decimal(1), order_line=line)


def test_measured_from_past_deliveries_once_there_are_five(motor: Component):
    """10, 12, 14, 16, 18 days: mean 14, deviation sqrt((16 + 4 + 0 + 4 + 16)/4) = 3.162; at 90 %: 14 + 1.2816 x 3.162
    = 18.05, so 19 days.
    """
    offer = Offer.objects.get(component=motor)
    for number, days in enumerate((10, 12, 14, 16), start=1):
        came(motor, days, number)
    key = (offer.supplier_id, motor.pk)
    few = measured_leads()[key]
    # four are too few: the quoted 10, 14, 28 days count, PERT mean (10 + 56 + 28)/6 = 15.67, deviation 18/6 = 3
    assert lead_spread(offer, few) == pytest.approx((15.667, 3.0), abs=0.001)
    quoted = lead_at(offer, few, 90)
    assert quoted is not None
    assert (quoted.basis, 15 < quoted.days <= 28) == ("quoted", True)
    came(motor, 18, 5)
    measured = measured_leads(components=[motor.pk])[key]
    assert (measured.deliveries, measured.mean_days, measured.least_days, measured.most_days) == (5, 14, 10, 18)
    assert measured.sd_days == pytest.approx(3.162, abs=0.001)
    found = lead_at(offer, measured, 90)
    assert found is not None
    assert (found.days, found.basis) == (19, "measured")


def test_one_quoted_figure_has_no_spread(motor: Component):
    Offer.objects.update(lead_low_days=None, lead_high_days=None)
    offer = Offer.objects.get()
    found = lead_at(offer, None, 95)
    assert found is not None
    assert (found.days, found.basis) == (14, "likely")
    offer.lead_days = None
    assert (lead_at(offer, None, 95), lead_spread(offer, None)) == (None, None)


def test_the_order_by_day_says_how_it_came_about(motor: Component):
    """Promised for Friday the 29th of May, one day's work: the motor has to be at the bench that morning or the day
    before; a day of handling and 28 quoted days at the slowest before that.
    """
    build = make_day_build(promised_from=date(2026, 5, 4), promised_to=date(2026, 5, 29))
    make_need(build, motor, 1, "wiring")
    slow = to_order()[0].wanted[0].figures
    assert slow is not None
    assert slow.order_by == slow.needed - timedelta(days=1 + 28)
    assert slow.slack_days == (slow.order_by - date(2026, 3, 2)).days
    half = to_order(sure_percent=50)[0]
    figures = half.wanted[0].figures
    assert figures is not None
    assert (figures.needed, half.order_by) == (slow.needed, figures.order_by)
    assert figures.order_by == slow.needed - timedelta(days=1 + figures.lead_days)
    assert 14 < figures.lead_days < 28  # PERT's median of 10, 14, 28 lies above the likely figure


def test_three_paid_builds_and_one_motor_on_the_shelf(shop: Shop, morning: datetime):
    """Common practice, no source: the first in line takes the motor; the other two wait the 45 days of the supplier
    from the day it is ordered. Today is the 2nd of March: 45 days on is the 16th of April, a day of handling the 17th.
    Each has to be ordered 45 + 1 days before its day at the bench.
    """
    motor = make_part("MOT-1")
    Offer.objects.update(lead_low_days=45, lead_days=45, lead_high_days=45)
    StockMove.objects.create(component=motor, kind="received", on_hand=Decimal(1))
    for place in (1, 2, 3):
        build = make_day_build(place, promised_from=date(2026, 3, 2), promised_to=date(2026, 6, 5))
        make_need(build, motor, 1, "wiring")
    plan = line_plan()
    parts = [build.parts[0] for build in plan.builds]
    assert [part.origin for part in parts] == ["stock", "to_order", "to_order"]
    assert [part.ready for part in parts[1:]] == [date(2026, 4, 17)] * 2
    assert [build.steps[0].start.date() >= date(2026, 4, 17) for build in plan.builds] == [False, True, True]
    third = plan.builds[2]
    assert "hub motor" in " ".join(reason.text for reason in third.reasons)
    assert third.finish_from is not None
    assert third.finish_from >= date(2026, 4, 17)
    row = to_order(plan)[0]
    assert row.needed == 2
    for each in row.wanted:
        assert each.figures is not None
        assert each.figures.order_by == each.figures.needed - timedelta(days=45 + 1)


def test_queries_stay_flat(motor: Component):
    make_need(make_day_build(1), motor, 1, "wiring")
    few = queries_of(lambda: to_order(sure_percent=90))
    for place in range(2, 12):
        make_need(make_day_build(place), motor, 1, "wiring")
        came(motor, 10 + place, place)
    assert queries_of(lambda: to_order(sure_percent=90)) == few


def test_a_reorder_point_from_use_and_lead_time(motor: Component, set_clock: Clock):
    """Used on 4 days, 1 each, over the 100 days since the first move: d = 0.04 a day, deviation
    sqrt(4/100 - 0.04^2) = 0.19596. Lead 15.667 days, deviation 3 (quoted 10, 14, 28). At 95 %, z = 1.6449:
    safety = 1.6449 sqrt(15.667 x 0.0384 + 0.04^2 x 9) = 1.6449 sqrt(0.60160 + 0.0144) = 1.2910;
    point = 0.04 x 15.667 + 1.2910 = 1.918, so 2.
    """
    need = make_need(make_day_build(), motor, 4)
    set_clock(MORNING - timedelta(days=100))
    StockMove.objects.create(component=motor, kind="received", on_hand=Decimal(9))
    for days in (80, 60, 40, 20):
        set_clock(MORNING - timedelta(days=days))
        StockMove.objects.create(component=motor, kind="issued", on_hand=Decimal(-1), need=need)
    set_clock(MORNING)
    row = reorder_rows(95)[0]
    assert (row.used, row.days, row.demand) == (Decimal(4), 100, 0.04)
    assert row.demand_sd == pytest.approx(0.19596, abs=1e-5)
    assert row.safety == pytest.approx(1.2910, abs=1e-3)
    assert (row.point, row.differs) == (Decimal(2), True)
    assert len(reorder_rows(95)) == 1
