"""A finding: what a rule has to say about an option, with the number, the limit and a way out."""

from __future__ import annotations

from dataclasses import dataclass

LEVELS = ("stop", "check", "note")


@dataclass(frozen=True, kw_only=True)
class WayOut:
    """A concrete change that would clear the finding.

    `kind` is one of part (exchange for catalogue code `code`), count (set `field` to `value`), act (a person does it).
    """

    kind: str
    text: str
    code: str = ""
    field: str = ""
    value: str = ""


@dataclass(frozen=True, kw_only=True)
class Finding:
    """stop: must not be sold so. check: a person must decide and say why. note: good to know.

    `value`, `limit`, `margin` in `unit`; None where the finding has no number. `margin` is negative when past the
    limit.
    """

    rule: str
    level: str
    title: str
    explanation: str
    value: float | None = None
    limit: float | None = None
    margin: float | None = None
    unit: str = ""
    ways_out: tuple[WayOut, ...] = ()
    source: str = ""
    kinds: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()
