"""Which rules apply to which job, and that a draft is not drowned."""

from __future__ import annotations

from dataclasses import replace

import pytest

from quoting.pack import pack_figures
from quoting.rules import Facts, all_rules, check, examine, rules_applied
from quoting.setup import setup_of
from quoting.weight import weight_figures
from tests.quoting.rules.bike import Bike


def test_an_empty_draft_is_one_stop(bike: Bike) -> None:
    found = replace(bike, slots={}, plan=None).findings()
    assert [(finding.rule, finding.level) for finding in found if finding.level != "note"] == [
        ("incomplete-build", "stop")
    ]
    text = found[0].explanation
    for word in ("cells or modules", "battery management", "charger", "motor", "controller", "main fuse", "contactor",
                 "throttle", "DC-DC converter", "how many in series and parallel"):  # fmt: skip
        assert word in text


def test_a_half_filled_draft_is_not_drowned(bike: Bike) -> None:
    half = replace(bike, slots={slot: bike.slots[slot] for slot in ("motor", "controller", "cell")})
    found = [finding for finding in half.findings() if finding.level != "note"]
    assert [finding.rule for finding in found] == [
        "incomplete-build",
        "precharge-missing",
        "kill-switch-missing",
        "brake-cutoff-missing",
        "hub-torque-arms",
        "side-stand-missing",
    ]


@pytest.mark.parametrize("job", ["parts_kit", "service"])
def test_kits_and_service_need_not_be_whole_bikes(job: str, bike: Bike) -> None:
    kit = replace(bike, slots={slot: bike.slots[slot] for slot in ("motor", "controller")}, plan=None, job=job)
    assert [finding for finding in kit.findings() if finding.level in ("stop", "check")] == []


def test_kits_are_still_checked_for_fit(bike: Bike) -> None:
    kit = replace(bike.with_("controller", max_v=80, rotor_sensors=["resolver"]), job="parts_kit", donor=None)
    assert {"pack-full-over-controller-max", "rotor-sensor"} <= {finding.rule for finding in kit.findings()}


def test_a_pack_upgrade_wants_motor_and_controller_as_lines(bike: Bike) -> None:
    upgrade = replace(bike.without("motor"), job="pack_upgrade")
    (finding,) = upgrade.said("incomplete-build")
    assert finding.level == "stop"
    assert "motor" in finding.explanation
    whole = replace(bike.without("switches", "torque arms", "throttle", "fuse", "contactor"), job="pack_upgrade")
    assert whole.levels("incomplete-build") == ()
    assert {finding.rule for finding in whole.findings() if finding.level == "stop"} == set()


def test_an_unknown_count_of_cells_is_part_of_the_incomplete_build(bike: Bike) -> None:
    (finding,) = replace(bike, plan=None).said("incomplete-build")
    assert "how many in series and parallel" in finding.explanation


def test_rules_applied_counts_those_that_could_be_judged(bike: Bike) -> None:
    facts = bike.facts()
    found = examine(facts)
    assert rules_applied(facts) == found.judged
    assert found.not_judged == 0
    assert 90 <= found.judged <= len(all_rules())
    fewer = examine(bike.with_("controller", max_v=None).facts())
    assert fewer.not_judged == 3  # full pack, near full with regeneration, and overshoot
    assert fewer.judged == found.judged - 3


def test_the_same_facts_give_the_same_findings(bike: Bike) -> None:
    facts = bike.with_("controller", max_v=80).facts()
    assert check(facts) == check(facts)


def test_figures_are_written_in_the_shops_units(bike: Bike) -> None:
    request = bike.given(gvwr_kg=200).request()
    from_us = replace(request, units="us")
    texts = []
    for each in (request, from_us):
        setup = setup_of(each, each.options[0])
        pack = pack_figures(setup)
        found = check(Facts(setup=setup, pack=pack, weight=weight_figures(setup, pack)))
        texts.append(next(finding.explanation for finding in found if finding.rule == "gross-weight"))
    assert "200 kg" in texts[0]
    assert "441 lb" in texts[1]  # 200 / 0.45359237 = 440.9
