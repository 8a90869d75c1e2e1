"""A complete request that works: an invented twin with a hub motor, a 20s12p pack and one build ahead of it.

Every figure is made up for the example; none is a real product's.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, time
from decimal import Decimal

from quoting.example_parts import DAY, drive_parts, path_parts, storage_parts
from quoting.request import (
    Authority,
    Bay,
    Bench,
    DatedRate,
    Donor,
    Need,
    OpenBuild,
    Opening,
    OpenStep,
    Option,
    PackPlan,
    Person,
    QuoteRequest,
    Receipt,
    ShopState,
    StepLine,
    StockLevel,
    Supply,
    TaxPlace,
    Wishes,
)


def _steps() -> tuple[StepLine, ...]:
    rows = (
        ("strip", "Strip and measure", "mechanic", "lift", ("4", "6", "10"), ()),
        ("fabricate", "Mounts and boxes", "fabricator", "fabrication", ("14", "20", "32"), ("adapter",)),
        ("pack", "Build the pack", "electric", "pack", ("12", "16", "28"), ("cell", "bms")),
        ("wire", "Fit and wire", "electric", "electric", ("16", "22", "36"), ("motor", "controller", "charger")),
        ("test", "Test and road test", "electric", "test", ("4", "6", "12"), ()),
    )
    return tuple(
        StepLine(
            code=code,
            label=label,
            skill=skill,
            bench_type=bench,
            low_h=Decimal(low),
            likely_h=Decimal(likely),
            high_h=Decimal(high),
            rate=Decimal("95.00"),
            cost_rate=Decimal("52.00"),
            needs=needs,
        )
        for code, label, skill, bench, (low, likely, high), needs in rows
    )


def _shop() -> ShopState:
    hours = tuple(Opening(weekday=day, start=time(8, 30), end=time(17, 0)) for day in range(5))
    ahead = OpenBuild(
        number="B-EX1",
        place=1,
        steps=(
            OpenStep(
                code="wire",
                label="Fit and wire",
                skill="electric",
                bench_type="electric",
                low_h=Decimal(8),
                likely_h=Decimal(12),
                high_h=Decimal(20),
            ),
        ),
        needs=(Need(code="M-EX", quantity=Decimal(1), step="wire", name="Hub motor 8 kW"),),
    )
    lead_days = {"M-EX": 45, "C-EX": 21, "CELL-EX": 30, "A-EX": 14}
    return ShopState(
        zone="America/New_York",
        openings=hours,
        benches=tuple(
            Bench(name=f"{kind.capitalize()} bench", bench_type=kind)
            for kind in ("lift", "fabrication", "pack", "electric", "test")
        ),
        people=(
            Person(name="First builder", skills=("mechanic", "fabricator")),
            Person(name="Second builder", skills=("electric", "mechanic")),
        ),
        stock=(
            StockLevel(code="M-EX", on_hand=Decimal(1)),
            StockLevel(code="C-EX", on_hand=Decimal(2)),
            StockLevel(code="CELL-EX", on_hand=Decimal(400)),
        ),
        receipts=(
            Receipt(code="M-EX", quantity=Decimal(1), expected=date(2026, 3, 30), order="P-EX1", supplier="A supplier"),
        ),
        supplies=tuple(
            Supply(
                code=line.code,
                supplier="A supplier",
                likely_days=lead_days.get(line.code, 7),
                low_days=lead_days.get(line.code, 7) * 2 // 3,
                high_days=lead_days.get(line.code, 7) * 3 // 2,
            )
            for line in (*drive_parts(), *storage_parts(), *path_parts())
        ),
        builds=(ahead,),
        revision=1,
    )


def example_request() -> QuoteRequest:
    """The example, ready for `quoting.quote`."""
    donor = Donor(
        family="example-twin", label="Example twin 400, 1979", year=1979, vin="EX400-001979", market="north america",
        kerb_kg=182, removed_kg=74, removed_x_m=0.68, wheelbase_m=1.40, cg_height_m=0.66, front_share=0.47, gvwr_kg=365,
        gawr_front_kg=145, gawr_rear_kg=220, cda_m2=0.58, crr=0.015, frame_kind="cradle", engine_kw=28, system_v=12,
        front_tire="100/90-18", rear_tire="130/70-17", rear_rim_inch=17, dropout_mm=190, axle_mm=16, brake_side="right",
        front_brake="disc", rear_brake="disc", brake_rated_kg=380, chain_pitch="520", title_seen=True,
        stolen_check_done=True,
        bays=(
            Bay(name="Engine bay", length_mm=480, width_mm=270, height_mm=360, x_m=0.66),
            Bay(name="Tank", length_mm=420, width_mm=240, height_mm=160, x_m=0.60),
        ),
    )  # fmt: skip
    option = Option(
        key="A",
        label="Hub motor, 3.9 kWh",
        parts=drive_parts() + storage_parts() + path_parts(),
        steps=_steps(),
        pack=PackPlan(series=20, parallel=12, link_mohm=1.5, bays=("Engine bay",)),
        contingency_rate=Decimal("0.03"),
    )
    classes = ("parts", "fabrication_labor", "repair_labor", "freight", "fee")

    def authority(name: str, level: str, rate: str) -> Authority:
        rates = tuple(DatedRate(tax_class=kind, rate=Decimal(rate), begin=date(2026, 1, 1)) for kind in classes)
        return Authority(name=name, level=level, rates=rates)

    place = TaxPlace(
        code="example",
        name="Example City",
        authorities=(authority("Example State", "state", "0.05"), authority("Example County", "county", "0.0125")),
    )
    return QuoteRequest(
        day=DAY,
        now=datetime(2026, 3, 2, 14, 0, tzinfo=UTC),
        currency="USD",
        donor=donor,
        options=(option,),
        wishes=Wishes(back_road_km=40, held_kmh=95, budget=Decimal(20000), circuit_v=120, circuit_a=15),
        tax_place=place,
        shop=_shop(),
    )
