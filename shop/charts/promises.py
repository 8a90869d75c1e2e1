"""Windows kept and missed, and how often each level was kept, as bars."""

from __future__ import annotations

from collections.abc import Sequence

from quoting.odds import LevelRate
from shop.charts.drawing import WIDTH, Bar, BarChart, BarGroup
from shop.charts.scale import Scale
from shop.selectors.promise_log import Tally

BAR, GAP, HEAD = 16, 4, 20  # as in the axle chart
LEFT, RIGHT = 52, 66


def promise_chart(tallies: Sequence[Tally]) -> BarChart | None:
    """Kept and missed of each tally; None while no build is finished."""
    known = [each for each in tallies if each.windows]
    if not known:
        return None
    across = Scale(0.0, max(each.windows for each in known), LEFT, WIDTH - RIGHT)
    groups = []
    y = 0.0
    for tally in known:
        bars = tuple(
            Bar(word, y + HEAD + index * (BAR + GAP), round(across.at(count) - across.start, 1), str(count))
            for index, (word, count) in enumerate((("missed", tally.missed), ("kept", tally.kept)))
        )
        groups.append(BarGroup(tally.label, y + HEAD - 6, bars, None, f"of {tally.windows}", 0.0, 0.0))
        y += HEAD + len(bars) * (BAR + GAP) + 8
    said = "; ".join(f"{each.label.lower()}: {each.kept} of {each.windows} kept" for each in known)
    rows = tuple((each.label, str(each.windows), str(each.kept), str(each.missed)) for each in known)
    heads = ("Window", "Finished builds", "Kept", "Missed")
    return BarChart(
        "promises", f"Windows kept by their last day: {said}.", tuple(groups), heads, rows, round(y), left=LEFT
    )


def rate_chart(rates: Sequence[LevelRate]) -> BarChart | None:
    """The share that was kept at each level beside the share that was to be; None while no promise has come due."""
    known = [each for each in rates if each.count]
    if not known:
        return None
    across = Scale(0.0, 100.0, LEFT, WIDTH - RIGHT)
    groups = []
    y = 0.0
    for rate in known:
        kept = 100 * rate.kept / rate.count
        shares = (("meant", float(rate.level)), ("kept", kept))
        bars = tuple(
            Bar(word, y + HEAD + index * (BAR + GAP), round(across.at(share) - across.start, 1), f"{share:.0f} %")
            for index, (word, share) in enumerate(shares)
        )
        label = f"Promised at {rate.level} %"
        groups.append(BarGroup(label, y + HEAD - 6, bars, None, f"{rate.kept} of {rate.count}", 0.0, 0.0))
        y += HEAD + len(bars) * (BAR + GAP) + 8
    rows = tuple(
        (f"{rate.level} %", str(rate.count), str(rate.kept), f"{100 * rate.kept / rate.count:.0f} %", f"{rate.use:g} %")
        for rate in known
    )
    heads = ("Level", "Promises", "Kept", "Share kept", "Level used now")
    said = " ".join(rate.text for rate in known)
    return BarChart("rates", said, tuple(groups), heads, rows, round(y), left=LEFT)
