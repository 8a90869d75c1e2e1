"""Weight before and after, whole and by axle."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quoting.pack import pack_figures
from quoting.request import Bay, Donor, PackPlan, PartLine, Policies, Wishes
from quoting.result import WeightFigures
from quoting.setup import Setup
from quoting.weight import axle_loads, center_behind_front_m, service_description, weight_figures
from tests.quoting.setups import CELL, MOTOR, donor_with, line, setup_with, working_text

BAY = Bay(name="bay", length_mm=300, width_mm=200, height_mm=160, x_m=0.62)
KNOWN: dict[str, object] = {
    "kerb_kg": 180.0,
    "removed_kg": 70.0,
    "removed_x_m": 0.65,
    "wheelbase_m": 1.4,
    "front_share": 0.48,
    "gvwr_kg": 360.0,
}
CELLS, HUB = line("cell", CELL, 240), line("motor", MOTOR)
BOX = line("enclosure", {"mass_kg": 5.2, **{f"{inner}{side}": size for inner in ("", "inner_") for side, size in (
    ("length_mm", 300.0), ("width_mm", 200.0), ("height_mm", 160.0))}})  # fmt: skip


def weight_of(setup: Setup) -> WeightFigures:
    found = weight_figures(setup, pack_figures(setup))
    assert found is not None
    return found


def weighed(*parts: PartLine, donor: Donor | None = None, wishes: Wishes | None = None) -> WeightFigures:
    return weight_of(setup_with(*parts, donor=donor or donor_with(BAY, **KNOWN), wishes=wishes))


def test_after_is_before_less_removed_plus_added() -> None:
    weight = weighed(CELLS, BOX, HUB)
    # pack 240 × 0.07 + 5.2 = 22; hub motor 22
    assert [label for label, _ in weight.added] == ["battery pack", "motor"]
    assert [mass for _, mass in weight.added] == pytest.approx([22.0, 22.0])
    assert weight.added_kg == pytest.approx(44.0)
    assert weight.after_kg == pytest.approx(154.0)  # 180 − 70 + 44
    assert weight.laden_kg == pytest.approx(244.0)  # + rider 80 + luggage 10, shop settings
    assert weight.payload_kg == pytest.approx(206.0)  # 360 − 154
    assert weight.missing == ()


def test_axle_loads_by_moments_about_the_front_axle() -> None:
    weight = weighed(CELLS, BOX, HUB)
    # before: rear 180 × 0.52 = 93.6. removed 70 × 0.65/1.4 = 32.5; pack 22 × 0.62/1.4 = 9.742857; motor 22 at the rear
    # axle. rear after 93.6 − 32.5 + 9.742857 + 22 = 92.842857, front 154 − that = 61.157143
    assert weight.front_before_kg == pytest.approx(86.4)
    assert weight.rear_before_kg == pytest.approx(93.6)
    assert weight.rear_after_kg == pytest.approx(92.842857, abs=1e-6)
    assert weight.front_after_kg == pytest.approx(61.157143, abs=1e-6)
    # rider 80 at 0.61 of the wheelbase: 48.8; luggage 10 at 1.11: 11.1
    assert weight.rear_laden_kg == pytest.approx(152.742857, abs=1e-6)
    assert weight.front_laden_kg == pytest.approx(91.257143, abs=1e-6)
    text = working_text(weight.workings, "front_laden_kg")
    assert "assumed: rear axle" in text
    assert "assumed: center of its bays" in text


def test_a_passenger_counts_when_wished_for() -> None:
    weight = weighed(CELLS, BOX, HUB, wishes=Wishes(two_up=True))
    assert weight.laden_kg == pytest.approx(319.0)  # 244 + 75
    assert weight.rear_laden_kg == pytest.approx(152.742857 + 75 * 0.79, abs=1e-6)


def test_an_entered_position_goes_before_the_assumed_one() -> None:
    weight = weighed(CELLS, BOX, line("motor", MOTOR, x_m=0.7))
    assert weight.rear_after_kg == pytest.approx(92.842857 - 22 + 22 * 0.7 / 1.4, abs=1e-6)
    assert "as entered" in working_text(weight.workings, "front_laden_kg")


def test_a_mid_motor_sits_where_the_engine_was() -> None:
    weight = weighed(CELLS, BOX, line("motor", {**MOTOR, "mount": "mid"}))
    assert weight.rear_after_kg == pytest.approx(92.842857 - 22 + 22 * 0.65 / 1.4, abs=1e-6)


def test_a_part_placed_in_a_bay_sits_at_its_center() -> None:
    tail = Bay(name="tail", length_mm=200, width_mm=150, height_mm=100, x_m=1.26)
    charger = line("charger", {"mass_kg": 5.0, "length_mm": 180.0, "width_mm": 120.0, "height_mm": 80.0})
    donor = donor_with(BAY, tail, **KNOWN)
    setup = setup_with(CELLS, BOX, HUB, charger, plan=PackPlan(series=20, parallel=12, bays=("bay",)), donor=donor)
    weight = weight_of(setup)
    assert weight.rear_after_kg == pytest.approx(92.842857 + 5 * 1.26 / 1.4, abs=1e-6)


def test_tires_and_brakes_replace_their_like() -> None:
    parts = (line("tire", {"mass_kg": 5.0}), line("brake", {"mass_kg": 3.0}))
    assert weighed(CELLS, BOX, HUB, *parts).after_kg == pytest.approx(154.0)


def test_cable_without_a_mass_is_copper_by_the_meter() -> None:
    cable = line("cable", {"circuit": "battery", "area_mm2": 50.0}, 2)
    weight = weighed(CELLS, BOX, HUB, cable)
    assert weight.after_kg == pytest.approx(155.1648)  # 154 + 2 × 50 × 0.00896 × 1.3
    assert "mass of cable" in weight.missing
    assert "(assumed)" in working_text(weight.workings, "after_kg")


def test_small_parts_without_a_mass_get_a_heavy_stand_in_and_are_named() -> None:
    weight = weighed(CELLS, BOX, HUB, line("throttle"), line("contactor"))
    assert weight.after_kg == pytest.approx(155.5)  # + 0.5 + 1.0
    assert {"mass of throttle", "mass of contactor"} <= set(weight.missing)


@pytest.mark.parametrize("kind", ["motor", "controller", "charger", "adapter", "bodywork"])
def test_a_heavy_part_without_a_mass_leaves_the_weight_open(kind: str) -> None:
    weight = weighed(CELLS, BOX, line(kind))
    assert (weight.after_kg, weight.laden_kg, weight.payload_kg, weight.rear_laden_kg) == (None, None, None, None)
    assert f"mass of {kind}" in weight.missing


def test_a_pack_without_a_mass_leaves_the_weight_open() -> None:
    bare = {name: value for name, value in CELL.items() if name != "mass_kg"}
    weight = weighed(line("cell", bare, 240), HUB)
    assert weight.after_kg is None
    assert "mass of battery pack" in weight.missing


@pytest.mark.parametrize(
    ("lost", "named", "figure"),
    [
        ("kerb_kg", "weight of the donor", "after_kg"),
        ("removed_kg", "weight of what is removed", "after_kg"),
        ("gvwr_kg", "gross weight rating on the plate", "payload_kg"),
        ("front_share", "share of weight on the front axle", "front_before_kg"),
        ("wheelbase_m", "wheelbase", "rear_laden_kg"),
        ("removed_x_m", "position of what is removed", "rear_laden_kg"),
    ],
)
def test_what_is_not_known_of_the_donor_is_named(lost: str, named: str, figure: str) -> None:
    known = {name: value for name, value in KNOWN.items() if name != lost}
    weight = weighed(CELLS, BOX, HUB, donor=donor_with(BAY, **known))
    assert getattr(weight, figure) is None
    assert named in weight.missing


def test_a_bay_without_a_position_leaves_the_axles_open_but_not_the_weight() -> None:
    nowhere = Bay(name="bay", length_mm=300, width_mm=200, height_mm=160)
    weight = weighed(CELLS, BOX, HUB, donor=donor_with(nowhere, **KNOWN))
    assert weight.after_kg == pytest.approx(154.0)
    assert weight.rear_after_kg is None
    assert "position of battery pack" in weight.missing


def test_no_donor_no_weight_and_no_pack_still_weight() -> None:
    assert weight_figures(setup_with(CELLS), None) is None
    weight = weight_of(setup_with(HUB, plan=None, donor=donor_with(BAY, **KNOWN)))
    assert weight.after_kg == pytest.approx(132.0)  # 180 − 70 + 22


def test_shop_settings_change_the_rider() -> None:
    setup = setup_with(
        CELLS, BOX, HUB, donor=donor_with(BAY, **KNOWN), policies=Policies(rider_kg=100.0, luggage_kg=0.0)
    )
    assert weight_of(setup).laden_kg == pytest.approx(254.0)


@given(
    masses=st.lists(st.tuples(st.floats(0.1, 200), st.floats(-0.5, 2.0)), min_size=1, max_size=6),
    wheelbase_m=st.floats(1.0, 2.0),
)
def test_axles_carry_the_whole_weight_at_its_center(masses, wheelbase_m: float) -> None:
    loads = axle_loads(masses, wheelbase_m)
    total = sum(mass for mass, _ in masses)
    assert loads.total_kg == pytest.approx(total)
    center_m = sum(mass * x_m for mass, x_m in masses) / total
    assert center_behind_front_m(loads, wheelbase_m) == pytest.approx(center_m, abs=1e-9)


def test_service_description_of_a_tire() -> None:
    found = service_description("130/70-17 62h")
    assert found is not None
    assert (found.load_kg, found.speed_kmh) == (265.0, 210.0)
    assert service_description("130/70-17") is None
    assert service_description("99Z") is None
