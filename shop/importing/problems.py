"""What is wrong with a table: which row, which column, what, and what to do."""

from __future__ import annotations

from dataclasses import dataclass


class CellError(ValueError):
    """A cell that cannot be read: the problem, and the remedy."""

    def __init__(self, problem: str, remedy: str) -> None:
        self.problem, self.remedy = problem, remedy
        super().__init__(f"{problem} {remedy}")


class FileError(ValueError):
    """A file that cannot be read at all. Its text says the remedy."""


@dataclass(frozen=True, kw_only=True)
class RowProblem:
    """One thing wrong. `row` counts as a spreadsheet does, 1 for the heading; 0 and an empty column: the whole file."""

    row: int
    column: str
    problem: str
    remedy: str

    def __str__(self) -> str:
        where = f"Row {self.row}, {self.column}: " if self.row else ""
        return f"{where}{self.problem} {self.remedy}"
