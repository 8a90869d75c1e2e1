from __future__ import annotations

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest

from quoting.price import ROUNDINGS
from quoting.request import Allowance, Discount, ExtraLine, PackPlan, Wishes
from shop.models import OptionExtra, OptionPart, QuoteOption, Shop, TaxRounding
from shop.selectors.requests import quote_request, unpriced_parts
from tests.shop.made_builds import make_build, make_need
from tests.shop.made_parts import SOUND, make_component, make_offer, make_sound_components, make_supplier, receive
from tests.shop.made_quotes import make_draft, make_sound_draft
from tests.shop.made_shop import make_customer

DAY = date(2026, 3, 2)
NOW = datetime(2026, 3, 3, 3, 30, 25, tzinfo=UTC)  # 22:30 on Monday 2 March in New York


def test_the_day_is_the_shops_and_the_moment_is_a_whole_minute(shop: Shop) -> None:
    request = quote_request(make_draft(), now=NOW)
    assert request.day == DAY
    assert request.now == NOW.replace(second=0)


def test_an_empty_draft_makes_a_request_with_nothing_in_it(shop: Shop) -> None:
    request = quote_request(make_draft())
    assert (request.options, request.donor, request.tax_place, request.wishes) == ((), None, None, Wishes())
    assert (request.currency, request.units, request.job) == ("USD", "us", "conversion")


def test_parts_carry_price_cost_day_and_supplier(shop: Shop) -> None:
    version = make_draft()
    option = QuoteOption.objects.create(version=version, key="A")
    cable = make_component("CAB-B", tax_class="fee")
    make_offer(cable, priced_on=date(2026, 1, 5), supplier=make_supplier("strict", stale_after_days=7))
    OptionPart.objects.create(option=option, component=cable, quantity=Decimal("3.5"), conductors=2)
    (line,) = quote_request(version, now=NOW).options[0].parts
    assert (line.code, line.kind, line.unit, line.quantity) == ("CAB-B", "cable", "m", Decimal("3.5"))
    assert (line.unit_price, line.unit_cost) == (Decimal(14), Decimal(7))
    assert (line.priced_on, line.stale_after_days, line.supplier) == (date(2026, 1, 5), 7, "Strict")
    assert (line.tax_class, line.conductors, line.x_m, line.ships_dangerous) == ("fee", 2, 0.2, True)
    assert line.spec["area_mm2"] == 50


def test_steps_take_rate_cost_and_tax_class_from_their_skill(shop: Shop) -> None:
    version = make_sound_draft(shop, DAY)
    step = version.options.get().steps.get(code="teardown")
    step.hours = Decimal(7)
    step.save()
    outside = version.options.get().steps.create(position=9, code="paint", label="Paint", lead_days=21)
    lines = {line.code: line for line in quote_request(version).options[0].steps}
    teardown, pack, paint = lines["teardown"], lines["pack"], lines[outside.code]
    assert (teardown.skill, teardown.rate, teardown.cost_rate) == ("repair", Decimal(90), Decimal(38))
    assert (teardown.tax_class, teardown.hours, teardown.bench_type) == ("repair_labor", Decimal(7), "fab")
    assert (pack.low_h, pack.likely_h, pack.high_h) == (Decimal(10), Decimal(14), Decimal(20))
    assert pack.needs == ("cell", "bms")
    assert (paint.skill, paint.lead_days, paint.rate, paint.cost_rate) == ("", 21, Decimal(0), None)


def test_what_is_taken_off_and_added_on(shop: Shop) -> None:
    version = make_draft()
    option = QuoteOption.objects.create(
        version=version,
        key="B",
        label="Commuter",
        series=20,
        parallel=24,
        link_mohm=1.5,
        bay_names=["main"],
        contingency_rate=Decimal("0.05"),
        discount_rate=Decimal("0.03"),
        discount_reason="second bike",
        allowance_amount=Decimal(300),
        allowance_label="Old engine",
    )
    OptionExtra.objects.create(option=option, kind="freight", label="Crate", amount=Decimal(150), tax_class="freight")
    (made,) = quote_request(version).options
    assert (made.key, made.label, made.contingency_rate) == ("B", "Commuter", Decimal("0.05"))
    assert made.pack == PackPlan(series=20, parallel=24, link_mohm=1.5, bays=("main",))
    assert made.discount == Discount(reason="second bike", rate=Decimal("0.03"))
    assert made.allowance == Allowance(label="Old engine", amount=Decimal(300))
    assert made.extras == (ExtraLine(kind="freight", label="Crate", amount=Decimal(150), tax_class="freight"),)


def test_without_plan_discount_or_allowance_there_is_none(shop: Shop) -> None:
    version = make_draft()
    QuoteOption.objects.create(version=version, key="A", series=20)
    (made,) = quote_request(version).options
    assert (made.pack, made.discount, made.allowance) == (None, None, None)


def test_wishes_and_policies_come_from_version_and_shop(shop: Shop) -> None:
    shop.hours_percentile, shop.deposit_fixed = 70, Decimal(2500)
    shop.save()
    version = make_draft(back_road_km=80.0, budget=Decimal(18000), circuit_v=240.0, circuit_a=30.0, two_up=True)
    request = quote_request(version)
    assert request.wishes == Wishes(
        back_road_km=80.0, budget=Decimal(18000), circuit_v=240.0, circuit_a=30.0, two_up=True
    )
    assert (request.policies.hours_percentile, request.policies.deposit_fixed) == (70, Decimal(2500))
    assert not request.policies.customer_tax_exempt


@pytest.mark.parametrize("rounding", TaxRounding.values)
def test_every_way_to_round_tax_is_one_the_engine_knows(shop: Shop, rounding: str) -> None:
    shop.tax_rounding = rounding
    shop.full_clean()
    shop.save()
    assert quote_request(make_draft()).policies.tax_rounding == rounding
    assert rounding in ROUNDINGS


@pytest.mark.parametrize(("until", "expired"), [(None, False), (DAY, False), (date(2026, 3, 1), True)])
def test_an_exemption_holds_through_its_last_day(shop: Shop, until: date | None, expired: bool) -> None:
    customer = make_customer()
    customer.certificates.create(number="EX-77", until=until)
    policies = quote_request(make_draft(customer=customer), now=NOW).policies
    assert (policies.customer_tax_exempt, policies.exempt_certificate) == (True, "EX-77")
    assert policies.exempt_expired is expired


def test_the_shops_state_is_cut_to_what_the_quote_and_the_line_need(shop: Shop) -> None:
    version = make_draft()
    option = QuoteOption.objects.create(version=version, key="A")
    motor, fuse, cell = make_component("MOT-1"), make_component("FUS-1"), make_component("CEL-1")
    OptionPart.objects.create(option=option, component=motor)
    make_need(make_build(), fuse, 1)
    for component in (motor, fuse, cell):
        receive(component, 1)
    request = quote_request(version)
    assert {row.code for row in request.shop.stock} == {"MOT-1", "FUS-1"}
    assert [build.number for build in request.shop.builds] == ["B-1001"]


def test_a_part_without_a_price_counts_as_nothing_and_is_named(shop: Shop) -> None:
    version = make_draft()
    option = QuoteOption.objects.create(version=version, key="A")
    part = OptionPart.objects.create(option=option, component=make_component("CEL-1"))
    OptionPart.objects.create(option=option, component=make_component("FUS-1"))
    assert quote_request(version).options[0].parts[0].unit_price == 0
    ((unpriced, remedy),) = unpriced_parts(version)
    assert unpriced == part
    assert remedy.startswith("Enter a list price for CEL-1")
    part.unit_price = Decimal("4.10")
    part.save()
    assert unpriced_parts(version) == ()


def test_the_catalogue_can_be_left_out(shop: Shop) -> None:
    version = make_sound_draft(shop, DAY)
    assert len(quote_request(version).catalogue) == len(SOUND)
    assert quote_request(version, with_catalogue=False).catalogue == ()


@pytest.mark.parametrize(("options", "parts", "builds"), [(1, 1, 1), (3, 19, 16)])
def test_queries_stay_flat(shop: Shop, options: int, parts: int, builds: int, django_assert_num_queries) -> None:
    components = make_sound_components(DAY, only=list(SOUND)[:parts])
    version = make_draft(customer=make_customer(), tax_place=shop.home_tax_place)
    for key in "ABC"[:options]:
        option = QuoteOption.objects.create(version=version, key=key)
        for component in components.values():
            OptionPart.objects.create(option=option, component=component)
    for place in range(1, builds + 1):
        make_need(make_build(place, steps=True), components["MOT-1"], 1)
    with django_assert_num_queries(36):
        request = quote_request(version)
    assert sum(len(option.parts) for option in request.options) == options * parts
