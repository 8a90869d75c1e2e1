from __future__ import annotations

from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError

from shop.models import Event, Quote, QuoteOption, Shop
from shop.services.errors import Refused
from shop.services.quotes import (
    quote_set_customer,
    quote_set_donor,
    quote_set_job,
    quote_set_note,
    quote_set_tax_place,
    quote_set_wishes,
    quote_start,
    step_add,
    step_change,
    step_remove,
)
from tests.shop.made_parts import make_donor, make_family
from tests.shop.made_shop import make_customer, make_routing, make_skill, make_tax_place


def draft_of(quote: Quote):
    return quote.versions.get(state="draft")


def codes(option: QuoteOption) -> list[str]:
    return [step.code for step in option.steps.order_by("position")]


def test_a_quote_starts_with_a_draft_an_option_its_steps_and_the_shops_defaults(shop: Shop, person) -> None:
    counter = person("counter")
    quote = quote_start(person=counter)
    version = draft_of(quote)
    option = version.options.get()
    assert (quote.number, quote.job, quote.created_by) == ("Q-1", "conversion", counter)
    assert (version.number, version.tax_place) == (1, shop.home_tax_place)
    assert (option.key, option.contingency_rate) == ("A", Decimal("0.05"))
    assert codes(option) == ["teardown", "mounts", "pack", "wiring", "road-test"]
    mounts = option.steps.get(code="mounts")
    assert (mounts.low_h, mounts.likely_h, mounts.high_h, mounts.hours) == (8, 12, 18, None)
    assert (mounts.skill.code, mounts.bench_type.code, mounts.needs_kinds) == ("fabrication", "fab", ["enclosure"])
    event = Event.objects.get()
    assert (event.verb, event.subject, event.quote, event.person) == ("quote started", "Q-1", quote, counter)


def test_a_family_with_its_own_steps_gets_those(shop: Shop) -> None:
    donor = make_donor()
    (special, *_) = make_routing()
    special.pk, special.family, special.code = None, donor.family, "cut-frame"
    special.save()
    assert codes(draft_of(quote_start(person=None, donor=donor)).options.get()) == ["cut-frame"]


def test_a_job_nobody_has_entered_steps_for_starts_without(shop: Shop) -> None:
    assert codes(draft_of(quote_start(person=None, job="parts_kit")).options.get()) == []


def test_an_unknown_job_starts_nothing_and_leaves_no_gap_in_the_numbers(shop: Shop) -> None:
    with pytest.raises(ValidationError, match="job"):
        quote_start(person=None, job="boat")
    assert not Quote.objects.exists()
    assert quote_start(person=None).number == "Q-1"


def test_the_owner_of_the_bike_becomes_the_customer(shop: Shop) -> None:
    robin = make_customer("Robin Example")
    bike = make_donor(owner=robin)
    assert quote_start(person=None, donor=bike).customer == robin
    later = quote_start(person=None)
    assert quote_set_donor(quote=later, donor=bike, person=None).customer == robin


def test_somebody_elses_bike_is_refused_whichever_comes_first(shop: Shop) -> None:
    robin, alex = make_customer("Robin Example"), make_customer("Alex Example")
    bike = make_donor(owner=robin)
    with pytest.raises(Refused, match="belongs to Robin Example") as refused:
        quote_start(person=None, customer=alex, donor=bike)
    assert refused.value.field == "donor"
    with_bike = quote_start(person=None, donor=bike)
    with pytest.raises(Refused, match="belongs to Robin Example") as refused:
        quote_set_customer(quote=with_bike, customer=alex, person=None)
    assert refused.value.field == "customer"
    assert Quote.objects.get(pk=with_bike.pk).customer == robin


def test_a_bike_from_the_yard_goes_to_anyone(shop: Shop) -> None:
    alex = make_customer("Alex Example")
    quote = quote_start(person=None, customer=alex, donor=make_donor())
    assert quote.customer == alex


def test_the_event_says_what_was_and_what_is(shop: Shop) -> None:
    quote = quote_start(person=None, customer=make_customer("Alex Example"))
    quote_set_customer(quote=quote, customer=make_customer("Robin Example"), person=None)
    event = Event.objects.filter(verb="customer set").get()
    assert (event.before, event.after) == ("Alex Example", "Robin Example")


def test_another_job_brings_its_steps_and_keeps_hours_set_by_hand(shop: Shop) -> None:
    for step in make_routing("pack_upgrade"):
        if step.code in ("mounts", "road-test"):
            step.delete()
    quote = quote_start(person=None)
    option = draft_of(quote).options.get()
    step_change(step=option.steps.get(code="pack"), hours=Decimal(11), person=None)
    quote_set_job(quote=quote, job="pack_upgrade", person=None)
    assert codes(option) == ["teardown", "pack", "wiring"]
    assert option.steps.get(code="pack").hours == 11
    assert Quote.objects.get().job == "pack_upgrade"


def test_steps_added_changed_or_taken_off_by_hand_survive_another_bike(shop: Shop) -> None:
    donor = make_donor()
    for position, code in enumerate(("teardown", "mounts", "wiring"), start=1):
        make_routing()
        donor.family.routing_steps.create(
            job="conversion", position=position, code=code, label=f"Anvil {code}", skill=make_skill("repair"), high_h=9
        )
    quote = quote_start(person=None)
    option = draft_of(quote).options.get()
    step_remove(step=option.steps.get(code="wiring"), person=None)
    step_change(step=option.steps.get(code="mounts"), high_h=Decimal(30), person=None)
    step_add(option=option, label="Paint", lead_days=21, person=None)
    quote_set_donor(quote=quote, donor=donor, person=None)
    # teardown is the family's now; mounts stays as changed; wiring stays off; pack and road-test go; paint stays last.
    assert codes(option) == ["teardown", "mounts", "paint"]
    assert option.steps.get(code="teardown").label == "Anvil teardown"
    assert option.steps.get(code="mounts").high_h == 30


def test_bays_of_another_frame_are_forgotten(shop: Shop) -> None:
    quote = quote_start(person=None, donor=make_donor())
    option = draft_of(quote).options.get()
    option.bay_names = ["main"]
    option.save()
    other = make_family(code="boxer", name="Boxer 800")
    other.bays.update(name="under the tank")
    quote_set_donor(quote=quote, donor=make_donor(other), person=None)
    option.refresh_from_db()
    assert option.bay_names == []


def test_wishes_are_set_and_taken_back(shop: Shop) -> None:
    version = draft_of(quote_start(person=None))
    quote_set_wishes(version=version, back_road_km=80.5, budget=Decimal(18000), two_up=True, person=None)
    quote_set_wishes(version=version, budget=None, person=None)
    version.refresh_from_db()
    assert (version.back_road_km, version.budget, version.two_up) == (80.5, None, True)


def test_a_negative_wish_is_refused_by_its_field(shop: Shop) -> None:
    version = draft_of(quote_start(person=None))
    with pytest.raises(ValidationError) as refused:
        quote_set_wishes(version=version, town_km=-1.0, person=None)
    assert list(refused.value.message_dict) == ["town_km"]
    version.refresh_from_db()
    assert version.town_km is None


def test_tax_place_and_note(shop: Shop) -> None:
    version = draft_of(quote_start(person=None))
    away = make_tax_place("other-port")
    quote_set_tax_place(version=version, tax_place=away, person=None)
    quote_set_note(version=version, note="  Seat comes from the customer.\n", person=None)
    version.refresh_from_db()
    assert (version.tax_place, version.note) == (away, "Seat comes from the customer.")
    event = Event.objects.get(verb="tax place set")
    assert (event.before, event.after) == ("Port Example", "Other Port")
