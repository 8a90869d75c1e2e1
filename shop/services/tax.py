"""Dated tax rates: entered whole, without overlap and without a gap."""

from __future__ import annotations

from collections.abc import Sequence

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import transaction

from quoting.errors import FieldProblem
from quoting.price import rate_problems
from shop.models import TaxAuthority, TaxRate
from shop.selectors.tax import engine_rates
from shop.services.events import event_write


def tax_rate_problems(rows: Sequence[TaxRate]) -> tuple[tuple[int, FieldProblem], ...]:
    """What is wrong with one authority's rates: (index of the row, problem with its own field's name)."""
    found = []
    for problem in rate_problems(engine_rates(rows)):
        _, number, field = problem.field.split(".", 2)
        found.append((int(number) - 1, FieldProblem(field, problem.problem, problem.remedy)))
    return tuple(found)


@transaction.atomic
def tax_rates_set(*, authority: TaxAuthority, rows: Sequence[TaxRate], person: User | None) -> TaxAuthority:
    """Make these the authority's rates: rows that are not among them go. Raises ValidationError naming each problem."""
    locked = TaxAuthority.objects.select_for_update().get(pk=authority.pk)
    problems = tax_rate_problems(rows)
    if problems:
        raise ValidationError(
            [f"Rate {index + 1}, {problem.field}: {problem.problem} {problem.remedy}" for index, problem in problems]
        )
    before = _said(locked)
    # All rows are written anew: begin days may have changed places, and none may clash with another half way.
    locked.rates.all().delete()
    for row in rows:
        row.authority = locked
        row._state.adding = True
        row.full_clean(exclude=["authority"])
        row.save(force_insert=True)
    event_write(person=person, verb="tax rates set", subject=str(locked)[:60], before=before, after=_said(locked))
    return locked


def _said(authority: TaxAuthority) -> str:
    rates = authority.rates.order_by("tax_class", "begin")
    return "; ".join(f"{row.tax_class} {row.rate.normalize():f} from {row.begin}" for row in rates)
