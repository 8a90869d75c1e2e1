"""Whatever is quoted, the sheet adds up to the minor unit."""

from decimal import Decimal
from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from quoting.price import minor_digits, price_difference
from quoting.request import (
    TAX_CLASSES,
    Allowance,
    Authority,
    DatedRate,
    Discount,
    ExtraLine,
    Option,
    PartLine,
    Policies,
    StepLine,
    TaxPlace,
)
from quoting.result import PriceSheet
from tests.quoting.price.quotes import LONG_AGO, sheet

CURRENCIES = st.sampled_from(["USD", "JPY", "KWD"])
ROUNDING = st.sampled_from(["invoice", "rate", "line"])
CLASSES = st.sampled_from(TAX_CLASSES)
RATES = st.decimals(min_value=0, max_value=Decimal("0.3"), places=5)


def amount(top: int, places: int = 2) -> st.SearchStrategy[Decimal]:
    return st.decimals(min_value=0, max_value=top, places=places)


PARTS = st.builds(
    PartLine,
    code=st.sampled_from(["A", "B", "C"]),
    kind=st.just("other"),
    name=st.just("Part"),
    quantity=st.one_of(st.integers(0, 40).map(Decimal), amount(30, 2)),
    unit_price=amount(5000, 3),
    unit_cost=amount(4000, 4),
    unit=st.sampled_from(["piece", "m"]),
    tax_class=CLASSES,
)
STEPS = st.builds(
    lambda points, rate, cost, tax_class: StepLine(
        code="S",
        label="Step",
        low_h=points[0],
        likely_h=points[1],
        high_h=points[2],
        rate=rate,
        cost_rate=cost,
        tax_class=tax_class,
    ),
    st.lists(amount(40, 1), min_size=3, max_size=3).map(sorted),
    amount(150),
    amount(90),
    CLASSES,
)
EXTRAS = st.builds(
    ExtraLine, kind=st.just("fee"), label=st.just("Fee"), amount=amount(900, 3), cost=amount(500), tax_class=CLASSES
)
DISCOUNTS = st.one_of(st.none(), st.builds(Discount, reason=st.just("x"), rate=st.decimals(0, 1, places=3)))
OPTIONS = st.builds(
    Option,
    key=st.just("a"),
    label=st.just("A"),
    parts=st.lists(PARTS, max_size=6).map(tuple),
    steps=st.lists(STEPS, max_size=4).map(tuple),
    extras=st.lists(EXTRAS, max_size=3).map(tuple),
    discount=DISCOUNTS,
    allowance=st.one_of(st.none(), st.builds(Allowance, label=st.just("Old engine"), amount=amount(3000))),
    contingency_rate=st.decimals(0, Decimal("0.2"), places=3),
)
POLICIES = st.builds(
    Policies,
    tax_rounding=ROUNDING,
    deposit_rate=st.decimals(0, 1, places=2),
    deposit_minimum=amount(2000),
    deposit_fixed=st.one_of(st.none(), amount(2000)),
)


@st.composite
def authorities(draw: st.DrawFn, limits: bool) -> tuple[Authority, ...]:
    made = []
    for number in range(draw(st.integers(1, 4))):
        rates = []
        for tax_class in TAX_CLASSES:
            taxed = draw(st.booleans())
            rates.append(
                DatedRate(
                    tax_class=tax_class,
                    rate=draw(RATES) if taxed else Decimal(0),
                    begin=LONG_AGO,
                    taxed=taxed,
                    cap=draw(st.one_of(st.none(), st.decimals(1, 9000, places=2))) if limits else None,
                    threshold=draw(st.one_of(st.none(), amount(500))) if limits else None,
                    per_item=draw(st.booleans()) if limits else False,
                )
            )
        made.append(Authority(name=f"Authority {number}", level="city", rates=tuple(rates)))
    return tuple(made)


def places(mode: str, limits: bool) -> st.SearchStrategy[TaxPlace]:
    return authorities(limits).map(lambda made: TaxPlace(code="X", name="X", mode=mode, authorities=made))


def adds_up(priced: PriceSheet, policies: Policies) -> None:
    """What holds in every mode."""
    lines = sum((line.amount for line in priced.lines), Decimal(0))
    assert priced.parts + priced.hours + priced.extras + priced.contingency + priced.discount == lines
    assert priced.tax_total is not None
    assert sum(share.amount for share in priced.taxes) == priced.tax_total
    assert all(share.amount >= 0 and share.taxable >= 0 for share in priced.taxes)
    assert priced.net + priced.tax_total == priced.total
    assert priced.due == priced.total - priced.allowance
    assert 0 <= priced.deposit <= max(priced.due, Decimal(0))
    if priced.due >= 0 and policies.deposit_fixed is None:
        assert priced.deposit >= min(priced.due, policies.deposit_minimum.quantize(Decimal(1)) - 1)
    assert priced.cost is not None
    assert priced.margin == priced.net - priced.cost
    assert sum(line.margin for line in priced.lines if line.margin is not None) == priced.margin
    digits = minor_digits(priced.currency)
    figures = [priced.net, priced.tax_total, priced.total, priced.due, priced.deposit, priced.cost, priced.margin]
    figures += [value for line in priced.lines for value in (line.amount, line.cost) if value is not None]
    figures += [value for share in priced.taxes for value in (share.amount, share.taxable)]
    assert {figure.as_tuple().exponent for figure in figures} <= {-digits}


@settings(max_examples=120, deadline=None)
@given(OPTIONS, places("added", limits=True), POLICIES, CURRENCIES)
def test_a_sheet_with_tax_added_adds_up(option: Option, place: TaxPlace, policies: Policies, currency: str) -> None:
    priced = sheet(option, place, policies, currency)
    adds_up(priced, policies)
    assert sum((line.amount for line in priced.lines), Decimal(0)) == priced.net
    assert all(share.taxable <= priced.net for share in priced.taxes)


@settings(max_examples=120, deadline=None)
@given(OPTIONS, places("included", limits=False), POLICIES, CURRENCIES)
def test_a_sheet_with_tax_included_adds_up(option: Option, place: TaxPlace, policies: Policies, currency: str) -> None:
    priced = sheet(option, place, policies, currency)
    adds_up(priced, policies)
    assert sum((line.amount for line in priced.lines), Decimal(0)) == priced.total


@settings(max_examples=150, deadline=None)
@given(OPTIONS, places("added", limits=False), CURRENCIES)
def test_tax_by_invoice_is_the_exact_tax_to_within_the_spread_of_cents(
    option: Option, place: TaxPlace, currency: str
) -> None:
    """Worked a second way: classes summed, discount and contingency in exact proportion, no cent anywhere."""
    priced = sheet(option, place, Policies(), currency)
    by_class = dict.fromkeys(TAX_CLASSES, Fraction(0))
    covered = dict.fromkeys(TAX_CLASSES, Fraction(0))
    for line in priced.lines:
        if line.tax_class:
            by_class[line.tax_class] += Fraction(line.amount)
            covered[line.tax_class] += Fraction(line.amount) if line.group in ("parts", "hours") else 0
    for name, part in covered.items():
        by_class[name] += Fraction(priced.contingency) * part / (sum(covered.values()) or 1)
    gross = sum(by_class.values())
    kept = 1 + Fraction(priced.discount) / gross if gross else Fraction(0)
    rates = [(rate.tax_class, Fraction(rate.rate)) for authority in place.authorities for rate in authority.rates]
    exact = sum(by_class[name] * kept * rate for name, rate in rates)
    # Each line's and class's share of discount and contingency is off by less than a unit, taxed at 1.2 at the most.
    slack = (len(priced.lines) + len(TAX_CLASSES)) * Fraction(12, 10) + Fraction(1, 2)
    assert priced.tax_total is not None
    assert abs(Fraction(priced.tax_total) - exact) * 10 ** minor_digits(currency) <= slack


@settings(max_examples=100, deadline=None)
@given(OPTIONS, OPTIONS, places("added", limits=False))
def test_the_lines_of_a_difference_add_up_to_it(before: Option, after: Option, place: TaxPlace) -> None:
    old, new = sheet(before, place), sheet(after, place)
    difference = price_difference(old, new)
    assert sum((change.amount for change in difference.lines), Decimal(0)) == new.net - old.net
    assert price_difference(new, new).is_empty
