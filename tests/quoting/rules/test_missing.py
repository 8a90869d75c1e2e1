"""A spec that is not known: never a pass, never silent, one finding per component."""

from __future__ import annotations

import random

import pytest

from quoting.parts import KINDS
from quoting.rules import NOT_CHECKED, all_rules, examine
from quoting.rules.registry import rule_called
from tests.quoting.rules.bike import SOUND, Bike
from tests.quoting.rules.row import Row
from tests.quoting.rules.tables.frame import wheeled
from tests.quoting.rules.test_rows import ROWS

SLOTS = {kind: tuple(slot for slot, part in SOUND.items() if part[0] == kind) for kind in KINDS}
MID_ONLY = {"motor-sprocket", "chain-pitch-motor", "chain-pitch-donor"}
READS = [
    (rule.id, subject, field)
    for rule in all_rules()
    for subject, field in rule.reads
    if subject in KINDS and SLOTS[subject] and rule.id not in MID_ONLY
]
# A cable or connector in the circuit the rule speaks of.
SLOT_OF = {("phase-cable-current", "cable"): "phase cable", ("charge-cable-current", "cable"): "charge cable"}
# Rules that first ask what kind of part it is, and are silent when that is not known; another rule then says so.
OTHER_CASE = {
    "throttle-resistance": lambda bike: bike.with_("throttle", signal="pot", resistance_kohm=5),
    "parallel-cable-outlives-fuse": lambda bike: bike.line("battery cable", conductors=2),
    "hub-axle": lambda bike: bike.with_("torque arms", purpose="bracket"),
    "wall-circuit-overloaded": lambda bike: bike.wishing(circuit_v=120, circuit_a=15),
    "charger-input-voltage": lambda bike: bike.wishing(circuit_v=120, circuit_a=15),
    "pack-design-untested": lambda bike: bike.wishing(by_carrier=True),
    "retrofit-power": lambda bike: bike.registered(power_share=1.0),
    "retrofit-mass": lambda bike: bike.registered(mass_share=0.2),
    "retrofit-age": lambda bike: bike.registered(least_age_years=3),
    "wheel-axle": wheeled,
    "wheel-width": wheeled,
    "wheel-load": wheeled,
    "retrofit-axles": lambda bike: bike.registered(front_share_points=5.0),
}


@pytest.mark.parametrize(("rule", "kind", "field"), READS, ids=lambda value: str(value))
def test_every_spec_a_rule_reads_is_asked_for_when_missing(rule: str, kind: str, field: str, bike: Bike) -> None:
    bike = OTHER_CASE.get(rule, lambda same: same)(bike)
    slot = SLOT_OF.get((rule, kind), SLOTS[kind][0])
    assert f"{kind}.{field}" in bike.with_(slot, **{field: None}).lacking(rule)


@pytest.mark.parametrize(
    ("rule", "field"),
    [
        (rule.id, field)
        for rule in all_rules()
        for subject, field in rule.reads
        if subject == "donor" and field not in {"family", "label", "bays"} and rule.id not in MID_ONLY
    ],
)
def test_every_donor_figure_a_rule_reads_is_asked_for_when_missing(rule: str, field: str, bike: Bike) -> None:
    bike = OTHER_CASE.get(rule, lambda same: same)(bike)
    if rule == "hub-rim":
        bike = bike.without("tire")
    assert f"donor.{field}" in bike.given(**{field: None}).lacking(rule)


@pytest.mark.parametrize(
    ("rule", "subject", "field"),
    [
        (rule.id, subject, field)
        for rule in all_rules()
        for subject, field in rule.reads
        if subject in {"pack", "wiring", "ride", "weight"}
        and field not in {"fit", "unplaced", "profiles", "series_cells", "series", "parallel", "cells"}
    ],
)
def test_every_figure_a_rule_reads_is_asked_for_when_it_could_not_be_worked_out(
    rule: str, subject: str, field: str, bike: Bike
) -> None:
    wishes = {"held_kmh": 50.0, "top_kmh": 50.0, "hill_percent": 5.0, "by_carrier": True}
    bike = bike.wishing(**wishes).given(year=2010)
    bike = OTHER_CASE.get(rule, lambda same: same)(bike)
    blank: object = () if field == "sag" else None
    lacks = bike.saying(subject, **{field: blank}).lacking(rule)
    assert f"{subject}.{field}" in lacks or (field == "sag" and "pack.peak_w" in lacks)


@pytest.mark.parametrize("field", ["series_cells"])
def test_a_count_of_zero_is_not_known(field: str, bike: Bike) -> None:
    assert "pack.series_cells" in bike.saying("pack", **{field: 0}).lacking("bms-series-range")


def test_specs_lacking_in_one_component_are_one_finding(bike: Bike) -> None:
    bike = bike.with_("controller", max_v=None, min_v=None, phase_peak_a=None)
    found = [finding for finding in bike.findings() if finding.rule == NOT_CHECKED]
    assert [finding.title for finding in found] == ["Not checked: Controller controller"]
    (finding,) = found
    assert finding.level == "check"
    assert finding.missing[:2] == ("controller.max_v", "controller.min_v")
    assert finding.kinds == ("controller",)
    for words in (
        "highest voltage",
        "lowest voltage",
        "pack-full-over-controller-max",
        "controller-phase-demagnetises",
    ):
        assert words in finding.explanation
    assert finding.ways_out[0].text.startswith("Fill in highest voltage")


def test_figures_not_worked_out_name_what_they_lack(bike: Bike) -> None:
    found = [finding for finding in bike.with_("cell", resistance_mohm=None).findings() if finding.rule == NOT_CHECKED]
    figures = next(finding for finding in found if finding.title == "Not checked: Figures")
    assert "cell resistance" in figures.ways_out[0].text
    assert "fuse-breaking-capacity" in figures.explanation


def test_a_maximum_is_never_read_from_a_name(bike: Bike) -> None:
    """Public practitioner report, case B3: "72/80 V" in a name is no limit."""
    bike = bike.with_("controller", max_v=None).line("controller", name="Controller 72/80 V")
    assert bike.levels("pack-full-over-controller-max") == ()
    assert "controller.max_v" in bike.lacking("pack-full-over-controller-max")


def test_a_programmable_charger_needs_its_range_or_its_setting(bike: Bike) -> None:
    assert bike.with_("charger", end_v=None).lacking("charger-end-voltage") == ("charger.end_v",)
    assert bike.with_("charger", end_v=None, end_low_v=60, end_high_v=90).lacking("charger-end-voltage") == ()


def test_ampacity_asks_for_what_the_table_needs(bike: Bike) -> None:
    bare = bike.with_("battery cable", ampacity_a=None, insulation_c=None)
    assert "cable.insulation_c" in bare.lacking("battery-cable-current")
    assert "cable.area_mm2" in bare.with_("battery cable", area_mm2=None).lacking("battery-cable-current")


def test_boxes_without_a_size_are_not_taken_to_fit(bike: Bike) -> None:
    lacks = bike.with_("charger", height_mm=None).with_("bms", length_mm=None).lacking("box-has-no-place")
    assert {"charger.height_mm", "bms.length_mm"} <= set(lacks)


def test_loads_of_the_low_voltage_side_are_asked_for(bike: Bike) -> None:
    for slot, name in (("lamps", "lamp.load_w"), ("display", "display.load_w"), ("contactor", "contactor.coil_w")):
        assert name in bike.with_(slot, **{name.split(".")[1]: None}).lacking("dcdc-overloaded")


def test_switches_and_torque_arms_say_what_they_do(bike: Bike) -> None:
    mute = bike.with_("switches", interlocks=None)
    for rule in ("kill-switch-missing", "brake-cutoff-missing", "side-stand-missing"):
        assert mute.lacking(rule) == ("switch.interlocks",)
        assert mute.levels(rule) == ()
    assert bike.with_("torque arms", torque_nm=None).lacking("torque-arm-strength") == ("adapter.torque_nm",)
    assert bike.with_("bms", has_precharge=None).without("precharge").lacking("precharge-missing") == (
        "bms.has_precharge",
    )


def test_tires_take_load_and_speed_from_the_marking_or_ask(bike: Bike) -> None:
    bare = bike.with_("tire", load_kg=None, speed_kmh=None)
    assert bare.lacking("tire-load") == bare.lacking("tire-speed") == ("tire.load_kg", "tire.speed_kmh")
    assert bare.with_("tire", marking="130/70-17 62H").lacking("tire-load") == ()
    light = bare.with_("tire", marking="130/70-17 62H").saying("weight", rear_laden_kg=265.1)  # load index 62 is 265 kg
    assert light.levels("tire-load") == ("stop",)


def test_a_marking_that_cannot_be_read_is_no_marking(bike: Bike) -> None:
    assert bike.with_("tire", marking="fat").lacking("hub-rim") == ("tire.marking",)
    rolling = wheeled(bike)
    assert rolling.with_("tire", marking="fat").lacking("wheel-tire-rim") == ("tire.marking",)
    assert rolling.given(front_tire=None).lacking("wheel-tire-rim") == ("donor.front_tire",)


def test_a_tire_that_stays_on_needs_its_marking_or_the_axle_rating(bike: Bike) -> None:
    assert bike.lacking("kept-tire-load") == ()
    assert "donor.front_tire" in bike.given(gawr_front_kg=None).lacking("kept-tire-load")
    assert "donor.front_tire" not in bike.given(gawr_front_kg=None, front_tire="100/90-18 56H").lacking(
        "kept-tire-load"
    )


def test_health_is_asked_for_where_a_worn_cell_would_not_do(bike: Bike) -> None:
    """12 × 20 A is 240 A new and 192 A at 80 %: 192 A pass without knowing, 193 A do not."""
    unknown = bike.with_("cell", health_percent=None)
    assert unknown.with_("controller", battery_cont_a=192).lacking("cell-continuous-current") == ()
    assert unknown.with_("controller", battery_cont_a=193).lacking("cell-continuous-current") == (
        "cell.health_percent",
    )
    assert unknown.with_("controller", battery_cont_a=241).levels("cell-continuous-current") == ("stop",)


BLANKED = [(row, kind, field) for row in ROWS for kind, field in rule_called(row.rule).reads if kind in KINDS]


@pytest.mark.parametrize(("row", "kind", "field"), BLANKED, ids=lambda value: getattr(value, "rule", str(value)))
def test_a_fault_does_not_go_away_by_not_knowing(row: Row, kind: str, field: str, bike: Bike) -> None:
    bike = row.past(row.sound(bike))
    for slot, part in bike.slots.items():
        if part[0] == kind:
            bike = bike.with_(slot, **{field: None})
    assert bike.levels(row.rule) or f"{kind}.{field}" in bike.lacking(row.rule) or kind not in bike.facts().fitted


@pytest.mark.parametrize("seed", range(25))
def test_not_knowing_is_never_a_stop(seed: int, bike: Bike) -> None:
    """One field in five blanked on a sound build: nothing is raised, nothing is a stop, and it says what it lacks."""
    dice = random.Random(seed)  # noqa: S311  no secret, a repeatable choice of fields
    for slot, (_, _, spec) in bike.slots.items():
        bike = bike.with_(slot, **{name: None for name in spec if dice.random() < 0.2})
    found = examine(bike.facts())
    assert found.not_judged > 0
    assert any(finding.rule == NOT_CHECKED for finding in found.findings)
    assert [finding.rule for finding in found.findings if finding.level == "stop"] == []
