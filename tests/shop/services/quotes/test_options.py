from __future__ import annotations

from decimal import Decimal

import pytest

from shop.models import CheckDecision, Event, QuoteOption, Shop
from shop.services.errors import Refused
from shop.services.quotes import (
    extra_add,
    option_add,
    option_change,
    option_copy,
    option_remove,
    option_set_allowance,
    option_set_discount,
    pack_plan_set,
    part_add,
    quote_start,
)
from tests.shop.made_parts import make_component, make_donor


@pytest.fixture
def option(shop: Shop) -> QuoteOption:
    return QuoteOption.objects.get(version__quote=quote_start(person=None, donor=make_donor()))


def test_up_to_three_options_each_with_the_jobs_steps(option: QuoteOption) -> None:
    version = option.version
    second = option_add(version=version, label=" Long range ", person=None)
    third = option_add(version=version, person=None)
    assert (second.key, second.label, third.key) == ("B", "Long range", "C")
    assert second.steps.count() == 5
    with pytest.raises(Refused, match="holds 3 options"):
        option_add(version=version, person=None)
    with pytest.raises(Refused, match="holds 3 options"):
        option_copy(option=option, person=None)
    option_remove(option=second, person=None)
    assert option_add(version=version, person=None).key == "B"


def test_a_copy_carries_every_line_and_leaves_the_original(option: QuoteOption) -> None:
    part_add(option=option, component=make_component("MOT-1"), unit_price=Decimal(1200), person=None)
    extra_add(option=option, kind="fee", label="Inspection", amount=Decimal(80), person=None)
    CheckDecision.objects.create(option=option, rule="hub-torque-arms", reason="both sides bolted")
    pack_plan_set(option=option, series=20, parallel=24, bay_names=["main"], person=None)
    copy = option_copy(option=option, person=None)
    assert copy.pk != option.pk
    assert copy.key == "B"
    assert (copy.series, copy.parallel, copy.bay_names) == (20, 24, ["main"])
    assert copy.parts.get().unit_price == 1200
    assert copy.extras.get().label == "Inspection"
    assert copy.decisions.get().reason == "both sides bolted"
    assert [step.code for step in copy.steps.all()] == [step.code for step in option.steps.all()]
    option.refresh_from_db()
    assert (option.key, option.parts.count(), option.steps.count()) == ("A", 1, 5)


def test_the_last_option_stays(option: QuoteOption) -> None:
    with pytest.raises(Refused, match="at least one option"):
        option_remove(option=option, person=None)


def test_name_and_contingency(option: QuoteOption) -> None:
    option_change(option=option, label="Commuter", contingency_rate=Decimal("0.08"), person=None)
    option.refresh_from_db()
    assert (option.label, option.contingency_rate) == ("Commuter", Decimal("0.08"))
    with pytest.raises(Refused) as refused:
        option_change(option=option, contingency_rate=Decimal("1.01"), person=None)
    assert refused.value.field == "contingency_rate"


@pytest.mark.parametrize(("rate", "role", "given"), [("0.10", "counter", True), ("0.11", "counter", False)])
def test_the_counter_gives_up_to_the_limit(option: QuoteOption, person, rate: str, role: str, given: bool) -> None:
    who = person(role)
    if given:
        option_set_discount(option=option, rate=Decimal(rate), reason="fair", person=who)
        assert QuoteOption.objects.get().discount_rate == Decimal(rate)
    else:
        with pytest.raises(Refused, match=r"11% off is above the limit of 10%. The owner can give it") as refused:
            option_set_discount(option=option, rate=Decimal(rate), reason="fair", person=who)
        assert refused.value.field == "discount_rate"


def test_the_owner_gives_more_and_takes_it_back(option: QuoteOption, person) -> None:
    owner = person("owner")
    option_set_discount(option=option, rate=Decimal("0.25"), reason="show bike", person=owner)
    assert Event.objects.get(verb="discount set").after == "A: 25% show bike"
    option_set_discount(option=option, reason="show bike", person=owner)
    option.refresh_from_db()
    assert (option.discount_rate, option.discount_reason) == (Decimal(0), "")


@pytest.mark.parametrize(
    ("values", "field"),
    [
        ({"rate": Decimal("0.05")}, "discount_reason"),
        ({"amount": Decimal(50), "reason": "  "}, "discount_reason"),
        ({"rate": Decimal("0.05"), "amount": Decimal(50), "reason": "fair"}, "discount_amount"),
        ({"amount": Decimal(-1), "reason": "fair"}, "discount_amount"),
        ({"rate": Decimal("1.2"), "reason": "fair"}, "discount_rate"),
    ],
)
def test_a_discount_that_makes_no_sense_is_refused_by_its_field(option: QuoteOption, values, field: str) -> None:
    with pytest.raises(Refused) as refused:
        option_set_discount(option=option, person=None, **values)
    assert refused.value.field == field


def test_an_allowance_has_a_name(option: QuoteOption) -> None:
    option_set_allowance(option=option, amount=Decimal(300), person=None)
    assert QuoteOption.objects.get().allowance_label == "Allowance for parts kept"
    option_set_allowance(option=option, amount=Decimal(300), label="Old engine", person=None)
    assert QuoteOption.objects.get().allowance_label == "Old engine"
    option_set_allowance(option=option, amount=Decimal(0), label="Old engine", person=None)
    assert QuoteOption.objects.get().allowance_label == ""
    with pytest.raises(Refused):
        option_set_allowance(option=option, amount=Decimal(-5), person=None)


def test_the_pack_plan_counts_the_cells(option: QuoteOption) -> None:
    cells = part_add(option=option, component=make_component("CEL-1"), quantity=Decimal(7), person=None)
    pack_plan_set(option=option, series=20, parallel=24, link_mohm=2.5, person=None)
    cells.refresh_from_db()
    option.refresh_from_db()
    assert cells.quantity == 480  # 20 × 24
    assert option.link_mohm == 2.5
    pack_plan_set(option=option, series=None, parallel=None, person=None)
    option.refresh_from_db()
    cells.refresh_from_db()
    assert (option.series, option.parallel, option.link_mohm, cells.quantity) == (None, None, 2.5, Decimal(480))


@pytest.mark.parametrize(
    ("values", "field"),
    [
        ({"series": 20, "parallel": None}, "parallel"),
        ({"series": None, "parallel": 4}, "series"),
        ({"series": 0, "parallel": 4}, "series"),
        ({"series": 20, "parallel": 0}, "parallel"),
        ({"series": 20, "parallel": 4, "link_mohm": -1.0}, "link_mohm"),
        ({"series": 20, "parallel": 4, "bay_names": ["trunk"]}, "bay_names"),
    ],
)
def test_a_plan_that_cannot_be_is_refused_by_its_field(option: QuoteOption, values, field: str) -> None:
    with pytest.raises(Refused) as refused:
        pack_plan_set(option=option, person=None, **values)
    assert refused.value.field == field
    option.refresh_from_db()
    assert option.series is None


def test_a_wrong_bay_is_answered_with_those_there_are(option: QuoteOption) -> None:
    with pytest.raises(Refused, match=r"no bay called trunk. It has main."):
        pack_plan_set(option=option, series=20, parallel=4, bay_names=["main", "trunk"], person=None)
