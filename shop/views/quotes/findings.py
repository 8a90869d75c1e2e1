"""Findings as the Counter shows them: the findings of one rule together, their ways out, and the decision on them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from quoting.result import Finding, OptionResult, WayOut
from shop.forms.base import ShopForm
from shop.forms.quotes import DecisionForm
from shop.models import CheckDecision, QuoteOption, Shop
from shop.selectors.findings import CHECK, STOP, decides

ONE_CLICK = ("part", "count")  # ways out the Counter can take by itself; an act is a person's


@dataclass(frozen=True)
class FindingView:
    """All findings of one rule at one level. `undecided`: a check nobody has answered, or that got worse since."""

    rule: str
    level: str
    findings: tuple[Finding, ...]
    decision: CheckDecision | None
    undecided: bool
    form: ShopForm | None

    @property
    def is_open(self) -> bool:
        """Stands in the way of offering."""
        return self.level == STOP or self.undecided

    @property
    def finding(self) -> Finding:
        return self.findings[0]

    @property
    def ways(self) -> tuple[WayOut, ...]:
        """Ways out that are taken with one press, each once."""
        found = (way for finding in self.findings for way in finding.ways_out if way.kind in ONE_CLICK)
        return tuple(dict.fromkeys(found))

    @property
    def acts(self) -> tuple[WayOut, ...]:
        """What a person does."""
        found = (way for finding in self.findings for way in finding.ways_out if way.kind not in ONE_CLICK)
        return tuple(dict.fromkeys(found))


def decision_prefix(rule: str) -> str:
    return f"decide-{rule}"


def finding_views(
    option: QuoteOption, shown: OptionResult | None, shop: Shop, typed: Mapping[str, ShopForm]
) -> tuple[FindingView, ...]:
    """Stops first, then checks, then notes; what is undecided before what is decided."""
    grouped: dict[tuple[str, str], list[Finding]] = {}
    for finding in shown.findings if shown else ():
        grouped.setdefault((finding.level, finding.rule), []).append(finding)
    decisions = {decision.rule: decision for decision in option.decisions.all()}
    return tuple(
        _view(rule, level, tuple(findings), decisions.get(rule), shop, typed)
        for (level, rule), findings in grouped.items()
    )


def _view(
    rule: str,
    level: str,
    findings: tuple[Finding, ...],
    decision: CheckDecision | None,
    shop: Shop,
    typed: Mapping[str, ShopForm],
) -> FindingView:
    if level != CHECK:
        return FindingView(rule, level, findings, None, undecided=False, form=None)
    undecided = decision is None or not decides(decision, findings)
    prefix = decision_prefix(rule)
    words = {"reason": decision.reason if decision else ""}
    form = typed.get(prefix) or DecisionForm(shop=shop, prefix=prefix, initial=words)
    return FindingView(rule, level, findings, decision, undecided, form)
