"""Range against steady speed with its band, and wheel power needed against what there is."""

from __future__ import annotations

from quoting import show
from quoting.result import BandPoint, RideFigures
from shop.charts.drawing import LineChart, Series, line_chart

TABLE_STEPS = 8  # rows of the table beside a drawing of fifty points


def range_chart(ride: RideFigures, units: str) -> LineChart | None:
    """How far at which steady speed; None when the ride was not worked out."""
    if len(ride.band) < 2:
        return None
    speed, distance = show.unit_symbol("speed", units), show.unit_symbol("distance", units)

    def points(field: str) -> tuple[tuple[float, float], ...]:
        return tuple(
            (
                show.to_shown("speed", point.kmh, units),
                show.to_shown("distance", getattr(point, field), units),
            )
            for point in ride.band
        )

    first, last = ride.band[0], ride.band[-1]
    title = (
        f"Range against steady speed: {_span(first, units)} at {show.show_speed(first.kmh, units)}, "
        f"{_span(last, units)} at {show.show_speed(last.kmh, units)}."
    )
    rows = tuple(
        (
            show.show_speed(point.kmh, units),
            show.show_distance(point.low_km, units),
            show.show_distance(point.likely_km, units),
            show.show_distance(point.high_km, units),
        )
        for point in _some(ride.band)
    )
    return line_chart(
        "range",
        title,
        f"steady speed, {speed}",
        distance,
        (Series("likely", points("likely_km")),),
        (("Steady speed", "Low", "Likely", "High"), rows),
        band=(points("high_km"), points("low_km")),
    )


def power_chart(ride: RideFigures, units: str) -> LineChart | None:
    """Wheel power needed at a steady speed on the level, and what motor and pack give, briefly and held."""
    if len(ride.band) < 2:
        return None
    speed, power = show.unit_symbol("speed", units), show.unit_symbol("power", units)

    def points(field: str) -> tuple[tuple[float, float], ...]:
        return tuple(
            (show.to_shown("speed", point.kmh, units), show.to_shown("power", getattr(point, field), units))
            for point in ride.band
        )

    title = (
        f"Wheel power against speed: {show.show_power(ride.band[-1].wheel_need_w, units)} needed at "
        f"{show.show_speed(ride.band[-1].kmh, units)}, {show.show_power(ride.band[-1].wheel_held_w, units)} held and "
        f"{show.show_power(ride.band[-1].wheel_peak_w, units)} at most."
    )
    rows = tuple(
        (
            show.show_speed(point.kmh, units),
            show.show_power(point.wheel_need_w, units),
            show.show_power(point.wheel_held_w, units),
            show.show_power(point.wheel_peak_w, units),
        )
        for point in _some(ride.band)
    )
    return line_chart(
        "power",
        title,
        f"steady speed, {speed}",
        power,
        (
            Series("needed", points("wheel_need_w")),
            Series("held", points("wheel_held_w"), "second"),
            Series("at most", points("wheel_peak_w"), "second", "5 4"),
        ),
        (("Steady speed", "Needed", "Held", "At most"), rows),
    )


def _span(point: BandPoint, units: str) -> str:
    low = show.number(show.to_shown("distance", point.low_km, units))
    return f"{low} to {show.show_distance(point.high_km, units)}"


def _some(band: tuple[BandPoint, ...]) -> tuple[BandPoint, ...]:
    """Evenly chosen points, the first and the last among them."""
    count = min(TABLE_STEPS, len(band))
    return tuple(band[round(index * (len(band) - 1) / (count - 1))] for index in range(count))
