"""Faults reported by practitioners, asked of the whole engine: each is found, and silent once repaired."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import time

import pytest

from quoting import quote
from quoting.request import Bench, Opening, Person, ShopState
from quoting.result import Finding
from quoting.rules import NOT_CHECKED
from tests.quoting.rules.bike import Bike
from tests.quoting.rules.faults import FAULTS, Fault, lfp, pouches

OPEN = ShopState(
    zone="America/New_York",
    openings=tuple(Opening(weekday=day, start=time(8), end=time(16)) for day in range(5)),
    benches=(Bench(name="Fab 1", bench_type="fab"),),
    people=(Person(name="Builder", skills=("fab",)),),
)
# Cases that ask for a fact, a word or a way out and are tested by name below, not as a fault with its repair.
BY_NAME = {"B52"}
# Of group B as reported: what a quote can look at. The rest of the numbers are not in the reports.
REPORTED = {
    *("B1", "B2", "B3", "B5", "B6", "B7", "B9", "B10", "B11", "B12", "B14", "B15", "B17", "B18", "B20", "B22", "B23"),
    *("B25", "B26", "B28", "B29", "B31", "B32", "B35", "B37", "B38", "B39", "B40", "B41", "B42", "B45", "B48", "B49"),
    *("B51", "B52", "B53", "B57"),
}


def findings(bike: Bike) -> tuple[Finding, ...]:
    """What quote() finds."""
    assert not bike.overrides, "the whole engine works the figures out itself"
    return quote(replace(bike.request(), shop=OPEN)).options[0].findings


def test_every_reported_case_is_tested() -> None:
    assert {fault.case for fault in FAULTS} | BY_NAME == REPORTED


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: f"{fault.case}-{fault.rule}")
def test_a_reported_fault_is_found(fault: Fault, bike: Bike) -> None:
    assert fault.level in ("stop", "check")
    assert (fault.rule, fault.level) in {(found.rule, found.level) for found in findings(fault.faulty(bike))}


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: f"{fault.case}-{fault.rule}")
def test_a_repaired_fault_is_silent(fault: Fault, bike: Bike) -> None:
    found = findings(fault.repaired(bike))
    assert [finding for finding in found if finding.rule == fault.rule] == []
    waiting = [finding.explanation for finding in found if finding.rule == NOT_CHECKED]
    assert [text for text in waiting if re.search(rf"\b{fault.rule}\b", text)] == []


def test_b31_and_b57_name_what_does_not_hold(bike: Bike) -> None:
    texts = {
        fault.case: next(each.explanation for each in findings(fault.faulty(bike)) if each.rule == fault.rule)
        for fault in FAULTS
        if fault.case in ("B31", "B57")
    }
    assert "controller" in texts["B31"]
    assert "motor continuous power" in texts["B57"]


def test_b6_names_the_sixty_amps(bike: Bike) -> None:
    (finding,) = pouches(bike, 90).said("cell-continuous-current")
    assert finding.limit == pytest.approx(60)
    assert any("60 A or less" in way.text for way in finding.ways_out)


def test_b26_gives_the_resistors_for_a_potentiometer_on_a_hall_input(bike: Bike) -> None:
    """0.7 to 4.0 V at 5 V: 3.3 V over 10 kΩ is 0.33 mA; 0.7 V/0.33 mA = 2.1 kΩ below, 1.0 V/0.33 mA = 3.0 kΩ above."""
    (finding,) = bike.with_("throttle", signal="pot", resistance_kohm=10).said("throttle-signal")
    assert any("2.1 kΩ below and 3.0 kΩ above" in way.text for way in finding.ways_out)


def test_b42_shows_the_ratio_that_would_reach_the_speed(bike: Bike) -> None:
    """13/69 behind 14:1 is 74.31:1; 5000 rpm × 1.45 m is 5.855 km/h; 45 km/h takes 74.31 × 5.855/45 = 9.67:1."""
    slow = bike.mid().wishing(top_kmh=45.0).saying("ride", top_kmh=5.855, overall_ratio=14 * 69 / 13)
    (finding,) = slow.said("wish-top-speed")
    assert any("9.67 to 1" in way.text for way in finding.ways_out)


def test_b52_asks_for_forty_two_kiloohms_at_84_volts(bike: Bike) -> None:
    (finding,) = bike.said("voltage-class-b")
    assert "42.0 kΩ" in finding.explanation
    assert bike.packed(14).said("voltage-class-b") == ()  # 14 × 4.2 V = 58.8 V is below class B


@pytest.mark.parametrize("build", [Bike, lambda: Bike().mid(), lambda: lfp(Bike(), 23).with_("charger", end_v=83.95)])
def test_sound_builds_raise_no_alarm(build: Callable[[], Bike]) -> None:
    """No stop, and at most two checks."""
    bike = build()
    if bike.slots["cell"][2]["chemistry"] == "lfp":  # 23 × 2.5 V = 57.5 V empty, 2.8 V × 23 = 64.4 V to end the ride
        bike = bike.with_("controller", low_cut_v=64.5).with_("bms", low_cell_v=2.6, high_cell_v=3.7)
    levels = [finding.level for finding in replace(bike).findings()]
    assert levels.count("stop") == 0
    assert levels.count("check") <= 2
