"""What can go wrong with the input, as one tree.

    QuotingError
    ├── SpecError        a component's spec: names the field and the remedy
    ├── UnitError        a quantity that cannot be read or has the wrong dimension
    ├── RequestError     a quote request that cannot be worked on: names the field and the remedy
    └── CalendarError    a calendar with no open time within reach

Bad engineering is never an error: it is a finding.
"""

from __future__ import annotations

from dataclasses import dataclass


class QuotingError(ValueError):
    """Base of everything the engine raises on purpose."""


@dataclass(frozen=True)
class FieldProblem:
    """One field that is wrong, what is wrong with it, and what to do."""

    field: str
    problem: str
    remedy: str

    def __str__(self) -> str:
        return f"{self.field}: {self.problem} {self.remedy}"


class FieldError(QuotingError):
    """Input with one or more named fields that are wrong; `problems` holds them all."""

    def __init__(self, problems: tuple[FieldProblem, ...]) -> None:
        self.problems = problems
        super().__init__("; ".join(str(problem) for problem in problems))


class SpecError(FieldError):
    """A component's spec does not fit its kind."""


class RequestError(FieldError):
    """A quote request cannot be worked on as it stands."""


class UnitError(QuotingError):
    """Text that is not a quantity, or one of the wrong dimension."""


class CalendarError(QuotingError):
    """No open shop time within reach: every day is closed, or nobody has hours."""
