"""Every uniqueness the database holds: the same again is refused, and what differs in one value is accepted."""

from __future__ import annotations

from collections.abc import Callable
from datetime import time
from decimal import Decimal
from typing import Any

import pytest
from django.apps import apps
from django.db import IntegrityError, transaction
from django.db.models import Model, UniqueConstraint

from shop import models
from tests.shop.made_builds import make_accepted
from tests.shop.made_parts import make_family, make_supplier
from tests.shop.made_shop import make_customer
from tests.shop.models.rows import DAY, MAKERS, NEXT, NOON, a_unit, component, steps_of_one_build

pytestmark = pytest.mark.django_db
OFFERED: dict[str, Any] = {
    "state": "offered",
    "offered_at": NOON,
    "valid_until": DAY,
    "request": {},
    "result": {},
}
Make = Callable[[], Any]


def other_version() -> models.QuoteVersion:
    return make_accepted("Q-6", make_customer())


# constraint: values of both rows; what makes the second row another one; values both need besides to be possible.
UNIQUES: dict[str, tuple[dict[str, Any], dict[str, Any]]] = {
    "bay_named_once_per_family": ({}, {"name": "nose"}),
    "build_place_once": ({}, {"place": 6}),
    "build_step_once_per_code": ({}, {"code": "wiring"}),
    "build_step_once_per_position": ({}, {"position": 2}),
    "decision_once_per_rule": ({}, {"rule": "mass"}),
    "donor_vin_once_per_family": ({}, {"vin": "AB-12346"}),
    "entry_tax_once_per_position": ({}, {"position": 2}),
    "exchange_rate_once_a_day": ({}, {"day": NEXT}),
    "offer_once_per_supplier": ({"preferred": False}, {"supplier": lambda: make_supplier("south-yard")}),
    "offer_one_preferred_per_component": ({}, {"preferred": False, "supplier": lambda: make_supplier("south-yard")}),
    "offer_break_once_per_quantity": ({}, {"from_quantity": Decimal(6)}),
    "substitute_once_per_pair": ({}, {"stand_in": lambda: component("CTR-1")}),
    "unit_serial_once_per_component": ({}, {"serial": "M-2"}),
    "unit_move_once": ({}, {"unit": lambda: a_unit("M-2")}),
    "opening_once_per_start": ({}, {"start": time(9)}),
    "paper_once_a_version_and_kind": (
        {"kind": "quote", "entry": None, "version": lambda: make_accepted("Q-7", make_customer())},
        {"version": other_version},
    ),
    "paper_once_an_entry_and_kind": ({}, {"kind": "void"}),
    "part_once_per_option": ({}, {"component": lambda: component("FUS-1")}),
    "option_step_once_per_code": ({}, {"code": "wiring"}),
    "need_once_per_component": ({}, {"component": lambda: component("FUS-1")}),
    "promise_first_once": ({}, {"kind": "changed", "reason": "late"}),
    "order_line_once_per_component": ({}, {"component": lambda: component("FUS-1")}),
    "past_purchase_once": ({}, {"reference": "second"}),
    "option_once_per_key": ({}, {"key": "B"}),
    "version_once_per_number": (OFFERED, {"number": 2, "state": "declined"}),
    "version_one_draft_per_quote": ({}, {"number": 2, **OFFERED}),
    "version_one_offered_per_quote": (OFFERED, {"number": 2, "state": "replaced"}),
    "routing_step_once_for_all_families": ({"family": None}, {"code": "wiring"}),
    "routing_step_once_per_family": ({}, {"family": lambda: make_family(code="boxer")}),
    "step_turn_once": ({}, {"first": lambda: steps_of_one_build()[1], "then": lambda: steps_of_one_build()[0]}),
    "tax_authority_once": ({}, {"level": "county"}),
    "tax_authority_once_per_place": ({}, {"authority": lambda: models.TaxAuthority.objects.create(name="Third")}),
    "tax_rate_once_per_begin": ({}, {"tax_class": "fee"}),
}
# What keeps two rows from clashing on something else than the constraint that is tried.
BESIDES: dict[str, dict[str, Any]] = {
    "build_place_once": {"number": "B-6", "version": other_version},
    "build_step_once_per_code": {"position": 2},
    "build_step_once_per_position": {"code": "wiring"},
    "paper_once_a_version_and_kind": {"public_id": "another"},
    "paper_once_an_entry_and_kind": {"public_id": "another"},
    "offer_one_preferred_per_component": {"supplier": lambda: make_supplier("south-yard")},
    "version_one_draft_per_quote": {"number": 2},
    "version_one_offered_per_quote": {"number": 2},
}
IN_MODELS: dict[str, type[Model]] = {
    constraint.name: model
    for model in apps.get_app_config("shop").get_models()
    for constraint in model._meta.constraints
    if isinstance(constraint, UniqueConstraint)
}


def made(values: dict[str, Any]) -> dict[str, Any]:
    return {key: value() if callable(value) else value for key, value in values.items()}


def test_every_uniqueness_of_the_models_is_tried_here() -> None:
    assert set(UNIQUES) == set(IN_MODELS)


@pytest.mark.parametrize("name", UNIQUES)
def test_the_same_again_is_refused_and_another_is_not(name: str) -> None:
    model, (both, another) = IN_MODELS[name], UNIQUES[name]
    values = {**MAKERS[model](), **made(both)}
    model(**values).save(force_insert=True)
    besides = made(BESIDES.get(name, {}))
    again = model(**{**values, **besides})
    with pytest.raises(IntegrityError, match=r"UNIQUE constraint failed|duplicate key"), transaction.atomic():
        again.save(force_insert=True)
    model(**{**values, **besides, **made(another)}).save(force_insert=True)


def test_bikes_without_a_vin_are_many(db: None) -> None:
    family = make_family()
    for _ in range(2):
        models.Donor.objects.create(family=family)


def test_builds_out_of_the_line_have_no_place_between_them() -> None:
    first = models.Build(**MAKERS[models.Build]())
    for number, version in (("B-5", first.version), ("B-6", other_version())):
        models.Build.objects.create(
            number=number,
            version=version,
            option_key="A",
            customer=first.customer,
            job="conversion",
            title="Anvil",
            total=Decimal(1),
            accepted_at=NOON,
            state="cancelled",
        )
