"""Country sheets: what they hold, what they leave open, and what every finding from them says of itself."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from quoting import QuoteRequest, RequestError, from_json, quote, to_json
from quoting.example import example_request
from quoting.request import CountrySheet
from tests.quoting.rules.bike import Bike

IDS = ("retrofit-mass", "retrofit-power", "retrofit-age", "retrofit-axles", "registration-papers", "country-sheet-old")
SHEET = CountrySheet(
    code="fr", name="France", as_of=date(2026, 1, 15), source="the ministry's page", mass_share=0.2, power_share=1.0,
    least_age_years=3, front_share_points=5.0, papers=("title", "certificate of the converter"),
)  # fmt: skip


def test_no_sheet_says_nothing(bike: Bike) -> None:
    heavy = bike.saying("weight", before_kg=100.0, after_kg=300.0).given(engine_kw=1, year=2026)
    assert {finding.rule for finding in heavy.findings()} & set(IDS) == set()


def test_an_empty_sheet_limits_nothing_and_lacks_nothing(bike: Bike) -> None:
    heavy = bike.saying("weight", before_kg=100.0, after_kg=300.0).given(engine_kw=None, year=2026).registered()
    assert {finding.rule for finding in heavy.findings()} & set(IDS) == set()
    assert all(heavy.lacking(rule) == () for rule in IDS)


def test_every_finding_gives_the_sheets_date_and_says_who_decides(bike: Bike) -> None:
    past = replace(bike, country=SHEET).given(engine_kw=5, year=2025)
    past = past.saying("weight", before_kg=100.0, after_kg=121.0, front_before_kg=50.0, front_after_kg=70.0)
    for rule in IDS[:-1]:
        (finding,) = past.said(rule)
        assert "France, sheet of 15 Jan 2026; confirm with your authority." in finding.explanation
        assert "the shop's country sheet" in finding.source
    assert "title; certificate of the converter" in past.said("registration-papers")[0].explanation


def test_lighter_counts_as_much_as_heavier(bike: Bike) -> None:
    """Within 20 % of 200 kg is 160 to 240 kg."""
    for after_kg, levels in ((159.9, ("check",)), (160.0, ()), (240.0, ()), (240.1, ("check",))):
        weighed = bike.registered(mass_share=0.2).saying("weight", before_kg=200.0, after_kg=after_kg)
        assert weighed.levels("retrofit-mass") == levels, after_kg


def test_the_power_that_counts_is_asked_for_when_the_motor_does_not_say(bike: Bike) -> None:
    held = bike.registered(power_share=1.0, power_counts="continuous")
    assert held.with_("motor", cont_kw=None).lacking("retrofit-power") == ("motor.cont_kw",)
    assert held.with_("motor", peak_kw=None).lacking("retrofit-power") == ()
    peak = bike.registered(power_share=1.0)
    assert peak.with_("motor", peak_kw=None).lacking("retrofit-power") == ("motor.peak_kw",)


def test_two_motors_give_twice_the_power(bike: Bike) -> None:
    """2 × 14 kW against 27 kW."""
    bike = bike.registered(power_share=1.0).given(engine_kw=27)
    assert bike.levels("retrofit-power") == ()
    assert bike.line("motor", quantity=Decimal(2)).levels("retrofit-power") == ("check",)


def test_a_sheet_goes_to_json_and_back() -> None:
    request = replace(example_request(), country=SHEET)
    assert from_json(QuoteRequest, to_json(request)) == request


def test_the_whole_engine_reads_the_sheet() -> None:
    request = replace(example_request(), country=replace(SHEET, power_share=0.01))
    rules = {finding.rule for finding in quote(request).options[0].findings}
    assert {"retrofit-power", "registration-papers"} <= rules


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"mass_share": -0.1}, "country.mass_share"),
        ({"least_age_years": -1}, "country.least_age_years"),
        ({"power_counts": "best"}, "country.power_counts"),
    ],
)
def test_a_sheet_that_cannot_be_is_refused_by_its_field(changes: dict[str, object], field: str) -> None:
    request = replace(example_request(), country=replace(SHEET, **changes))  # type: ignore[arg-type]
    with pytest.raises(RequestError) as refused:
        quote(request)
    assert [problem.field for problem in refused.value.problems] == [field]
