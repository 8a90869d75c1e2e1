"""Components as typed data: one frozen dataclass per kind, with units, limits and help."""

from __future__ import annotations

from quoting.parts.chassis import Adapter, Bodywork, Brake, Hardware, Tire, Wheel
from quoting.parts.drive import Controller, Display, FinalDrive, Motor, Throttle
from quoting.parts.fields import Part, SpecField, spec_fields
from quoting.parts.grid import EfficiencyGrid, read_grid
from quoting.parts.kinds import KINDS, Kind, part_from_spec, read_value
from quoting.parts.power_path import Cable, Connector, Contactor, Fuse, Lamp, Precharge, Switch
from quoting.parts.speeds import RAD_S_PER_RPM, corner_speed_rad_s, rated_speed_rad_s, top_speed_rad_s
from quoting.parts.storage import Bms, Cell, Charger, Dcdc, Enclosure, Module
from quoting.parts.words import CHEMISTRIES

__all__ = [
    "CHEMISTRIES",
    "KINDS",
    "RAD_S_PER_RPM",
    "Adapter",
    "Bms",
    "Bodywork",
    "Brake",
    "Cable",
    "Cell",
    "Charger",
    "Connector",
    "Contactor",
    "Controller",
    "Dcdc",
    "Display",
    "EfficiencyGrid",
    "Enclosure",
    "FinalDrive",
    "Fuse",
    "Hardware",
    "Kind",
    "Lamp",
    "Module",
    "Motor",
    "Part",
    "Precharge",
    "SpecField",
    "Switch",
    "Throttle",
    "Tire",
    "Wheel",
    "corner_speed_rad_s",
    "part_from_spec",
    "rated_speed_rad_s",
    "read_grid",
    "read_value",
    "spec_fields",
    "top_speed_rad_s",
]
