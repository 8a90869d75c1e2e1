from __future__ import annotations

from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError

from shop.models import Event, OptionExtra, OptionStep, QuoteOption, Shop
from shop.services.errors import Refused
from shop.services.quotes import (
    extra_add,
    extra_change,
    extra_remove,
    quote_start,
    step_add,
    step_change,
    step_remove,
)
from tests.shop.made_shop import make_skill


@pytest.fixture
def option(shop: Shop) -> QuoteOption:
    return QuoteOption.objects.get(version__quote=quote_start(person=None))


def test_hours_by_hand_are_set_and_taken_back(option: QuoteOption) -> None:
    step = option.steps.get(code="pack")
    assert step_change(step=step, hours=Decimal("12.5"), person=None).hours == Decimal("12.5")
    assert step_change(step=step, hours=None, person=None).hours is None
    first, second = Event.objects.filter(verb="step changed").order_by("pk")
    assert (first.before, first.after) == ("A: Build the pack 10.00/14.00/20.00 h", "A: Build the pack 12.5 h by hand")
    assert second.before == "A: Build the pack 12.50 h by hand"


def test_a_step_of_ones_own_comes_last_with_a_code_of_its_own(option: QuoteOption) -> None:
    first = step_add(option=option, label="Lace the wheel", skill=make_skill("repair"), hours=Decimal(3), person=None)
    second = step_add(option=option, label="Lace the wheel", person=None)
    assert (first.position, first.code, second.position, second.code) == (6, "lace-the-wheel", 7, "lace-the-wheel-2")


def test_a_label_without_letters_still_gets_a_code(option: QuoteOption) -> None:
    assert step_add(option=option, label="∅", person=None).code == "step"


@pytest.mark.parametrize(
    ("values", "field"),
    [
        ({"low_h": Decimal(30)}, "likely_h"),
        ({"likely_h": Decimal(21)}, "likely_h"),
        ({"low_h": Decimal(-1)}, "likely_h"),
        ({"hours": Decimal(-1)}, "hours"),
        ({"label": " "}, "label"),
    ],
)
def test_hours_that_cannot_be_are_refused_by_their_field(option: QuoteOption, values, field: str) -> None:
    step = option.steps.get(code="pack")
    with pytest.raises(Refused) as refused:
        step_change(step=step, person=None, **values)
    assert refused.value.field == field
    step.refresh_from_db()
    assert (step.low_h, step.likely_h, step.hours, step.label) == (Decimal(10), Decimal(14), None, "Build the pack")


def test_a_step_taken_off_twice_is_off(option: QuoteOption) -> None:
    step = option.steps.get(code="pack")
    stale = OptionStep.objects.get(pk=step.pk)
    step_remove(step=step, person=None)
    step_remove(step=stale, person=None)
    assert option.steps.count() == 4
    with pytest.raises(Refused, match="no longer on the option"):
        step_change(step=stale, hours=Decimal(1), person=None)


def test_extras_come_change_and_go(option: QuoteOption) -> None:
    extra = extra_add(
        option=option, kind="freight", label="Crate", amount=Decimal(150), tax_class="freight", person=None
    )
    extra_change(extra=extra, amount=Decimal(175), cost=Decimal(120), person=None)
    extra.refresh_from_db()
    assert (extra.amount, extra.cost) == (Decimal(175), Decimal(120))
    stale = OptionExtra.objects.get()
    extra_remove(extra=extra, person=None)
    extra_remove(extra=stale, person=None)
    assert not OptionExtra.objects.exists()
    assert Event.objects.filter(verb="extra removed").count() == 1


def test_a_negative_extra_is_refused_and_an_unknown_kind_too(option: QuoteOption) -> None:
    with pytest.raises(Refused, match="take something off with a discount"):
        extra_add(option=option, kind="fee", label="Gift", amount=Decimal(-5), person=None)
    with pytest.raises(ValidationError) as refused:
        extra_add(option=option, kind="gift", label="Gift", amount=Decimal(5), person=None)
    assert list(refused.value.message_dict) == ["kind"]
