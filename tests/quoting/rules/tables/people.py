"""Rows for the whole build, wishes, law, donor and desk."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

from quoting.request import Discount
from quoting.result import ChargeCase, PartPromise, ProfileRange, Promise
from tests.quoting.rules.bike import DAY, Bike, Spec
from tests.quoting.rules.row import Change, Row, says, spec


def town(low_km: float, likely_km: float, possible: bool = True) -> Change:
    """Town range as a band, 50 km wished."""
    profile = ProfileRange(
        profile="town", label="Town", mean_kmh=35, fastest_kmh=72, wh_per_km=45, low_km=low_km, likely_km=likely_km,
        high_km=80, cold_km=40, aged_km=40, possible=possible, limit="" if possible else "too slow: controller current",
    )  # fmt: skip
    return lambda bike: bike.wishing(town_km=50.0).saying("ride", profiles=(profile,))


def promised(**changes: object) -> Change:
    """With a promise."""
    promise = Promise(place=1, finish_from=DAY, finish_to=DAY + timedelta(days=30))
    return lambda bike: replace(bike, promise=replace(promise, **changes))  # type: ignore[arg-type]


def ordered(lead_days: int | None) -> Change:
    """A motor to order."""
    part = PartPromise(
        code="motor", name="motor", quantity=Decimal(1), origin="to_order", ready=None, lead_days=lead_days
    )
    return promised(parts=(part,))


def stocked(bike: Bike) -> Bike:
    """A discontinued motor that lies on the shelf."""
    part = PartPromise(code="motor", name="motor", quantity=Decimal(1), origin="stock", ready=DAY)
    return promised(parts=(part,))(bike.line("motor", discontinued=True))


def discounted(rate: str) -> Change:
    """With a discount."""
    return lambda bike: replace(bike, option={"discount": Discount(reason="friend", rate=Decimal(rate))})


def shipped(bike: Bike) -> Bike:
    """A kit that leaves by carrier."""
    return replace(bike.wishing(by_carrier=True), job="parts_kit")


MODULE: Spec = {"chemistry": "nmc", "cells_in_series": 4, "full_v": 16.8, "capacity_ah": 4.5}


def noted(note: str) -> Change:
    """With a note to the customer."""
    return lambda bike: replace(bike, note=note)


def charged(full_h: float) -> Change:
    """One outlet, half of the time from 20 to 80 %."""
    case = ChargeCase(
        circuit="120 V 15 A",
        label="Wall",
        ac_w=1440,
        dc_a=15,
        full_h=full_h,
        most_h=full_h / 2,
        limited_by="wall circuit",
    )
    return lambda bike: bike.saying("charge", cases=(case,))


def limited(bike: Bike) -> Bike:
    """Registered where mass may move by 20 %, power is the engine's at most, and a donor is 3 years old or more.

    Public practitioner report, case B41 (France).
    """
    bike = bike.given(year=2010, vin="1")
    return bike.registered(mass_share=0.20, power_share=1.0, least_age_years=3, front_share_points=5.0)


def axles(front_kg: float) -> Change:
    """100 of 200 kg on the front axle before, and `front_kg` of 200 after."""
    return says("weight", front_before_kg=100.0, before_kg=200.0, front_after_kg=front_kg, after_kg=200.0)


def listed(*papers: str) -> Change:
    """With papers on the sheet."""
    return lambda bike: bike.registered(papers=papers)


def of_day(day: date) -> Change:
    """With a sheet of that day; the quote is of 2 March 2026."""
    return lambda bike: bike.registered(as_of=day)


ROWS = [
    Row("incomplete-build", "stop", lambda b: b.without("bms")),
    Row("incomplete-build", "check", lambda b: b.without("enclosure")),
    # 4.2 V beside 4.26 V, 0.06 V apart; 4.25 V is 0.05 V apart
    Row(
        "packs-mixed",
        "stop",
        lambda b: b.plus("other cell", "cell", **{**b.slots["cell"][2], "full_v": 4.26}),
    ),
    Row("packs-mixed", "stop", lambda b: b.plus("block", "module", **MODULE)),
    Row("packs-mixed", "check", lambda b: b.plus("other cell", "cell", **{**b.slots["cell"][2], "full_v": 4.25})),
    Row("wish-range", "check", town(40, 49.9), town(50, 55), 49.9, 50),
    Row("wish-range", "note", town(49.9, 55), town(50, 55), 49.9, 50),
    Row("profile-not-held", "check", town(50, 60, possible=False), town(50, 60)),
    Row("held-speed", "note", says("ride", held_kmh=90.0, top_kmh=90.1), says("ride", held_kmh=90.0, top_kmh=90.0)),
    Row(
        "wish-held-speed",
        "check",
        lambda b: b.wishing(held_kmh=90.1).saying("ride", held_kmh=90.0),
        lambda b: b.wishing(held_kmh=90.0).saying("ride", held_kmh=90.0),
        90,
        90.1,
    ),
    Row(
        "wish-top-speed",
        "check",
        lambda b: b.wishing(top_kmh=90.1).saying("ride", top_kmh=90.0),
        lambda b: b.wishing(top_kmh=90.0).saying("ride", top_kmh=90.0),
        90,
        90.1,
    ),
    Row(
        "wish-hill",
        "check",
        lambda b: b.wishing(hill_percent=12.1).saying("ride", climb_grade_percent=12.0),
        lambda b: b.wishing(hill_percent=12.0).saying("ride", climb_grade_percent=12.0),
        12,
        12.1,
    ),
    Row("wish-overnight", "check", lambda b: b.wishing(overnight_h=1.0), lambda b: b.wishing(overnight_h=12.0)),
    Row(
        "wish-budget",
        "check",
        lambda b: b.wishing(budget=Decimal("999.99")).saying("price", due=Decimal("1000.00")),
        lambda b: b.wishing(budget=Decimal("1000.00")).saying("price", due=Decimal("1000.00")),
        1000,
        999.99,
    ),
    Row(
        "wish-need-by",
        "check",
        lambda b: promised()(b.wishing(need_by_days=29)),
        lambda b: promised()(b.wishing(need_by_days=30)),
        30,
        29,
    ),
    # 49 CFR 173.185(c): at most 100 Wh
    Row(
        "pack-by-carrier",
        "check",
        lambda b: shipped(b).saying("pack", energy_wh=100.1),
        lambda b: shipped(b).saying("pack", energy_wh=100.0),
        100.1,
        100,
    ),
    Row("pack-design-untested", "check", shipped, lambda b: b.wishing(by_carrier=True)),
    Row("pack-design-untested", "stop", lambda b: shipped(b).with_("cell", transport_tested=False)),
    # 20 % of 190 kg = 38 kg; 38.1/190 = 20.0526 %
    Row(
        "retrofit-mass",
        "check",
        says("weight", before_kg=190.0, after_kg=228.1),
        says("weight", before_kg=190.0, after_kg=228.0),
        20.0526,
        20,
        limited,
    ),
    Row("retrofit-power", "check", spec("motor", peak_kw=28.1), spec("motor", peak_kw=28), 28.1, 28, limited),
    Row(
        "retrofit-power",
        "check",
        spec("motor", cont_kw=22.5),
        spec("motor", cont_kw=22.4),
        22.5,
        22.4,
        lambda b: limited(b).registered(power_share=0.8, power_counts="continuous"),  # 0.8 × 28 kW
    ),
    Row("retrofit-age", "check", lambda b: b.given(year=2024), lambda b: b.given(year=2023), 2, 3, limited),
    # 100/200 = 50 %; 110.1/200 = 55.05 %
    Row("retrofit-axles", "check", axles(110.1), axles(110.0), 5.05, 5, limited),
    Row("registration-papers", "note", listed("title", "inspection report"), listed()),
    Row("country-sheet-old", "check", of_day(DAY - timedelta(days=366)), of_day(DAY - timedelta(days=365)), 366, 365),
    # the best profile's better end is 80 km = 49.7 miles
    Row(
        "claimed-range",
        "stop",
        lambda b: noted("Range 49.8 miles.")(town(70, 75)(b)),
        lambda b: noted("Range 49.7 miles. The shop is 60 miles away.")(town(70, 75)(b)),
        49.8 * 1.609344,
        80,
    ),
    Row(
        "claimed-range",
        "stop",
        lambda b: replace(town(70, 75)(b), option={"label": "Hub 7 kW, 81 km"}),
        lambda b: replace(town(70, 75)(b), option={"label": "Hub 7 kW, 80 km"}),
        81,
        80,
    ),
    # 4 h × 0.9 = 3.6 h; 2 h × 0.9 = 1.8 h from 20 to 80 %
    Row(
        "claimed-charge-time",
        "stop",
        lambda b: noted("Charges in 3.5 hours.")(charged(4.0)(b)),
        lambda b: noted("Charges in 3.6 hours.")(charged(4.0)(b)),
        3.5,
        3.6,
    ),
    Row(
        "claimed-charge-time",
        "stop",
        lambda b: noted("Charging to 80 % takes 107 min.")(charged(4.0)(b)),
        lambda b: noted("Charging to 80 % takes 108 min.")(charged(4.0)(b)),
        107 / 60,
        1.8,
    ),
    Row("donor-papers", "check", lambda b: b.given(title_seen=None)),
    Row("donor-papers", "check", lambda b: b.given(stolen_check_done=False)),
    Row("vin", "note", lambda b: b.given(year=1979, vin="PT400-1")),
    Row("vin", "check", lambda b: b.given(vin=None)),
    # widely published example; the second has its last figure changed
    Row(
        "vin",
        "stop",
        lambda b: b.given(vin="1M8GDM9AXKP042789"),
        lambda b: b.given(vin="1M8GDM9AXKP042788"),
        None,
        None,
        lambda b: b.given(year=1989, vin="1M8GDM9AXKP042788"),
    ),
    Row(
        "reversible",
        "note",
        spec("torque arms", reversible=False),
        lambda b: b.without("torque arms"),
        None,
        None,
        lambda b: b.without("torque arms") if False else b,
    ),
    Row("tax-place-missing", "stop", lambda b: replace(b, place=None)),
    # policy: 60 days
    Row(
        "price-stale",
        "check",
        lambda b: b.line("motor", priced_on=DAY - timedelta(days=61)),
        lambda b: b.line("motor", priced_on=DAY - timedelta(days=60)),
    ),
    Row(
        "price-stale",
        "check",
        lambda b: b.line("motor", priced_on=DAY - timedelta(days=8), stale_after_days=7),
        lambda b: b.line("motor", priced_on=DAY - timedelta(days=7), stale_after_days=7),
    ),
    Row("price-stale", "check", lambda b: b.line("motor", priced_on=None)),
    Row("part-discontinued", "check", lambda b: b.line("motor", discontinued=True), stocked),
    Row("lead-time-unknown", "check", ordered(None), ordered(30)),
    Row("no-finish-date", "check", promised(blocked="No one here winds motors.", finish_from=None, finish_to=None)),
    Row(
        "margin-under-floor",
        "check",
        says("price", margin_rate=Decimal("0.199")),
        says("price", margin_rate=Decimal("0.20")),
        19.9,
        20,
    ),
    Row("discount-over-limit", "check", discounted("0.101"), discounted("0.10"), 10.1, 10),
    Row("exempt-certificate", "check", lambda b: b.under(exempt_expired=True)),
    Row("exempt-certificate", "check", lambda b: b.under(exempt_not_yet=True)),
    Row(
        "exempt-certificate",
        "check",
        lambda b: b.under(customer_tax_exempt=True),
        lambda b: b.under(customer_tax_exempt=True, exempt_certificate="PS-1"),
    ),
    Row(
        "cells-short-of-plan",
        "stop",
        lambda b: b.line("cell", quantity=Decimal(239)),
        lambda b: b.line("cell", quantity=Decimal(240)),
        239,
        240,
    ),
]
