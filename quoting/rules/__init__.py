"""The rules: what must not be sold so (stop), what a person must decide (check), what is good to know (note)."""

from __future__ import annotations

from quoting.rules import (  # noqa: F401  importing these enters their rules
    build,
    cables,
    chain,
    charging,
    claims,
    connectors,
    contactor,
    country,
    current,
    cutoffs,
    desk,
    donor,
    frame,
    fuse,
    hub,
    interfaces,
    law,
    low_voltage,
    made_for,
    regen,
    throttle,
    tires,
    voltage,
    weight,
    wheels,
    wishes,
)
from quoting.rules.examine import NOT_CHECKED, Examined, check, examine, rules_applied
from quoting.rules.facts import Facts
from quoting.rules.fitting import Fit, fitting
from quoting.rules.listing import findings_table
from quoting.rules.registry import SUBJECTS, Rule, all_rules

__all__ = [
    "NOT_CHECKED",
    "SUBJECTS",
    "Examined",
    "Facts",
    "Fit",
    "Rule",
    "all_rules",
    "check",
    "examine",
    "findings_table",
    "fitting",
    "rules_applied",
]
