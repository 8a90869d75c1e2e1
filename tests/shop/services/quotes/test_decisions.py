from __future__ import annotations

import pytest

from quoting.result import Finding
from shop.models import CheckDecision, Component, Event, QuoteVersion, Shop
from shop.selectors.findings import decides, undecided
from shop.selectors.quotes import worked_out
from shop.selectors.shop import shop_today
from shop.services.errors import Refused
from shop.services.quotes import decision_withdraw, decision_write
from tests.shop.made_quotes import make_sound_draft

RULE = "throttle-range-high"


def change_throttle(high_v: float) -> None:
    throttle = Component.objects.get(code="THR-1")
    throttle.spec = {**throttle.spec, "high_v": high_v}
    throttle.save()


@pytest.fixture
def version(shop: Shop) -> QuoteVersion:
    """The sound build with a throttle that goes above the 4.00 V many controllers take for a broken ground."""
    made = make_sound_draft(shop, shop_today(shop))
    change_throttle(4.1)
    return made


def open_rules(version: QuoteVersion) -> list[str]:
    result = worked_out(version).options[0]
    decisions = CheckDecision.objects.filter(option__version=version)
    return [finding.rule for finding in undecided(result, decisions)]


def test_a_decision_answers_a_check_and_keeps_what_was_seen(version: QuoteVersion, person) -> None:
    counter = person("counter")
    assert open_rules(version) == [RULE]
    decision = decision_write(
        option=version.options.get(), rule=RULE, reason=" measured 3.95 V on the bench ", person=counter
    )
    assert open_rules(version) == []
    assert (decision.reason, decision.person) == ("measured 3.95 V on the bench", counter)
    assert "4.10 V" in decision.findings
    event = Event.objects.get(verb="check decided")
    assert "4.10 V" in event.after
    assert event.reason == "measured 3.95 V on the bench"


def test_deciding_again_changes_the_same_row(version: QuoteVersion) -> None:
    for reason in ("first", "second"):
        decision_write(option=version.options.get(), rule=RULE, reason=reason, person=None)
    assert CheckDecision.objects.get().reason == "second"


def test_a_figure_that_gets_worse_has_to_be_decided_again_one_that_gets_better_has_not(version: QuoteVersion) -> None:
    decision_write(option=version.options.get(), rule=RULE, reason="measured", person=None)
    change_throttle(4.05)
    assert open_rules(version) == []
    change_throttle(4.15)
    assert open_rules(version) == [RULE]


def test_withdrawing_opens_it_again(version: QuoteVersion) -> None:
    decision = decision_write(option=version.options.get(), rule=RULE, reason="measured", person=None)
    decision_withdraw(decision=CheckDecision.objects.get(), person=None)
    assert open_rules(version) == [RULE]
    decision_withdraw(decision=decision, person=None)
    assert Event.objects.filter(verb="decision withdrawn").count() == 1


def test_without_a_reason_it_is_refused(version: QuoteVersion) -> None:
    with pytest.raises(Refused) as refused:
        decision_write(option=version.options.get(), rule=RULE, reason="  ", person=None)
    assert refused.value.field == "reason"


@pytest.mark.parametrize("rule", ["no-such-rule", "voltage-class-b"])
def test_what_is_no_open_check_cannot_be_decided(version: QuoteVersion, rule: str) -> None:
    with pytest.raises(Refused, match="nothing to decide"):
        decision_write(option=version.options.get(), rule=rule, reason="because", person=None)


def finding(text: str, margin: float | None = None) -> Finding:
    return Finding(rule="r", level="check", title="T", explanation=text, margin=margin)


@pytest.mark.parametrize(
    ("seen", "margin", "now", "holds"),
    [
        ("a\nb", None, [finding("a"), finding("b")], True),
        ("a\nb", None, [finding("b")], True),  # one of two was cured
        ("a", None, [finding("a"), finding("b")], False),  # a new one came
        ("a", None, [finding("a "), finding(" a")], True),  # blanks say nothing
        ("5 over", -5.0, [finding("5 over", -5.0)], True),
        ("5 over", -5.0, [finding("4 over", -4.0)], True),
        ("5 over", -5.0, [finding("6 over", -6.0)], False),
        ("5 over", -5.0, [finding("mass unknown")], False),  # a missing figure is never a pass
    ],
)
def test_when_a_decision_still_holds(seen: str, margin: float | None, now: list[Finding], holds: bool) -> None:
    assert decides(CheckDecision(rule="r", findings=seen, margin=margin), now) is holds
