"""A person's answers to check findings of a draft."""

from __future__ import annotations

from django.contrib.auth.models import User
from django.db import transaction

from shop.models import CheckDecision, QuoteOption
from shop.selectors.findings import checks_by_rule, seen_line, worst_margin
from shop.selectors.quotes import worked_out
from shop.services.errors import Refused
from shop.services.quotes.draft import draft_edited, locked_draft


@transaction.atomic
def decision_write(*, option: QuoteOption, rule: str, reason: str, person: User | None) -> CheckDecision:
    """It may be sold so, and why. Keeps what was seen: figures that get worse have to be decided again."""
    version = locked_draft(option.version)
    reason = reason.strip()
    if not reason:
        raise Refused("Say why it may be sold so.", "reason")
    result = next((made for made in worked_out(version).options if made.key == option.key), None)
    findings = checks_by_rule(result).get(rule, ()) if result else ()
    if not findings:
        raise Refused("There is nothing to decide here any more. Reload the page.")
    decision = CheckDecision.objects.filter(option=option, rule=rule).first() or CheckDecision(option=option, rule=rule)
    decision.reason, decision.person = reason, person
    decision.findings = "\n".join(seen_line(finding) for finding in findings)
    decision.margin = worst_margin(findings)
    decision.full_clean(exclude=["option", "person"])
    decision.save()
    said = f"{option.key}: {findings[0].title}: {seen_line(findings[0])}"
    draft_edited(version, person, "check decided", after=said, reason=reason)
    return decision


@transaction.atomic
def decision_withdraw(*, decision: CheckDecision, person: User | None) -> QuoteOption:
    """Open the check again. Safe to repeat."""
    version = locked_draft(decision.option.version)
    if CheckDecision.objects.filter(pk=decision.pk).delete()[0]:
        said = f"{decision.option.key}: {decision.rule}"
        draft_edited(version, person, "decision withdrawn", before=said)
    return decision.option
