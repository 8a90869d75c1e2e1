"""Claims that contradict the road or themselves are refused with their arithmetic, and fair ones are not.

Cases: public practitioner reports, groups A and D, with the figures as reported; what a report does not say is marked
assumed.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from quoting import RequestError
from quoting.claims import (
    BODIES,
    Claim,
    ClaimLine,
    SaidCharge,
    charges_said,
    check_claim,
    distances_said_km,
    quickest_h,
    slowest_h,
)

# Case A16: "116 V", 28 × 30 Ah, 3.1 kWh; "160 km max"; "3 h" on a 3 kW charger.
A16 = Claim(distance_km=160, energy_wh=3100, charge_h=3, charger_w=3000)


def line(claim: Claim, about: str, units: str = "metric") -> ClaimLine:
    return next(each for each in check_claim(claim, units).lines if each.about == about)


def test_case_a16_contradicts_itself_in_range_and_in_charge_time() -> None:
    """3100 × 0.92 / 160 = 17.8 Wh/km; 3.1/3 × 0.85 = 0.88 h, 3.1/3 / 0.85 × 1.25 = 1.52 h."""
    found = check_claim(A16, "metric")
    assert [each.about for each in found.refused] == ["range", "charging"]
    assert "3.10 kWh × 92 % ÷ 160 km = 18 Wh/km" in line(A16, "range").arithmetic
    assert line(A16, "charging").text.startswith("3.10 kWh from 3.00 kW takes 53 min to 1 h 31 min, not 3 h.")
    assert "contradict each other" in line(A16, "charging").text


def test_case_a3_a_hundred_miles_from_48_volts_of_lead_is_refused() -> None:
    """100 Ah assumed: 4800 × 0.92 × 0.61 / 161 km = 16.7 Wh/km, less than lamps and rolling resistance take."""
    claim = Claim(distance_km=160.9, energy_wh=4800, chemistry="lead")
    assert line(claim, "range", "us").verdict == "refused"
    assert "100 mi = 27 Wh/mi" in line(claim, "range", "us").arithmetic  # 4800 × 0.92 × 0.61 / 100 = 26.9
    fair = replace(claim, distance_km=32, speed_kmh=72)  # 20 miles, as ridden
    assert line(fair, "range").verdict == "agrees"


# case, claim, what is refused
CASES = [
    ("A1", Claim(distance_km=129, energy_wh=8064, speed_kmh=105, body="tucked", laden_kg=261), ["range"]),
    ("A1 as expected, 77 to 95 km", Claim(distance_km=95, energy_wh=8064, speed_kmh=105, body="tucked"), []),
    ("A10 urban", Claim(distance_km=80, energy_wh=4300), []),
    ("A12", Claim(distance_km=100, energy_wh=10_000, speed_kmh=97, charge_h=4, charger_w=2800), []),
    ("A12 on a 1.8 kW charger", Claim(energy_wh=10_000, charge_h=4, charger_w=1800), ["charging"]),
    ("A12 on it in 6 h", Claim(energy_wh=10_000, charge_h=6, charger_w=1800), []),
    ("A14", Claim(energy_wh=10_000, charge_h=1.5, charger_w=7000, speed_kmh=112, cont_w=12_000), []),
    ("A17 at its top speed", Claim(distance_km=55, energy_wh=1792, speed_kmh=80, body="light"), ["range"]),
    ("A17 at 50 km/h", Claim(distance_km=55, energy_wh=1792, speed_kmh=50, body="light"), []),
    ("A18, two batteries at 88 km/h", Claim(distance_km=129, energy_wh=3584, speed_kmh=88, body="light"), ["range"]),
    ("A20", Claim(distance_km=40, energy_wh=1400, body="light", charge_h=2.5, charger_w=432), ["charging"]),
    ("A20 in 3.3 h", Claim(energy_wh=1400, charge_h=3.3, charger_w=432), []),
    ("A33 racing", Claim(distance_km=161, energy_wh=7200, laden_kg=270, cda_m2=0.5, speed_kmh=130), ["range"]),
    ("A35", Claim(distance_km=165, energy_wh=19_500, body="sidecar", charge_h=13, charger_w=1300), []),
    ("A39", Claim(distance_km=60, energy_wh=1500, body="light", laden_kg=170, speed_kmh=38), []),
    ("B57: 8 kW held is not 120 km/h", Claim(speed_kmh=120, cont_w=8000), ["power"]),
    ("B57: 8 kW held is about 97 km/h", Claim(speed_kmh=97, cont_w=8000), []),
    ("D2: two days on the highway", Claim(distance_km=258, speed_kmh=113), ["energy"]),
    ("D7: country lanes", Claim(distance_km=48, speed_kmh=45, cont_w=1800, body="light"), []),
]


@pytest.mark.parametrize(("case", "claim", "refused"), CASES, ids=[case for case, *_ in CASES])
def test_a_reported_claim(case: str, claim: Claim, refused: list[str]) -> None:
    assert [each.about for each in check_claim(claim).refused] == refused


def test_case_a24_goes_16_to_18_km_at_97_kmh() -> None:
    """76 V × 24 Ah = 1.82 kWh, upright, mass assumed 250: 1824 × 0.92 / 97 Wh/km = 17.3 km."""
    text = line(Claim(energy_wh=1824, speed_kmh=97, laden_kg=250), "range").text
    assert 16 <= float(text.split(" km likely")[0].split()[-1]) <= 18


def test_question_d1_says_which_pack_the_commute_takes() -> None:
    """30 miles at 65 mph: about 5.4 kWh used, 6.4 kWh nominal, 12 kW held."""
    d1 = Claim(distance_km=48.3, speed_kmh=104.6)
    needed = line(d1, "energy")
    assert needed.verdict == "needs"
    likely_kwh, sure_kwh = (float(part.split(" kWh")[0].split()[-1]) for part in needed.text.split(";"))
    assert 5.4 < likely_kwh < 6.4 < sure_kwh < 6.7
    power_kw = float(line(d1, "power").text.split(" kW")[0].split()[-1])
    assert power_kw == pytest.approx(12, rel=0.05)


def test_question_d3_a_night_on_a_household_socket() -> None:
    """12 A × 120 V × 8 h × 0.9 = 10.4 kWh."""
    assert "1.44 kW × 8 h × 0.9 = 10.37 kWh" in line(Claim(charger_w=1440, charge_h=8), "charging").arithmetic


def test_charge_times_at_the_edge() -> None:
    """4 kWh at 2 kW: 0.85 × 2 = 1.7 h to 2 / 0.85 × 1.25 = 2.94 h."""
    assert quickest_h(4000, 2000) == pytest.approx(1.7)
    assert slowest_h(4000, 2000) == pytest.approx(2.941, abs=0.001)
    for hours, verdict in ((1.69, "refused"), (1.71, "agrees"), (2.93, "agrees"), (2.95, "refused")):
        assert line(Claim(energy_wh=4000, charger_w=2000, charge_h=hours), "charging").verdict == verdict


def test_a_range_at_the_edge_of_the_favorable_end() -> None:
    claim = Claim(energy_wh=5000, speed_kmh=80)
    reach_text = line(claim, "range").text
    assert "at best" in reach_text
    best_km = float(reach_text.split(" km at best")[0].split()[-1])
    assert line(replace(claim, distance_km=best_km - 0.6), "range").verdict == "agrees"
    assert line(replace(claim, distance_km=best_km + 0.6), "range").verdict == "refused"


@pytest.mark.parametrize(
    ("claim", "about"),
    [
        (Claim(), []),
        (Claim(distance_km=50), []),
        (Claim(energy_wh=5000), []),
        (Claim(charge_h=4), []),
        (Claim(energy_wh=5000, charger_w=1000), ["charging"]),
        (Claim(speed_kmh=80), ["power"]),
    ],
)
def test_too_little_said_is_not_judged(claim: Claim, about: list[str]) -> None:
    lines = check_claim(claim).lines
    assert [each.about for each in lines] == about
    assert all(each.verdict == "needs" for each in lines)


@pytest.mark.parametrize(
    ("claim", "field"),
    [
        (Claim(energy_wh=0), "energy_wh"),
        (Claim(speed_kmh=-5), "speed_kmh"),
        (Claim(distance_km=float("nan")), "distance_km"),
        (Claim(body="boat"), "body"),
        (Claim(chemistry="steam"), "chemistry"),
    ],
)
def test_a_figure_that_cannot_be_is_refused_by_its_field(claim: Claim, field: str) -> None:
    with pytest.raises(RequestError) as refused:
        check_claim(claim)
    assert [problem.field for problem in refused.value.problems] == [field]


def test_every_line_has_its_sum_and_its_source() -> None:
    for _, claim, _ in CASES:
        for each in check_claim(claim, "us").lines:
            assert each.arithmetic
            assert each.text.endswith(".")
            assert each.source
    assert set(BODIES) >= {"naked", "sidecar"}


@pytest.mark.parametrize(
    ("text", "km"),
    [
        ("Range about 60 miles in town.", (96.56,)),
        ("It does 50 to 62 km on a charge.", (62.0,)),
        ("1,000 km range", (1000.0,)),
        ("A 40-mile range.", (64.37,)),
        ("Tops out at 60 mph with full charge. We are 12 miles away.", ()),
        ("Range at 100 km/h is 45 km.", (45.0,)),
        ("Tires are good for 5,000 miles.", ()),
        ("Free check after 500 km.", ()),
        ("", ()),
    ],
)
def test_ranges_in_words(text: str, km: tuple[float, ...]) -> None:
    assert distances_said_km(text) == pytest.approx(km, abs=0.01)


def test_an_options_name_is_read_without_the_word_range() -> None:
    assert distances_said_km("Hub 8 kW, 100 mi", always=True) == pytest.approx((160.93,), abs=0.01)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("Charges overnight in 8 h.", (SaidCharge(8.0, in_part=False),)),
        ("Charging takes 3 to 4 hours.", (SaidCharge(4.0, in_part=False),)),
        ("Plugged in for 45 min it goes from 20 to 80 %, charging at home.", (SaidCharge(0.75, in_part=True),)),
        ("We open at 8 h. Battery included.", ()),
    ],
)
def test_charge_times_in_words(text: str, said: tuple[SaidCharge, ...]) -> None:
    assert charges_said(text) == said
