"""Gross weight rating: 49 CFR 567.4(g)(3), at least unloaded weight + rated cargo + 150 lb for each designated seat,
read in an interpretation by the highway administration; axle loads of the same bike by statics.

The worked bike: chassis 120 kg at 0.72 m (here 190 kg less 70 kg removed), pack 42 at 0.62, controller and wiring 9
at 0.70, adapter 11 at 0.66, hub motor 22 at the rear axle, wheelbase 1.400 m: 204 kg, 112 of them on the rear axle.
"""

from __future__ import annotations

import pytest

from quoting.pack import pack_figures
from quoting.request import Bay
from quoting.rules.weight import SEAT_KG
from quoting.show import KG_PER_POUND
from quoting.weight import weight_figures
from tests.quoting.setups import CELL, donor_with, line, setup_with

BAY = Bay(name="bay", length_mm=480, width_mm=260, height_mm=360, x_m=0.62)
REAR_BEFORE_KG = 120 * 0.72 / 1.4 + 70 * 0.65 / 1.4
LEAST_GVWR_KG = 204 + 2 * 150 * 0.45359237  # 340.08 kg


def test_the_worked_bike_on_its_axles_and_under_its_plate() -> None:
    donor = donor_with(
        BAY,
        kerb_kg=190.0,
        removed_kg=70.0,
        removed_x_m=0.65,
        wheelbase_m=1.4,
        front_share=1 - REAR_BEFORE_KG / 190.0,
        gvwr_kg=LEAST_GVWR_KG,
    )
    box = {"mass_kg": 42.0 - 240 * 0.07, "length_mm": 470.0, "width_mm": 250.0, "height_mm": 350.0}
    inside = {"inner_length_mm": 460.0, "inner_width_mm": 240.0, "inner_height_mm": 340.0}
    setup = setup_with(
        line("cell", CELL, 240),
        line("enclosure", {**box, **inside}),
        line("controller", {"mass_kg": 9.0}, x_m=0.70),
        line("adapter", {"mass_kg": 11.0, "purpose": "structural"}, x_m=0.66),
        line("motor", {"mount": "hub", "mass_kg": 22.0}),
        donor=donor,
    )
    weight = weight_figures(setup, pack_figures(setup))
    assert weight is not None
    assert weight.after_kg == pytest.approx(204.0)
    assert weight.rear_after_kg == pytest.approx(112.0, abs=5e-4)
    assert weight.front_after_kg == pytest.approx(92.0, abs=5e-4)
    assert weight.payload_kg == pytest.approx(2 * SEAT_KG, abs=1e-3)  # just two seats, no cargo
    assert pytest.approx(340.08, abs=5e-3) == LEAST_GVWR_KG


def test_a_seat_is_150_pounds() -> None:
    assert pytest.approx(150 * KG_PER_POUND, abs=5e-5) == SEAT_KG
