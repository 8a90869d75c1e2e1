"""Which check findings somebody has decided, and which are still open."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from quoting.result import Finding, OptionResult
from shop.models import CheckDecision

CHECK, STOP = "check", "stop"
ROUNDING = 1e-9  # margins are floats: the same figure may come out a hair apart


def checks_by_rule(result: OptionResult) -> Mapping[str, tuple[Finding, ...]]:
    """The check findings of an option by rule, in order; one decision answers all findings of a rule."""
    found: dict[str, tuple[Finding, ...]] = {}
    for finding in result.at_level(CHECK):
        found[finding.rule] = (*found.get(finding.rule, ()), finding)
    return found


def decides(decision: CheckDecision, findings: Sequence[Finding]) -> bool:
    """Whether a decision still answers these findings of its rule.

    It does while each of them is one that was seen, or is no worse than the worst margin that was accepted.
    """
    seen = set(decision.findings.splitlines())
    return all(seen_line(finding) in seen or _no_worse(finding, decision.margin) for finding in findings)


def undecided(result: OptionResult, decisions: Iterable[CheckDecision]) -> tuple[Finding, ...]:
    """Check findings nobody has answered, or that got worse since."""
    by_rule = {decision.rule: decision for decision in decisions}
    return tuple(
        finding
        for rule, findings in checks_by_rule(result).items()
        if rule not in by_rule or not decides(by_rule[rule], findings)
        for finding in findings
    )


def seen_line(finding: Finding) -> str:
    """A finding as a decision keeps it: one line."""
    return " ".join(finding.explanation.split())


def worst_margin(findings: Iterable[Finding]) -> float | None:
    """The smallest margin among findings, or None when none of them has a number."""
    return min((finding.margin for finding in findings if finding.margin is not None), default=None)


def _no_worse(finding: Finding, accepted: float | None) -> bool:
    return finding.margin is not None and accepted is not None and finding.margin >= accepted - ROUNDING
