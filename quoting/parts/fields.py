"""What a spec field is: unit, limits, help. Forms, import columns and docs are made from this."""

from __future__ import annotations

import dataclasses
import types
import typing
from dataclasses import dataclass

CATEGORY_CHOICES = ("number", "whole", "yes_no", "choice", "text", "list", "grid")


@dataclass(frozen=True)
class SpecField:
    """One field of a part's spec.

    `category` is one of CATEGORY_CHOICES; a grid is rows of text (see `quoting.parts.grid`). `unit` is the unit the
    value is stored in ("" where there is none). `low` and `high` are inclusive limits in that unit.
    """

    name: str
    label: str
    category: str
    unit: str
    low: float | None
    high: float | None
    choices: tuple[str, ...]
    help: str


def spec(
    label: str,
    unit: str = "",
    *,
    low: float | None = None,
    high: float | None = None,
    choices: tuple[str, ...] = (),
    grid: bool = False,
    help: str = "",
) -> typing.Any:
    """A dataclass field that carries its label, unit, limits and help. The default is None: not known."""
    return dataclasses.field(
        default=None,
        metadata={
            "label": label,
            "unit": unit,
            "low": low,
            "high": high,
            "choices": choices,
            "grid": grid,
            "help": help,
        },
    )


@dataclass(frozen=True, kw_only=True)
class Part:
    """What every component has. None always means "not known", never zero and never "no"."""

    mass_kg: float | None = spec("Mass", "kg", low=0, high=500, help="One piece, with its bracket.")
    length_mm: float | None = spec("Length", "mm", low=0, high=3000, help="Outside length of the box.")
    width_mm: float | None = spec("Width", "mm", low=0, high=2000, help="Outside width of the box.")
    height_mm: float | None = spec("Height", "mm", low=0, high=2000, help="Outside height of the box.")


def _category(annotation: object, choices: tuple[str, ...], grid: bool) -> str:
    if grid:
        return "grid"
    options = [arm for arm in typing.get_args(annotation) if arm is not types.NoneType]
    inner = options[0]
    if inner is bool:
        return "yes_no"
    if inner is int:
        return "whole"
    if inner is float:
        return "number"
    if typing.get_origin(inner) is tuple:
        return "list"
    return "choice" if choices else "text"


def spec_fields(part_type: type[Part]) -> tuple[SpecField, ...]:
    """The spec fields of a part type, own fields first, the box and the mass last."""
    if part_type not in _FIELDS:
        _FIELDS[part_type] = _read_fields(part_type)
    return _FIELDS[part_type]


_FIELDS: dict[type[Part], tuple[SpecField, ...]] = {}


def _read_fields(part_type: type[Part]) -> tuple[SpecField, ...]:
    hints = typing.get_type_hints(part_type)
    found = [
        SpecField(
            name=item.name,
            label=item.metadata["label"],
            category=_category(hints[item.name], item.metadata["choices"], item.metadata["grid"]),
            unit=item.metadata["unit"],
            low=item.metadata["low"],
            high=item.metadata["high"],
            choices=item.metadata["choices"],
            help=item.metadata["help"],
        )
        for item in dataclasses.fields(part_type)
    ]
    shared = {item.name for item in dataclasses.fields(Part)}
    return tuple(sorted(found, key=lambda item: item.name in shared))
