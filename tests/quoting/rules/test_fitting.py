"""Fitting parts first: every candidate judged by the rules that read its kind."""

from __future__ import annotations

from dataclasses import replace

import pytest

from quoting.errors import RequestError
from quoting.rules import Fit, fitting
from quoting.setup import setup_of
from tests.quoting.rules.bike import (
    BATTERY_CABLE,
    BMS,
    CELL,
    CHARGER,
    CONTROLLER,
    MOTOR,
    PLUG,
    PRECHARGE,
    SWITCHES,
    Bike,
)
from tests.quoting.rules.test_ways_out import item


def fits(bike: Bike, kind: str, *specs: tuple[str, dict[str, object]]) -> dict[str, Fit]:
    request = bike.request()
    setup = setup_of(request, request.options[0])
    base = {"controller": CONTROLLER, "cell": CELL, "bms": BMS, "charger": CHARGER, "motor": MOTOR, "connector": PLUG,
            "precharge": PRECHARGE, "switch": SWITCHES, "cable": BATTERY_CABLE}[kind]  # fmt: skip
    found = fitting(setup, kind, [item(code, kind, {**base, **spec}) for code, spec in specs])
    return {fit.code: fit for fit in found}


def test_a_sound_part_fits(bike: Bike) -> None:
    assert fits(bike, "controller", ("same", {"tested_motors": ["motor"]}))["same"] == Fit("same", "fits")


def test_fitting_ones_come_first_then_shelf_then_price(bike: Bike) -> None:
    request = bike.request()
    setup = setup_of(request, request.options[0])
    items = [
        item("low", "controller", {**CONTROLLER, "max_v": 80}, "10", free=5),
        item("near", "controller", {**CONTROLLER, "max_v": 90}, "10", free=5),
        item("dear", "controller", CONTROLLER, "900"),
        item("shelf", "controller", CONTROLLER, "950", free=1),
        item("cheap", "controller", CONTROLLER, "500"),
    ]
    found = fitting(setup, "controller", items)
    assert [fit.code for fit in found] == ["shelf", "cheap", "dear", "near", "low"]
    assert [fit.level for fit in found] == ["fits", "fits", "fits", "check", "stop"]


def test_worst_level_and_its_reason_first(bike: Bike) -> None:
    fit = fits(bike, "controller", ("bad", {"max_v": 80, "tested_motors": []}))["bad"]
    assert fit.level == "stop"
    assert "84.0 V" in fit.reasons[0]
    assert any("not been run" in reason for reason in fit.reasons)


def test_a_missing_spec_is_a_check(bike: Bike) -> None:
    fit = fits(bike, "controller", ("bare", {"max_v": None}))["bare"]
    assert fit.level == "check"
    assert "highest voltage" in fit.reasons[0]


def test_a_spec_that_cannot_be_read_is_a_stop(bike: Bike) -> None:
    fit = fits(bike, "controller", ("odd", {"max_v": "much"}))["odd"]
    assert fit.level == "stop"
    assert "max_v" in fit.reasons[0]


def test_cells_are_judged_with_their_own_pack(bike: Bike) -> None:
    """20 × 5.4 V = 108 V is past the controller's 105 V; 12 × 9 A = 108 A is short of 120 A."""
    found = fits(bike, "cell", ("good", {}), ("tall", {"full_v": 5.4}), ("weak", {"cont_a": 9}))
    assert {code: fit.level for code, fit in found.items()} == {"good": "fits", "tall": "stop", "weak": "stop"}


def test_chargers_by_end_voltage(bike: Bike) -> None:
    found = fits(
        bike,
        "charger",
        ("84", {"end_v": 84}),
        ("58", {"end_v": 58.8}),
        ("any", {"end_v": None, "end_low_v": 40, "end_high_v": 100}),
    )
    assert {code: fit.level for code, fit in found.items()} == {"84": "fits", "58": "stop", "any": "fits"}


def test_precharge_units_by_time_and_energy(bike: Bike) -> None:
    """1 kΩ × 5 mF = 5 s: 2 s are not enough; 17.64 J are too much for 10 J."""
    found = fits(bike, "precharge", ("good", {}), ("slow", {"resistance_ohm": 1000}), ("small", {"pulse_j": 10}))
    assert {code: fit.level for code, fit in found.items()} == {"good": "fits", "slow": "stop", "small": "stop"}


def test_motors_by_sensor_frame_and_pairing(bike: Bike) -> None:
    bike = bike.with_("controller", tested_motors=["run"])
    found = fits(
        bike,
        "motor",
        ("run", {}),
        ("new", {}),
        ("resolver", {"rotor_sensor": "resolver"}),
        ("wide", {"dropout_mm": 220}),
    )
    assert {code: fit.level for code, fit in found.items()} == {
        "run": "fits",
        "new": "check",
        "resolver": "stop",
        "wide": "stop",
    }


def test_what_the_option_lacks_elsewhere_is_not_held_against_a_part(bike: Bike) -> None:
    bare = bike.without("torque arms", "switches", "precharge", "charger")
    assert fits(bare, "controller", ("same", {}))["same"].level == "fits"
    assert fits(bare.with_("controller", tested_motors=["hub"]), "motor", ("hub", {}))["hub"].level == "fits"


def test_a_part_of_a_kind_that_comes_several_at_a_time_is_added(bike: Bike) -> None:
    found = fits(bike.with_("plug", max_v=60), "connector", ("good", {}), ("low", {"max_v": 60}))
    assert {code: fit.level for code, fit in found.items()} == {"good": "fits", "low": "stop"}


def test_a_named_line_is_replaced(bike: Bike) -> None:
    request = bike.request()
    setup = setup_of(request, request.options[0])
    line = next(line for line in request.options[0].parts if line.code == "plug")
    (fit,) = fitting(setup, "connector", [item("good", "connector", PLUG)], instead_of=line)
    assert fit.level == "fits"


def test_parts_that_clear_a_stop_come_before_those_that_do_not(bike: Bike) -> None:
    bare = bike.without("switches")
    found = fits(bare, "switch", ("horn", {"interlocks": ["tip-over"]}), ("all", {}))
    assert list(found) == ["all", "horn"]
    assert found["all"].clears == ("kill-switch-missing", "brake-cutoff-missing")


def test_an_empty_option_takes_anything_that_reads_well(bike: Bike) -> None:
    empty = replace(bike, slots={}, plan=None)
    assert fits(empty, "controller", ("any", {}))["any"].level == "fits"
    assert fits(empty, "cell", ("any", {}))["any"].level == "fits"


@pytest.mark.parametrize(("kind", "problem"), [("rocket", "unknown"), ("motor", "another kind")])
def test_wrong_kinds_are_refused(kind: str, problem: str, bike: Bike) -> None:
    request = bike.request()
    setup = setup_of(request, request.options[0])
    with pytest.raises(RequestError, match=problem):
        fitting(setup, kind, [item("x", "controller", CONTROLLER)] if kind == "motor" else [])
