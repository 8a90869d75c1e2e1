"""Parts that may stand in for another on a build, and what the rules find when they do."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal

from quoting import from_json, quote
from quoting.request import Option, PartLine, QuoteRequest
from quoting.result import Finding
from shop.models import Build, Component, PartNeed, Substitute
from shop.selectors.balances import Balance, stock_balances

EMPTY = Balance()
STOP, CHECK = "stop", "check"
# What only says when a part comes: the shelf and the orders answer that, not the request of the day it was agreed.
OF_SUPPLY = frozenset({"lead-time-unknown", "no-finish-date", "part-discontinued", "price-stale"})


@dataclass(frozen=True, kw_only=True)
class StandIn:
    """One part in another's place on one build. `stops` and `checks` are those the build does not have as it stands."""

    component: Component
    note: str
    free: Decimal
    stops: tuple[Finding, ...]
    checks: tuple[Finding, ...]

    @property
    def fits(self) -> bool:
        return not self.stops


def stand_ins(need: PartNeed) -> tuple[StandIn, ...]:
    """What may take a need's place, each checked on its build; what was quoted among them when it was replaced.

    Empty when nothing is entered. Raises quoting's RequestError for a build without a readable request.
    """
    pairs = list(Substitute.objects.filter(component=need.instead_of or need.component).select_related("stand_in"))
    wanted = {pair.stand_in: pair.note for pair in pairs if pair.stand_in_id != need.component_id}
    if need.instead_of is not None:
        wanted[need.instead_of] = "as quoted"
    if not wanted:
        return ()
    request = request_of(need.build)
    before = _findings(request)
    balances = stock_balances([component.pk for component in wanted])
    found = []
    for component, note in wanted.items():
        new = [each for each in _findings(swapped(request, need.component, component)) if each not in before]
        found.append(
            StandIn(
                component=component,
                note=note,
                free=balances.get(component.pk, EMPTY).free,
                stops=tuple(each for each in new if each.level == STOP),
                checks=tuple(each for each in new if each.level == CHECK),
            )
        )
    return tuple(found)


def request_of(build: Build) -> QuoteRequest:
    """What was agreed for a build, one option, with the parts that took another's place since."""
    request = from_json(QuoteRequest, build.version.request)
    request = replace(request, options=tuple(each for each in request.options if each.key == build.option_key))
    for need in build.needs.filter(instead_of__isnull=False).select_related("component", "instead_of"):
        if need.instead_of is not None:
            request = swapped(request, need.instead_of, need.component)
    return request


def swapped(request: QuoteRequest, old: Component, new: Component) -> QuoteRequest:
    """The same request with one part in another's place, at the price that was agreed."""
    return replace(request, options=tuple(_swapped_option(option, old.code, new) for option in request.options))


def _swapped_option(option: Option, code: str, new: Component) -> Option:
    parts = tuple(_swapped_line(part, new) if part.code == code else part for part in option.parts)
    return replace(option, parts=parts)


def _swapped_line(part: PartLine, new: Component) -> PartLine:
    return replace(
        part, code=new.code, kind=new.kind, name=new.name, spec=new.spec, unit=new.unit, x_m=new.x_m,
        discontinued=new.discontinued,
    )  # fmt: skip


def _findings(request: QuoteRequest) -> tuple[Finding, ...]:
    result = quote(request)
    found = (finding for option in result.options for finding in option.findings)
    return tuple(finding for finding in found if finding.rule not in OF_SUPPLY)


def said(findings: tuple[Finding, ...]) -> str:
    """Findings in one line of words."""
    return "; ".join(finding.explanation for finding in findings)
