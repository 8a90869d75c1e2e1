"""The donor bike as the engine sees it. None means not known, never zero."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Bay:
    """A box-shaped space in the frame. Sizes [mm] inside, `x_m` its center behind the front axle [m]."""

    name: str
    length_mm: float
    width_mm: float
    height_mm: float
    x_m: float | None = None


@dataclass(frozen=True, kw_only=True)
class Donor:
    """One donor bike: its family's figures, overridden by what was measured on this bike.

    Masses [kg]; `kerb_kg` before conversion with fluids; `removed_kg` engine, exhaust, tank, fuel and the rest that
    leaves, with its center `removed_x_m` [m] behind the front axle. `front_share` of kerb mass on the front axle
    [0..1]. `gvwr_kg`, `gawr_front_kg`, `gawr_rear_kg` from the plate. `cda_m2` drag area with rider [m2], `crr` rolling
    resistance coefficient [-]. `frame_kind` cradle or stressed. `engine_kw` the petrol engine's power [kW].
    """

    family: str
    label: str
    year: int | None = None
    vin: str | None = None
    market: str | None = None
    kerb_kg: float | None = None
    removed_kg: float | None = None
    removed_x_m: float | None = None
    wheelbase_m: float | None = None
    cg_height_m: float | None = None
    front_share: float | None = None
    gvwr_kg: float | None = None
    gawr_front_kg: float | None = None
    gawr_rear_kg: float | None = None
    cda_m2: float | None = None
    crr: float | None = None
    frame_kind: str | None = None
    engine_kw: float | None = None
    system_v: float | None = None
    front_tire: str | None = None
    rear_tire: str | None = None
    rear_rim_inch: float | None = None
    dropout_mm: float | None = None
    axle_mm: float | None = None
    brake_side: str | None = None
    front_brake: str | None = None
    rear_brake: str | None = None
    brake_rated_kg: float | None = None
    chain_pitch: str | None = None
    title_seen: bool | None = None
    stolen_check_done: bool | None = None
    bays: tuple[Bay, ...] = ()
