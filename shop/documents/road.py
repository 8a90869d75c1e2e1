"""On the road, as printed: the range band on each profile with what it rests on, speeds held, time to charge."""

from __future__ import annotations

from dataclasses import dataclass

from quoting.request import Policies, QuoteRequest, Wishes
from quoting.result import ChargeFigures, OptionResult, ProfileRange, RideFigures
from shop.charts import LineChart, range_chart
from shop.documents.pen import Pen

WISHED = {"town": "town_km", "back_road": "back_road_km", "highway": "highway_km"}
CANNOT = "cannot hold it"


@dataclass(frozen=True)
class RangeRow:
    """One profile. `asked` what the customer wished for, empty for nothing."""

    label: str
    speeds: str
    band: str
    cold: str
    asked: str


@dataclass(frozen=True)
class RoadBlock:
    """`facts` label and figure pairs; `assumed` the conditions in sentences."""

    rows: tuple[RangeRow, ...]
    cold_head: str
    facts: tuple[tuple[str, str], ...]
    assumed: tuple[str, ...]
    chart: LineChart | None

    @property
    def title(self) -> str:
        return "On the road" if self.rows else "Charging"

    @property
    def was_asked(self) -> bool:
        return any(row.asked for row in self.rows)


def road_block(request: QuoteRequest, result: OptionResult, pen: Pen) -> RoadBlock | None:
    """None when nothing about the road was worked out: parts alone, or a repair."""
    ride = result.ride
    facts = (*_speeds(ride, pen), *_charging(result.charge, request.wishes, pen))
    if not facts and not (ride and ride.profiles):
        return None
    return RoadBlock(
        rows=tuple(_row(profile, request.wishes, pen) for profile in ride.profiles) if ride else (),
        cold_head=f"At {pen.temperature(request.policies.cold_c)}",
        facts=facts,
        assumed=_assumed(request, ride, pen) if ride else (),
        chart=range_chart(ride, pen.units) if ride else None,
    )


def _row(profile: ProfileRange, wishes: Wishes, pen: Pen) -> RangeRow:
    wished_km = getattr(wishes, WISHED.get(profile.profile, ""), None)
    return RangeRow(
        label=profile.label,
        speeds=f"{pen.speed(profile.mean_kmh)} average, {pen.speed(profile.fastest_kmh)} top",
        band=pen.distances(profile.low_km, profile.high_km) if profile.possible else CANNOT,
        cold=pen.distance(profile.cold_km) if profile.possible else "",
        asked="" if wished_km is None else pen.distance(wished_km),
    )


def _speeds(ride: RideFigures | None, pen: Pen) -> tuple[tuple[str, str], ...]:
    if ride is None:
        return ()
    rows = []
    if ride.held_kmh is not None:
        rows.append(("Speed it holds", pen.speed(ride.held_kmh)))
    if ride.top_kmh is not None:
        minutes = ride.peak_minutes
        short = minutes is not None and ride.held_kmh is not None and ride.held_kmh < ride.top_kmh
        brief = f", about {pen.hours(minutes / 60)} at a time" if short and minutes and minutes >= 1 else ""
        rows.append(("Top speed", f"{pen.speed(ride.top_kmh)}{brief}"))
    return tuple(rows)


def _charging(charge: ChargeFigures | None, wishes: Wishes, pen: Pen) -> tuple[tuple[str, str], ...]:
    if charge is None:
        return ()
    where = "Full charge at your" if wishes.circuit_v and wishes.circuit_a else "Full charge at"
    return tuple(
        (
            f"{where} {pen.figure(case.circuit)}",
            f"{pen.hours(case.full_h)} (20 to 80\u00a0% in {pen.hours(case.most_h)})",
        )
        for case in charge.cases
    )


def conditions(request: QuoteRequest, ride: RideFigures, pen: Pen, *, mass_kg: float | None = None) -> list[str]:
    """What the figures rest on. The band's width is read from the working, where the engine states it."""
    policies = request.policies
    load = _load(policies, request.wishes, pen)
    together = f"; bike and load {pen.mass(mass_kg)} together" if mass_kg is not None else ""
    band = next((text for work in ride.workings for name, text in work.inputs if name == "Band"), "")
    rests = (
        f"Worked out, not measured: {load}{together}; {pen.temperature(policies.warm_c)}, dry road, no wind, new "
        f"battery, {pen.share(policies.usable_share)} of its energy used."
    )
    return [rests, f"The band: {pen.figure(band)}."] if band else [rests]


def _assumed(request: QuoteRequest, ride: RideFigures, pen: Pen) -> tuple[str, ...]:
    sentences = conditions(request, ride, pen, mass_kg=ride.mass_kg)
    aged = next((profile for profile in ride.profiles if profile.profile == "back_road" and profile.possible), None)
    if aged is not None:
        sentences.append(
            f"When the battery has aged to 80 % of its capacity, about {pen.distance(aged.aged_km)} on a "
            f"{aged.label.lower()}."
        )
    return tuple(pen.own(sentence) for sentence in sentences)


def _load(policies: Policies, wishes: Wishes, pen: Pen) -> str:
    people = [f"rider {pen.mass(policies.rider_kg)}"]
    if wishes.two_up:
        people.append(f"passenger {pen.mass(policies.passenger_kg)}")
    return ", ".join((*people, f"luggage {pen.mass(policies.luggage_kg)}"))
