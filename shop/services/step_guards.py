"""Who and where a step can be started."""

from __future__ import annotations

from shop.models import Bench, BuildStep, Person, StepState
from shop.selectors.shop import shop_today
from shop.services.errors import Refused


def guard_state(row: BuildStep) -> None:
    if row.state == StepState.DONE:
        raise Refused(f"{row.label} is done already.")
    if row.state == StepState.DOING:
        raise Refused(f"{row.label} is under way already: {who_where(row)}.")


def guard_worker(row: BuildStep, worker: Person | None) -> None:
    if worker is None or not worker.active:
        raise Refused("Choose who works on it.", "worker")
    if row.skill is not None and not worker.skills.filter(pk=row.skill.pk).exists():
        raise Refused(
            f"{row.label} asks for {row.skill.label}, which {worker.name} does not have. "
            f"Choose someone else, or add the skill to {worker.name}.",
            "worker",
        )
    other = worker.steps.filter(state=StepState.DOING, lead_days=0).select_related("build").first()
    if other is not None:
        raise Refused(f"{worker.name} is on {other}. Finish or pause that first.", "worker")


def guard_bench(row: BuildStep, bench: Bench | None) -> None:
    if row.bench_type is None:
        if bench is not None:
            raise Refused(f"{row.label} takes no bench.", "bench")
        return
    if bench is None or not bench.active or bench.bench_type_id != row.bench_type.pk:
        raise Refused(f"Choose a bench of the type {row.bench_type.label}.", "bench")
    today = shop_today()
    down = bench.downtimes.filter(first__lte=today, last__gte=today).first()
    if down is not None:
        raise Refused(f"{bench.name} is out of use until {down.last}: {down.reason}. Choose another bench.", "bench")
    other = bench.steps.filter(state=StepState.DOING).exclude(build=row.build).select_related("build").first()
    if other is not None:
        raise Refused(f"{other} is on {bench.name}. Finish or pause that first.", "bench")


def who_where(row: BuildStep) -> str:
    """ "Make the mounts: Ana on Fab 1"."""
    who = row.person.name if row.person else "outside"
    return f"{row.label}: {who}{f' on {row.bench.name}' if row.bench else ''}"
