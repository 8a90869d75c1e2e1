"""Who is late whatever the order is named, with what they wait for; and who is late only until it is proved."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from quoting.promise import prepare_shop
from quoting.promise.odds import PLAIN
from quoting.promise.replan.bounds import lateness_bound
from quoting.promise.replan.problem import Before, Job, Problem, Task
from quoting.promise.replan.run import replan
from quoting.promise.replan.solve import Effort
from quoting.replanning import Limits
from quoting.request import DaySpan, OpenBuild, Person, StockLevel
from tests.quoting.promise.shops import DAY, NO_HANDLING, NOW, build, due, march, need, shop, step

LISTS = Limits(tries=5, lateness=None, flow=None, change=None, frozen_days=0)
PROVED = replace(LISTS, lateness=Effort(seconds=20, work=2))
TODAY = march(1)


def said(*builds: OpenBuild, limits: Limits = LISTS, **fields: Any) -> list[str]:
    planned = prepare_shop(shop(builds=builds, **fields), NOW, DAY, NO_HANDLING)
    return [binding.text for binding in replan(planned, limits, PLAIN).bindings]


def test_a_build_whose_part_comes_too_late_is_named_and_one_in_time_is_not():
    """The motor comes on Tuesday 9 March, and 12 h of work go on to Wednesday, five days after Friday the 5th."""
    waits = build(2, [step("fit", 8, "lift"), step("wire", 4)], [need("motor", "fit")], promised_to=march(5))
    assert said(
        build(1, [step("fit", 4, "lift")], promised_to=TODAY), waits, receipts=(due("motor", "1", march(9)),)
    ) == [
        "B2 cannot be done before March 10, 5 days after its promise of March 5, whatever the order: "
        "the motor is ready on March 9, then fit to wire take 12 hours."
    ]


@pytest.mark.parametrize(
    ("late", "why"),
    [
        (build(1, [step("fit", 12, "lift")], promised_to=TODAY), "from today on fit takes 12 hours"),
        (
            build(1, [step("cut", 1), step("paint", 0, lead_days=3)], promised_to=TODAY),
            "from today on cut to paint take 1 hour and 3 days of outside work",
        ),
        (
            build(1, [step("fit", 4, "lift")], [need("manual")], promised_to=TODAY),
            "the manual is ready on March 4, then fit takes 4 hours",
        ),
    ],
)
def test_what_it_waits_for(late: OpenBuild, why: str):
    (text,) = said(late, receipts=(due("manual", "1", march(4)),))
    assert text.endswith(f"whatever the order: {why}.")


def test_a_kit_with_all_its_parts_is_late_and_one_whose_work_is_done_is_not():
    """What is ready and not fetched yet came in time or did not; no plan has anything to do with it any more."""
    past = TODAY.replace(month=2)
    kit = build(1, [], [need("manual")], promised_to=past)
    (text,) = said(kit, build(2, [], promised_to=past), stock=(StockLevel(code="manual", on_hand=Decimal(1)),))
    assert text.startswith("B1 ")
    assert text.endswith("whatever the order: its parts are here, and it only has to be packed.")


def test_nobody_there_is_what_it_waits_for():
    """Ana is away on the 1st and the 2nd, and alone can do it."""
    ana = Person(name="Ana", skills=(), leave=(DaySpan(first=march(1), last=march(2)),))
    (text,) = said(build(1, [step("fit", 4)], promised_to=TODAY), people=(ana,))
    assert text.endswith("nobody and no bench is there for fit before March 3, then fit takes 4 hours.")


def test_one_of_two_is_late_and_named_once_that_is_proved():
    """A day's work each, one lift, and both promised for today: one of them is a day late."""
    both = [build(number, [step("fit", 8, "lift")], promised_to=TODAY) for number in (1, 2)]
    assert said(*both) == []
    (text,) = said(*both, limits=PROVED)
    assert text.startswith(
        "B2 cannot be done before March 2, 1 day after its promise of March 1, without another build getting later: "
    )
    assert "Lift" in text or "lift" in text


def test_a_build_without_a_day_is_named_last():
    stuck = build(1, [step("fit", 4, "lift")], [need("motor", "fit")])
    late, blocked = said(stuck, build(2, [step("wire", 12)], promised_to=TODAY))
    assert late.startswith("B2 cannot be done before March 2")
    assert blocked.startswith("B1 has no day: ")
    assert "motor" in blocked


@pytest.mark.parametrize(("by", "least"), [(-1, 8), (7, 8), (8, 0)])
def test_a_turn_that_puts_a_step_off_counts_in_the_bound(by: int, least: int):
    """Another build's second step can start at slot 8 and goes first, unless it may be passed by slot 8: then the four
    slots due at 4 end at 12."""
    tasks = (Task(job=0, length=4), Task(job=1, length=8), Task(job=1, length=4, after=(1,)))
    jobs = (Job(name="due", due=4), Job(name="other"))
    assert lateness_bound(Problem(tasks=tasks, jobs=jobs, turns=(Before(2, 0, by),))) == least
