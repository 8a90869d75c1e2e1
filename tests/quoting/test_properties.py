"""What must hold for any build: more cells, more weight, fewer specs, and figures written and typed back."""

from __future__ import annotations

import dataclasses
from dataclasses import replace
from datetime import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from quoting import quote
from quoting.parts import KINDS, spec_fields
from quoting.request import Bench, Donor, Opening, Person, ShopState
from quoting.result import PackFigures, RideFigures, SagPoint
from quoting.rules import NOT_CHECKED, all_rules
from quoting.rules.registry import applies, outcome
from quoting.units import parse_quantity
from tests.quoting.rules.bike import DONOR, Bike

OPEN = ShopState(
    zone="America/New_York",
    openings=tuple(Opening(weekday=day, start=time(8), end=time(16)) for day in range(5)),
    benches=(Bench(name="Fab 1", bench_type="fab"),),
    people=(Person(name="Builder", skills=("fab",)),),
)
FEW = settings(max_examples=40, deadline=None)
TINY = 1e-9
# A motor's efficiency grid, invented; its edges lie within what the bike asks of the motor.
GRID = "rpm 15 40 90 160; 100 0.80 0.78 0.70 0.60; 500 0.88 0.90 0.88 0.83; 1100 0.88 0.92 0.92 0.90"


def figures(bike: Bike) -> tuple[PackFigures, RideFigures]:
    facts = bike.facts()
    assert facts.pack is not None
    assert facts.ride is not None
    return facts.pack, facts.ride


def sags(pack: PackFigures) -> dict[tuple[str, float], SagPoint]:
    return {(point.load, point.soc): point for point in pack.sag}


def sag_v(point: SagPoint) -> float:
    return float("inf") if point.loaded_v is None else point.open_v - point.loaded_v


# Pack and controller weigh more with more cells, and still it goes farther: a cell carries itself many times over.
@FEW
@given(
    parallel=st.integers(4, 24),
    more=st.integers(1, 6),
    regen_a=st.sampled_from([0.0, 20.0]),
    mid=st.booleans(),
    grid=st.sampled_from([None, GRID]),
)
def test_more_parallel_cells_never_shorten_range_or_raise_sag(
    parallel: int, more: int, regen_a: float, mid: bool, grid: str | None
) -> None:
    bike = Bike().with_("controller", regen_a=regen_a)
    bike = bike.mid() if mid else bike.with_("motor", efficiency_grid=grid)
    fewer_pack, fewer = figures(bike.packed(parallel=parallel))
    more_pack, farther = figures(bike.packed(parallel=parallel + more))
    for less, great in zip(fewer.profiles, farther.profiles, strict=True):
        assert great.likely_km >= less.likely_km
        assert great.cold_km >= less.cold_km
        assert great.low_km >= less.low_km
    before, after = sags(fewer_pack), sags(more_pack)
    assert before.keys() == after.keys()
    assert before
    for point, less_sag in before.items():
        # The power asked for is the same or more; at the same power it sags no more.
        if after[point].power_w <= less_sag.power_w + TINY:
            assert sag_v(after[point]) <= sag_v(less_sag) + TINY


@FEW
@given(series=st.integers(10, 23), kv=st.floats(3.0, 10.0))
def test_more_series_never_lower_the_speed_that_voltage_limits(series: int, kv: float) -> None:
    """A motor so strong and slow that only pack voltage holds it back."""
    strong = {"kv_rpm_per_v": kv, "max_rpm": 20000, "peak_kw": 300, "cont_kw": 150, "peak_torque_nm": 2500}
    bike = Bike().with_("motor", **strong, phase_peak_a=2900, demag_phase_a=5000)
    bike = bike.with_("controller", battery_peak_a=2000, battery_cont_a=1500, phase_peak_a=2900, low_cut_v=None)
    bike = bike.with_("controller", min_v=5)
    bike = bike.with_("cell", peak_a=400, cont_a=300, resistance_mohm=0.5)
    bike = bike.with_("bms", peak_a=4000, cont_a=2500, series_low=1, series_high=100, low_cell_v=2.8)
    _, slower = figures(bike.packed(series=series))
    _, faster = figures(bike.packed(series=series + 1))
    assert slower.top_limit == faster.top_limit == "motor speed at pack voltage"
    assert slower.top_kmh is not None
    assert faster.top_kmh is not None
    assert faster.top_kmh >= slower.top_kmh


@FEW
@given(
    rider_kg=st.floats(45, 110),
    more_kg=st.floats(0.5, 80),
    regen_a=st.sampled_from([0.0, 30.0]),
    parallel=st.integers(6, 20),
    grid=st.sampled_from([None, GRID]),
)
def test_a_heavier_bike_never_goes_farther(
    rider_kg: float, more_kg: float, regen_a: float, parallel: int, grid: str | None
) -> None:
    bike = Bike().with_("controller", regen_a=regen_a).packed(parallel=parallel).with_("motor", efficiency_grid=grid)
    _, light = figures(bike.under(rider_kg=rider_kg))
    _, heavy = figures(bike.under(rider_kg=rider_kg + more_kg))
    for less, great in zip(heavy.profiles, light.profiles, strict=True):
        assert less.likely_km <= great.likely_km
        assert less.cold_km <= great.cold_km
    assert heavy.start_grade_percent is not None
    assert light.start_grade_percent is not None
    assert heavy.start_grade_percent <= light.start_grade_percent + TINY


UNITS = sorted({field.unit for kind in KINDS.values() for field in spec_fields(kind.part_type) if field.unit})


@pytest.mark.parametrize("unit", UNITS)
@given(value=st.floats(0.001, 1e6))
@settings(max_examples=20, deadline=None)
def test_a_figure_written_with_its_unit_is_read_back(unit: str, value: float) -> None:
    assert parse_quantity(f"{value!r} {unit}", unit) == pytest.approx(value, rel=1e-12)
    assert parse_quantity(repr(value), unit) == pytest.approx(value, rel=1e-12)


def spec_names() -> list[tuple[str, str]]:
    """Every spec that is filled in on the sound build, by slot."""
    return [(slot, name) for slot, (_, _, spec) in Bike().slots.items() for name in spec]


DONOR_NAMES = [
    field.name
    for field in dataclasses.fields(Donor)
    if field.default is None and getattr(DONOR, field.name) is not None
]


@settings(max_examples=60, deadline=None)
@given(
    blank=st.sets(st.sampled_from(spec_names()), min_size=1, max_size=40),
    unknown=st.sets(st.sampled_from(DONOR_NAMES), max_size=8),
    mid=st.booleans(),
)
def test_any_specs_missing_never_raise_and_never_pass(
    blank: set[tuple[str, str]], unknown: set[str], mid: bool
) -> None:
    """quote() answers; a rule that needs what is missing is silent for want of it and says so, never judged as good."""
    bike = Bike().given(**dict.fromkeys(unknown))
    for slot, name in sorted(blank):
        bike = bike.with_(slot, **{name: None})
    bike = bike.mid() if mid else bike
    result = quote(replace(bike.request(), shop=OPEN)).options[0]
    assert result.rules_checked <= len(all_rules())
    facts = bike.facts()
    waiting = False
    for rule in all_rules():
        if not applies(rule, facts):
            continue
        needed = [facts.subject(subject) for subject, _ in rule.reads]
        lacks = any(
            owner is not None and getattr(owner, field) is None
            for owner, (subject, field) in zip(needed, rule.reads, strict=True)
            if subject != rule.each and subject not in ("wishes", "country")
        )
        told = outcome(rule, facts)
        if lacks:
            assert told.gaps or not told.applied, f"{rule.id} judged without what it needs"
        waiting = waiting or bool(told.gaps)
    assert any(finding.rule == NOT_CHECKED for finding in result.findings) == waiting
