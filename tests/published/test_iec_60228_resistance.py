"""Copper and metric sections: IEC 60028 (resistivity, temperature coefficient) and IEC 60228 (class 5 limits).

The limits were read in three public copies of the tables; the values of IEC 60028 on a public page about the standard
and in a power engineering handbook. The drops at 200 A are arithmetic on those limits.
"""

from __future__ import annotations

import pytest

from quoting.wiring import at_temperature, ohm_per_m, parallel_ohm, solid_ohm_per_m

# IEC 60228: section mm2 -> highest resistance at 20 degC, plain copper, class 5 (flexible), ohm/km
CLASS_5 = {
    0.5: 39.0,
    0.75: 26.0,
    1: 19.5,
    1.5: 13.3,
    2.5: 7.98,
    4: 4.95,
    6: 3.3,
    10: 1.91,
    16: 1.21,
    25: 0.78,
    35: 0.554,
    50: 0.386,
    70: 0.272,
    95: 0.206,
    120: 0.161,
}
CLASS_2_AT_50_MM2 = 0.387


@pytest.mark.parametrize(("area_mm2", "limit"), CLASS_5.items())
def test_metric_sections_take_the_flexible_limit(area_mm2: float, limit: float) -> None:
    assert ohm_per_m(area_mm2) * 1000 == pytest.approx(limit, rel=1e-12)
    assert limit > solid_ohm_per_m(area_mm2) * 1000  # a limit lies above solid copper of the nominal section


def test_class_5_is_not_always_above_class_2() -> None:
    assert ohm_per_m(50.0) * 1000 < CLASS_2_AT_50_MM2  # an oddity of the standard at 50 mm2


def test_resistivity_of_annealed_copper() -> None:
    assert solid_ohm_per_m(1.0) == pytest.approx(0.01724138, rel=1e-6)  # 1/58 ohm mm2/m


@pytest.mark.parametrize(("degc", "factor"), [(75, 1.21615), (90, 1.27510), (40, 1.07860), (-20, 0.84280), (20, 1.0)])
def test_resistance_at_temperature(degc: float, factor: float) -> None:
    assert at_temperature(1.0, degc) == pytest.approx(factor, abs=5e-6)


def test_coefficient_referred_to_75_degrees_is_the_one_the_code_prints() -> None:
    # NEC chapter 9 table 8 note 2: R2 = R1·[1 + 0.00323·(T2 − 75)]
    assert at_temperature(1.0, 85) / at_temperature(1.0, 75) == pytest.approx(1 + 0.00323 * 10, abs=2e-5)


@pytest.mark.parametrize(
    ("area_mm2", "drop_v", "loss_w"),
    [(16, 0.5808, 116.16), (25, 0.3744, 74.88), (35, 0.2659, 53.18), (50, 0.1853, 37.06), (70, 0.1306, 26.11)],
)
def test_drop_and_loss_at_200_amps_over_a_loop_of_2_4_meters(area_mm2: float, drop_v: float, loss_w: float) -> None:
    loop_ohm = ohm_per_m(area_mm2) * 2.4
    assert 200 * loop_ohm == pytest.approx(drop_v, abs=5e-5)
    assert 200**2 * loop_ohm == pytest.approx(loss_w, abs=5e-3)


def test_a_parallel_pair_and_a_warm_conductor() -> None:
    loop = ohm_per_m(35.0) * 2.4
    assert 200 * parallel_ohm([loop, loop]) == pytest.approx(0.1330, abs=5e-5)
    assert 200 * ohm_per_m(35.0, 90.0) * 2.4 == pytest.approx(0.3391, abs=5e-5)
