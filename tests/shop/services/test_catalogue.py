"""Components and offers: added, changed, preferred, imported; every change leaves its trace."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from django.core.exceptions import ValidationError

from shop.importing.plan import plan_import
from shop.importing.problems import FileError
from shop.models import Component, Event, LineLock, Offer
from shop.services.catalogue import component_import, component_save, offer_remove, offer_save
from shop.services.errors import Refused
from tests.shop.importing.made_files import DAY, HEADING, ROW, csv_file, make_fuse
from tests.shop.made_parts import make_supplier

pytestmark = pytest.mark.django_db


def verbs() -> list[str]:
    return list(Event.objects.order_by("pk").values_list("verb", flat=True))


def test_a_component_is_added_and_changed(person):
    owner = person("owner")
    made = component_save(person=owner, code="F-1", kind="fuse", name="Fuse", spec={"rating_a": "200 A"})
    assert made.spec == {"rating_a": 200.0}
    component_save(person=owner, component=made, name="Main fuse")
    assert Component.objects.get().name == "Main fuse"
    assert verbs() == ["component added", "component changed"]
    assert Event.objects.order_by("-pk")[0].after == "name"


def test_what_stays_the_same_is_not_saved_again():
    made = component_save(person=None, code="F-1", kind="fuse", name="Fuse", spec={"rating_a": 200})
    component_save(person=None, component=made, name="Fuse", spec={"rating_a": "200 A"})
    assert verbs() == ["component added"]


def test_a_component_keeps_its_kind():
    made = component_save(person=None, code="F-1", kind="fuse", name="Fuse")
    with pytest.raises(ValidationError) as refused:
        component_save(person=None, component=made, kind="tire")
    assert "Add another" in refused.value.message_dict["kind"][0]


def test_a_wrong_spec_names_its_field():
    with pytest.raises(ValidationError) as refused:
        component_save(person=None, code="F-1", kind="fuse", name="Fuse", spec={"rating_a": 9000})
    assert "rating_a" in refused.value.message_dict["spec"][0]
    assert not Component.objects.exists()


def test_the_first_offer_is_preferred_and_another_may_take_its_place():
    component = component_save(person=None, code="F-1", kind="fuse", name="Fuse")
    north, south = make_supplier(), make_supplier("south-yard")
    first = offer_save(person=None, component=component, supplier=north, unit_cost=Decimal(5), priced_on=DAY)
    second = offer_save(person=None, component=component, supplier=south, unit_cost=Decimal(4), priced_on=DAY)
    assert (first.preferred, second.preferred) == (True, False)
    offer_save(person=None, component=component, supplier=south, preferred=True)
    assert dict(component.offers.values_list("supplier__code", "preferred")) == {
        "north-yard": False,
        "south-yard": True,
    }


def test_the_only_preference_is_not_given_up():
    component = component_save(person=None, code="F-1", kind="fuse", name="Fuse")
    offer_save(person=None, component=component, supplier=make_supplier(), unit_cost=Decimal(5), priced_on=DAY)
    kept = offer_save(person=None, component=component, supplier=make_supplier(), preferred=False)
    assert kept.preferred


def test_an_offer_saved_as_it_is_leaves_no_trace():
    component = component_save(person=None, code="F-1", kind="fuse", name="Fuse")
    values: dict[str, Any] = {"unit_cost": Decimal(5), "priced_on": DAY, "least_quantity": Decimal(10)}
    offer_save(person=None, component=component, supplier=make_supplier(), **values)
    offer_save(person=None, component=component, supplier=make_supplier(), **values)
    assert verbs() == ["component added", "price entered"]
    offer_save(person=None, component=component, supplier=make_supplier(), least_quantity=Decimal(20))
    assert verbs()[-1] == "price entered"
    assert component.offers.get().least_quantity == Decimal(20)


def test_what_moves_finish_dates_is_a_new_revision_of_the_plan():
    def revision() -> int:
        return LineLock.objects.get_or_create(pk=1)[0].revision

    component = component_save(person=None, code="F-1", kind="fuse", name="Fuse")
    start = revision()
    component_save(person=None, component=component, name="Main fuse")
    assert revision() == start
    offer_save(
        person=None, component=component, supplier=make_supplier(), unit_cost=Decimal(5), priced_on=DAY, lead_days=9
    )
    assert revision() == start + 1
    component_save(person=None, component=component, discontinued=True)
    assert revision() == start + 2
    component_import(content=csv_file("code,name", "F-1,Fuse"), filename="a.csv", person=None, day=DAY)
    assert revision() == start + 3


def test_lead_times_out_of_order_are_refused_at_their_field():
    component = component_save(person=None, code="F-1", kind="fuse", name="Fuse")
    with pytest.raises(ValidationError) as refused:
        offer_save(
            person=None,
            component=component,
            supplier=make_supplier(),
            unit_cost=Decimal(5),
            priced_on=DAY,
            lead_low_days=9,
            lead_days=5,
        )
    assert "lead_days" in refused.value.message_dict


def test_a_removed_offer_hands_the_preference_to_the_cheapest_left():
    component = component_save(person=None, code="F-1", kind="fuse", name="Fuse")
    for code, cost in (("north-yard", "5"), ("south-yard", "4"), ("east-yard", "3.5")):
        offer_save(
            person=None, component=component, supplier=make_supplier(code), unit_cost=Decimal(cost), priced_on=DAY
        )
    gone = component.offers.get(preferred=True)
    offer_remove(person=None, offer=gone)
    offer_remove(person=None, offer=gone)  # a second press finds nothing to do
    assert component.offers.get(preferred=True).supplier.code == "east-yard"
    assert verbs().count("price removed") == 1


def test_an_import_adds_component_and_offer():
    make_supplier()
    done = component_import(content=csv_file(HEADING, ROW), filename="parts.csv", person=None, day=DAY)
    assert (done.added, done.changed) == (1, 0)
    component = Component.objects.get()
    assert (component.name, component.list_price) == ("Main fuse 225 A", Decimal("28.5"))
    offer = component.offers.get()
    assert (offer.unit_cost, offer.priced_on, offer.lead_days, offer.preferred) == (
        Decimal("14.2"),
        date(2026, 2, 1),
        12,
        True,
    )
    assert verbs() == ["component added", "components imported"]


def test_the_same_file_again_writes_nothing():
    make_supplier()
    content = csv_file(HEADING, ROW)
    component_import(content=content, filename="parts.csv", person=None, day=DAY)
    before = Event.objects.count()
    again = component_import(content=content, filename="parts.csv", person=None, day=DAY)
    assert (again.added, again.changed, again.unchanged) == (0, 0, 1)
    assert Event.objects.count() == before


def test_an_import_changes_what_differs_and_says_so():
    make_fuse(make_supplier())
    component_import(content=csv_file("code,list_price", "FUS-9,31"), filename="new.csv", person=None, day=DAY)
    assert Component.objects.get().list_price == Decimal(31)
    changed = Event.objects.get(verb="component changed")
    assert changed.after == "List price: 28.5 to 31"


def test_one_wrong_row_and_nothing_is_written():
    make_supplier()
    content = csv_file(HEADING, ROW, "FUS-8,fuse,Fuse,x,,,,,,")
    with pytest.raises(Refused) as refused:
        component_import(content=content, filename="parts.csv", person=None, day=DAY)
    assert refused.value.message.startswith("Nothing was changed. Row 3, list_price:")
    assert not Component.objects.exists()
    assert not Event.objects.exists()


def test_a_catalogue_that_changed_since_is_looked_over_again():
    supplier = make_supplier()
    content = csv_file(HEADING, ROW)
    shown = plan_import(content, "parts.csv", DAY).fingerprint
    make_fuse(supplier)
    with pytest.raises(Refused, match="Look the file over again"):
        component_import(content=content, filename="parts.csv", person=None, day=DAY, shown=shown)


def test_an_import_may_prefer_another_supplier():
    make_fuse(make_supplier())
    make_supplier("south-yard")
    content = csv_file("code,supplier,unit_cost,preferred", "FUS-9,south-yard,13,yes")
    component_import(content=content, filename="parts.csv", person=None, day=DAY)
    assert Offer.objects.get(preferred=True).supplier.code == "south-yard"
    assert Offer.objects.count() == 2


def test_a_file_that_is_none():
    with pytest.raises(FileError):
        component_import(content=b"", filename="parts.csv", person=None, day=DAY)
