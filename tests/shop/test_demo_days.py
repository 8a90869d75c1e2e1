"""The demo on other days than the one the other tests load it on, each into empty tables. On demand: -m slow."""

from __future__ import annotations

import io
from collections import Counter
from datetime import date, datetime, time, timedelta

import pytest
from django.core.management import call_command

from shop.demo.clock import ZONE, moment_is
from shop.demo.whole import load_demo
from shop.models import Build, QuoteVersion
from shop.selectors.orders import late_lines

pytestmark = [pytest.mark.slow, pytest.mark.django_db]


@pytest.mark.parametrize("away", range(7))
def test_it_can_be_loaded_on_any_day_of_the_week(away):
    day = date(2027, 11, 3) + timedelta(days=away)  # the week in which clocks go back in New York, on 7 November
    with moment_is(datetime.combine(day, time(12), tzinfo=ZONE)):
        load_demo(day)
        assert len({due.line.order_id for due in late_lines()}) == 3
        states = Counter(Build.objects.values_list("state", flat=True))
        assert (states["ready"], states["testing"], states["handed_over"]) == (1, 1, 6)
        assert QuoteVersion.objects.filter(state="lapsed").count() == 1


def test_it_says_what_it_made_only_when_asked():
    said = io.StringIO()
    day = date(2026, 3, 4)
    with moment_is(datetime.combine(day, time(12), tzinfo=ZONE)):
        call_command("loaddemo", day=day, verbosity=1, stdout=said)
    assert said.getvalue().startswith("Saltmarsh Cycle Works (demo data): 9 donor families, 20 donors, 14 customers")
