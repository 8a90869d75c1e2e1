"""The demo's own files, and days counted from the day it is loaded."""

from __future__ import annotations

import csv
import tomllib
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from functools import cached_property
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

FOLDER = Path(__file__).resolve().parent
ZONE = ZoneInfo("America/New_York")  # the demo shop's, as premises.toml says


def toml(name: str) -> dict[str, Any]:
    """A file of the demo."""
    return tomllib.loads((FOLDER / name).read_text(encoding="utf-8"))


def rows(name: str) -> list[dict[str, str]]:
    """The rows of a table of the demo."""
    with (FOLDER / name).open(encoding="utf-8", newline="") as table:
        return list(csv.DictReader(table))


@dataclass(frozen=True)
class Clock:
    """The day the demo is loaded; everything in it lies so many days before or after."""

    today: date

    def day(self, away: int) -> date:
        return self.today + timedelta(days=away)

    def moment(self, away: int, hour: int = 10, minute: int = 0) -> datetime:
        """A local time of day, aware."""
        return datetime.combine(self.day(away), time(hour, minute), tzinfo=ZONE)

    @cached_property
    def now(self) -> datetime:
        return self.moment(0)
