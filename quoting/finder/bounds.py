"""Figures of every set in the table at once: what it costs and weighs, and what it reaches at the very best.

Prices are sums of what each choice adds to the sheet, right to within `slack`. Range and speeds are worked out by the
engine's own functions once for each drive and pack, at the lightest mass and with nothing in the pack's path holding
the current back: a set never reaches more. The exact figures come from the engine when a set is looked at.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from quoting.charging import charge_figures
from quoting.finder.bench import Bench, Chosen
from quoting.finder.grow import Grown
from quoting.finder.scopes import PACK, PARALLEL, SERIES, STORE
from quoting.finder.tables import Column, Rows, count, distinct
from quoting.finder.wished import AT_LEAST, RANGES, wished
from quoting.finder.worth import NEVER, Ready, Worth
from quoting.pack.build import ASSUMED_BOX_SHARE
from quoting.promise import PlannedShop, insert
from quoting.result import WeightFigures
from quoting.ride.bike import Bike, bike_of
from quoting.ride.efficiency import DriveLine
from quoting.ride.energy import Case, use_wh_per_km
from quoting.ride.figures import CLIMB_KMH, profile_course
from quoting.ride.limits import held_limits, peak_limits
from quoting.ride.ranges import likely_case, what_stops
from quoting.ride.road_load import FloatArray
from quoting.ride.routes import profiles
from quoting.ride.speed import climb_grade_percent, highest_speed
from quoting.setup import Setup
from quoting.weight import weight_figures

DRAWING_KINDS = frozenset({"motor", "controller", "bms"})
RIDING_KINDS = frozenset({"motor", "controller", "final_drive", "tire", "bms"})
CHARGING_KINDS = frozenset({"charger", "bms"})
Mask = npt.NDArray[np.bool_]
_ByDrive = dict[DriveLine, list[tuple[int, Case]]]
AT_ONCE = 8  # cores whose seconds on the road fit the processor's cache: half the time of all at once
OUT_OF_REACH = -1.0  # range on a profile that cannot be held at best: under any wish


@dataclass(frozen=True)
class Bounds:
    """Per row: `price` due [currency] within `slack`, `mass_kg` converted and empty [kg], `core` number of its drive
    and pack, `best` by wish what it reaches at best, `worst_km` least range of the profiles and `held_kmh` at best,
    `finish` earliest last day of the window [ordinal day]. `known` False where range or speed cannot be worked out.
    """

    price: FloatArray
    mass_kg: FloatArray
    core: Column
    best: Mapping[str, FloatArray]
    worst_km: FloatArray
    held_kmh: FloatArray
    finish: Column
    known: Mask
    slack: float


def bounds_of(bench: Bench, worth: Worth, planned: PlannedShop, grown: Grown, wishes: tuple[str, ...]) -> Bounds:
    """Bounds of every row. Parameters: `wishes` names of the wishes made, whose figures are worked out."""
    rows = grown.rows
    price = np.full(count(rows), worth.base_price)
    mass = np.full(count(rows), worth.base_kg)
    for slot in bench.slots:
        price += worth.price[slot.name][rows[slot.name]]
        mass += worth.mass_kg[slot.name][rows[slot.name]]
    cells = rows[SERIES] * rows[PARALLEL]
    for store, tiers in enumerate(worth.tiers):
        price += np.where(rows[STORE] == store, tiers.price(cells), 0.0)
    mass += cells * worth.cell_kg[rows[STORE]] * _box_factor(bench, rows)
    donor = bench.kept.donor
    mass += (donor.kerb_kg or 0.0) - (donor.removed_kg or 0.0) if donor else 0.0
    riding = _columns(bench, rows, RIDING_KINDS)
    firsts, core = distinct(_by_tire_size(bench, rows), riding)
    lightest = np.full(len(firsts), np.inf)
    np.minimum.at(lightest, core, mass)
    ride = _ride(bench, grown, riding, firsts, lightest, wishes)
    finish = _finish(bench, worth, planned, rows)
    best = {name: ride[name][core] for name in AT_LEAST}
    best["budget"] = price - worth.slack
    best["need_by_days"] = (finish - bench.question.request.day.toordinal()).astype(np.float64)
    if "overnight_h" in wishes:
        best["overnight_h"] = _full_h(bench, rows)
    return Bounds(
        price=price,
        mass_kg=mass,
        core=core,
        best=best,
        worst_km=ride["worst_km"][core],
        held_kmh=best["held_kmh"],
        finish=finish,
        slack=worth.slack,
        known=np.isfinite(ride["worst_km"][core]) & np.isfinite(best["held_kmh"]),
    )


def _columns(bench: Bench, rows: Rows, kinds: frozenset[str]) -> list[str]:
    return [*(slot.name for slot in bench.slots if slot.kinds & kinds), *PACK]


def _by_tire_size(bench: Bench, rows: Rows) -> Rows:
    """The rows with tires of one marking taken as one: the road knows no more of a tire."""
    donor = bench.kept.donor
    own = donor.rear_tire if donor else None
    merged = dict(rows)
    for slot in bench.slots:
        if "tire" in slot.kinds:
            sizes = [str(choice.lines[0].spec.get("marking")) if choice.lines else str(own) for choice in slot.choices]
            merged[slot.name] = np.array([sizes.index(size) for size in sizes])[rows[slot.name]]
    return merged


def _box_factor(bench: Bench, rows: Rows) -> FloatArray:
    """1 where a pack box is on the set, else the share the engine assumes for it on top of the cells [rows]."""
    factor = np.full(count(rows), 1.0 + ASSUMED_BOX_SHARE)
    if any(item.line.kind == "enclosure" for item in bench.kept.fitted):
        factor[:] = 1.0
    for slot in bench.slots:
        if "enclosure" in slot.kinds:
            boxed = np.array([any(line.kind == "enclosure" for line in choice.lines) for choice in slot.choices])
            factor[boxed[rows[slot.name]]] = 1.0
    return factor


def _chosen(rows: Rows, names: list[str], row: int) -> Chosen:
    return {name: int(rows[name][row]) for name in names}


def _ride(
    bench: Bench, grown: Grown, names: list[str], firsts: Column, lightest: FloatArray, wishes: tuple[str, ...]
) -> dict[str, FloatArray]:
    """Range on each profile, speeds and grade of each drive and pack at its best [cores]; NaN where not known."""
    found = {name: np.full(len(firsts), np.nan) for name in (*AT_LEAST, "worst_km")}
    riders_kg = _riders_kg(bench)
    drawing = _columns(bench, grown.rows, DRAWING_KINDS)
    by_drive: _ByDrive = {}
    setups: dict[tuple[int, ...], Setup] = {}
    for at, row in enumerate(firsts):
        chosen = _chosen(grown.rows, names, int(row))
        loaded = {name: chosen[name] for name in chosen if name in drawing}
        weight = WeightFigures(laden_kg=float(lightest[at]) + riders_kg)
        fitted = tuple(chosen[name] for name in names if name not in (SERIES, PARALLEL))
        if fitted not in setups:  # a light setup holds parts, not counts
            setups[fitted] = bench.light(chosen)
        bike = bike_of(setups[fitted], grown.cutter.packs.under_load(loaded), weight)
        case = likely_case(bike, bench.kept.policies) if bike else None
        if bike is None or case is None:
            continue
        by_drive.setdefault(bike.drive, []).append((at, case))
        _speeds(bench, bike, case, at, found, wishes)
    order = [trace.code for trace in profiles()]
    for drive, members in _few_at_once(by_drive):
        cores = [at for at, _ in members]
        use = use_wh_per_km(tuple(case for _, case in members), drive, profile_course())
        km = np.array([[case.usable_wh] for _, case in members]) / use
        found["worst_km"][cores] = km.min(axis=1)
        for wish, profile in RANGES.items():
            found[wish][cores] = np.where(found[wish][cores] == OUT_OF_REACH, OUT_OF_REACH, km[:, order.index(profile)])
    return found


def _few_at_once(by_drive: _ByDrive) -> Iterator[tuple[DriveLine, list[tuple[int, Case]]]]:
    for drive, members in by_drive.items():
        for start in range(0, len(members), AT_ONCE):
            yield drive, members[start : start + AT_ONCE]


def _speeds(
    bench: Bench, bike: Bike, case: Case, at: int, found: dict[str, FloatArray], wishes: tuple[str, ...]
) -> None:
    """Held speed, and top speed, grade and whether profiles are held where such a wish was made."""
    held_at, _ = held_limits(bike, bike.low_open_v)
    if held_at is None:
        return
    road = case.road
    held = highest_speed(held_at, bike.drive, road)
    found["held_kmh"][at] = held.kmh
    if "hill_percent" in wishes:
        force_n = float(held.force_at_n(np.array(CLIMB_KMH / 3.6)))
        found["hill_percent"][at] = climb_grade_percent(force_n, road, CLIMB_KMH / 3.6)
    if not set(wishes) & {"top_kmh", *RANGES}:
        return
    peak_at, _ = peak_limits(bike, bike.low_open_v)
    peak = highest_speed(peak_at, bike.drive, road) if peak_at else None
    if peak is not None:
        found["top_kmh"][at] = peak.kmh
    limits = what_stops(case, profile_course(), profiles(), peak, held)
    for trace, limit in zip(profiles(), limits, strict=True):
        for wish, profile in RANGES.items():
            if profile == trace.code and limit and wished(bench.kept.wishes, wish):
                found[wish][at] = OUT_OF_REACH


def _riders_kg(bench: Bench) -> float:
    """Rider, passenger and luggage as the engine counts them [kg]."""
    alone = weight_figures(replace(bench.kept, fitted=()), None)
    if alone is None or alone.laden_kg is None or alone.after_kg is None:
        return 0.0
    return alone.laden_kg - alone.after_kg


def _full_h(bench: Bench, rows: Rows) -> FloatArray:
    """Hours from empty to full from the first outlet the rules look at [rows]; NaN where not known."""
    names = _columns(bench, rows, CHARGING_KINDS)
    firsts, group = distinct(rows, names)
    hours = []
    for row in firsts:
        chosen = _chosen(rows, names, int(row))
        figures = charge_figures(bench.setup(chosen, on_donor=False), bench.pack(chosen))
        hours.append(figures.cases[0].full_h if figures and figures.cases else np.nan)
    return np.array(hours, dtype=np.float64)[group]


def _finish(bench: Bench, worth: Worth, planned: PlannedShop, rows: Rows) -> Column:
    """Last day of the window, by the promise engine once for each distinct set of days parts are here [rows]."""
    table, ready = _ready_columns(bench, worth, rows)
    if not table:
        ready = {"any": np.zeros(count(rows), dtype=np.int64)}
    firsts, group = distinct(ready, list(ready))
    days = []
    for row in firsts:
        promise = insert(planned, bench.option(_chosen(rows, list(rows), int(row))))
        days.append(promise.finish_to.toordinal() if promise.finish_to else NEVER)
    return np.array(days, dtype=np.int64)[group]


def _ready_columns(bench: Bench, worth: Worth, rows: Rows) -> tuple[bool, Rows]:
    """Per step and pace the latest day any part of it is here, as columns."""
    columns: Rows = {}

    def note(ready: tuple[Ready, ...], index: Column) -> None:
        for pace in ("likely", "slow"):
            for step in {step for each in ready for step in getattr(each, pace)}:
                days = np.array([getattr(each, pace).get(step, 0) for each in ready], dtype=np.int64)[index]
                name = f"{pace} {step}"
                columns[name] = np.maximum(columns[name], days) if name in columns else days

    for slot in bench.slots:
        note(worth.ready[slot.name], rows[slot.name])
    for name in _sharing(bench):
        columns[name] = rows[name]
    cells = {STORE: rows[STORE], "cells": rows[SERIES] * rows[PARALLEL]}
    firsts, group = distinct(cells, list(cells))
    note(tuple(worth.store_ready(int(cells[STORE][row]), int(cells["cells"][row])) for row in firsts), group)
    return bool(columns), columns


def _sharing(bench: Bench) -> list[str]:
    """Slots whose parts other slots or kept lines want from the same shelf: their days hang on what else is chosen."""
    codes = {slot.name: {code for choice in slot.choices for code in choice.codes} for slot in bench.slots}
    kept = {item.line.code for item in bench.kept.fitted}
    return [
        name
        for name, own in codes.items()
        if own & kept or any(own & others for other, others in codes.items() if other != name)
    ]
