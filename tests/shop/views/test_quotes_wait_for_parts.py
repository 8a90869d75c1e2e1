"""What the Counter says of a quote whose part others were promised before."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, datetime, timedelta
from decimal import Decimal

from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse
from django.utils.html import strip_tags

from shop.models import Component, Offer, Shop
from shop.selectors.plan import line_plan
from shop.selectors.to_order import to_order
from shop.services.quotes import version_offer
from shop.services.stock_count import stock_receive
from tests.shop.made_counter import text
from tests.shop.made_offers import DAY, MORNING, make_kit, take
from tests.shop.made_quotes import make_sound_draft

LEAD_DAYS, HANDLING_DAYS = 45, 1
HERE = date(2026, 4, 17)  # 2 March + 45 days = 16 April; a day of handling


def test_the_third_of_three_who_want_the_one_motor_hears_so_at_the_counter(
    shop: Shop, morning: datetime, person: Callable[[str], User], client_as: Callable[[str], Client]
) -> None:
    """Common practice, no source: the first to pay takes the motor on the shelf; the second and the third wait the
    supplier's 45 days from the day it is ordered. Today is the 2nd of March: 45 days on is the 16th of April, with a
    day of handling the 17th. Everything else lies on the shelf.
    """
    till = person("counter")
    draft = make_sound_draft(shop, DAY, "Q-3")
    motor = Component.objects.get(code="MOT-1")
    for component in Component.objects.exclude(pk=motor.pk):
        stock_receive(component=component, quantity=Decimal(1000), person=till)
    stock_receive(component=motor, quantity=Decimal(1), serials=["M-1"], person=till)
    Offer.objects.filter(component=motor).update(lead_low_days=LEAD_DAYS, lead_days=LEAD_DAYS, lead_high_days=LEAD_DAYS)
    for number in ("Q-1", "Q-2"):
        take(make_kit(number, {motor: 1}), till, number)

    page = text(client_as("counter").get(reverse("quote", args=[draft.quote.public_id])))
    window = page.split('data-figure="window"')[1].split("</p>")[0]
    reasons = page.split('class="reasons"')[1].split("</ol>")[0]
    said = [" ".join(strip_tags(item).split()) for item in re.findall(r"<li>(.*?)</li>", reasons, re.DOTALL)]
    assert said[0] == "The hub motor 10 kW 72 V on the shelf is for build B-1, ahead in line."
    assert said[1].startswith("A new hub motor 10 kW 72 V takes 45 days from North Yard, ordered ")
    assert said[1].endswith("Apr 16, 2026")
    assert said[2].startswith("The hub motor 10 kW 72 V arrives ")
    assert said[2].endswith("waits for it. Apr 17, 2026")
    assert "to order, 45 days" in page  # beside the motor itself

    third = take(version_offer(version=draft, person=till, now=MORNING), till, "Q-3").build
    assert third.promised_from is not None
    assert third.promised_from > HERE
    assert f"Apr {third.promised_from.day}" in window  # what was heard is what was promised
    plans = line_plan().builds
    motors = [next(part for part in build.parts if part.code == "MOT-1") for build in plans]
    assert [(part.origin, part.ready) for part in motors] == [("stock", DAY), ("to_order", HERE), ("to_order", HERE)]
    row = next(row for row in to_order() if row.component == motor)
    assert [each.build.number for each in row.wanted] == ["B-2", third.number]
    for each in row.wanted:
        assert each.figures is not None
        assert each.figures.order_by == each.figures.needed - timedelta(days=LEAD_DAYS + HANDLING_DAYS)
