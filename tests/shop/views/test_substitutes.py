"""A part in another's place, after the rules have looked at the bike with it."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.urls import reverse

from shop.models import Component, PartNeed, Substitute
from shop.selectors.balances import reserved_by_need
from shop.selectors.substitutes import stand_ins
from shop.services.errors import Refused
from shop.services.stock_count import stock_receive
from shop.services.stock_issue import stock_issue
from shop.services.substitutes import part_swap, substitute_add
from tests.shop.made_counter import text
from tests.shop.made_day import Day
from tests.shop.made_parts import SOUND, make_component
from tests.shop.views.guards import DESK, assert_guarded


@pytest.fixture
def others(day: Day) -> tuple[Component, Component]:
    """A motor just like the quoted one, and one that takes 60 V at most where the full pack gives 84 V."""
    like = make_component("MOT-1", code="MOT-2", name="hub motor, other make")
    weak = make_component("MOT-1", code="MOT-3", name="hub motor 60 V", spec={**SOUND["MOT-1"][5], "max_v": 60})
    for part in (like, weak):
        substitute_add(component=day.motor, stand_in=part, person=None)
    return like, weak


def need_of(day: Day) -> PartNeed:
    return day.build.needs.get(component__code__startswith="MOT")


def test_who_may(day: Day, client_as):
    assert_guarded(client_as, "need-swap", day.build.public_id, day.motor.public_id, roles=DESK)
    assert_guarded(client_as, "stock-stand-ins", day.motor.public_id, roles=DESK)


def test_the_rules_look_first(day: Day, others: tuple[Component, Component]):
    found = {row.component: row for row in stand_ins(need_of(day))}
    assert found[others[0]].fits
    assert [finding.rule for finding in found[others[1]].stops] == ["pack-full-over-motor-max"]
    with pytest.raises(Refused, match="does not fit"):
        part_swap(need=need_of(day), stand_in=others[1], reason="here now", person=None)
    with pytest.raises(Refused, match="Say why"):
        part_swap(need=need_of(day), stand_in=others[0], reason=" ", person=None)
    with pytest.raises(Refused, match="not entered as a stand-in"):
        part_swap(need=need_of(day), stand_in=make_component("MOT-1", code="MOT-4"), reason="r", person=None)


def test_what_is_free_of_the_other_part_is_kept_for_the_build(day: Day, others: tuple[Component, Component]):
    like, _ = others
    for part in (day.motor, like):
        stock_receive(component=part, quantity=Decimal(1), person=None)
    for _ in range(2):
        swapped = part_swap(need=need_of(day), stand_in=like, reason="six weeks late", person=None)
    assert (swapped.component, swapped.instead_of) == (like, day.motor)
    assert reserved_by_need()[swapped.pk] == 1
    event = day.build.events.get(verb="part replaced")
    assert (event.before, event.reason) == (day.motor.name, "six weeks late")
    back = part_swap(need=swapped, stand_in=day.motor, reason="it came after all", person=None)
    assert (back.component, back.instead_of) == (day.motor, None)
    stock_issue(need=back, person=None)
    with pytest.raises(Refused, match="Return it to the shelf first"):
        part_swap(need=back, stand_in=like, reason="r", person=None)


def test_the_screens(day: Day, client_as):
    client = client_as("counter")
    pairs = reverse("stock-stand-ins", args=[day.motor.public_id])
    swap = reverse("need-swap", args=[day.build.public_id, day.motor.public_id])
    assert "No stand-in is entered" in text(client.get(swap))
    assert client.post(pairs, {"stand_in": day.charger.public_id}).status_code == 422  # another kind
    like = make_component("MOT-1", code="MOT-2", name="hub motor, other make")
    client.post(pairs, {"stand_in": like.public_id, "note": "mind the plug"})
    assert "Nothing against it." in text(client.get(swap))
    assert client.post(swap, {"stand_in": like.public_id}).status_code == 422
    page = client.post(swap, {"stand_in": like.public_id, "reason": "late"}, follow=True)
    assert "in place of hub motor 10 kW 72 V" in text(page)
    client.post(reverse("stock-stand-in-away", args=[day.motor.public_id, like.public_id]))
    assert not Substitute.objects.exists()
