"""The kinds of component, in the order a bike is built up, and how a spec becomes a part."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from quoting.errors import FieldProblem, SpecError, UnitError
from quoting.parts.chassis import Adapter, Bodywork, Brake, Hardware, Tire, Wheel
from quoting.parts.drive import Controller, Display, FinalDrive, Motor, Throttle
from quoting.parts.fields import Part, SpecField, spec_fields
from quoting.parts.grid import read_grid
from quoting.parts.power_path import Cable, Connector, Contactor, Fuse, Lamp, Precharge, Switch
from quoting.parts.storage import Bms, Cell, Charger, Dcdc, Enclosure, Module
from quoting.units import parse_quantity

YES = frozenset({"yes", "y", "true", "1"})
NO = frozenset({"no", "n", "false", "0"})


@dataclass(frozen=True)
class Kind:
    """A kind of component: its code, the word on screen, the dataclass of its spec, how it is counted."""

    code: str
    label: str
    part_type: type[Part]
    unit: str = "piece"
    several: bool = False


KINDS: Mapping[str, Kind] = MappingProxyType(
    {
        kind.code: kind
        for kind in (
            Kind("motor", "Motor", Motor),
            Kind("controller", "Controller", Controller),
            Kind("cell", "Cells", Cell),
            Kind("module", "Battery modules", Module),
            Kind("bms", "Battery management", Bms),
            Kind("charger", "Charger", Charger),
            Kind("dcdc", "DC-DC converter", Dcdc),
            Kind("enclosure", "Pack box", Enclosure, several=True),
            Kind("contactor", "Contactor", Contactor),
            Kind("fuse", "Main fuse", Fuse),
            Kind("precharge", "Pre-charge", Precharge),
            Kind("cable", "Cable", Cable, unit="m", several=True),
            Kind("connector", "Connectors", Connector, several=True),
            Kind("throttle", "Throttle", Throttle),
            Kind("display", "Display", Display),
            Kind("switch", "Switches", Switch, several=True),
            Kind("final_drive", "Final drive", FinalDrive),
            Kind("adapter", "Adapters", Adapter, several=True),
            Kind("wheel", "Wheels", Wheel, several=True),
            Kind("tire", "Tires", Tire, several=True),
            Kind("brake", "Brakes", Brake, several=True),
            Kind("lamp", "Lamps and loads", Lamp, several=True),
            Kind("bodywork", "Body work", Bodywork, several=True),
            Kind("hardware", "Hardware", Hardware, several=True),
        )
    }
)


def part_from_spec(kind: str, spec: Mapping[str, object]) -> Part:
    """Make a typed part of a spec.

    Parameters: `kind` a code in KINDS; `spec` field name to value, numbers in the field's unit or text with a
    unit ("72 V", "4 AWG", "30 lb"); None or "" means not known.
    Raises: SpecError with every field that is wrong and the remedy.
    """
    if kind not in KINDS:
        raise SpecError(
            (FieldProblem("kind", f"'{kind}' is not a kind of component.", f"Use one of {', '.join(KINDS)}."),)
        )
    part_type = KINDS[kind].part_type
    fields = {field.name: field for field in spec_fields(part_type)}
    problems: list[FieldProblem] = []
    values: dict[str, object] = {}
    for name, raw in spec.items():
        if name not in fields:
            problems.append(FieldProblem(name, "is not a field of this kind.", f"Use one of {', '.join(fields)}."))
            continue
        try:
            values[name] = read_value(fields[name], raw)
        except SpecError as error:
            problems.extend(error.problems)
    if problems:
        raise SpecError(tuple(problems))
    return part_type(**values)  # type: ignore[arg-type]


def read_value(field: SpecField, raw: object) -> object:
    """One raw value (number, text, bool, list) as the field's type, or None when empty. Raises SpecError."""
    if raw is None or raw == "":
        return None
    match field.category:
        case "yes_no":
            return _yes_no(field, raw)
        case "number" | "whole":
            return _number(field, raw)
        case "list":
            return _listed(field, raw)
        case "grid":
            return read_grid(str(raw), field.name).text
        case _:
            return _chosen(field, str(raw).strip())


def _refuse(field: SpecField, problem: str, remedy: str) -> SpecError:
    return SpecError((FieldProblem(field.name, problem, remedy),))


def _yes_no(field: SpecField, raw: object) -> bool:
    word = str(raw).strip().lower()
    if word in YES or word in NO:
        return word in YES
    raise _refuse(field, f"'{raw}' is neither yes nor no.", "Write yes or no, or leave it empty if not known.")


def _number(field: SpecField, raw: object) -> float | int:
    try:
        value = parse_quantity(str(raw), field.unit)
    except UnitError as error:
        raise _refuse(field, f"{error}", f"Write a number in {field.unit or 'plain figures'}.") from error
    if field.low is not None and value < field.low:
        raise _refuse(field, f"{value:g} {field.unit} is below {field.low:g}.", "Check the figure and its unit.")
    if field.high is not None and value > field.high:
        raise _refuse(field, f"{value:g} {field.unit} is above {field.high:g}.", "Check the figure and its unit.")
    if field.category == "whole":
        if value != int(value):
            raise _refuse(field, f"{value:g} is not a whole number.", "Write a whole number.")
        return int(value)
    return value


def _listed(field: SpecField, raw: object) -> tuple[str, ...]:
    words = raw if isinstance(raw, (list, tuple)) else str(raw).replace(";", ",").split(",")
    return tuple(_chosen(field, str(word).strip()) for word in words if str(word).strip())


def _chosen(field: SpecField, word: str) -> str:
    if field.choices and word not in field.choices:
        raise _refuse(field, f"'{word}' is not known here.", f"Use one of {', '.join(field.choices)}.")
    return word
