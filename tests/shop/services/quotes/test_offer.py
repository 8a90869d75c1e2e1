from __future__ import annotations

import zoneinfo
from datetime import UTC, date, datetime
from decimal import Decimal

import pytest

from quoting import QuoteRequest, QuoteResult, from_json, quote
from shop.models import Bench, Component, Event, OpeningHours, QuoteVersion, Shop, TaxRate
from shop.selectors.quotes import frozen_request, worked_out
from shop.services.errors import Refused
from shop.services.quotes import (
    decision_write,
    option_add,
    option_set_discount,
    part_change,
    quote_set_note,
    quote_set_tax_place,
    version_offer,
    version_revise,
)
from tests.shop.made_quotes import make_sound_draft

NOW = datetime(2026, 3, 3, 2, 0, tzinfo=UTC)  # 21:00 on Monday 2 March in New York
DAY = date(2026, 3, 2)


@pytest.fixture
def version(shop: Shop) -> QuoteVersion:
    return make_sound_draft(shop, DAY)


def refused(version: QuoteVersion, person=None) -> Refused:
    """Offering is refused and leaves the draft a draft."""
    with pytest.raises(Refused) as caught:
        version_offer(version=version, person=person, now=NOW)
    row = QuoteVersion.objects.get(pk=version.pk)
    assert (row.state, row.request, row.result, row.offered_at) == ("draft", None, None, None)
    return caught.value


def test_offering_freezes_request_and_result_and_says_how_long_it_holds(version: QuoteVersion, person) -> None:
    counter = person("counter")
    offered = version_offer(version=version, person=counter, now=NOW)
    offered.refresh_from_db()
    assert (offered.state, offered.offered_at) == ("offered", NOW)
    assert offered.valid_until == date(2026, 4, 1)  # 2 March + 30 days
    request = from_json(QuoteRequest, offered.request)
    assert request.day == DAY
    assert request.catalogue == ()
    assert len(request.options[0].parts) == 19
    # What was frozen can be worked out again from what was frozen, figure by figure.
    assert quote(request) == from_json(QuoteResult, offered.result)
    event = Event.objects.get(verb="version offered")
    assert event.person == counter
    assert event.after.startswith("Q-1 version 1: A ")
    assert event.after.endswith("valid until 2026-04-01")


def test_the_price_is_what_hand_arithmetic_gives(version: QuoteVersion) -> None:
    """Parts by list price, the cells at 3.40 × 1.35 = 4.59 each.

    1450 + 780 + 480 × 4.59 (2203.20) + 320 + 410 + 95 + 540 + 85 + 28 + 18 + 3 × 14 (42) + 3 × 14 (42) + 45 + 35 + 120
    + 60 + 210 + 110 + 75 = 6668.20.
    """
    price = worked_out(version_offer(version=version, person=None, now=NOW)).options[0].price
    assert price.parts == Decimal("6668.20")
    # Contingency 5 % of parts and hours; the hours are the engine's, tested there.
    contingency = (price.parts + price.hours) * Decimal("0.05")
    assert abs(price.contingency - contingency) <= Decimal("0.005")
    # Tax: 7 % on parts, and on the contingency's share that stands for parts, split in whole cents.
    share = price.contingency * price.parts / (price.parts + price.hours)
    assert price.tax_total is not None
    assert abs(price.tax_total - (price.parts + share) * Decimal("0.07")) < Decimal("0.006")
    assert price.total == price.parts + price.hours + price.contingency + price.tax_total


def test_an_offered_version_is_read_from_its_frozen_form_whatever_changes_later(version: QuoteVersion) -> None:
    offered = version_offer(version=version, person=None, now=NOW)
    before = worked_out(offered)
    Component.objects.filter(code="MOT-1").update(list_price=Decimal(9999))
    Shop.objects.update(hours_percentile=90)
    offered.refresh_from_db()
    assert worked_out(offered) == before
    request = frozen_request(offered)
    assert request is not None
    assert request.options[0].parts[0].unit_price == 1450


def test_an_offered_version_cannot_be_edited(version: QuoteVersion) -> None:
    version_offer(version=version, person=None, now=NOW)
    option = version.options.get()
    edits = [
        lambda: option_add(version=version, person=None),
        lambda: quote_set_note(version=version, note="x", person=None),
        lambda: quote_set_tax_place(version=version, tax_place=None, person=None),
        lambda: part_change(part=option.parts.get(component__code="MOT-1"), quantity=Decimal(2), person=None),
        lambda: decision_write(option=option, rule="vin", reason="x", person=None),
        lambda: option_set_discount(option=option, person=None),
        lambda: version_offer(version=version, person=None),
    ]
    for edit in edits:
        with pytest.raises(Refused, match=r"Q-1 version 1 is offered and stays as it is. Make a new version"):
            edit()


def test_an_older_offer_of_the_quote_is_replaced(version: QuoteVersion) -> None:
    version_offer(version=version, person=None, now=NOW)
    second = version_revise(version=version, person=None)
    version_offer(version=second, person=None, now=NOW)
    assert list(version.quote.versions.order_by("number").values_list("number", "state")) == [
        (1, "replaced"),
        (2, "offered"),
    ]
    assert Event.objects.get(verb="version replaced").after == "Q-1 version 2"


def test_without_a_customer(version: QuoteVersion) -> None:
    version.quote.customer = None
    version.quote.save()
    assert refused(version).field == "customer"


def test_without_a_bike(version: QuoteVersion) -> None:
    version.quote.donor = None
    version.quote.save()
    assert refused(version).field == "donor"


def test_without_a_tax_place(version: QuoteVersion) -> None:
    quote_set_tax_place(version=version, tax_place=None, person=None)
    assert refused(version).field == "tax_place"


def test_without_a_rate_for_a_class_on_the_quote(version: QuoteVersion) -> None:
    TaxRate.objects.filter(tax_class="repair_labor", authority__level="state").delete()
    found = refused(version)
    assert found.field == "tax_place"
    assert "rate for repair labor" in found.message


def test_without_an_option(version: QuoteVersion) -> None:
    version.options.all().delete()
    assert refused(version).field == "options"


def test_with_an_option_that_has_no_lines(version: QuoteVersion) -> None:
    empty = option_add(version=version, person=None)
    empty.steps.all().delete()
    assert refused(version).message == "Option B has no lines. Add parts or hours, or remove it."


def test_with_a_part_nobody_has_priced(version: QuoteVersion) -> None:
    Component.objects.get(code="CEL-1").offers.all().delete()
    found = refused(version)
    assert found.message.startswith("Option A: round cell 5 Ah has no price. Enter a list price for CEL-1")


def test_with_a_stop_in_any_option(version: QuoteVersion) -> None:
    controller = Component.objects.get(code="CON-1")
    controller.spec = {**controller.spec, "max_v": 80}  # the full pack stands at 84 V
    controller.save()
    found = refused(version)
    assert found.field == "findings"
    assert "Option A must not be sold so: full pack above the controller's limit" in found.message


def test_with_a_check_nobody_has_decided_until_somebody_does(version: QuoteVersion) -> None:
    throttle = Component.objects.get(code="THR-1")
    throttle.spec = {**throttle.spec, "high_v": 4.1}
    throttle.save()
    assert refused(version).message.startswith("Option A: decide first, and say why: ")
    decision_write(option=version.options.get(), rule="throttle-range-high", reason="measured", person=None)
    assert version_offer(version=version, person=None, now=NOW).state == "offered"


def test_with_a_promise_that_is_blocked(version: QuoteVersion) -> None:
    Bench.objects.filter(name="Pack 1").update(active=False)
    found = refused(version)
    assert found.field == "promise"
    assert found.message.startswith("Option A has no finish date. ")


def test_with_a_shop_that_is_never_open(version: QuoteVersion) -> None:
    OpeningHours.objects.all().delete()
    assert "The shop has no open time" in refused(version).message


def test_a_discount_above_the_limit_is_the_owners_also_as_an_amount(version: QuoteVersion, person) -> None:
    option_set_discount(option=version.options.get(), amount=Decimal(3000), reason="show bike", person=None)
    assert "above the limit of 10%" in refused(version, person("counter")).message
    owner = person("owner")
    decision_write(option=version.options.get(), rule="discount-over-limit", reason="for the show", person=owner)
    assert "above the limit of 10%" in refused(version, person("counter")).message
    assert version_offer(version=version, person=owner, now=NOW).state == "offered"


def test_while_another_version_is_being_built(version: QuoteVersion) -> None:
    version.quote.versions.create(
        number=9,
        state="accepted",
        accepted_option="A",
        offered_at=NOW,
        valid_until=DAY,
        request={},
        result={},
    )
    assert "is accepted and being built" in refused(version).message


def test_a_parts_kit_needs_no_bike_and_no_bench(version: QuoteVersion) -> None:
    version.quote.job, version.quote.donor = "parts_kit", None
    version.quote.save()
    option = version.options.get()
    option.steps.all().delete()
    option.parts.exclude(component__kind__in=["throttle", "display"]).delete()
    option.series = option.parallel = None
    option.save()
    offered = version_offer(version=version, person=None, now=NOW)
    assert worked_out(offered).options[0].price.parts == 155  # 35 + 120


def test_the_day_is_the_shops_where_utc_is_a_day_ahead(version: QuoteVersion) -> None:
    offered = version_offer(version=version, person=None, now=NOW)
    assert offered.offered_at is not None
    assert offered.offered_at.date() == date(2026, 3, 3)
    assert worked_out(offered).day == offered.offered_at.astimezone(zoneinfo.ZoneInfo("America/New_York")).date()
