"""Work on a step: who starts it where, and the hours it took."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any

from django import forms

from quoting.result import PlannedStep
from shop.forms.base import ShopForm
from shop.forms.fields import HoursField
from shop.models import Bench, BuildStep, Person
from shop.selectors.bench import Hands

MOST_H = Decimal(1000)  # as the service's own limit


class StartForm(ShopForm):
    """Who does a step, and on which bench when it takes one; what is most likely is chosen beforehand."""

    worker = forms.ChoiceField(label="Who", required=False)
    bench = forms.ChoiceField(label="Bench", required=False)

    def __init__(
        self,
        *args: Any,
        step: BuildStep,
        hands: Hands,
        me: Person | None,
        plan: PlannedStep | None = None,
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, prefix=f"step-{step.public_id}", **kwargs)
        self.people = {each.public_id: each for each in hands.people_for(step)}
        self.benches = {each.public_id: each for each in hands.benches_for(step)}
        if step.lead_days:
            del self.fields["worker"]
        else:
            names = [me.name if me else "", plan.person if plan else ""]
            self._choose("worker", "Choose who", self.people, names)
        if step.bench_type_id is None:
            del self.fields["bench"]
        else:
            self._choose("bench", "Choose a bench", self.benches, [plan.bench if plan else ""])

    def _choose(self, name: str, empty: str, rows: Mapping[str, Person | Bench], likely: Iterable[str]) -> None:
        """`likely` names, the first that can be chosen wins; a single one is chosen anyway."""
        by_name = {row.name: key for key, row in rows.items()}
        known = [by_name[each] for each in likely if each in by_name]
        field = self.fields[name]
        field.choices = [("", empty), *((key, row.name) for key, row in rows.items())]  # type: ignore[attr-defined]
        field.initial = known[0] if known else next(iter(rows)) if len(rows) == 1 else ""

    def clean_worker(self) -> Person | None:
        return self.people.get(self.cleaned_data["worker"])

    def clean_bench(self) -> Bench | None:
        return self.benches.get(self.cleaned_data["bench"])

    @property
    def said(self) -> str:
        """What is chosen beforehand, "Ana on Fab 1"; empty when something is still to choose."""
        rows: dict[str, Mapping[str, Person | Bench]] = {"worker": self.people, "bench": self.benches}
        chosen = [rows[name].get(field.initial) for name, field in self.fields.items()]
        return " on ".join(row.name for row in chosen if row) if all(chosen) else ""


class FinishForm(ShopForm):
    """The hours a step took; left empty, the time the shop was open since it was started."""

    worked_h = HoursField(
        label="Hours since it was started",
        high=MOST_H,
        required=False,
        help_text="Empty takes the time the shop was open since.",
    )


class PauseForm(FinishForm):
    """Why a step is put down again."""

    reason = forms.CharField(label="What does it wait for", max_length=160)

    field_order = ["reason", "worked_h"]


class ReopenForm(ShopForm):
    """Why a finished step is to be done again."""

    reason = forms.CharField(label="Why is it to be done again", max_length=160)
