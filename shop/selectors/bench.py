"""The bench: who works here, and what is next for one of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.contrib.auth.models import User

from quoting.result import LaneBooking, LinePlan
from shop.models import Bench, Build, BuildStep, PartNeed, Person, StepState
from shop.selectors.builds import StepRow, step_rows
from shop.selectors.line import builds_shown
from shop.selectors.plan import line_plan
from shop.selectors.shop import the_shop
from shop.selectors.stock import NeedRow, need_rows

NEXT_SHOWN = 5  # a few days ahead; further on the plan will have changed (our own choice)


@dataclass(frozen=True, kw_only=True)
class Hands:
    """Who works here now, with what they can do, and the benches in use."""

    people: tuple[Person, ...]
    benches: tuple[Bench, ...]

    def people_for(self, step: BuildStep) -> tuple[Person, ...]:
        """Those who have the step's skill."""
        return tuple(each for each in self.people if step.skill_id is None or step.skill_id in self._skills(each))

    def benches_for(self, step: BuildStep) -> tuple[Bench, ...]:
        return tuple(each for each in self.benches if each.bench_type_id == step.bench_type_id)

    def _skills(self, person: Person) -> set[int]:
        return {skill.pk for skill in person.skills.all()}


@dataclass(frozen=True, kw_only=True)
class BenchStep:
    """A step of one person: its build, and when the plan has it; `booking` None when the plan does not."""

    build: Build
    row: StepRow
    booking: LaneBooking | None


@dataclass(frozen=True, kw_only=True)
class MyBench:
    """What one person has under way and what comes next, the first first."""

    person: Person
    doing: tuple[BenchStep, ...]
    next: tuple[BenchStep, ...]


def hands() -> Hands:
    """Three queries."""
    people = Person.objects.filter(active=True).prefetch_related("skills").order_by("name")
    return Hands(people=tuple(people), benches=tuple(Bench.objects.filter(active=True).order_by("name")))


def person_behind(user: User) -> Person | None:
    """The one of the shop's people who signs in as this user."""
    return Person.objects.filter(user=user, active=True).first()


def my_bench(person: Person, plan: LinePlan | None = None) -> MyBench:
    """What is under way and next for one person by the plan."""
    plan = plan or line_plan()
    lane = next((each for each in plan.people if each.name == person.name), None)
    coming = [each for each in lane.bookings if not each.under_way][:NEXT_SHOWN] if lane else []
    doing = list(person.steps.filter(state=StepState.DOING).select_related("build"))
    numbers = {*(each.build for each in coming), *(step.build.number for step in doing)}
    builds = {row.number: row for row in builds_shown().filter(number__in=numbers)}
    rows = _rows(tuple(builds.values()), plan)
    return MyBench(
        person=person,
        doing=tuple(
            BenchStep(build=builds[step.build.number], row=rows[step.build.number, step.code], booking=None)
            for step in doing
        ),
        next=tuple(
            BenchStep(build=builds[each.build], row=rows[each.build, each.step], booking=each)
            for each in coming
            if (each.build, each.step) in rows
        ),
    )


def _rows(builds: Sequence[Build], plan: LinePlan) -> dict[tuple[str, str], StepRow]:
    """The steps of a few builds, by build number and step code."""
    shop = the_shop()
    needs: dict[int, list[NeedRow]] = {build.pk: [] for build in builds}
    wanted = PartNeed.objects.filter(build__in=builds).select_related("component").order_by("build", "pk")
    for need in need_rows(wanted):
        needs[need.need.build_id].append(need)
    return {
        (build.number, row.step.code): row
        for build in builds
        for row in step_rows(build, plan.build(build.number), needs[build.pk], shop)
    }
