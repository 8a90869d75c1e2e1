"""Tax on payments that come before the goods: when it falls due, on how much, and at which rate.

Council Directive 2006/112/EC, Article 65: "Where a payment is to be made on account before the goods or services are
supplied, VAT shall become chargeable on receipt of the payment and on the amount received"; Article 93(a): in the
cases of Article 65 the rate is that in force when VAT becomes chargeable; both confirmed in HMRC's internal manual,
VATTOS2440 and VATTOS2470. Article 95 lets a country adjust that when rates change (VATTOS2480). Article 226(7) and (8),
what an invoice says of payments on account and of amounts by rate: read in a public summary of the directive. It has no
example with figures: every amount below is worked by hand, and rates and prices are invented.
"""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from quoting.price import TaxAhead, keep_rates, part_of, rates_are_same, tax_of, taxed_at_payment
from quoting.request import Allowance, Policies, TaxPlace
from quoting.result import PriceSheet
from tests.quoting.price.quotes import DAY, amounts, authority, option, part, place, rate, sheet

D = Decimal
INSIDE = place(authority("National", "0.20"), mode="included")
BIKE = option([part("2400.00")])


def paid(priced: PriceSheet, *payments: str) -> list[TaxAhead]:
    """What each payment is taxed, one after the other."""
    made: list[TaxAhead] = []
    for amount in payments:
        made.append(taxed_at_payment(priced, sum((each.gross for each in made), D(0)), D(amount)))
    return made


def raised(where: TaxPlace, new: str, day: date) -> TaxPlace:
    """The same place with another rate from a day on."""
    own = where.authorities[0]
    rates = (replace(each, end=date.fromordinal(day.toordinal() - 1)) for each in own.rates)
    after = (rate(each.tax_class, new, begin=day) for each in own.rates)
    return replace(where, authorities=(replace(own, rates=(*rates, *after)),))


def test_article_65_the_amount_received_is_taxed_when_it_is_received() -> None:
    # 600.00 × 20/120 = 100.00 on 500.00; the whole 2,400.00 × 20/120 = 400.00, so that 300.00 is left for the invoice.
    whole = sheet(BIKE, INSIDE)
    (deposit,) = paid(whole, "600.00")
    assert (deposit.gross, deposit.tax, deposit.shares[0].taxable) == (D("600.00"), D("100.00"), D("500.00"))
    assert (whole.tax_total or D(0)) - deposit.tax == D("300.00")


def test_where_tax_is_added_on_top_the_amount_received_holds_it_too() -> None:
    # 2,000.00 + 20 % = 2,400.00: 600.00 is a quarter of it, and so is its tax of 100.00.
    (deposit,) = paid(sheet(option([part("2000.00")]), place(authority("National", "0.20"))), "600.00")
    assert (deposit.tax, deposit.shares[0].taxable) == (D("100.00"), D("500.00"))


def test_the_parts_of_many_payments_add_up_to_the_tax_of_the_whole() -> None:
    # 1,000.00 × 20/120 = 166.67. After a third 55.555.. = 55.56, after two 111.11, so that the second part is 55.55.
    made = paid(sheet(option([part("1000.00")]), INSIDE), "333.33", "333.33", "333.34")
    assert [each.tax for each in made] == [D("55.56"), D("55.55"), D("55.56")]


def test_each_authority_has_its_share_of_a_payment() -> None:
    # 1,450.00 × 6 % = 87.00 and 1 % = 14.50: 1,551.50 in all. 465.45 is 30 % of it: 26.10 and 4.35.
    stack = place(authority("State", "0.06"), authority("County", "0.01", "county"))
    (deposit,) = paid(sheet(option([part("1450.00")]), stack), "465.45")
    assert [share.amount for share in deposit.shares] == [D("26.10"), D("4.35")]


def test_nothing_is_taxed_twice_nor_beyond_what_is_due() -> None:
    # 2,000.00 of 2,400.00, then 500.00: 400.00 of it is due, taxed 400 × 20/120 = 66.67 (333.33 before it).
    made = paid(sheet(BIKE, INSIDE), "2000.00", "500.00", "10.00")
    assert [(each.gross, each.tax) for each in made] == [
        (D("2000.00"), D("333.33")),
        (D("400.00"), D("66.67")),
        (D(0), D(0)),
    ]


def test_what_is_paid_with_the_old_engine_is_no_amount_received() -> None:
    # 2,400.00 less 400.00 for the engine: 2,000.00 × 20/120 = 333.33 is due with the money, 66.67 with the invoice.
    made = paid(sheet(replace(BIKE, allowance=Allowance(amount=D(400), label="Old engine")), INSIDE), "2400.00")
    assert [(each.gross, each.tax) for each in made] == [(D("2000.00"), D("333.33"))]


def test_who_is_exempt_is_not_taxed_at_payment_either() -> None:
    exempt = Policies(customer_tax_exempt=True, exempt_certificate="X-1")
    assert paid(sheet(BIKE, INSIDE, exempt), "600.00") == [TaxAhead()]


@pytest.mark.parametrize(
    ("mode", "price", "tax", "net", "total"),
    [
        # 600.00 at 20 % is 100.00. The rest, 1,800.00 × 21/121 = 312.397: 312.40. 2,400.00 - 412.40 = 1,987.60.
        ("included", "2400.00", "412.40", "1987.60", "2400.00"),
        # 600.00 holds 500.00 and 100.00. The rest, 1,500.00 × 21 % = 315.00. 2,000.00 + 415.00 = 2,415.00.
        ("added", "2000.00", "415.00", "2000.00", "2415.00"),
    ],
)
def test_article_93_the_part_that_was_taxed_keeps_its_rate(
    mode: str, price: str, tax: str, net: str, total: str
) -> None:
    later = date(2026, 7, 1)
    where = raised(place(authority("National", "0.20"), mode=mode), "0.21", later)
    bike = option([part(price)])
    (deposit,) = paid(sheet(bike, where), "600.00")
    assert not rates_are_same((where, DAY), (where, later), ["parts"])
    whole = keep_rates(sheet(bike, where, day=later), deposit)
    assert (whole.tax_total, whole.net, whole.total, whole.due) == (D(tax), D(net), D(total), D(total))
    rest = {"included": (D("1487.60"), D("312.40")), "added": (D("1500.00"), D("315.00"))}[mode]
    assert [(each.rates, each.taxable, each.amount) for each in whole.taxes] == [
        ((D("0.20"),), D("500.00"), D("100.00")),
        ((D("0.21"),), *rest),  # Article 226(8) has the taxable amount stand by rate
    ]


def test_paid_in_full_before_the_rate_changes_nothing_takes_the_new_one() -> None:
    # 2,400.00 × 20/120 = 400.00, whatever the rate is by then.
    later = date(2026, 7, 1)
    where = raised(INSIDE, "0.21", later)
    made = paid(sheet(BIKE, where), "2400.00")
    assert keep_rates(sheet(BIKE, where, day=later), made[0]).tax_total == D("400.00")


def test_a_refund_takes_back_its_part_of_the_tax() -> None:
    # 100.00 was charged on 600.00. When 450.00 is left of it, 75.00 is; when nothing is left, nothing.
    (deposit,) = paid(sheet(BIKE, INSIDE), "600.00")
    assert part_of(deposit, D("450.00"), "EUR").tax == D("75.00")
    assert part_of(deposit, D(0), "EUR") == TaxAhead()


@settings(max_examples=60, deadline=None)
@given(
    cents=st.integers(1, 10**6),
    cuts=st.lists(st.floats(0, 1), max_size=5),
    rates=st.lists(st.integers(1, 2500), min_size=1, max_size=3),
    mode=st.sampled_from(["added", "included"]),
)
def test_payments_in_full_are_taxed_in_full(cents: int, cuts: list[float], rates: list[int], mode: str) -> None:
    stack = [authority(f"A{at}", f"{each / 10000:.4f}", f"level {at}") for at, each in enumerate(rates)]
    priced = sheet(option([part(f"{cents / 100:.2f}")]), place(*stack, mode=mode))
    whole = int(priced.total * 100)
    marks = [0, *sorted(int(cut * whole) for cut in cuts), whole]
    made = paid(priced, *(f"{(b - a) / 100:.2f}" for a, b in pairwise(marks)))
    by_authority = {name: D(0) for name in amounts(priced)}
    for each in made:
        assert each.tax >= 0
        for share in each.shares:
            by_authority[share.authority] += share.amount
    assert by_authority == amounts(priced)
    assert tax_of(priced.taxes) == sum(each.tax for each in made)
