from __future__ import annotations

from decimal import Decimal

import pytest

from shop.models import Component, Event, OptionPart, QuoteOption, Shop
from shop.services.errors import Refused
from shop.services.quotes import pack_plan_set, part_add, part_change, part_exchange, part_remove, quote_start
from tests.shop.made_parts import make_component


@pytest.fixture
def option(shop: Shop) -> QuoteOption:
    return QuoteOption.objects.get(version__quote=quote_start(person=None))


def test_a_part_goes_on_with_quantity_and_price_of_the_catalogue(option: QuoteOption) -> None:
    part = part_add(option=option, component=make_component("MOT-1"), person=None)
    assert (part.quantity, part.conductors, part.unit_price) == (Decimal(1), 1, None)
    assert Event.objects.get(verb="part added").after == "A: 1 × MOT-1"


def test_cells_are_counted_by_the_plan(option: QuoteOption) -> None:
    pack_plan_set(option=option, series=20, parallel=24, person=None)
    part = part_add(option=option, component=make_component("CEL-1"), quantity=Decimal(3), person=None)
    assert part.quantity == 480
    with pytest.raises(Refused, match="pack plan counts round cell 5 Ah: 480") as refused:
        part_change(part=part, quantity=Decimal(481), person=None)
    assert refused.value.field == "quantity"
    assert part_change(part=part, quantity=Decimal(480), unit_price=Decimal(5), person=None).unit_price == 5


def test_the_same_component_twice_is_refused(option: QuoteOption) -> None:
    cable = make_component("CAB-B")
    part_add(option=option, component=cable, quantity=Decimal(3), person=None)
    with pytest.raises(Refused, match=r"already. Change its quantity"):
        part_add(option=option, component=cable, person=None)


def test_a_second_of_a_kind_that_is_checked_once_is_refused(option: QuoteOption) -> None:
    part_add(option=option, component=make_component("MOT-1"), person=None)
    other = Component.objects.create(code="MOT-2", kind="motor", name="other motor")
    with pytest.raises(Refused, match=r"has hub motor 10 kW 72 V already. Exchange it"):
        part_add(option=option, component=other, person=None)
    assert option.parts.count() == 1


def test_cells_and_modules_do_not_mix(option: QuoteOption) -> None:
    part_add(option=option, component=make_component("CEL-1"), person=None)
    module = Component.objects.create(code="MOD-1", kind="module", name="module 10s")
    with pytest.raises(Refused, match="round cell 5 Ah already"):
        part_add(option=option, component=module, person=None)


def test_several_cables_may_stand_side_by_side(option: QuoteOption) -> None:
    part_add(option=option, component=make_component("CAB-B"), quantity=Decimal("2.5"), conductors=2, person=None)
    part_add(option=option, component=make_component("CAB-P"), quantity=Decimal("1.25"), person=None)
    assert option.parts.count() == 2


@pytest.mark.parametrize(
    ("code", "values", "field"),
    [
        ("FUS-1", {"quantity": Decimal(0)}, "quantity"),
        ("FUS-1", {"quantity": Decimal("1.5")}, "quantity"),  # half a fuse
        ("CAB-B", {"quantity": Decimal(-1)}, "quantity"),
        ("CAB-B", {"conductors": 0}, "conductors"),
        ("FUS-1", {"unit_price": Decimal(-1)}, "unit_price"),
    ],
)
def test_what_cannot_be_is_refused_by_its_field(option: QuoteOption, code: str, values, field: str) -> None:
    component = make_component(code)
    with pytest.raises(Refused) as refused:
        part_add(option=option, component=component, person=None, **values)
    assert refused.value.field == field
    part = part_add(option=option, component=component, person=None)
    with pytest.raises(Refused) as refused:
        part_change(part=part, person=None, **values)
    assert refused.value.field == field
    part.refresh_from_db()
    assert (part.quantity, part.conductors, part.unit_price) == (Decimal(1), 1, None)


def test_a_price_by_hand_is_set_and_taken_back(option: QuoteOption) -> None:
    part = part_add(option=option, component=make_component("FUS-1"), person=None)
    part_change(part=part, unit_price=Decimal("31.50"), person=None)
    part_change(part=part, unit_price=None, person=None)
    part.refresh_from_db()
    assert part.unit_price is None
    assert [event.after for event in Event.objects.filter(verb="part changed").order_by("pk")] == [
        "A: 1 × FUS-1 at 31.50",
        "A: 1 × FUS-1",
    ]


def test_an_exchange_keeps_the_quantity_and_drops_the_price_by_hand(option: QuoteOption) -> None:
    part = part_add(option=option, component=make_component("FUS-1"), unit_price=Decimal(31), person=None)
    other = Component.objects.create(code="FUS-2", kind="fuse", name="main fuse 250 A", list_price=Decimal(30))
    changed = part_exchange(part=part, component=other, person=None)
    assert (changed.pk, changed.component.code, changed.unit_price) == (part.pk, "FUS-2", None)
    again = part_exchange(part=changed, component=other, person=None)
    assert again.component.code == "FUS-2"


def test_an_exchange_for_another_kind_is_refused(option: QuoteOption) -> None:
    part = part_add(option=option, component=make_component("FUS-1"), person=None)
    with pytest.raises(Refused, match="is of kind Motor; here stands Main fuse"):
        part_exchange(part=part, component=make_component("MOT-1"), person=None)


def test_taking_off_twice_is_harmless_and_changing_afterwards_is_refused(option: QuoteOption) -> None:
    part = part_add(option=option, component=make_component("FUS-1"), person=None)
    stale = OptionPart.objects.get(pk=part.pk)
    part_remove(part=part, person=None)
    part_remove(part=stale, person=None)
    assert Event.objects.filter(verb="part removed").count() == 1
    with pytest.raises(Refused, match="no longer on the option"):
        part_change(part=stale, quantity=Decimal(2), person=None)
