"""One option with its specs made into typed parts: what pack, ride, wiring, charging, weight and rules read."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Generic, TypeVar, cast

from quoting.errors import FieldProblem, RequestError, SpecError
from quoting.parts import KINDS, Part, part_from_spec
from quoting.request import CatalogueItem, CountrySheet, Donor, Option, PartLine, Policies, QuoteRequest, Wishes

P = TypeVar("P", bound=Part)


@dataclass(frozen=True)
class Fitted(Generic[P]):
    """A part on the quote: its line (quantity, code, name) and its typed spec."""

    line: PartLine
    part: P


@dataclass(frozen=True)
class Setup:
    """An option ready to be worked out. `donor` None for parts kits."""

    option: Option
    donor: Donor | None
    wishes: Wishes
    policies: Policies
    job: str
    units: str
    fitted: tuple[Fitted[Part], ...]
    catalogue: tuple[CatalogueItem, ...] = ()
    country: CountrySheet | None = None
    note: str = ""

    @cached_property
    def _by_type(self) -> dict[type[Part], tuple[Fitted[Part], ...]]:
        found: dict[type[Part], list[Fitted[Part]]] = {}
        for item in self.fitted:
            found.setdefault(type(item.part), []).append(item)
        return {part_type: tuple(items) for part_type, items in found.items()}

    def all(self, part_type: type[P]) -> tuple[Fitted[P], ...]:
        """Every part of a type, in line order."""
        return cast("tuple[Fitted[P], ...]", self._by_type.get(part_type, ()))

    def one(self, part_type: type[P]) -> Fitted[P] | None:
        """The first part of a type, or None."""
        found = self.all(part_type)
        return found[0] if found else None


def setup_of(request: QuoteRequest, option: Option) -> Setup:
    """Make the typed view of one option. Raises RequestError naming each line and field that cannot be read."""
    problems: list[FieldProblem] = []
    fitted: list[Fitted[Part]] = []
    for number, line in enumerate(option.parts, start=1):
        where = f"options.{option.key}.parts.{number} ({line.code})"
        if line.kind not in KINDS:
            problems.append(FieldProblem(where, f"kind '{line.kind}' is unknown.", f"Use one of {', '.join(KINDS)}."))
            continue
        try:
            fitted.append(Fitted(line, part_from_spec(line.kind, line.spec)))
        except SpecError as error:
            problems.extend(FieldProblem(f"{where}.{p.field}", p.problem, p.remedy) for p in error.problems)
    if problems:
        raise RequestError(tuple(problems))
    return Setup(
        option=option,
        donor=request.donor,
        wishes=request.wishes,
        policies=request.policies,
        job=request.job,
        units=request.units,
        fitted=tuple(fitted),
        catalogue=request.catalogue,
        country=request.country,
        note=request.note,
    )
