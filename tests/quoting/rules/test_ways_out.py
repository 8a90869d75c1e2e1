"""Ways out: parts that would pass, on the shelf first, then cheapest; counts; acts."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from quoting.request import CatalogueItem
from quoting.result import Finding, WayOut
from tests.quoting.rules.bike import (
    BATTERY_CABLE,
    BMS,
    CELL,
    CHARGER,
    CONTROLLER,
    PHASE_CABLE,
    SWITCHES,
    TORQUE_ARMS,
    Bike,
    Spec,
)


def item(code: str, kind: str, spec: Spec, price: str = "100", free: int = 0, gone: bool = False) -> CatalogueItem:
    return CatalogueItem(
        code=code,
        kind=kind,
        name=f"Part {code}",
        spec=spec,
        unit_price=Decimal(price),
        free_quantity=Decimal(free),
        discontinued=gone,
    )


def controller(code: str, max_v: float | None, price: str = "100", free: int = 0, **more: object) -> CatalogueItem:
    return item(code, "controller", {**CONTROLLER, "max_v": max_v, **more}, price, free)


def offered(finding: Finding, kind: str = "part") -> list[str]:
    return [way.code or way.value for way in finding.ways_out if way.kind == kind]


def the(bike: Bike, rule: str) -> Finding:
    (finding,) = bike.said(rule)
    return finding


LOW = "pack-full-over-controller-max"


def test_parts_that_pass_on_the_shelf_first_then_cheapest(bike: Bike) -> None:
    catalogue = (
        controller("C-dear", 120, "900", free=1),
        controller("C-cheap", 120, "200"),
        controller("C-low", 80, "50", free=9),
        controller("C-shelf", 120, "500", free=2),
        controller("C-cheaper", 120, "150"),
    )
    finding = the(replace(bike.with_("controller", max_v=80), catalogue=catalogue), LOW)
    assert offered(finding) == ["C-shelf", "C-dear", "C-cheaper"]
    assert finding.ways_out[1].text == "Controller: Part C-shelf, USD 500 each, 2 on the shelf"


def test_a_part_that_lacks_the_spec_is_not_offered(bike: Bike) -> None:
    finding = the(replace(bike.with_("controller", max_v=80), catalogue=(controller("C-x", None),)), LOW)
    assert offered(finding) == []


def test_a_discontinued_or_unreadable_part_is_not_offered(bike: Bike) -> None:
    catalogue = (
        item("C-old", "controller", {**CONTROLLER, "max_v": 120}, gone=True),
        item("C-bad", "controller", {"max_v": "a lot"}),
    )
    assert offered(the(replace(bike.with_("controller", max_v=80), catalogue=catalogue), LOW)) == []


def test_a_part_that_brings_another_stop_is_not_offered(bike: Bike) -> None:
    catalogue = (controller("C-pot", 120, throttles=["pot"]), controller("C-both", 120, throttles=["pot", "hall"]))
    assert offered(the(replace(bike.with_("controller", max_v=80), catalogue=catalogue), LOW)) == ["C-both"]


def test_a_stop_that_is_there_anyway_does_not_hide_a_part(bike: Bike) -> None:
    bike = bike.with_("controller", max_v=80, throttles=["pot"])
    assert offered(the(replace(bike, catalogue=(controller("C-pot", 120, throttles=["pot"]),)), LOW)) == ["C-pot"]


def test_the_part_itself_is_not_offered_in_its_own_place(bike: Bike) -> None:
    catalogue = (controller("controller", 120),)
    assert offered(the(replace(bike.with_("controller", max_v=80), catalogue=catalogue), LOW)) == []


def test_count_in_series_from_the_limit(bike: Bike) -> None:
    """80 V / 4.2 V = 19.05, so 19; 79.8 V is exactly 19 and counts."""
    assert offered(the(bike.with_("controller", max_v=80), LOW), "count") == ["19"]
    assert offered(the(bike.with_("controller", max_v=79.8), LOW), "count") == ["19"]
    assert "19 × 4.2 V = 79.8 V" in the(bike.with_("controller", max_v=80), LOW).ways_out[0].text


def test_count_in_parallel_from_the_load(bike: Bike) -> None:
    """300 A over 20 A a cell is 15 in parallel; 301 A takes 16."""
    for amps, count in ((300, "15"), (301, "16")):
        finding = the(bike.with_("controller", battery_cont_a=amps), "cell-continuous-current")
        assert offered(finding, "count") == [count]
        assert finding.ways_out[1].field == "parallel"


def test_a_count_way_out_clears_the_finding_when_followed(bike: Bike) -> None:
    hungry = bike.with_("controller", battery_cont_a=301)
    assert hungry.packed(parallel=16).levels("cell-continuous-current") == ()
    assert hungry.packed(parallel=15).levels("cell-continuous-current") == ("stop",)


def test_cells_from_the_catalogue_are_tried_with_the_pack_worked_out_anew(bike: Bike) -> None:
    catalogue = (
        item("strong", "cell", {**CELL, "cont_a": 30, "peak_a": 60}, free=500),
        item("weak", "cell", {**CELL, "cont_a": 21, "peak_a": 60}, free=500),
        item("tall", "cell", {**CELL, "cont_a": 40, "peak_a": 60, "full_v": 5.5}, free=500),
    )
    finding = the(replace(bike.with_("controller", battery_cont_a=300), catalogue=catalogue), "cell-continuous-current")
    assert offered(finding) == ["strong"]


def test_a_charger_is_offered_only_for_this_count_in_series(bike: Bike) -> None:
    catalogue = (item("84", "charger", {**CHARGER, "end_v": 84}), item("88", "charger", {**CHARGER, "end_v": 88.2}))
    finding = the(replace(bike.with_("charger", end_v=58.8), catalogue=catalogue), "charger-end-voltage")
    assert offered(finding) == ["84"]


def test_parts_that_are_missing_altogether_are_offered(bike: Bike) -> None:
    arms = item("arms", "adapter", TORQUE_ARMS)
    weak = item("bracket", "adapter", {**TORQUE_ARMS, "purpose": "bracket"})
    assert offered(the(replace(bike.without("torque arms"), catalogue=(weak, arms)), "hub-torque-arms"), "part") == [
        "arms"
    ]
    kill = item("kill", "switch", SWITCHES)
    assert offered(the(replace(bike.without("switches"), catalogue=(kill,)), "kill-switch-missing")) == ["kill"]


def test_one_connector_is_exchanged_and_the_other_left(bike: Bike) -> None:
    plug: Spec = {"circuit": "battery", "max_v": 150, "cont_a": 200, "peak_a": 350}
    bike = bike.plus("second plug", "connector", **{**plug, "max_v": 60}).with_("plug", max_v=60)
    bike = replace(bike, catalogue=(item("plug-150", "connector", plug),))
    assert [offered(finding) for finding in bike.said("pack-full-over-connector-max")] == [["plug-150"], ["plug-150"]]


@pytest.mark.parametrize("rule", ["regen-over-charge-limit", "low-cut-under-cell-floor"])
def test_settings_are_acts_with_the_figure(rule: str, bike: Bike) -> None:
    finding = the(bike.with_("controller", regen_a=60, low_cut_v=59), rule)
    assert any(way.kind == "act" and ("54 A" in way.text or "60.0 V" in way.text) for way in finding.ways_out)


def test_quantity_way_out_names_its_line(bike: Bike) -> None:
    finding = the(bike.line("cell", quantity=Decimal(200)), "cells-short-of-plan")
    assert finding.ways_out == (
        WayOut(kind="count", text="Set the quantity to 240", code="cell", field="quantity", value="240"),
    )


def test_where_nothing_passes_it_says_so(bike: Bike) -> None:
    finding = the(replace(bike.with_("fuse", dc_v=58), plan=None).saying("pack", full_v=84.0), "pack-full-over-fuse-dc")
    assert [way.text for way in finding.ways_out] == [
        "No part in the catalogue would pass: find one that does and add it"
    ]


def test_bms_offers_cover_current_and_series(bike: Bike) -> None:
    catalogue = (
        item("small", "bms", {**BMS, "cont_a": 100}),
        item("short", "bms", {**BMS, "cont_a": 300, "series_high": 16}),
        item("good", "bms", {**BMS, "cont_a": 300}),
    )
    finding = the(replace(bike.with_("bms", cont_a=119), catalogue=catalogue), "bms-continuous-current")
    assert offered(finding) == ["good"]


# 30 m of phase cable, 10 m a phase: 35 mm² drops √3 × 160 A × 6.737 mΩ = 1.87 V of 1.451 V allowed, 50 mm²
# (0.386 ohm/km) 1.30 V. 40 m of battery cable, 120 A: 50 mm² 0.4694 mΩ/m drops 2.25 V of 2.16 V, 70 mm²
# (0.272 ohm/km) 1.59 V.
@pytest.mark.parametrize(
    ("slot", "meters", "rule", "thicker"),
    [("phase cable", 30, "phase-cable-drop", "P50"), ("battery cable", 40, "battery-cable-drop", "B70")],
)
def test_a_thicker_cable_of_the_same_circuit_is_offered(
    slot: str, meters: int, rule: str, thicker: str, bike: Bike
) -> None:
    catalogue = (
        item("P16", "cable", {**PHASE_CABLE, "area_mm2": 16}, free=20),
        item("P50", "cable", {**PHASE_CABLE, "area_mm2": 50, "ampacity_a": 250}),
        item("B35", "cable", {**BATTERY_CABLE, "area_mm2": 35}, free=20),
        item("B70", "cable", {**BATTERY_CABLE, "area_mm2": 70, "ampacity_a": 310}),
    )
    finding = the(replace(bike.line(slot, quantity=Decimal(meters)), catalogue=catalogue), rule)
    assert offered(finding) == [thicker]


def test_a_liquid_cooled_motor_is_offered_its_pump(bike: Bike) -> None:
    catalogue = (
        item("LED", "lamp", {"load_w": 30, "supply_v": 12}, free=3),
        item("FAN", "lamp", {"load_w": 12, "supply_v": 12, "cools": "forced-air"}, free=3),
        item("PUMP", "lamp", {"load_w": 22, "supply_v": 12, "cools": "liquid"}),
    )
    finding = the(replace(bike.with_("motor", cooling="liquid"), catalogue=catalogue), "motor-cooling-missing")
    assert offered(finding) == ["PUMP"]


def test_only_the_wheel_of_that_end_is_offered_for_a_brake_of_another_kind(bike: Bike) -> None:
    wheel = {"rim_inch": 18, "rim_width_inch": 2.5, "spacing_mm": 189.5, "axle_mm": 12, "rated_kg": 250}
    catalogue = (
        item("W-REAR", "wheel", {**wheel, "end": "rear"}, free=2),
        item("W-FRONT", "wheel", {**wheel, "end": "front"}),
    )
    braked = bike.plus("front brake", "brake", end="front", brake_kind="drum", side="left", rated_mass_kg=400)
    finding = the(replace(braked, catalogue=catalogue), "brake-kind-differs")
    assert offered(finding) == ["W-FRONT"]
