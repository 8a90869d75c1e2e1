"""What each axle carries, before, after and laden, against its rating on the plate."""

from __future__ import annotations

from quoting import show
from quoting.request import Donor
from quoting.result import WeightFigures
from shop.charts.drawing import WIDTH, Bar, BarChart, BarGroup
from shop.charts.scale import Scale

BAR, GAP, HEAD = 16, 4, 20  # height of a bar, space after it, room for a group's words
LEFT, RIGHT = 52, 66  # room for the bars' words and their figures
WHEN = ("before", "after", "laden")


def axle_chart(weight: WeightFigures, donor: Donor | None, units: str) -> BarChart | None:
    """Front, rear and whole bike; None when the axles were not worked out."""
    wholes = (weight.before_kg, weight.after_kg, weight.laden_kg)
    axles = (
        ("Front axle", (weight.front_before_kg, weight.front_after_kg, weight.front_laden_kg), "gawr_front_kg"),
        ("Rear axle", (weight.rear_before_kg, weight.rear_after_kg, weight.rear_laden_kg), "gawr_rear_kg"),
        ("Whole bike", wholes, "gvwr_kg"),
    )
    known = [(label, masses, getattr(donor, rating, None)) for label, masses, rating in axles if masses[1] is not None]
    if not known:
        return None
    heaviest = max(mass for _, masses, rating in known for mass in (*masses, rating) if mass is not None)
    across = Scale(0.0, heaviest, LEFT, WIDTH - RIGHT)
    groups: list[BarGroup] = []
    y = 0.0
    for label, masses, rating in known:
        groups.append(_group(label, masses, rating, across, y, units))
        y += HEAD + len(groups[-1].bars) * (BAR + GAP) + 8
    rows = tuple(
        (label, *(show.show_mass(mass, units) for mass in masses), show.show_mass(rating, units))
        for label, masses, rating in known
    )
    title = "Loads: " + "; ".join(_words(row) for row in rows) + "."
    heads = ("Where", "Before", "After", "Laden", "Plate")
    return BarChart("axles", title, tuple(groups), heads, rows, height=round(y), left=LEFT)


def _group(
    label: str, masses: tuple[float | None, ...], rating: float | None, across: Scale, y: float, units: str
) -> BarGroup:
    bars: list[Bar] = []
    for word, mass in zip(WHEN, masses, strict=True):
        if mass is not None:
            top = y + HEAD + len(bars) * (BAR + GAP)
            bars.append(Bar(word, top, round(across.at(mass) - across.start, 1), show.show_mass(mass, units)))
    words = f"plate {show.show_mass(rating, units)}" if rating is not None else "plate not known"
    return BarGroup(
        label=label,
        y=y + HEAD - 6,
        bars=tuple(bars),
        limit_x=None if rating is None else across.at(rating),
        limit_words=words,
        limit_top=y + HEAD - 3,
        limit_bottom=y + HEAD + len(bars) * (BAR + GAP) - GAP + 3,
    )


def _words(row: tuple[str, ...]) -> str:
    where, before, after, laden, plate = row
    return f"{where.lower()} {before} before, {after} after, {laden} laden, plate {plate}"
