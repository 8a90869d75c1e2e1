"""The demo's own files."""

from __future__ import annotations

import csv
import tomllib
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).resolve().parent


def toml(name: str) -> dict[str, Any]:
    """A file of the demo."""
    return tomllib.loads((FOLDER / name).read_text(encoding="utf-8"))


def rows(name: str) -> list[dict[str, str]]:
    """The rows of a table of the demo."""
    with (FOLDER / name).open(encoding="utf-8", newline="") as table:
        return list(csv.DictReader(table))
