"""The catalogue: found by kind and words, one component with its price worked out, added, changed, offers."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.test import Client
from django.urls import reverse

from shop.models import Component, Event, ExchangeRate, Offer
from shop.selectors.catalogue import CatalogueFilter, component_rows
from shop.selectors.shop import shop_today
from tests.shop.made_counter import htmx, text
from tests.shop.made_day import Day
from tests.shop.made_parts import make_component, make_offer, make_supplier
from tests.shop.queries import queries_of
from tests.shop.views.guards import DESK, EVERYONE, assert_guarded

LIST = reverse("catalogue")


@pytest.fixture
def motor(shop) -> Component:
    component = make_component("MOT-1", shelf="D1")
    make_offer(component, priced_on=shop_today())
    return component


@pytest.fixture
def cell(shop) -> Component:
    """Without a list price: bought in euros, landed and marked up."""
    component = make_component("CEL-1", markup_rate=Decimal("0.5"))
    supplier = make_supplier("cells-abroad", currency="EUR")
    make_offer(
        component,
        supplier=supplier,
        unit_cost=Decimal("3.00"),
        freight_share=Decimal("0.10"),
        duty_rate=Decimal("0.04"),
        priced_on=shop_today() - timedelta(days=90),
    )
    ExchangeRate.objects.create(currency="EUR", day=date(2020, 1, 1), rate=Decimal("1.10"))
    return component


@pytest.fixture
def counter(client_as: Callable[[str], Client]) -> Client:
    return client_as("counter")


def page(client: Client, component: Component) -> str:
    return text(client.get(reverse("component", args=[component.public_id])))


def test_who_sees_and_who_changes(day: Day, client_as):
    component, supplier = day.motor.public_id, day.supplier.public_id
    assert_guarded(client_as, "catalogue", roles=EVERYONE)
    assert_guarded(client_as, "component", component, roles=EVERYONE)
    assert_guarded(client_as, "component-kinds", roles=DESK)
    assert_guarded(client_as, "component-new", "motor", roles=DESK)
    assert_guarded(client_as, "component-edit", component, roles=DESK)
    assert_guarded(client_as, "offer-new", component, roles=DESK)
    assert_guarded(client_as, "offer-edit", component, supplier, roles=DESK)


def test_an_empty_catalogue_says_what_to_do(shop, counter, client_as):
    assert "Import components" in text(counter.get(LIST))
    assert "Import components" not in text(client_as("builder").get(LIST))


def test_the_list_goes_by_kind_and_is_searched_by_the_address(motor, cell, counter):
    whole = text(counter.get(LIST))
    assert whole.index("hub motor 10 kW") < whole.index("round cell 5 Ah")  # the order a bike is built up in
    assert "hub motor" not in text(counter.get(f"{LIST}?q=cell"))
    assert "round cell" not in text(counter.get(f"{LIST}?kind=motor"))
    assert "round cell" in text(counter.get(f"{LIST}?q=abroad"))  # by its supplier
    assert "No component fits" in text(counter.get(f"{LIST}?q=nothing+like+it"))


def test_the_fragment_is_the_list_of_the_page(motor, counter):
    part = counter.get(LIST, headers=htmx(True))
    assert part.templates[0].name == "catalogue/_found.html"
    assert "<html" not in part.content.decode()


@pytest.mark.parametrize(
    ("show", "found"), [("stale", ["CEL-1"]), ("discontinued", ["FUS-1"]), ("unpriced", ["FUS-1"])]
)
def test_what_needs_the_desk(motor, cell, show, found):
    make_component("FUS-1", list_price=None, discontinued=True)
    rows = component_rows(CatalogueFilter(show=show)).rows
    assert [row.component.code for row in rows] == found


def test_the_price_is_shown_with_its_working(cell, counter):
    said = page(counter, cell)
    # 3.00 EUR × 1.10 = 3.30; + 0.10 freight + 4 % of 3.30 = 0.132: landed 3.532; × 1.5 = 5.298, rounded 5.30
    assert "$3.532" in said
    assert "$5.30" in said
    assert "1.1 USD per EUR" in said
    assert "old by 30 days" in said  # 90 days old, 60 allowed


def test_builders_see_no_money(motor, cell, client_as):
    builder = client_as("builder")
    money = ("$", "1,450", "725", "Cells Abroad", "North Yard", "cost", "Price")
    for said in (text(builder.get(LIST)), page(builder, motor), page(builder, cell)):
        assert [word for word in money if word in said] == []
    assert "72 V" in page(builder, motor)
    assert "Shelf" in text(builder.get(LIST))


def test_what_is_not_known_and_needed_is_named(motor, counter):
    spec = {name: value for name, value in motor.spec.items() if name != "max_v"}
    Component.objects.filter(pk=motor.pk).update(spec=spec)
    said = page(counter, motor)
    assert "Not known, and looked at by quotes: highest voltage." in said
    assert "Smallest sprocket" not in said  # a field of mid motors


def test_the_kinds_are_told_before_one_is_chosen(shop, counter):
    said = text(counter.get(reverse("component-kinds")))
    assert "Battery management" in said
    assert "Hub or mid motor" in said


def test_a_component_is_added_by_its_kinds_form(shop, counter):
    address = reverse("component-new", args=["cable"])
    assert 'name="spec_area_mm2"' in counter.get(address).content.decode()
    sent = {
        "name": "battery cable",
        "code": "CAB-9",
        "tax_class": "parts",
        "markup_rate": "35",
        "keep_on_shelf": "10",
        "list_price": "12.50",
        "spec_circuit": "battery",
        "spec_area_mm2": "1/0 AWG",
        "spec_max_v": "0.6 kV",
    }
    answer = counter.post(address, sent)
    made = Component.objects.get()
    assert answer.headers["Location"] == reverse("component", args=[made.public_id])
    # ASTM B258: 1/0 AWG is 53.5 mm²
    assert made.spec == {"circuit": "battery", "area_mm2": pytest.approx(53.5, abs=0.05), "max_v": 600.0}
    assert (made.kind, made.list_price, made.keep_on_shelf) == ("cable", Decimal("12.50"), Decimal(10))
    assert Event.objects.get().verb == "component added"


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("spec_area_mm2", "500", "500 mm2 is above 240."),
        ("spec_area_mm2", "2,5", "Write it with a point: 2.5"),
        ("spec_max_v", "600 lb", "cannot be read as V"),
        ("spec_circuit", "steam", "Select a valid choice"),
        ("name", "", "Fill this in."),
        ("code", "X" * 41, "at most 40 characters"),
        ("list_price", "-1", "Write 0 or more."),
    ],
)
def test_what_is_wrong_stands_beside_its_field_and_the_rest_is_kept(shop, counter, field, typed, said):
    sent = {"name": "battery cable", "code": "CAB-9", "tax_class": "parts", "markup_rate": "35", "keep_on_shelf": "7"}
    answer = counter.post(reverse("component-new", args=["cable"]), {**sent, field: typed})
    assert answer.status_code == 422
    assert said in " ".join(answer.context["form"].errors[field])
    assert 'value="7"' in answer.content.decode()
    assert not Component.objects.exists()


def test_a_code_that_is_taken(motor, counter):
    sent = {"name": "another", "code": "MOT-1", "tax_class": "parts", "markup_rate": "35", "keep_on_shelf": "0"}
    answer = counter.post(reverse("component-new", args=["fuse"]), sent)
    assert answer.status_code == 422
    assert "already exists" in " ".join(answer.context["form"].errors["code"])


def test_saving_the_form_as_it_is_shown_changes_nothing(motor, counter):
    address = reverse("component-edit", args=[motor.public_id])
    form = counter.get(address).context["form"]
    sent = {}
    for bound in form:
        value = bound.value()
        if value not in (None, False, ""):
            sent[bound.html_name] = value
    assert counter.post(address, sent).status_code == 302
    motor.refresh_from_db()
    assert motor.spec == make_component("MOT-1", code="COPY").spec
    assert not Event.objects.filter(verb="component changed").exists()


def test_an_emptied_figure_becomes_not_known(motor, counter):
    address = reverse("component-edit", args=[motor.public_id])
    form = counter.get(address).context["form"]
    sent = {bound.html_name: bound.value() for bound in form if bound.value() not in (None, False, "")}
    sent["spec_max_v"] = ""
    counter.post(address, sent)
    motor.refresh_from_db()
    assert "max_v" not in motor.spec


def test_lists_are_ticked(shop, counter):
    address = reverse("component-new", args=["controller"])
    sent = {
        "name": "controller",
        "code": "C-1",
        "tax_class": "parts",
        "markup_rate": "35",
        "keep_on_shelf": "0",
        "spec_throttles": ["hall", "pot"],
        "spec_throttle_isolated": "no",
    }
    counter.post(address, sent)
    assert Component.objects.get().spec == {"throttles": ["hall", "pot"], "throttle_isolated": False}


def offer_sent(**changed: str) -> dict[str, str]:
    return {
        "unit_cost": "700",
        "priced_on": shop_today().isoformat(),
        "freight_share": "0",
        "duty_rate": "0",
        "least_quantity": "1",
        "pack_quantity": "1",
        **changed,
    }


def test_a_supplier_is_added_and_preferred(motor, counter):
    other = make_supplier("south-yard")
    sent = offer_sent(supplier=other.public_id, lead_days="30", preferred="on")
    answer = counter.post(reverse("offer-new", args=[motor.public_id]), sent)
    assert answer.status_code == 302
    assert motor.offers.get(preferred=True).supplier == other
    assert motor.offers.count() == 2


def test_an_offer_is_changed_and_its_supplier_stays(motor, counter):
    offer = motor.offers.get()
    other = make_supplier("south-yard")
    address = reverse("offer-edit", args=[motor.public_id, offer.supplier.public_id])
    counter.post(address, offer_sent(supplier=other.public_id, unit_cost="650.25"))
    offer.refresh_from_db()
    assert (offer.supplier.code, offer.unit_cost) == ("north-yard", Decimal("650.25"))
    assert Offer.objects.count() == 1


def test_lead_times_out_of_order_stand_beside_the_field(motor, counter):
    address = reverse("offer-edit", args=[motor.public_id, motor.offers.get().supplier.public_id])
    answer = counter.post(address, offer_sent(lead_low_days="40", lead_days="30"))
    assert answer.status_code == 422
    assert "rise" in " ".join(answer.context["form"].errors["lead_days"])


def test_a_supplier_is_taken_away(motor, counter, client_as):
    address = reverse("offer-remove", args=[motor.public_id, motor.offers.get().supplier.public_id])
    assert client_as("builder").post(address).status_code == 403
    assert counter.get(address).status_code == 405
    assert counter.post(address).status_code == 302
    assert counter.post(address).status_code == 302  # a second press
    assert not motor.offers.exists()
    assert "Nobody is entered" in page(counter, motor)


def test_where_it_is_used(day: Day, client_as):
    said = page(client_as("counter"), day.motor)
    assert day.build.number in said
    assert day.draft.quote.number in said
    assert day.draft.quote.number not in page(client_as("builder"), day.motor)


def test_queries_of_the_list_stay_flat(shop):
    make_offer(make_component("MOT-1"), priced_on=shop_today())
    few = queries_of(lambda: component_rows(CatalogueFilter()))
    for number in range(60):
        make_offer(make_component("MOT-1", code=f"M-{number}"), priced_on=shop_today())
    assert queries_of(lambda: component_rows(CatalogueFilter())) == few
    assert component_rows(CatalogueFilter()).pages == 2
