"""Up to three options side by side on the first page: the same rows in the same order, differences marked."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from quoting import show
from quoting.request import Option, QuoteRequest
from quoting.result import BandPoint, OptionResult
from shop.charts import LineChart
from shop.charts.drawing import Series, line_chart
from shop.documents.included import going_back, pack_words, part_words
from shop.documents.pen import Pen
from shop.documents.road import CANNOT, conditions

NONE = "–"
LOOKS = (("first", ""), ("second", ""), ("second", "5 4"))  # options stay apart in gray: solid, solid, dashed
NAMED = (("motor", "Motor"), ("controller", "Controller"), ("charger", "Charger"))
Pair = tuple[Option, OptionResult]


@dataclass(frozen=True)
class ComparedRow:
    """One figure of every option; `strong` for the few that decide."""

    label: str
    values: tuple[str, ...]
    strong: bool = False

    @property
    def differs(self) -> bool:
        return len(set(self.values)) > 1


@dataclass(frozen=True)
class Comparison:
    heads: tuple[str, ...]
    rows: tuple[ComparedRow, ...]
    places: str
    assumed: tuple[str, ...]
    chart: LineChart | None


def comparison_of(request: QuoteRequest, pairs: Sequence[Pair], pen: Pen) -> Comparison:
    """`pairs` are the options with their results, in order."""

    def row(label: str, value: Callable[[Pair], str], *, strong: bool = False) -> ComparedRow:
        return ComparedRow(label, tuple(value(pair) or NONE for pair in pairs), strong)

    rows = [*_price_rows(row, pen), *_road_rows(row, pairs, request, pen)]
    rows += [row(label, lambda pair, kind=kind: _named(pair[0], kind, pen)) for kind, label in NAMED]  # type: ignore[misc]
    rows += [
        row("Battery", lambda pair: pack_words(pair[1].pack, pen, full=False)),
        row("Weight, ready to ride", lambda pair: _mass(pair[1], pen)),
    ]
    if request.job == "conversion":
        rows.append(row("Going back", lambda pair: _going_back(pair[1])))
    rides = [result.ride for _, result in pairs if result.ride and result.ride.profiles]
    return Comparison(
        heads=tuple(option.key if not option.label else f"{option.key}  {option.label}" for option, _ in pairs),
        rows=tuple(item for item in rows if set(item.values) != {NONE}),
        places=_places(request, pairs, pen),
        assumed=tuple(pen.own(text) for ride in rides[:1] for text in conditions(request, ride, pen)),
        chart=_chart(pairs, pen),
    )


Row = Callable[..., ComparedRow]


def _price_rows(row: Row, pen: Pen) -> list[ComparedRow]:
    return [
        row("Total, tax included", lambda pair: pen.money(pair[1].price.total), strong=True),
        row("Tax in it", lambda pair: pen.money(pair[1].price.tax_total)),
        row("Allowance", lambda pair: pen.money(-pair[1].price.allowance) if pair[1].price.allowance else ""),
        row("To pay", lambda pair: pen.money(pair[1].price.due) if pair[1].price.allowance else ""),
        row("Deposit for a place", lambda pair: pen.money(pair[1].price.deposit)),
        row("Finished", lambda pair: _window(pair[1], pen), strong=True),
    ]


def _road_rows(row: Row, pairs: Sequence[Pair], request: QuoteRequest, pen: Pen) -> list[ComparedRow]:
    labels = {item.profile: item.label for _, result in pairs if result.ride for item in result.ride.profiles}
    cold = pen.temperature(request.policies.cold_c)
    rows = [
        row(f"Range, {label.lower()}", lambda pair, code=code: _range(pair[1], code, pen))
        for code, label in labels.items()
    ]
    rows += [
        row(f"Back road at {cold}", lambda pair: _cold(pair[1], pen)),
        row("Speed it holds", lambda pair: _speed(pair[1], "held_kmh", pen)),
        row("Top speed", lambda pair: _speed(pair[1], "top_kmh", pen)),
    ]
    circuits = dict.fromkeys(case.circuit for _, result in pairs if result.charge for case in result.charge.cases)
    rows += [
        row(f"Charge, {pen.figure(circuit)}", lambda pair, circuit=circuit: _charge(pair[1], circuit, pen))
        for circuit in circuits
    ]
    return rows


def _window(result: OptionResult, pen: Pen) -> str:
    promise = result.promise
    return pen.window(promise.finish_from, promise.finish_to) if promise else ""


def _places(request: QuoteRequest, pairs: Sequence[Pair], pen: Pen) -> str:
    """One sentence: whichever option is chosen, it goes to the end of the line."""
    places = {result.promise.place for _, result in pairs if result.promise}
    return f"Place {min(places)} in line as of {pen.day(request.day)}, whichever is chosen." if places else ""


def _range(result: OptionResult, code: str, pen: Pen) -> str:
    profile = next((item for item in result.ride.profiles if item.profile == code), None) if result.ride else None
    if profile is None:
        return ""
    return pen.distances(profile.low_km, profile.high_km) if profile.possible else CANNOT


def _cold(result: OptionResult, pen: Pen) -> str:
    profiles = result.ride.profiles if result.ride else ()
    return next((pen.distance(item.cold_km) for item in profiles if item.profile == "back_road" and item.possible), "")


def _speed(result: OptionResult, name: str, pen: Pen) -> str:
    kmh = getattr(result.ride, name, None)
    return "" if kmh is None else pen.speed(kmh)


def _charge(result: OptionResult, circuit: str, pen: Pen) -> str:
    cases = result.charge.cases if result.charge else ()
    return next((pen.hours(case.full_h) for case in cases if case.circuit == circuit), "")


def _named(option: Option, kind: str, pen: Pen) -> str:
    return ", ".join(part_words(part, pen) for part in option.parts if part.kind == kind)


def _mass(result: OptionResult, pen: Pen) -> str:
    known = result.weight is not None and result.weight.after_kg is not None
    return pen.mass(result.weight.after_kg) if result.weight and known else ""


def _going_back(result: OptionResult) -> str:
    """The engine's sentence in a word."""
    words = going_back(result.findings)
    return (
        "yes, nothing cut" if words.startswith("Everything") else "no" if words.startswith("Not rev") else "not settled"
    )


def _chart(pairs: Sequence[Pair], pen: Pen) -> LineChart | None:
    """Likely range against steady speed, a line for each option."""
    drawn = [(option, result.ride.band) for option, result in pairs if result.ride and len(result.ride.band) > 1]
    if len(drawn) < 2:
        return None
    speed, distance = show.unit_symbol("speed", pen.units), show.unit_symbol("distance", pen.units)
    series = [
        Series(option.key, tuple(_point(point, pen.units) for point in band), *look)
        for (option, band), look in zip(drawn, LOOKS, strict=False)
    ]
    ends = "; ".join(
        f"{option.key} {pen.distance(band[0].likely_km)} at {pen.speed(band[0].kmh)}, "
        f"{pen.distance(band[-1].likely_km)} at {pen.speed(band[-1].kmh)}"
        for option, band in drawn
    )
    title = f"Likely range against steady speed: {ends}."
    return line_chart("compared", title, f"steady speed, {speed}", distance, series, ((), ()))


def _point(point: BandPoint, units: str) -> tuple[float, float]:
    return show.to_shown("speed", point.kmh, units), show.to_shown("distance", point.likely_km, units)
