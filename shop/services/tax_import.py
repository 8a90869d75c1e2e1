"""The tax files states publish: looked over, applied when a person has seen what they would do."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import timedelta
from decimal import Decimal

from django.contrib.auth.models import User
from django.db import transaction
from django.db.models import QuerySet

from shop.importing.problems import FileError, RowProblem
from shop.importing.sst_files import STATE
from shop.importing.sst_rates import RateRow, read_rates
from shop.importing.sst_zips import ZipCount, ZipRow, read_zips
from shop.models import ImportFile, ImportSubject, TaxAuthority, TaxBoundary, TaxClass, TaxRate
from shop.services.errors import Refused
from shop.services.events import event_write
from shop.services.import_files import file_applied, kept_file
from shop.services.tax import tax_rate_problems, tax_rates_set

MOST_ZIPS = 100_000  # rows kept of a boundary file; our own choice: writing them keeps others waiting some 15 s
BATCH = 2_000


@dataclass(frozen=True, kw_only=True)
class AuthorityPlan:
    """One authority of a rate file: what it is called, its rates as they would be; `change` added, changed or ""."""

    code: str
    name: str
    level: str
    change: str
    rates: tuple[TaxRate, ...]
    newest: Decimal


@dataclass(frozen=True, kw_only=True)
class RatePlan:
    """What a rate file would do. `fingerprint` of the file, the choices and the rates as they stand."""

    authorities: tuple[AuthorityPlan, ...]
    problems: tuple[RowProblem, ...]
    fingerprint: str

    @property
    def added(self) -> int:
        return sum(each.change == "added" for each in self.authorities)

    @property
    def changed(self) -> int:
        return sum(each.change == "changed" for each in self.authorities)

    @property
    def unchanged(self) -> int:
        return len(self.authorities) - self.added - self.changed

    @property
    def may_apply(self) -> bool:
        return not self.problems and bool(self.added or self.changed)


@dataclass(frozen=True, kw_only=True)
class ZipPlan:
    """What a boundary file would do: rows that are kept, by kind, and what is passed over."""

    zips: int
    extensions: int
    addresses: int
    elsewhere: int
    replaced: int
    without_rates: tuple[str, ...]
    problems: tuple[RowProblem, ...]
    wrong: int
    fingerprint: str

    @property
    def kept(self) -> int:
        return self.zips + self.extensions

    @property
    def may_apply(self) -> bool:
        return not self.wrong and 0 < self.kept <= MOST_ZIPS


def rate_plan(file: ImportFile) -> RatePlan:
    """What a kept rate file would do now. Raises FileError."""
    read = read_rates(bytes(file.content), file.filename)
    if not read.rows and not read.problems:
        raise FileError("No row of the file is a rate. Choose the state's rate file.")
    classes = [str(name) for name in file.choices.get("classes", [])]
    by_code: dict[str, list[RateRow]] = {}
    for row in read.rows:
        by_code.setdefault(row.code, []).append(row)
    found = TaxAuthority.objects.filter(code__in=by_code).prefetch_related("rates")
    known = {authority.code: authority for authority in found}
    problems = list(read.problems)
    plans = []
    for code, rows in by_code.items():
        plan = _authority(code, rows, known.get(code), classes, str(file.choices.get("state_name", "")))
        problems.extend(_seams(plan.rates, rows, code))
        plans.append(plan)
    stand = ";".join(sorted(f"{plan.code} {plan.change}" for plan in plans))
    seal = hashlib.sha256(f"{file.sha256}{classes}{stand}".encode()).hexdigest()
    return RatePlan(authorities=tuple(plans), problems=tuple(problems), fingerprint=seal)


def zip_plan(file: ImportFile) -> ZipPlan:
    """What a kept boundary file would do now. Raises FileError."""
    count = ZipCount()
    zips = extensions = 0
    codes: set[str] = set()
    states: set[str] = set()
    for row in read_zips(bytes(file.content), file.filename, count, _beginnings(file)):
        zips += row.kind == TaxBoundary.Kind.ZIP
        extensions += row.kind == TaxBoundary.Kind.PLUS_4
        codes.update(row.codes)
        states.add(row.state)
    known = set(TaxAuthority.objects.filter(code__in=codes).values_list("code", flat=True))
    return ZipPlan(
        zips=zips,
        extensions=extensions,
        addresses=count.addresses,
        elsewhere=count.elsewhere,
        replaced=_before(states, _beginnings(file)).count(),
        without_rates=tuple(sorted(codes - known)),
        problems=tuple(count.problems),
        wrong=count.wrong,
        fingerprint=file.sha256,
    )


@transaction.atomic
def tax_file_apply(*, file: ImportFile, person: User, shown: str) -> ImportFile:
    """Apply a kept file, exactly as `shown` by its plan's fingerprint. Safe to repeat: applied once, it stays so.

    Raises Refused when the file has problems, or the rates are not as they were shown.
    """
    row = kept_file(file)
    if row.applied_at is not None:
        return row
    try:
        rates = row.subject == ImportSubject.TAX_RATES
        outcome = _rates_apply(row, person, shown) if rates else _zips_apply(row, shown)
    except FileError as error:
        raise Refused(str(error)) from error
    event_write(person=person, verb="tax file read", subject=row.filename[:60], after=outcome)
    return file_applied(row, outcome)


def _rates_apply(file: ImportFile, person: User, shown: str) -> str:
    plan = rate_plan(file)
    if plan.problems:
        raise Refused("Some rows are wrong. Nothing is applied until every row is right.")
    if plan.fingerprint != shown:
        raise Refused("The rates have changed since this was shown. Look it over again.")
    for each in plan.authorities:
        if each.change:
            made, _ = TaxAuthority.objects.get_or_create(
                code=each.code, defaults={"name": each.name, "level": each.level}
            )
            tax_rates_set(authority=made, rows=each.rates, person=person)
    return f"{plan.added} authorities added, {plan.changed} changed, {plan.unchanged} unchanged"


def _zips_apply(file: ImportFile, shown: str) -> str:
    plan = zip_plan(file)
    if plan.fingerprint != shown or not plan.may_apply:
        raise Refused("The file cannot be applied as it is. Look it over again.")
    rows = list(read_zips(bytes(file.content), file.filename, ZipCount(), _beginnings(file)))
    _before({row.state for row in rows}, _beginnings(file)).delete()
    TaxBoundary.objects.bulk_create((_boundary(row) for row in rows), batch_size=BATCH)
    return f"{plan.zips} ZIP and {plan.extensions} ZIP+4 rows in place of {plan.replaced}"


def _boundary(row: ZipRow) -> TaxBoundary:
    return TaxBoundary(
        state=row.state,
        kind=row.kind,
        zip_low=row.zip_low,
        zip_high=row.zip_high,
        plus_low=row.plus_low,
        plus_high=row.plus_high,
        begin=row.begin,
        end=row.end,
        codes=list(row.codes),
    )


def _beginnings(file: ImportFile) -> tuple[str, ...]:
    return tuple(str(each) for each in file.choices.get("beginnings", []))


def _before(states: Iterable[str], beginnings: Sequence[str]) -> QuerySet[TaxBoundary]:
    """Rows a file takes the place of: its states', where it was narrowed only those it may hold."""
    rows = TaxBoundary.objects.filter(state__in=list(states))
    if not beginnings:
        return rows
    wanted = rows.none()
    for beginning in beginnings:
        wanted = wanted | rows.filter(zip_low__lte=beginning.ljust(5, "9"), zip_high__gte=beginning.ljust(5, "0"))
    return wanted


def _authority(
    code: str, rows: Sequence[RateRow], known: TaxAuthority | None, classes: Sequence[str], state_name: str
) -> AuthorityPlan:
    before = list(known.rates.all()) if known else []
    rates = [rate for tax_class in TaxClass.values for rate in _class_rates(tax_class, rows, before, classes)]
    change = "added" if known is None else "changed"
    if known is not None and sorted(map(_key, before)) == sorted(map(_key, rates)):
        change = ""
    newest = max(rows, key=lambda row: row.begin).rate
    name, level = (known.name, known.level) if known else (_name(code, rows[0].level, state_name), rows[0].level)
    return AuthorityPlan(code=code, name=name, level=level, change=change, rates=tuple(rates), newest=newest)


def _class_rates(
    tax_class: str, rows: Sequence[RateRow], before: Sequence[TaxRate], classes: Sequence[str]
) -> list[TaxRate]:
    """The rates of one class: from the file's first day on the file's, before it those there were.

    A class the general rate does not hold for keeps what was entered, else is entered as not taxed. A cap or threshold
    that was entered by hand goes on with the new rates: the file does not know it.
    """
    own = [rate for rate in before if rate.tax_class == tax_class]
    first = min(row.begin for row in rows)
    if tax_class not in classes:
        return own or [TaxRate(tax_class=tax_class, taxed=False, rate=Decimal(0), begin=first)]
    kept = []
    for rate in own:
        if rate.begin < first:
            ends = rate.end is None or rate.end >= first
            kept.append(_copy(rate, end=first - timedelta(days=1) if ends else rate.end))
    limits = max(own, key=lambda rate: rate.begin) if own else None
    for row in rows:
        made = TaxRate(tax_class=tax_class, rate=row.rate, begin=row.begin, end=row.end)
        if limits is not None:
            made.cap, made.threshold = limits.cap, limits.threshold
            made.per_item, made.whole = limits.per_item, limits.whole
        kept.append(made)
    return kept


def _copy(rate: TaxRate, /, **changed: object) -> TaxRate:
    names = ("tax_class", "taxed", "rate", "begin", "end", "cap", "threshold", "per_item", "whole")
    return TaxRate(**{**{name: getattr(rate, name) for name in names}, **changed})


def _key(rate: TaxRate) -> tuple[str, ...]:
    names = ("tax_class", "taxed", "begin", "end", "cap", "threshold", "per_item", "whole")
    return (f"{Decimal(rate.rate).normalize():f}", *(str(getattr(rate, name)) for name in names))


def _seams(rates: Sequence[TaxRate], rows: Sequence[RateRow], code: str) -> list[RowProblem]:
    """Gaps and overlaps of one authority, told at the file's own row."""
    at = {row.begin: row.row for row in rows}
    found: dict[str, RowProblem] = {}
    for index, problem in tax_rate_problems(rates):
        row = at.get(rates[index].begin, rows[0].row)
        found.setdefault(
            f"{row}", RowProblem(row=row, column="begin", problem=f"{code}: {problem.problem}", remedy=problem.remedy)
        )
    return list(found.values())


def _name(code: str, level: str, state_name: str) -> str:
    state, kind, own = code.split("-")
    whole = state_name.strip() or f"State {state}"
    return whole if kind == STATE else f"{whole}, {level} {own}"
