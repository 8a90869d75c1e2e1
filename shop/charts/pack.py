"""The pack's voltage under load, full to nearly empty."""

from __future__ import annotations

from quoting import show
from quoting.result import PackFigures, SagPoint
from shop.charts.drawing import LineChart, Series, line_chart


def voltage_chart(pack: PackFigures) -> LineChart | None:
    """Loaded voltage by state of charge for each load, with the cells' empty voltage; None when not worked out."""
    loads = list(dict.fromkeys(point.load for point in pack.sag))
    series = [
        Series("rested", _points(pack, loads[0], "open_v") if loads else (), "second"),
        *(
            Series(load, _points(pack, load, "loaded_v"), "first", "5 4" if index else "")
            for index, load in enumerate(loads)
        ),
    ]
    series = [line for line in series if len(line.points) > 1]
    if not series:
        return None
    if pack.empty_v is not None:
        span = [x for line in series for x, _ in line.points]
        series.append(Series("empty", ((max(span), pack.empty_v), (min(span), pack.empty_v)), "limit", "2 3"))
    rows = tuple(
        (
            show.show_percent(point.soc),
            point.load,
            show.show_watts(point.power_w),
            show.show_volts(point.open_v),
            "cannot give it" if point.loaded_v is None else show.show_volts(point.loaded_v),
            show.show_amps(point.current_a),
        )
        for point in pack.sag
    )
    heads = ("Charge", "Load", "Power", "Rested", "Loaded", "Current")
    title = f"Pack voltage under load: {_lowest(pack.sag)}"
    return line_chart("voltage", title, "state of charge, %", "V", series, (heads, rows), from_zero=False, x_falls=True)


def _points(pack: PackFigures, load: str, field: str) -> tuple[tuple[float, float], ...]:
    """(charge in per cent, volts) of one load, fullest first; points the pack cannot give are left out."""
    chosen = sorted((point for point in pack.sag if point.load == load), key=lambda point: -point.soc)
    return tuple((point.soc * 100, getattr(point, field)) for point in chosen if getattr(point, field) is not None)


def _lowest(sag: tuple[SagPoint, ...]) -> str:
    lost = next((point for point in sag if point.loaded_v is None), None)
    if lost is not None:
        return f"at {show.show_percent(lost.soc)} charge it cannot give {show.show_watts(lost.power_w)}."
    worst = min(sag, key=lambda point: point.loaded_v or 0.0)
    return f"lowest {show.show_volts(worst.loaded_v)}, {worst.load} load at {show.show_percent(worst.soc)} charge."
