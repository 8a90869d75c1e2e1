"""Which findings a customer reads, with what was decided; which stay at the desk."""

from __future__ import annotations

from typing import Any

import pytest

from quoting.example import example_request
from quoting.price import price_sheet
from quoting.result import Finding, OptionResult
from quoting.rules import all_rules
from shop.documents.notes import TOLD, TOLD_RULES, Note, notes_of
from shop.documents.pen import Pen
from shop.selectors.document_facts import Decided

PEN = Pen("en-US", "USD", "us")
PRICE = price_sheet(example_request(), example_request().options[0])


def notes(finding: Finding, *decisions: Decided, pen: Pen = PEN) -> tuple[Note, ...]:
    result = OptionResult(key="A", label="", price=PRICE, findings=(finding,), rules_checked=1)
    return notes_of(result, decisions, pen)


def finding(rule: str, level: str = "check", **changed: Any) -> Finding:
    values = {"title": "A title", "explanation": "An explanation of 84.0 V.", **changed}
    return Finding(rule=rule, level=level, **values)


def test_every_rule_named_here_is_one_of_the_engines():
    assert {rule.id for rule in all_rules()} >= TOLD_RULES


def test_a_decided_check_with_its_reason():
    decided = Decided(option="A", rule="front-share-shift", reason="Rode the demo bike. ")
    assert notes(finding("front-share-shift"), decided) == (
        Note("A title", "An explanation of 84.0 V.", "Rode the demo bike"),
    )


def test_a_decision_for_another_option_is_not_this_ones():
    (note,) = notes(finding("front-share-shift"), Decided(option="B", rule="front-share-shift", reason="Agreed"))
    assert note.decision == ""


@pytest.mark.parametrize("rule", ["wish-range", "wish-budget", "retrofit-mass", "donor-papers", "brakes-and-weight"])
def test_wishes_law_and_the_donor_are_told(rule):
    assert notes(finding(rule))


@pytest.mark.parametrize(
    "rule", [rule.id for rule in all_rules() if rule.subject == "desk"] + ["cable-sections-differ", "motor-overspeed"]
)
def test_the_desks_own_and_what_a_customer_cannot_judge_stay_inside(rule):
    assert rule not in TOLD
    assert notes(finding(rule)) == ()


def test_notes_of_the_engine_stay_inside_but_for_a_range_that_is_met_on_a_good_day():
    assert notes(finding("held-speed", "note")) == ()
    assert notes(finding("wish-range", "note"))


def test_what_is_not_known_about_the_bike_is_said_in_our_words():
    missing = finding(
        "not-checked",
        title="Not checked: Donor",
        explanation="Donor has no gross weight rating, so 2 rules could not be checked: gross-weight, payload. Never.",
        missing=("donor.gvwr_kg",),
    )
    (note,) = notes(missing, Decided(option="A", rule="not-checked", reason="plate is gone"))
    assert note == Note("Not checked against the bike", "Donor has no gross weight rating.", "plate is gone")


def test_figures_that_are_not_known():
    missing = ("ride.band", "weight.after_kg", "price.margin_rate")
    (note,) = notes(finding("not-checked", explanation="The price could not be worked out.", missing=missing))
    assert note.text == "Something is not known yet about the ride and the weights."


@pytest.mark.parametrize("missing", [("price.margin_rate",), ("motor.kv_rpm_per_v",), ("promise.finish_to",), ()])
def test_that_the_margin_or_a_parts_data_are_missing_stays_inside(missing):
    assert notes(finding("not-checked", missing=missing)) == ()


def test_british_shops_read_british_words():
    (note,) = notes(finding("wish-range", explanation="The rear tire."), pen=Pen("en-GB", "GBP", "us"))
    assert note.text == "The rear tyre."
