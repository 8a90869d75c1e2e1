"""The rules: what must not be sold so (stop), what a person must decide (check), what is good to know (note)."""

from __future__ import annotations

from quoting.rules import voltage as voltage
from quoting.rules.examine import NOT_CHECKED, Examined, check, examine
from quoting.rules.facts import Facts
from quoting.rules.registry import Rule, all_rules

__all__ = ["NOT_CHECKED", "Examined", "Facts", "Rule", "all_rules", "check", "examine"]
