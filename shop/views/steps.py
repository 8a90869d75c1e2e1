"""What can be pressed at each step of a build: start it, or finish the one under way."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from shop.forms.base import ShopForm
from shop.forms.bench import FinishForm, StartForm
from shop.models import Person, Shop, StepState
from shop.selectors.bench import Hands
from shop.selectors.builds import StepRow

BENCH = "bench"  # what a form says when it was pressed on one's own bench, not on the build's page


@dataclass(frozen=True, kw_only=True)
class StepActs:
    """One step with the form that starts it or finishes it; None where neither can be. `leads`: the first of them."""

    row: StepRow
    start: StartForm | None
    finish: FinishForm | None
    leads: bool = False


def acts_of(
    rows: Sequence[StepRow], hands: Hands, me: Person | None, shop: Shop, refused: ShopForm | None = None
) -> tuple[StepActs, ...]:
    """`refused` the form that came back with words: it stands in the place of a fresh one."""
    acts = [_acts(row, hands, me, shop, refused) for row in rows]
    first = next((each for each in acts if each.start or each.finish), None)
    return tuple(replace(each, leads=each is first) for each in acts)


def _acts(row: StepRow, hands: Hands, me: Person | None, shop: Shop, refused: ShopForm | None) -> StepActs:
    prefix = f"step-{row.step.public_id}"
    start, finish = None, None
    if refused is not None and refused.prefix == prefix:
        start = refused if isinstance(refused, StartForm) else None
        finish = refused if isinstance(refused, FinishForm) else None
    if row.can_start and start is None:
        start = StartForm(shop=shop, step=row.step, hands=hands, me=me, plan=row.planned)
    if row.step.state == StepState.DOING and finish is None:
        finish = FinishForm(shop=shop, prefix=prefix)
    return StepActs(row=row, start=start, finish=finish)
