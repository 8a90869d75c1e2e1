"""quote() as a whole: what it refuses, what it depends on, and that its parts agree with each other."""

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from quoting import RequestError, fingerprint, from_json, quote, to_json
from quoting.example import example_request
from quoting.request import CatalogueItem, PackPlan, QuoteRequest
from quoting.result import QuoteResult

REQUEST = example_request()
OPTION = REQUEST.options[0]
PLAN = PackPlan(series=20, parallel=12, link_mohm=1.5, bays=("Engine bay",))  # the example's own


def with_option(**changes: Any) -> QuoteRequest:
    return replace(REQUEST, options=(replace(OPTION, **changes),))


def refused_fields(request: QuoteRequest) -> set[str]:
    with pytest.raises(RequestError) as caught:
        quote(request)
    return {problem.field for problem in caught.value.problems}


def test_the_plan_here_is_the_examples():
    assert OPTION.pack == PLAN


def test_example_has_no_stop_and_at_most_two_checks():
    (option,) = quote(REQUEST).options
    assert option.at_level("stop") == ()
    assert len(option.at_level("check")) <= 2


def test_result_travels_as_json_and_comes_back_equal():
    result = quote(REQUEST)
    assert from_json(QuoteResult, to_json(result)) == result


def test_same_request_same_result():
    assert quote(REQUEST) == quote(example_request())


def test_options_are_worked_out_apart():
    small = replace(OPTION, key="B", pack=replace(PLAN, parallel=10))
    both = quote(replace(REQUEST, options=(OPTION, small)))
    assert both.options[0] == quote(REQUEST).options[0]
    # 20s10p against 20s12p of the same cell: 10/12 of the energy.
    large_wh, small_wh = (option.pack.energy_wh for option in both.options if option.pack)
    assert large_wh is not None
    assert small_wh == pytest.approx(large_wh * 10 / 12)


def test_catalogue_changes_ways_out_only():
    item = CatalogueItem(code="Z", kind="motor", name="Another motor", spec={"mount": "hub"}, unit_price=Decimal(1))
    with_catalogue = replace(REQUEST, catalogue=(item,))
    assert fingerprint(with_catalogue) == fingerprint(REQUEST)
    plain, other = quote(REQUEST).options[0], quote(with_catalogue).options[0]
    assert replace(other, findings=()) == replace(plain, findings=())
    assert [finding.rule for finding in other.findings] == [finding.rule for finding in plain.findings]


def test_fingerprint_tells_requests_apart():
    assert fingerprint(REQUEST) != fingerprint(with_option(label="Other"))


def test_pack_mass_is_part_of_the_ride():
    # Masses: kerb − removed + added, then the rider and luggage of the policies.
    option = quote(REQUEST).options[0]
    weight, ride = option.weight, option.ride
    assert weight is not None
    assert ride is not None
    left_kg = (weight.before_kg or 0) - (weight.removed_kg or 0)
    assert weight.after_kg is not None
    assert weight.after_kg == pytest.approx(left_kg + (weight.added_kg or 0))
    assert ride.mass_kg == pytest.approx(weight.after_kg + REQUEST.policies.rider_kg + REQUEST.policies.luggage_kg)


def test_service_job_has_no_bike_figures():
    job = replace(REQUEST, job="service", options=(replace(OPTION, parts=(), pack=None),))
    (option,) = quote(job).options
    assert option.pack is None
    assert option.ride is None
    assert option.promise is not None
    assert option.promise.finish_from is not None


@pytest.mark.parametrize("count", [0, 4])
def test_one_to_three_options(count):
    options = tuple(replace(OPTION, key=key) for key in "ABCD"[:count])
    assert refused_fields(replace(REQUEST, options=options)) == {"options"}


def test_keys_are_unique():
    assert refused_fields(replace(REQUEST, options=(OPTION, OPTION))) == {"options"}


@pytest.mark.parametrize(
    ("changes", "field"),
    [({"job": "race"}, "job"), ({"units": "nautical"}, "units"), ({"now": REQUEST.now.replace(tzinfo=None)}, "now")],
)
def test_words_of_the_request_are_checked(changes, field):
    assert refused_fields(replace(REQUEST, **changes)) == {field}


def test_lines_are_checked_with_their_place():
    bad = replace(OPTION.parts[1], quantity=Decimal(0), unit_price=Decimal(-1), tax_class="gold")
    where = "options.A.parts.2"
    found = refused_fields(with_option(parts=(OPTION.parts[0], bad)))
    assert found == {f"{where}.quantity", f"{where}.unit_price", f"{where}.tax_class"}


def test_hours_out_of_order_are_refused():
    bad = replace(OPTION.steps[0], low_h=Decimal(9), likely_h=Decimal(3))
    assert refused_fields(with_option(steps=(bad,))) == {"options.A.steps.1"}


def test_pack_without_cells_is_refused():
    assert refused_fields(with_option(pack=replace(PLAN, series=0))) == {"options.A.pack"}


def test_unreadable_spec_names_line_and_field():
    bad = replace(OPTION.parts[0], spec={"cont_kw": "lots"})
    assert refused_fields(with_option(parts=(bad,))) == {"options.A.parts.1 (M-EX).cont_kw"}
