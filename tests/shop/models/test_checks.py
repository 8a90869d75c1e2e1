"""Every check the database holds: what it accepts at its edge, and what it refuses just past it."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from django.apps import apps
from django.contrib.auth.models import User
from django.db import IntegrityError, transaction
from django.db.models import CheckConstraint, Model

from shop import models
from tests.shop.made_builds import make_accepted, make_build
from tests.shop.made_shop import make_customer
from tests.shop.models.rows import (
    DAY,
    MAKERS,
    NEXT,
    NOON,
    ONE,
    changed_base,
    component,
    entry,
    need,
    steps_of_one_build,
    two_needs,
)

pytestmark = pytest.mark.django_db
ZERO, MINUS = Decimal(0), Decimal("-0.01")
BEFORE = date(2026, 3, 1)
Changes = list[dict[str, Any]]


def offered() -> models.QuoteVersion:
    return make_accepted("Q-9", make_customer())


AN_INVOICE: dict[str, Any] = {"kind": "invoice", "method": "", "receipt": None, "document": "INV-1"}
NEED: dict[str, Any] = {"need": need}  # made when it is tried

AGREED: dict[str, Any] = {
    "accepted_at": NOON,
    "accepted_by": lambda: User.objects.create_user("till"),
    "agreed_on": DAY,
    "agreed_by": "Robin",
    "agreed_how": "signed",
}
FROM_ODDS: dict[str, Any] = {"odds": {}, "from_level": 50.0, "to_level": 80.0}

# constraint: the changes it accepts, the changes it refuses.
CHECKS: dict[str, tuple[Changes, Changes]] = {
    "bench_downtime_in_order": ([{"last": DAY}], [{"last": BEFORE}]),
    "build_handed_over_has_a_time": (
        [{"state": "handed_over", "place": None, "handed_over_at": NOON}],
        [{"state": "handed_over", "place": None}],
    ),
    "build_place_while_open": (
        [{"place": 1}, {"state": "cancelled", "place": None}],
        [{"place": None}, {"place": 0}, {"state": "cancelled", "place": 1}],
    ),
    "build_promise_in_order": (
        [{}, {"promised_from": DAY, "promised_to": DAY}],
        [{"promised_from": NEXT, "promised_to": DAY}, {"promised_from": DAY}, {"promised_to": DAY}],
    ),
    "build_total_not_negative": ([{"total": ZERO}], [{"total": MINUS}]),
    "build_step_hours_rise": (
        [{"low_h": 1, "likely_h": 1, "high_h": 1}],
        [{"low_h": MINUS}, {"low_h": 2, "likely_h": 1, "high_h": 3}, {"low_h": 1, "likely_h": 2, "high_h": 1}],
    ),
    "build_step_times_fit_state": (
        [
            {"state": "doing", "started_at": NOON},
            {"state": "done", "started_at": NOON, "finished_at": NOON},
        ],
        [
            {"state": "todo", "started_at": NOON},
            {"state": "doing"},
            {"state": "doing", "started_at": NOON, "finished_at": ONE},
            {"state": "done", "started_at": NOON},
            {"state": "done", "started_at": ONE, "finished_at": NOON},
        ],
    ),
    "country_mass_share_is_a_share": (
        [{"mass_share": None}, {"mass_share": 0.0}, {"mass_share": 1.0}],
        [{"mass_share": -0.01}, {"mass_share": 1.01}],
    ),
    "country_power_not_negative": ([{"power_share": None}, {"power_share": 0.0}], [{"power_share": -0.01}]),
    "country_axle_split_not_negative": (
        [{"front_share_points": None}, {"front_share_points": 0.0}],
        [{"front_share_points": -0.01}],
    ),
    "decision_has_a_reason": ([{}], [{"reason": ""}]),
    "closed_days_in_order": ([{"last": DAY}], [{"last": BEFORE}]),
    "component_markup_not_negative": ([{"markup_rate": ZERO}], [{"markup_rate": MINUS}]),
    "component_price_not_negative": ([{"list_price": ZERO}, {"list_price": None}], [{"list_price": MINUS}]),
    "certificate_has_a_number": ([{"number": "X"}], [{"number": ""}]),
    "certificate_in_order": (
        [{"begin": DAY, "until": DAY}, {"begin": DAY}, {"until": BEFORE}],
        [{"begin": DAY, "until": BEFORE}],
    ),
    "customer_has_a_name": ([{"name": "R"}], [{"name": ""}]),
    "document_facts_of_one_thing": (
        [{}, {"entry": None, "version": offered}],
        [{"entry": None}, {"version": offered}],
    ),
    "family_front_share_is_a_share": ([{"front_share": 0.5}, {}], [{"front_share": 0.0}, {"front_share": 1.0}]),
    "exchange_rate_above_zero": ([{"rate": Decimal("0.000001")}], [{"rate": ZERO}]),
    "date_change_has_reason": ([{}], [{"reason": ""}]),
    "import_file_applied_has_outcome": (
        [{}, {"applied_at": NOON, "outcome": "3 added"}],
        [{"applied_at": NOON}, {"outcome": "3 added"}],
    ),
    "leave_in_order": ([{"last": DAY}], [{"last": BEFORE}]),
    "entry_has_its_build": ([{}], [{"build": None}]),
    "entry_has_its_document": (
        [{}, {**AN_INVOICE}, {**AN_INVOICE, "kind": "storage"}],
        [{"document": "INV-1"}, {**AN_INVOICE, "document": None}],
    ),
    "entry_has_its_method": ([{}, {**AN_INVOICE}], [{"method": ""}]),
    "entry_has_its_reason": (
        [{"kind": "reversal", "reverses": entry, "reason": "wrong till", "number": 2, "receipt": None, "key": "l"}],
        [
            {"kind": "reversal", "reverses": entry, "number": 2, "receipt": None, "key": "l"},
            {"kind": "refund"},
            {"kind": "kept"},
        ],
    ),
    "entry_has_its_receipt": ([{}], [{"receipt": None}, {**AN_INVOICE, "receipt": "R-1"}]),
    "entry_names_what_it_concerns": (
        [{}, {**AN_INVOICE}, {"kind": "payment", "concerns": entry, "number": 2, "receipt": "R-2", "key": "l"}],
        [{"kind": "payment"}, {"concerns": entry, "number": 2, "receipt": "R-2", "key": "l"}],
    ),
    "entry_reversal_names_entry": (
        [{}],
        [
            {"kind": "reversal", "reason": "wrong till", "receipt": None},
            {"reverses": entry, "number": 2, "receipt": "R-2", "key": "l"},
        ],
    ),
    "line_lock_is_one_row": ([{}], [{"pk": 2}]),
    "lending_assures_what_it_lends": ([{"assured": 2}], [{"assured": ZERO}]),
    "lending_has_reason": ([{}], [{"reason": ""}]),
    "lending_quantity_above_zero": ([{}], [{"quantity": ZERO}]),
    "lending_to_another": ([{}], [{"borrower": lambda: two_needs()[0]}]),
    "mail_about_one_thing": ([{}], [{"order": None}, {"build": lambda: make_build(7)}]),
    "mail_sent_has_a_time": ([{"state": "sent", "sent_at": NOON}], [{"state": "sent"}, {"sent_at": NOON}]),
    "offer_break_cost_not_negative": ([{"unit_cost": ZERO}], [{"unit_cost": MINUS}]),
    "offer_break_quantity_above_zero": ([{"from_quantity": Decimal("0.001")}], [{"from_quantity": ZERO}]),
    "order_line_cancels_its_own": ([{"cancelled": 1}], [{"cancelled": 2}, {"cancelled": -1}]),
    "order_line_charge_not_negative": ([{"invoiced_cost": ZERO}], [{"invoiced_cost": MINUS}]),
    "substitute_is_another_part": ([{}], [{"stand_in": component}]),
    "unit_has_a_serial": ([{}], [{"serial": ""}]),
    "unit_is_in_one_place": (
        [{}, {"need": need}, {"place": "build", "need": need}, {"place": "scrapped"}],
        [{"place": "build"}, {"place": "scrapped", "need": need}, {"place": "nowhere"}],
    ),
    "offer_cost_not_negative": ([{"unit_cost": ZERO}], [{"unit_cost": MINUS}]),
    "offer_quantities_above_zero": (
        [{"least_quantity": Decimal("0.001")}],
        [{"least_quantity": ZERO}, {"pack_quantity": ZERO}],
    ),
    "opening_ends_after_start": ([{}], [{"end": "08:00"}, {"end": "07:59"}]),
    "extra_amount_not_negative": ([{"amount": ZERO}], [{"amount": MINUS}]),
    "part_price_not_negative": ([{"unit_price": ZERO}, {"unit_price": None}], [{"unit_price": MINUS}]),
    "part_quantity_above_zero": ([{"quantity": Decimal("0.001")}], [{"quantity": ZERO}]),
    "option_step_hours_not_negative": ([{"hours": ZERO}, {"hours": None}], [{"hours": MINUS}]),
    "option_step_hours_rise": ([{"high_h": 1}], [{"low_h": 1}, {"low_h": 1, "likely_h": 2, "high_h": 1}]),
    "need_quantity_not_negative": ([{"quantity": ZERO}], [{"quantity": MINUS}]),
    "paper_is_of_its_thing": (
        [
            {},
            {"kind": "quote", "entry": None, "version": offered},
            {"kind": "statement", "entry": None, "customer": make_customer, "day": DAY},
        ],
        [
            {"kind": "quote"},
            {"entry": None},
            {"version": offered},
            {"kind": "statement", "entry": None, "customer": make_customer},
        ],
    ),
    "posting_accounts_known": ([{"debit": "bank"}], [{"debit": "pocket"}, {"credit": ""}]),
    "posting_amount_above_zero": ([{"amount": Decimal("0.0001")}], [{"amount": ZERO}, {"amount": MINUS}]),
    "posting_moves_between_accounts": ([{}], [{"debit": "deposits"}]),
    "plan_odds_have_samples": ([{"samples": 1}], [{"samples": 0}]),
    "plan_odds_levels_in_order": (
        [{"from_level": 80.0}, {"from_level": 0.1, "to_level": 99.9}],
        [{"from_level": 80.1}, {"from_level": 0.0}, {"to_level": 100.0}],
    ),
    "promise_entry_says_its_basis": (
        [{"basis": "plan"}, *({"basis": basis, **FROM_ODDS} for basis in ("odds", "old_odds", "person")), {}],
        [
            {"basis": "odds"},
            {"basis": "plan", **FROM_ODDS},
            {"basis": "person", "odds": {}},
            {"basis": "odds", **FROM_ODDS, "to_level": None},
            {"basis": "guess"},
        ],
    ),
    "promise_change_has_reason": ([{}, {"kind": "changed", "reason": "motor late"}], [{"kind": "changed"}]),
    "promise_entry_in_order": ([{"finish_to": DAY}], [{"finish_to": BEFORE}]),
    "order_sent_has_a_day": (
        [{"state": "draft", "ordered_on": None}, {"state": "cancelled", "ordered_on": None}],
        [{"ordered_on": None}, {"state": "received", "ordered_on": None}],
    ),
    "order_line_cost_not_negative": ([{"unit_cost": ZERO}], [{"unit_cost": MINUS}]),
    "order_line_quantity_above_zero": ([{"quantity": Decimal("0.001")}], [{"quantity": ZERO}]),
    "past_purchase_quantity_above_zero": ([{"quantity": Decimal("0.001")}], [{"quantity": ZERO}]),
    "past_purchase_cost_not_negative": ([{"unit_cost": ZERO}, {"unit_cost": None}], [{"unit_cost": MINUS}]),
    "past_purchase_days_in_order": ([{"received_on": DAY}], [{"received_on": BEFORE}]),
    "option_allowance_not_negative": ([{"allowance_amount": ZERO}], [{"allowance_amount": MINUS}]),
    "option_contingency_is_a_share": (
        [{"contingency_rate": ZERO}, {"contingency_rate": 1}],
        [{"contingency_rate": MINUS}, {"contingency_rate": Decimal("1.01")}],
    ),
    "option_discount_has_reason": (
        [{}, {"discount_amount": 1, "discount_reason": "fair"}],
        [{"discount_amount": 1}, {"discount_rate": Decimal("0.1")}],
    ),
    "option_discount_not_negative": (
        [{"discount_rate": 1, "discount_reason": "gift"}],
        [
            {"discount_rate": Decimal("1.01"), "discount_reason": "gift"},
            {"discount_amount": MINUS, "discount_reason": "gift"},
        ],
    ),
    "option_key_is_a_b_or_c": ([{"key": "C"}], [{"key": "D"}]),
    "version_accepted_names_option": (
        [
            {
                "state": "accepted",
                "accepted_option": "A",
                "offered_at": NOON,
                "valid_until": DAY,
                "request": {},
                "result": {},
            }
        ],
        [
            {"state": "accepted", "offered_at": NOON, "valid_until": DAY, "request": {}, "result": {}},
            {"accepted_option": "A"},
        ],
    ),
    "version_frozen_when_offered": (
        [{}, {"state": "offered", "offered_at": NOON, "valid_until": DAY, "request": {}, "result": {}}],
        [
            {"state": "offered", "offered_at": NOON, "valid_until": DAY, "request": {}},
            {"state": "offered", "offered_at": NOON, "valid_until": DAY, "result": {}},
            {"state": "offered", "offered_at": NOON, "request": {}, "result": {}},
            {"state": "offered", "valid_until": DAY, "request": {}, "result": {}},
            {"offered_at": NOON},
            {"request": {}},
        ],
    ),
    "routing_step_hours_rise": ([{"high_h": 1}], [{"low_h": 1}, {"low_h": 1, "likely_h": 2, "high_h": 1}]),
    "shop_deposit_minimum_not_negative": ([{"deposit_minimum": ZERO}], [{"deposit_minimum": MINUS}]),
    "shop_deposit_rate_is_a_share": (
        [{"deposit_rate": ZERO}, {"deposit_rate": 1}],
        [{"deposit_rate": MINUS}, {"deposit_rate": Decimal("1.01")}],
    ),
    "shop_kept_rate_is_a_share": (
        [{"kept_rate": ZERO}, {"kept_rate": Decimal(1)}],
        [{"kept_rate": MINUS}, {"kept_rate": Decimal("1.01")}],
    ),
    "shop_parts_deposit_rate_is_a_share": (
        [{"parts_deposit_rate": ZERO}, {"parts_deposit_rate": Decimal(1)}],
        [{"parts_deposit_rate": MINUS}, {"parts_deposit_rate": Decimal("1.01")}],
    ),
    "shop_is_one_row": ([{}], [{"pk": 2}]),
    "shop_margin_floor_under_one": (
        [{"margin_floor": Decimal("0.99")}],
        [{"margin_floor": 1}, {"margin_floor": MINUS}],
    ),
    "skill_rates_not_negative": ([{"rate": ZERO, "cost_rate": ZERO}], [{"rate": MINUS}, {"cost_rate": MINUS}]),
    "move_difference_has_reason": (
        [{"kind": "counted", "on_hand": -1, "reason": "count"}],
        [
            {"kind": "counted", "on_hand": -1},
            {"kind": "scrapped", "on_hand": -1},
            {"kind": "sent_back", "on_hand": -1},
        ],
    ),
    "move_moves_something": ([{}], [{"kind": "counted", "on_hand": ZERO, "reason": "count"}]),
    "move_signs_fit_kind": (
        [
            {"kind": "scrapped", "on_hand": -1, "reason": "bent"},
            {"kind": "sent_back", "on_hand": -1, "reason": "bent"},
            {"kind": "reserved", "on_hand": ZERO, "reserved": 1, **NEED},
            {"kind": "released", "on_hand": ZERO, "reserved": -1, **NEED},
            {"kind": "issued", "on_hand": -1, "reserved": -1, **NEED},
        ],
        [
            {"on_hand": -1},
            {"reserved": 1},
            {"kind": "scrapped", "on_hand": 1, "reason": "bent"},
            {"kind": "sent_back", "on_hand": 1, "reason": "bent"},
            {"kind": "reserved", "on_hand": ZERO, "reserved": 1},
            {"kind": "released", "on_hand": ZERO, "reserved": 1, **NEED},
            {"kind": "issued", "on_hand": 1, **NEED},
            {"kind": "issued", "on_hand": -1, "reserved": 1, **NEED},
        ],
    ),
    "step_turn_of_two_steps": ([{}], [{"then": lambda: steps_of_one_build()[0]}]),
    "booked_plan_is_one_row": ([{}], [{"pk": 2}]),
    "feed_of_a_person_or_the_shop": (
        [{}, {"kind": "work", "who": lambda: models.Person.objects.create(name="Ana")}],
        [{"kind": "work"}, {"who": lambda: models.Person.objects.create(name="Ana")}],
    ),
    "replan_followed_by_somebody": ([{}], [{"followed_at": NOON}]),
    "supplier_closure_in_order": ([{"last": DAY}], [{"last": BEFORE}]),
    "tax_rate_in_order": (
        [{"end": None}, {"end": date(2019, 1, 1)}],
        [{"end": date(2018, 12, 31)}],
    ),
    "tax_rate_is_a_share": ([{"rate": ZERO}], [{"rate": MINUS}, {"rate": 1}]),
    "tax_rate_whole_has_threshold": (
        [{"whole": True, "threshold": 100}, {"threshold": ZERO}],
        [{"whole": True}, {"whole": True, "threshold": ZERO}],
    ),
    "shop_change_deposit_rate_is_a_share": (
        [{"change_deposit_rate": ZERO}, {"change_deposit_rate": 1}],
        [{"change_deposit_rate": MINUS}, {"change_deposit_rate": Decimal("1.01")}],
    ),
    "shop_replanning_not_negative": ([{}], [{"replanning_h": MINUS}, {"replanning_rate": MINUS}]),
    "boundary_zip_in_order": ([{"zip_high": "98001"}], [{"zip_high": "98000"}]),
    "boundary_extension_fits_kind": (
        [{}, {"kind": "4", "plus_low": "0001", "plus_high": "0001"}],
        [
            {"plus_low": "0001", "plus_high": "0002"},
            {"kind": "4"},
            {"kind": "4", "plus_low": "0002", "plus_high": "0001"},
        ],
    ),
    "boundary_in_order": ([{"end": DAY}], [{"end": BEFORE}]),
    "change_is_another_version": ([{}], [{"version": lambda: changed_base()}]),
    "change_has_a_reason": ([{}], [{"reason": ""}]),
    "change_accepted_by_both": (
        [{}, AGREED],
        [
            {"agreed_by": "Robin"},
            {**AGREED, "agreed_by": ""},
            {**AGREED, "agreed_how": ""},
            {**AGREED, "accepted_by": None},
            {**AGREED, "agreed_on": None},
        ],
    ),
    "tax_rate_zero_when_not_taxed": ([{"taxed": False, "rate": ZERO}], [{"taxed": False}]),
}
IN_MODELS: dict[str, type[Model]] = {
    constraint.name: model
    for model in apps.get_app_config("shop").get_models()
    for constraint in model._meta.constraints
    if isinstance(constraint, CheckConstraint)
}


def unsaved(name: str, changed: dict[str, Any]) -> Model:
    model = IN_MODELS[name]
    made = {key: value() if callable(value) else value for key, value in changed.items()}
    if about := made.get("reverses") or made.get("concerns"):  # an entry of its own stands beside the one it is about
        return models.LedgerEntry(
            **{"day": DAY, "kind": "deposit", "method": "cash", "build": about.build, **made},
            customer=about.customer,
        )
    return model(**{**MAKERS[model](), **made})


def test_every_check_of_the_models_is_tried_here() -> None:
    assert set(CHECKS) == set(IN_MODELS)


@pytest.mark.parametrize(("name", "changed"), [(name, change) for name, (fits, _) in CHECKS.items() for change in fits])
def test_accepts(name: str, changed: dict[str, Any]) -> None:
    unsaved(name, changed).save(force_insert=True)


@pytest.mark.parametrize(("name", "changed"), [(name, change) for name, (_, not_) in CHECKS.items() for change in not_])
def test_refuses(name: str, changed: dict[str, Any]) -> None:
    row = unsaved(name, changed)
    with pytest.raises(IntegrityError, match=name), transaction.atomic():
        row.save(force_insert=True)
