from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quoting.request import Policies, Wishes
from quoting.result import WeightFigures
from quoting.ride import ride_figures
from tests.quoting.ride.bikes import DONOR, PACK, WEIGHT, hub_setup, known, mid_setup, pack_like, ride, setup_with

KM_PER_MILE = 1.609344


def inputs_of(figures, figure):
    (working,) = [item for item in figures.workings if item.figure == figure]
    return dict(working.inputs)


def by_profile(figures):
    return {item.profile: item for item in figures.profiles}


def test_nothing_is_missing_on_a_bike_with_all_its_specs():
    figures = ride(hub_setup())
    assert figures.missing == ()
    assert [item.label for item in figures.profiles] == ["Town", "Back road", "Highway"]
    unknown = [name for name, value in vars(figures).items() if value is None]
    assert unknown == []


def test_nothing_to_work_out_without_motor_pack_or_donor():
    assert ride_figures(setup_with({}), PACK, WEIGHT) is None
    assert ride_figures(hub_setup(), None, WEIGHT) is None
    assert ride_figures(hub_setup(donor=None), PACK, WEIGHT) is None


def test_range_is_usable_energy_over_use_and_the_band_holds_it():
    for item in ride(hub_setup()).profiles:
        assert item.likely_km == pytest.approx(known(PACK.usable_wh) / item.wh_per_km)
        assert item.low_km < item.likely_km < item.high_km
        assert item.cold_km < item.likely_km
        assert item.aged_km < 0.8 * item.likely_km


def test_hub_motor_turns_with_the_wheel():
    figures = ride(hub_setup())
    assert figures.overall_ratio == 1.0
    # 130/70-17 rolls 1.8721 m (test_tires).
    assert figures.motor_rpm_at_top == pytest.approx(known(figures.top_kmh) / 3.6 / 1.8721 * 60, rel=1e-4)
    assert figures.wheel_torque_nm == pytest.approx(280)


def test_mid_motor_turns_through_its_chain():
    figures = ride(mid_setup(final_drive={"efficiency": 0.95}))
    assert figures.overall_ratio == pytest.approx(5.0)  # 70/14
    assert figures.wheel_torque_nm == pytest.approx(80 * 5 * 0.95)


def test_inner_gears_multiply_and_cost():
    figures = ride(hub_setup(motor={"gear_ratio": 4, "kv_rpm_per_v": 64, "max_rpm": 6000, "peak_torque_nm": 70}))
    assert figures.overall_ratio == 4.0
    assert figures.wheel_torque_nm == pytest.approx(70 * 4 * 0.97)


def test_peak_torque_is_no_more_than_the_phase_current_gives():
    # 0.7 N m/A · 300 A = 210 N m, below the motor's own 280.
    assert ride(hub_setup(controller={"phase_peak_a": 300})).wheel_torque_nm == pytest.approx(210)
    assert ride(hub_setup(motor={"demag_phase_a": 200})).wheel_torque_nm == pytest.approx(140)


def test_two_motors_push_twice_as_hard():
    one, two = ride(hub_setup()), ride(hub_setup(quantities={"motor": 2, "controller": 2}))
    assert two.wheel_torque_nm == pytest.approx(2 * known(one.wheel_torque_nm))
    assert known(two.sprint_s) < known(one.sprint_s)


def test_a_rear_tire_on_the_quote_replaces_the_donors():
    parts = {"motor": {"mount": "hub"}, "tire": {"marking": "4.00-18", "end": "rear"}}
    assert ride(setup_with(parts)).wheel_circumference_m == pytest.approx(2.0142, abs=0.0001)
    front = {"motor": {"mount": "hub"}, "tire": {"marking": "4.00-18", "end": "front"}}
    assert ride(setup_with(front)).wheel_circumference_m == pytest.approx(1.8721, abs=0.0001)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"motor": {"peak_kw": None}}, "motor peak power"),
        ({"motor": {"kv_rpm_per_v": None, "max_rpm": None}}, "motor speed constant"),
        ({"motor": {"kv_rpm_per_v": None, "nominal_v": None}}, "motor speed constant"),
        ({"controller": {"battery_peak_a": None}}, "controller battery current, peak"),
        ({"donor": replace(DONOR, rear_tire=None)}, "rear tire marking"),
    ],
)
def test_top_speed_is_left_out_and_the_missing_spec_named(changes, words):
    figures = ride(hub_setup(**changes))
    assert figures.top_kmh is None
    assert figures.top_limit is None
    assert figures.band == ()
    assert words in figures.missing
    assert len(figures.profiles) == 3
    assert not any(item.possible for item in figures.profiles)
    assert {item.limit for item in figures.profiles} == {"not checked: peak or continuous power is not known"}


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"motor": {"cont_kw": None}}, "motor continuous power"),
        ({"controller": {"battery_cont_a": None}}, "controller battery current, continuous"),
    ],
)
def test_held_speed_is_left_out_and_the_missing_spec_named(changes, words):
    figures = ride(hub_setup(**changes))
    assert figures.held_kmh is None
    assert figures.climb_grade_percent is None
    assert words in figures.missing
    assert figures.top_kmh is not None


def test_pack_specs_that_are_missing_are_named():
    assert "pack current, peak" in ride(hub_setup(), pack_like(peak_a=None)).missing
    assert "pack current, continuous" in ride(hub_setup(), pack_like(cont_a=None)).missing
    no_chemistry = ride(hub_setup(), pack_like(chemistry=None))
    assert "pack voltage" in no_chemistry.missing
    assert no_chemistry.profiles == ()
    no_energy = ride(hub_setup(), pack_like(usable_wh=None))
    assert no_energy.profiles == ()
    assert "usable energy of the pack" in no_energy.missing


def test_unknown_cell_resistance_is_assumed_for_range_only():
    figures = ride(hub_setup(), pack_like(resistance_ohm=None))
    assert "cell resistance" in figures.missing
    assert figures.top_kmh is None
    assert figures.sprint_s is None
    assert "assumed" in inputs_of(figures, "profiles.town")["Pack resistance"]


def test_unknown_mass_leaves_only_wheel_and_ratio():
    figures = ride(hub_setup(), PACK, None)
    assert "mass with rider" in figures.missing
    assert (figures.profiles, figures.top_kmh, figures.sprint_s) == ((), None, None)
    assert figures.overall_ratio == 1.0


def test_unknown_torque_leaves_out_start_and_sprint():
    figures = ride(hub_setup(motor={"peak_torque_nm": None, "torque_nm_per_a": None}))
    assert (figures.start_grade_percent, figures.sprint_s, figures.wheel_torque_nm) == (None, None, None)
    assert "motor peak torque, or torque constant and phase current" in figures.missing
    assert figures.top_kmh is not None


def test_a_mid_motor_without_sprockets_and_a_motor_without_mount():
    assert "final drive sprockets" in ride(mid_setup(final_drive={"motor_teeth": None})).missing
    assert "motor mount" in ride(hub_setup(motor={"mount": None})).missing


def test_an_unreadable_tire_marking_is_named():
    (words,) = [item for item in ride(hub_setup(donor=replace(DONOR, rear_tire="big"))).missing if "tire" in item]
    assert "'big'" in words
    assert "130/70-17" in words


def test_no_controller_is_named():
    assert "controller" in ride(setup_with({"motor": {"mount": "hub"}})).missing


def test_assumptions_show_in_the_working_and_not_as_missing():
    figures = ride(hub_setup(donor=replace(DONOR, cda_m2=None, crr=None), controller={"efficiency": None}))
    shown = inputs_of(figures, "profiles.highway")
    assert shown["Drag area"] == "0.60 m² (assumed: upright rider, no fairing)"
    assert "assumed" in shown["Rolling coefficient"]
    assert "assumed" in shown["Controller efficiency"]
    assert figures.missing == ()


def test_unknown_speed_constant_is_taken_from_the_highest_speed():
    # 1500 rpm at 72 V is 20.8 rpm/V.
    figures = ride(hub_setup(motor={"kv_rpm_per_v": None}, controller={"modulation": None}))
    shown = inputs_of(figures, "top_kmh")
    assert shown["Speed constant"] == "20.8 rpm/V (assumed: highest at nominal)"
    assert shown["Voltage use"] == "95 % (assumed)"
    same = ride(hub_setup(motor={"kv_rpm_per_v": 1500 / 72}))
    assert figures.top_kmh == pytest.approx(same.top_kmh)


def test_known_figures_are_not_called_assumed():
    shown = inputs_of(ride(hub_setup()), "profiles.highway")
    assert [name for name, words in shown.items() if "assumed" in words] == []


def test_every_headline_figure_has_its_working():
    figures = {item.figure for item in ride(hub_setup()).workings}
    assert figures == {
        "profiles.town", "profiles.back_road", "profiles.highway", "top_kmh", "held_kmh", "start_grade_percent",
        "climb_grade_percent", "cruise_spare_percent", "sprint_s", "wheel_circumference_m", "overall_ratio",
        "wheel_torque_nm", "motor_rpm_at_top", "peak_minutes", "two_up_likely_km",
    }  # fmt: skip


def test_workings_speak_the_shops_units():
    us, metric = ride(hub_setup()), ride(hub_setup(units="metric"))
    assert inputs_of(us, "profiles.town")["Mass with rider"] == "595 lb"
    assert inputs_of(metric, "profiles.town")["Mass with rider"] == "270 kg"
    assert us.profiles == metric.profiles


def test_sprint_goes_to_60_mph_or_100_kmh():
    us, metric = ride(hub_setup()), ride(hub_setup(units="metric"))
    assert us.sprint_to_kmh == pytest.approx(60 * KM_PER_MILE)
    assert metric.sprint_to_kmh == 100.0
    assert known(metric.sprint_s) > known(us.sprint_s)


def test_band_runs_in_round_speeds_up_to_the_top():
    us, metric = ride(hub_setup()), ride(hub_setup(units="metric"))
    assert [round(point.kmh / KM_PER_MILE, 9) for point in us.band] == list(range(20, 70, 5))  # top speed is 68 mph
    assert [point.kmh for point in metric.band] == [30, 40, 50, 60, 70, 80, 90, 100, 110]
    for point in us.band:
        assert point.low_km < point.likely_km < point.high_km
        assert point.battery_w > point.wheel_need_w
        assert point.wheel_need_w < point.wheel_peak_w


def test_a_slow_bike_cannot_hold_the_highway():
    slow = by_profile(ride(hub_setup(motor={"kv_rpm_per_v": 13})))
    assert slow["town"].possible
    assert slow["town"].limit == ""
    assert not slow["highway"].possible
    assert slow["highway"].limit == "too slow: motor speed at pack voltage"


def test_a_motor_that_is_weak_for_good_cannot_hold_the_highway():
    motor = {"cont_kw": 6, "kv_rpm_per_v": 24, "max_rpm": 2000, "peak_torque_nm": 480}
    weak = by_profile(ride(hub_setup(motor=motor)))
    assert weak["town"].possible
    assert weak["highway"].limit == "too little continuous power: motor continuous power"


@pytest.mark.parametrize(("kw", "limit"), [(11.0, "falls behind: motor peak power"), (13.0, "")])
def test_peak_power_that_falls_behind_on_hills(kw, limit):
    """11 kW reach 108 km/h on the level, enough for the highway but for its rises; 13 kW climb them."""
    motor = {"peak_kw": kw, "cont_kw": kw, "kv_rpm_per_v": 24, "max_rpm": 2000}
    setup = hub_setup(motor=motor, controller={"battery_peak_a": 260, "battery_cont_a": 260})
    assert by_profile(ride(setup))["highway"].limit == limit


def test_a_strong_bike_holds_everything():
    motor = {"peak_kw": 45, "cont_kw": 18, "kv_rpm_per_v": 24, "max_rpm": 2000}
    strong = ride(hub_setup(motor=motor, controller={"battery_peak_a": 450, "battery_cont_a": 300}))
    assert all(item.possible for item in strong.profiles)


def test_peak_lasts_as_long_as_the_motor_says_unless_the_cells_say_ten_seconds():
    # Cells 25 A · 14 = 350 A, BMS 300 A for good; the peak takes 380 A.
    assert ride(hub_setup()).peak_minutes == pytest.approx(10 / 60)
    calm = hub_setup(controller={"battery_peak_a": 290})
    assert ride(calm).peak_minutes == pytest.approx(1.0)
    tired = hub_setup(controller={"battery_peak_a": 290})
    tired = replace(tired, fitted=tuple(replace(f, part=worn(f.part)) for f in tired.fitted))
    assert ride(tired).peak_minutes == pytest.approx(10 / 60)  # 25 A · 14 · 0.8 = 280 A
    assert ride(hub_setup(motor={"peak_s": None})).peak_minutes is None
    assert "motor time at peak" in ride(hub_setup(motor={"peak_s": None})).missing


def worn(part):
    return replace(part, health_percent=80.0) if hasattr(part, "health_percent") else part


def test_controller_cutoff_voltage_limits_the_peak():
    # 71 V at rest at 20 %, cut-off 68 V: (71.1 − 68)/0.024 = 129 A instead of 380.
    setup = hub_setup(controller={"low_cut_v": 68}, motor={"kv_rpm_per_v": 24, "max_rpm": 2000})
    assert ride(setup).top_limit == "pack voltage under load"


def test_two_up_costs_range_and_is_not_counted_twice():
    alone = ride(hub_setup())
    assert alone.two_up_likely_km < by_profile(alone)["back_road"].likely_km
    both = ride(hub_setup(wishes=Wishes(two_up=True)), PACK, WeightFigures(laden_kg=345.0))
    assert both.two_up_likely_km == pytest.approx(by_profile(both)["back_road"].likely_km)
    assert both.two_up_likely_km == pytest.approx(alone.two_up_likely_km, rel=1e-9)


def test_regeneration_needs_every_limit_known():
    off = by_profile(ride(hub_setup()))["town"].likely_km
    on = by_profile(ride(hub_setup(controller={"regen_a": 60})))["town"].likely_km
    assert on > off
    for setup, pack in (
        (hub_setup(controller={"regen_a": None}), PACK),
        (hub_setup(controller={"regen_a": 60}, bms={"charge_a": None}), PACK),
        (hub_setup(controller={"regen_a": 60}), pack_like(charge_a=None)),
    ):
        assert by_profile(ride(setup, pack))["town"].likely_km == off


def test_regeneration_stops_where_cells_may_not_be_charged():
    off = by_profile(ride(hub_setup()))["town"].cold_km
    assert by_profile(ride(hub_setup(controller={"regen_a": 60})))["town"].cold_km > off  # 0 °C, cells from 0 °C
    frost = by_profile(ride(hub_setup(controller={"regen_a": 60}, policies=Policies(cold_c=-1.0))))["town"].cold_km
    frost_off = by_profile(ride(hub_setup(policies=Policies(cold_c=-1.0))))["town"].cold_km
    assert frost == frost_off
    unknown = hub_setup(controller={"regen_a": 60}, cell={"charge_low_c": None})
    assert by_profile(ride(unknown))["town"].cold_km == off


def test_colder_goes_less_far():
    ranges = [by_profile(ride(hub_setup(policies=Policies(cold_c=c))))["back_road"].cold_km for c in (15, 5, -5, -15)]
    assert ranges == sorted(ranges, reverse=True)


def test_lead_goes_less_far_than_its_label():
    lead = ride(hub_setup(), pack_like(chemistry="lead", full_v=86.4, empty_v=63.0, series_cells=36))
    assert lead.profiles[0].likely_km < 0.7 * ride(hub_setup()).profiles[0].likely_km
    assert "20-hour" in inputs_of(lead, "profiles.town")["Usable energy"]


@given(
    mass=st.floats(150, 500),
    cda=st.floats(0.25, 0.9),
    usable=st.floats(500, 20000),
    cont_kw=st.floats(1, 60),
    kv=st.floats(4, 80),
)
def test_figures_are_finite_and_ordered_whatever_the_bike(mass, cda, usable, cont_kw, kv):
    setup = hub_setup(
        donor=replace(DONOR, cda_m2=cda), motor={"cont_kw": cont_kw, "peak_kw": 2 * cont_kw, "kv_rpm_per_v": kv}
    )
    figures = ride(setup, pack_like(usable_wh=usable), WeightFigures(laden_kg=mass))
    top_kmh = known(figures.top_kmh)
    assert 0 <= known(figures.held_kmh) <= top_kmh + 1e-6
    assert 0 <= known(figures.start_grade_percent) <= 100
    assert known(figures.climb_grade_percent) >= 0
    assert figures.sprint_s is None or figures.sprint_s > 0
    for item in figures.profiles:
        assert 0 < item.low_km < item.likely_km < item.high_km < 2000
        assert 0 < item.aged_km < item.likely_km
    for point in figures.band:
        assert point.kmh <= top_kmh + 1e-6


def test_heat_headroom_is_of_the_speed_wished_for_and_none_is_left_at_the_speed_it_holds():
    plain = ride(hub_setup())
    assert plain.cruise_kmh in (90.0, pytest.approx(55 * KM_PER_MILE))
    held_kmh = known(plain.held_kmh)
    at_most = ride(replace(hub_setup(), wishes=Wishes(held_kmh=held_kmh)))
    assert at_most.cruise_kmh == held_kmh
    assert at_most.cruise_spare_percent == pytest.approx(0.0, abs=0.1)  # where the two curves cross
    slower = ride(replace(hub_setup(), wishes=Wishes(held_kmh=0.8 * held_kmh)))
    faster = ride(replace(hub_setup(), wishes=Wishes(held_kmh=1.05 * held_kmh)))
    assert known(slower.cruise_spare_percent) > 20 > 0 > known(faster.cruise_spare_percent)
    assert inputs_of(slower, "cruise_spare_percent")["Held speed"]
