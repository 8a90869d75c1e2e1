"""Findings at the Counter: ways out taken with one press, checks decided with a reason."""

from __future__ import annotations

import re
from decimal import Decimal

from shop.models import Component
from tests.shop.made_counter import Counter, text
from tests.shop.made_parts import SOUND, make_offer

VIN_RULE = "vin"


def test_stops_come_first_with_value_limit_and_way_out(counter: Counter) -> None:
    page = text(counter.post("option-pack", "A", pack__series="28", pack__parallel="24", pack__link_mohm="2"))
    findings = page[page.index('id="findings"') :]
    levels = re.findall(r'class="level">(STOP|CHECK|NOTE)<', findings)
    assert levels[0] == "STOP"
    assert levels == sorted(levels, key=["STOP", "CHECK", "NOTE"].index)
    assert "117.6 V, limit 108 V" in findings  # 28 × 4.2 V against the controller's 108 V
    assert "At most 25 in series" in findings  # 25 × 4.2 = 105 ≤ 108 < 26 × 4.2 = 109.2


def test_a_count_is_set_by_one_press(counter: Counter) -> None:
    counter.post("option-pack", "A", pack__series="28", pack__parallel="24", pack__link_mohm="2")
    answer = counter.post("way-out-take", "A", field="series", value="23", code="")
    assert answer.status_code == 200
    assert (counter.option.series, counter.option.parallel) == (23, 24)
    assert counter.part("CEL-1").quantity == 552
    assert 'id="pack"' in text(answer)


def test_a_part_is_exchanged_by_one_press(counter: Counter) -> None:
    kind, _, _, _, x_m, spec = SOUND["CON-1"]
    other = Component.objects.create(
        code="CON-9", kind=kind, name="controller 96 V", list_price=Decimal(900), x_m=x_m, spec={**spec, "max_v": 130}
    )
    make_offer(other, priced_on=counter.version.saved_at.date())
    assert counter.post("way-out-take", "A", code="CON-9").status_code == 200
    assert {part.component.code for part in counter.option.parts.filter(component__kind="controller")} == {"CON-9"}


def test_a_cable_takes_the_place_of_the_one_in_the_same_circuit(counter: Counter) -> None:
    kind, _, _, _, x_m, spec = SOUND["CAB-P"]
    Component.objects.create(code="CAB-Q", kind=kind, name="phase cable 70", list_price=Decimal(20), x_m=x_m, spec=spec)
    counter.post("way-out-take", "A", code="CAB-Q")
    codes = {part.component.code for part in counter.option.parts.filter(component__kind="cable")}
    assert codes == {"CAB-B", "CAB-Q"}


def test_ways_out_that_lead_nowhere_are_not_found(counter: Counter) -> None:
    assert counter.post("way-out-take", "A", code="no-such-part").status_code == 404
    assert counter.post("way-out-take", "A", field="series", value="lots").status_code == 404
    assert counter.option.series == 20


def test_a_check_is_decided_with_its_reason_and_opened_again(counter: Counter) -> None:
    counter.forget_vin()
    before = text(counter.get("quote"))
    assert 'id="decide-vin"' in before
    prefix = f"decide-{VIN_RULE}"
    reason = "frame is at the blaster, read on Friday"
    answer = counter.post("check-decide", "A", VIN_RULE, **{f"{prefix}-reason": reason})
    assert answer.status_code == 200
    assert "frame is at the blaster" in text(answer)
    assert 'id="decide-vin"' not in text(answer)
    again = counter.post("check-reopen", "A", VIN_RULE)
    assert 'id="decide-vin"' in text(again)
    assert counter.post("check-reopen", "A", VIN_RULE).status_code == 404


def test_a_decision_without_words_is_refused(counter: Counter) -> None:
    counter.forget_vin()
    for reason in ("", "ok"):
        answer = counter.post("check-decide", "A", VIN_RULE, **{f"decide-{VIN_RULE}-reason": reason})
        assert answer.status_code == 422
    assert not counter.option.decisions.exists()


def test_there_is_nothing_to_decide_about_a_rule_that_is_silent(counter: Counter) -> None:
    answer = counter.post("check-decide", "A", "no-such-rule", **{"decide-no-such-rule-reason": "because I say so"})
    assert answer.status_code == 422
    assert "nothing to decide" in text(answer)


def test_without_script_a_refused_decision_keeps_its_words(counter: Counter) -> None:
    counter.forget_vin()
    answer = counter.post_plain("check-decide", "A", VIN_RULE, **{f"decide-{VIN_RULE}-reason": "ok"})
    assert answer.status_code == 422
    assert re.search(r'name="decide-vin-reason" value="ok"', text(answer))
