"""A build's lines as the Counter shows them: the row, what it comes to, where its parts come from, its form."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property, partial

from quoting.parts import KINDS
from quoting.result import OptionResult, PartPromise, PlannedStep, PriceLine
from shop import written
from shop.forms.base import ShopForm
from shop.forms.quotes import PartForm, StepForm
from shop.models import OptionPart, OptionStep, QuoteOption, Shop
from shop.services.quotes.options import PACK_KINDS

ORDER = {code: number for number, code in enumerate(KINDS)}

Typed = Mapping[str, ShopForm]


@dataclass(frozen=True)
class PartView:
    """A component on the option. `counted`: its count follows the pack plan. `sources` where its units come from."""

    row: OptionPart
    line: PriceLine | None
    sources: tuple[PartPromise, ...]
    counted: bool
    make_form: Callable[[], ShopForm]

    @cached_property
    def form(self) -> ShopForm:
        """Made when it is drawn: an answer with figures alone needs none."""
        return self.make_form()

    @property
    def id(self) -> str:
        return self.row.component.public_id

    @property
    def kind_label(self) -> str:
        return KINDS[self.row.component.kind].label

    @property
    def by_hand(self) -> bool:
        return self.row.unit_price is not None


@dataclass(frozen=True)
class StepView:
    """A step of work. `line` None while it has no hours."""

    row: OptionStep
    line: PriceLine | None
    planned: PlannedStep | None
    make_form: Callable[[], ShopForm]

    @cached_property
    def form(self) -> ShopForm:
        return self.make_form()


def part_prefix(component_id: str) -> str:
    return f"part-{component_id}"


def step_prefix(code: str) -> str:
    return f"step-{code}"


def part_form(row: OptionPart, option: QuoteOption, shop: Shop, data: Mapping[str, object] | None = None) -> PartForm:
    """The form of one part line, filled with the row or with what was sent."""
    return PartForm(
        data,
        shop=shop,
        prefix=part_prefix(row.component.public_id),
        kind=row.component.kind,
        counted=is_counted(row, option),
        initial={"quantity": row.quantity, "conductors": row.conductors, "unit_price": row.unit_price},
    )


def step_form(
    row: OptionStep, shop: Shop, data: Mapping[str, object] | None = None, line: PriceLine | None = None
) -> StepForm:
    """The form of a step's hours; empty it shows the quoted estimate of its price line."""
    form = StepForm(data, shop=shop, prefix=step_prefix(row.code), initial={"hours": row.hours})
    if line is not None and row.hours is None:
        form.fields["hours"].widget.attrs["placeholder"] = written.quantity(line.quantity, shop.locale)
    return form


def is_counted(row: OptionPart, option: QuoteOption) -> bool:
    """Cells and modules are counted by the pack plan where there is one."""
    return row.component.kind in PACK_KINDS and bool(option.series and option.parallel)


def part_views(option: QuoteOption, shown: OptionResult | None, shop: Shop, typed: Typed) -> tuple[PartView, ...]:
    """Lines in the order a bike is built up."""
    lines = _by_code(shown, "parts")
    sources: dict[str, list[PartPromise]] = {}
    for source in shown.promise.parts if shown and shown.promise else ():
        sources.setdefault(source.code, []).append(source)
    rows = sorted(option.parts.all(), key=lambda row: (ORDER[row.component.kind], row.component.name))
    return tuple(
        PartView(
            row=row,
            line=lines.get(row.component.code),
            sources=tuple(sources.get(row.component.code, ())),
            counted=is_counted(row, option),
            make_form=partial(_typed_or, typed.get(part_prefix(row.component.public_id)), part_form, row, option, shop),
        )
        for row in rows
    )


def step_views(option: QuoteOption, shown: OptionResult | None, shop: Shop, typed: Typed) -> tuple[StepView, ...]:
    lines = _by_code(shown, "hours")
    planned = {step.code: step for step in (shown.promise.steps if shown and shown.promise else ())}
    return tuple(
        StepView(
            row=row,
            line=lines.get(row.code),
            planned=planned.get(row.code),
            make_form=partial(
                _typed_or, typed.get(step_prefix(row.code)), step_form, row, shop, line=lines.get(row.code)
            ),
        )
        for row in option.steps.all()
    )


def _typed_or(typed: ShopForm | None, make: Callable[..., ShopForm], *args: object, **kwargs: object) -> ShopForm:
    """The form that was sent and refused, else a fresh one."""
    return typed or make(*args, **kwargs)


def _by_code(shown: OptionResult | None, group: str) -> dict[str, PriceLine]:
    return {line.code: line for line in shown.price.lines if line.group == group} if shown else {}
