"""One change order: what it does to price, finish, hours and parts, and how it stands."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal

from quoting import QuoteRequest, QuoteResult, QuotingError, from_json, quote
from quoting.price import ResultDifference, result_difference, round_money
from quoting.request import Option
from quoting.result import OptionResult
from shop.models import Build, ChangeOrder, QuoteVersion
from shop.selectors.balances import issued_by_need, reserved_by_need
from shop.selectors.odds import kept_words, simulated
from shop.selectors.requests import quote_request
from shop.selectors.running import Base, base_of, needs_of, refusals_of
from shop.selectors.shop import shop_today, the_shop
from shop.selectors.spare_lines import SpareLine, open_lines, spare_after
from shop.selectors.standing import NO_WINDOW, Window, new_window, standing_promise, window_like
from shop.selectors.stock import Stores

NONE = Decimal(0)


@dataclass(frozen=True, kw_only=True)
class PartMove:
    """A component whose count changes: how many before and after, kept on the shelf and at the bench now; `spare` what
    of it is on orders and would not be needed any more.
    """

    name: str
    before: Decimal
    after: Decimal
    kept: Decimal
    at_bench: Decimal
    spare: tuple[SpareLine, ...] = ()

    @property
    def freed(self) -> Decimal:
        """What goes back to be free for others."""
        return max(min(self.kept, self.kept + self.at_bench - self.after), NONE)


@dataclass(frozen=True, kw_only=True)
class ChangeEffect:
    """What a change does: `difference` against what was agreed; windows so far, without and with it, as promised then.

    `deposit` what is asked further; `refusals` why the build cannot be changed so.
    """

    base: Base
    option: Option
    result: OptionResult
    difference: ResultDifference
    promised: Window
    without: Window
    expected: Window
    window: Window
    deposit: Decimal
    parts: tuple[PartMove, ...]
    refusals: tuple[str, ...]

    @property
    def due_change(self) -> Decimal:
        return self.result.price.due - self.base.result.price.due

    @property
    def hours_change(self) -> Decimal:
        return self.result.price.quoted_h - self.base.result.price.quoted_h

    @property
    def has_allowance(self) -> bool:
        """Whether what is to pay is not the total."""
        return bool(self.result.price.allowance or self.base.result.price.allowance)

    @property
    def own_days(self) -> int | None:
        """By how much the change itself moves the expected last day."""
        before, after = self.without[1], self.expected[1]
        return (after - before).days if before and after else None

    @property
    def kept_words(self) -> str:
        """How sure the last day promised then is: "kept in 8 of 10 runs"; empty without runs."""
        odds = self.result.promise.odds if self.result.promise else None
        return kept_words(odds.chance_by(self.window[1])) if odds and self.window[1] else ""

    @property
    def later_days(self) -> int | None:
        """By how much the promised last day moves; None without one before or after."""
        before, after = self.promised[1], self.window[1]
        return (after - before).days if before and after else None


@dataclass(frozen=True, kw_only=True)
class ChangePage:
    """`effect` None while a draft can't be worked out; `problem` then says why. `may_accept` while it is open."""

    change: ChangeOrder
    effect: ChangeEffect | None
    problem: str
    may_accept: bool

    @property
    def version(self) -> QuoteVersion:
        return self.change.version

    @property
    def build(self) -> Build:
        return self.change.build


def change_by_id(public_id: str) -> ChangeOrder:
    """Raises ChangeOrder.DoesNotExist."""
    rows = ChangeOrder.objects.select_related(
        "build__customer", "build__donor", "base__quote", "version__quote__customer", "started_by", "accepted_by"
    )
    return rows.get(public_id=public_id)


def change_page(public_id: str) -> ChangePage:
    """One change order by its public id. Raises ChangeOrder.DoesNotExist."""
    change = change_by_id(public_id)
    version, effect, problem = change.version, None, ""
    try:
        effect = effect_of(change)
    except QuotingError as error:
        problem = str(error)
    valid = version.valid_until is not None and version.valid_until >= shop_today()
    return ChangePage(change=change, effect=effect, problem=problem, may_accept=version.state == "offered" and valid)


def effect_of(
    change: ChangeOrder, *, request: QuoteRequest | None = None, result: OptionResult | None = None
) -> ChangeEffect:
    """What a change does: as frozen once it was offered, from its rows while it is a draft.

    `request` and `result` of a draft save their work when they are at hand. Raises quoting's RequestError when a draft
    can't be worked out.
    """
    version = change.version
    if version.request is not None:
        request = from_json(QuoteRequest, version.request)
        result = from_json(QuoteResult, version.result).options[0]
        promised, without = (change.promised_from, change.promised_to), (change.without_from, change.without_to)
        deposit = change.deposit or NONE
    else:
        request, runs = request or quote_request(version, with_catalogue=False), simulated()
        result = result or quote(request, runs).options[0]
        promised = (change.build.promised_from, change.build.promised_to)
        without = window_like(standing_promise(change.build.number, runs), result.promise)
        deposit = NONE
    return _effect(change, request.options[0], result, promised, without, deposit)


def _effect(
    change: ChangeOrder, option: Option, result: OptionResult, promised: Window, without: Window, deposit: Decimal
) -> ChangeEffect:
    base = base_of(change)
    expected = (result.promise.finish_from, result.promise.finish_to) if result.promise else NO_WINDOW
    is_draft = change.version.is_draft
    more = max(result.price.due - base.result.price.due, NONE)
    asked = round_money(the_shop().change_deposit_rate * more, result.price.currency) if is_draft else deposit
    return ChangeEffect(
        base=base,
        option=option,
        result=result,
        difference=result_difference(base.result, result),
        promised=promised,
        without=without,
        expected=expected,
        window=new_window(promised, without, expected),
        deposit=asked,
        parts=tuple(_parts(change, base.option, option)) if change.accepted_at is None else (),
        refusals=refusals_of(change, option) if change.accepted_at is None else (),
    )


def _parts(change: ChangeOrder, before: Option, after: Option) -> Iterable[PartMove]:
    kept, issued, needs = reserved_by_need(), issued_by_need(), needs_of(change)
    was, now = _counts(before), _counts(after)
    names = {part.code: part.name for part in (*before.parts, *after.parts)}
    less = [need.component for code, need in needs.items() if was.get(code, NONE) > now.get(code, NONE)]
    lines = open_lines([component.pk for component in less]) if less else []
    stores = Stores([component.pk for component in less]) if lines else None
    for code in dict.fromkeys((*now, *was)):
        if was.get(code, NONE) != now.get(code, NONE):
            need = needs.get(code)
            move = PartMove(
                name=names[code],
                before=was.get(code, NONE),
                after=now.get(code, NONE),
                kept=kept.get(need.pk, NONE) if need else NONE,
                at_bench=issued.get(need.pk, NONE) if need else NONE,
            )
            off = move.before - move.after
            if need is not None and stores is not None and off > 0:
                move = replace(move, spare=tuple(spare_after(need.component, move.freed, off, stores, lines)))
            yield move


def _counts(option: Option) -> dict[str, Decimal]:
    counts: dict[str, Decimal] = {}
    for part in option.parts:
        counts[part.code] = counts.get(part.code, NONE) + part.quantity
    return counts


def changes_of_build(build: Build) -> tuple[ChangeOrder, ...]:
    """All of a build, the newest first."""
    return tuple(build.changes.select_related("version").defer("version__request", "version__result"))


def change_for_customer(token: str, public_id: str) -> ChangeOrder:
    """An offered change order to the build of a customer's link. Raises ChangeOrder.DoesNotExist for any other."""
    change = change_by_id(public_id)
    own = {change.build.link_token, change.version.quote.link_token}
    if token not in own or change.version.is_draft:
        raise ChangeOrder.DoesNotExist(f"no change order {public_id} behind this link")
    return change
