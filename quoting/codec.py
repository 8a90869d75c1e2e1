"""Requests and results to JSON and back, and their JSON Schema. Both are made from the dataclasses' own types.

Decimals and dates travel as text, so no amount passes through a float.
"""

from __future__ import annotations

import dataclasses
import types
import typing
from collections.abc import Callable, Mapping
from datetime import date, datetime, time
from decimal import Decimal, InvalidOperation
from functools import cache
from typing import Any, TypeVar

from quoting.errors import FieldProblem, RequestError

T = TypeVar("T")
TEXT_TYPES = (Decimal, datetime, date, time)
FORMATS: Mapping[type, tuple[str, str]] = {
    datetime: ("date-time", "Write it as 2026-11-25T09:30:00+00:00, with its offset."),
    date: ("date", "Write it as 2026-11-25."),
    time: ("time", "Write it as 09:30:00."),
    Decimal: ("decimal", 'Write it as text, such as "12.50".'),
}
PLAIN: Mapping[type, tuple[Callable[[object], bool], str]] = {
    float: (lambda data: isinstance(data, (int, float)) and not isinstance(data, bool), "a number"),
    int: (lambda data: isinstance(data, int) and not isinstance(data, bool), "a whole number"),
    bool: (lambda data: isinstance(data, bool), "true or false"),
    str: (lambda data: isinstance(data, str), "text"),
}
DECIMAL_PATTERN = r"^-?\d+(\.\d+)?([eE][+-]?\d+)?$"


def to_json(value: object) -> Any:
    """A dataclass (or any value in one) as JSON-ready dicts, lists, text, numbers. Raises TypeError for other types."""
    if value is None or isinstance(value, (str, bool, int, float)):
        return value
    if isinstance(value, Decimal):
        return str(value)
    if isinstance(value, (datetime, date, time)):
        return value.isoformat()
    if isinstance(value, (tuple, list)):
        return [to_json(item) for item in value]
    if isinstance(value, Mapping):
        return {str(key): to_json(item) for key, item in value.items()}
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {name: to_json(getattr(value, name)) for name in _hints(type(value))}
    raise TypeError(f"{type(value).__name__} has no JSON form")


def from_json(cls: type[T], data: object, where: str = "") -> T:
    """The dataclass `cls` out of its JSON form.

    Raises: RequestError naming every field that is missing, unknown or of the wrong kind, with the remedy.
    """
    problems: list[FieldProblem] = []
    made = _read(cls, data, where, problems)
    if problems:
        raise RequestError(tuple(problems))
    return typing.cast("T", made)


@cache
def _cached_hints(cls: Any) -> dict[str, Any]:
    return typing.get_type_hints(cls)


def _hints(cls: type) -> dict[str, Any]:
    return _cached_hints(cls)


def _read(kind: Any, data: object, where: str, problems: list[FieldProblem]) -> object:
    origin, arms = typing.get_origin(kind), typing.get_args(kind)
    if origin in (types.UnionType, typing.Union):
        if data is None:
            return None
        return _read(next(arm for arm in arms if arm is not types.NoneType), data, where, problems)
    if dataclasses.is_dataclass(kind):
        return _read_dataclass(typing.cast("type", kind), data, where, problems)
    if origin is tuple:
        return _read_tuple(arms, data, where, problems)
    if origin is Mapping or kind is Mapping:
        return _expect(isinstance(data, Mapping), data, where, "an object", problems)
    if kind in TEXT_TYPES:
        return _read_text(kind, data, where, problems)
    if kind in PLAIN:
        fits, wanted = PLAIN[kind]
        return _expect(fits(data), data, where, wanted, problems)
    return data


def _expect(fits: bool, data: object, where: str, wanted: str, problems: list[FieldProblem]) -> object:
    if not fits:
        problems.append(FieldProblem(where or "request", f"is {_short(data)}.", f"Give {wanted}."))
    return data


def _short(data: object) -> str:
    text = repr(data)
    return text if len(text) <= 40 else f"{text[:37]}..."


def _read_text(kind: Any, data: object, where: str, problems: list[FieldProblem]) -> object:
    name, remedy = FORMATS[kind]
    try:
        if kind is Decimal:
            if isinstance(data, (bool, float)) or not isinstance(data, (str, int)):
                raise ValueError("not text")
            number = Decimal(data)
            if not number.is_finite():
                raise ValueError("not finite")
            return number
        moment = kind.fromisoformat(typing.cast("str", data))
        if kind is datetime and moment.tzinfo is None:
            raise ValueError("no offset")
        return moment
    except (ValueError, TypeError, InvalidOperation):
        problems.append(FieldProblem(where, f"{_short(data)} is not a {name}.", remedy))
        return None


def _read_tuple(arms: tuple[Any, ...], data: object, where: str, problems: list[FieldProblem]) -> object:
    if not isinstance(data, (list, tuple)):
        return _expect(False, data, where, "a list", problems)
    if len(arms) == 2 and arms[1] is Ellipsis:
        return tuple(_read(arms[0], item, f"{where}.{n}", problems) for n, item in enumerate(data, start=1))
    if len(data) != len(arms):
        return _expect(False, data, where, f"a list of {len(arms)}", problems)
    pairs = zip(arms, data, strict=True)
    return tuple(_read(arm, item, f"{where}.{n}", problems) for n, (arm, item) in enumerate(pairs, start=1))


def _read_dataclass(cls: Any, data: object, where: str, problems: list[FieldProblem]) -> object:
    if not isinstance(data, Mapping):
        return _expect(False, data, where, "an object", problems)
    before = len(problems)
    hints = _hints(cls)
    dot = f"{where}." if where else ""
    known = ", ".join(hints)
    unknown = [name for name in data if name not in hints]
    problems.extend(FieldProblem(f"{dot}{name}", "is not known here.", f"Use one of {known}.") for name in unknown)
    values = {}
    for field in dataclasses.fields(cls):
        if field.name in data:
            values[field.name] = _read(hints[field.name], data[field.name], f"{dot}{field.name}", problems)
        elif field.default is dataclasses.MISSING and field.default_factory is dataclasses.MISSING:
            problems.append(FieldProblem(f"{dot}{field.name}", "is missing.", "Add it."))
    return cls(**values) if len(problems) == before else None


def json_schema(*roots: type) -> dict[str, Any]:
    """JSON Schema (draft 2020-12) whose `$defs` hold every dataclass reachable from `roots`, each under its name."""
    definitions: dict[str, Any] = {}
    for root in roots:
        _define(root, definitions)
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$defs": definitions,
        "anyOf": [{"$ref": f"#/$defs/{root.__name__}"} for root in roots],
    }


def _define(cls: Any, definitions: dict[str, Any]) -> None:
    if cls.__name__ in definitions:
        return
    described: dict[str, Any] = {"type": "object", "description": (cls.__doc__ or "").strip()}
    definitions[cls.__name__] = described
    described["properties"] = {name: _schema(kind, definitions) for name, kind in _hints(cls).items()}
    described["required"] = [
        field.name
        for field in dataclasses.fields(cls)
        if field.default is dataclasses.MISSING and field.default_factory is dataclasses.MISSING
    ]
    described["additionalProperties"] = False


def _schema(kind: Any, definitions: dict[str, Any]) -> dict[str, Any]:
    origin, arms = typing.get_origin(kind), typing.get_args(kind)
    if origin in (types.UnionType, typing.Union):
        inner = next(arm for arm in arms if arm is not types.NoneType)
        return {"anyOf": [_schema(inner, definitions), {"type": "null"}]}
    if dataclasses.is_dataclass(kind):
        _define(kind, definitions)
        return {"$ref": f"#/$defs/{typing.cast('type', kind).__name__}"}
    if origin is tuple and arms[-1] is Ellipsis:
        return {"type": "array", "items": _schema(arms[0], definitions)}
    if origin is tuple:
        prefix = [_schema(arm, definitions) for arm in arms]
        return {"type": "array", "prefixItems": prefix, "items": False, "minItems": len(arms), "maxItems": len(arms)}
    if kind is Decimal:
        return {"type": ["string", "integer"], "pattern": DECIMAL_PATTERN}
    if kind in TEXT_TYPES:
        return {"type": "string", "format": FORMATS[kind][0]}
    names = {float: "number", int: "integer", bool: "boolean", str: "string"}
    return {"type": names.get(kind, "object")}
