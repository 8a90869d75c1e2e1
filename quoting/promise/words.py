"""Days, hours and things as they are written in reasons."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip


SAME_YEAR_DAYS = 300  # within ten months of today a day and month cannot be mistaken (our own choice)
NAMED = 3  # more than three of a kind are counted, not named (our own choice)


def day_text(day: date, today: date) -> str:
    """ "April 12", with the year when it is more than ten months away."""
    text = f"{MONTHS[day.month - 1]} {day.day}"
    return text if abs((day - today).days) <= SAME_YEAR_DAYS else f"{text}, {day.year}"


def days_text(days: int) -> str:
    """ "1 day", "45 days"."""
    return "1 day" if days == 1 else f"{days} days"


def hours_text(hours: Decimal) -> str:
    """ "1 hour", "2.5 hours": to a tenth of an hour."""
    rounded = round(hours, 1)
    text = f"{rounded:.0f}" if rounded == int(rounded) else f"{rounded}"
    return f"{text} hour" if text == "1" else f"{text} hours"


def mid_sentence(name: str) -> str:
    """A name inside a sentence: "Hub motor" becomes "hub motor", "BMS 20s" stays."""
    return name[0].lower() + name[1:] if len(name) > 1 and name[1].islower() else name


def plain(code: str) -> str:
    """A code as words: "electric-bench" becomes "electric bench"."""
    return code.replace("_", " ").replace("-", " ")


def bench_text(bench_type: str, count: int) -> str:
    """ "the electric bench" when there is one, "a free electric bench" among several."""
    words = plain(bench_type)
    words = words if "bench" in words.lower() else f"{words} bench"
    return f"the {words}" if count == 1 else f"a free {words}"


def person_text(skill: str, names: Sequence[str]) -> str:
    """The one who has the skill by name, or "someone for wiring"."""
    if len(names) == 1:
        return names[0]
    return f"someone for {plain(skill)}" if skill else "someone to be free"


def listed(words: Sequence[str]) -> str:
    """ "a", "a and b", "a, b and c", "a, b and 3 more"."""
    if len(words) > NAMED:
        words = [*words[: NAMED - 1], f"{len(words) - NAMED + 1} more"]
    return " and ".join([", ".join(words[:-1]), words[-1]]) if len(words) > 1 else "".join(words)
