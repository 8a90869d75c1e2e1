"""A state's files looked over and applied, the look-up they feed, places made from it, holidays."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from django.contrib.auth.models import User

from quoting.price import price_sheet
from shop.importing.problems import FileError
from shop.models import Event, ImportFile, Shop, TaxAuthority, TaxBoundary, TaxPlace, TaxRate
from shop.selectors.tax import engine_tax_place
from shop.selectors.tax_lookup import tax_lookup, zip_of
from shop.selectors.tax_page import tax_page
from shop.services.errors import Refused
from shop.services.import_files import file_keep
from shop.services.tax_import import rate_plan, tax_file_apply, zip_plan
from shop.services.tax_places import tax_holiday_add, tax_place_of
from tests.quoting.price.quotes import option, part, quote
from tests.shop.importing.sst import RATES, zip_row
from tests.shop.queries import queries_of

D = Decimal
DAY = date(2026, 3, 2)
WHOLE = ("98-45-98", "98-00-007", "98-01-04500")


@pytest.fixture
def owner(shop: Shop, person: Callable[[str], User]) -> User:
    return person("owner")


def kept(owner: User, text: str, subject: str = "tax_rates", **choices: object) -> ImportFile:
    chosen = {"classes": ["parts"], "state_name": "Maren"} if subject == "tax_rates" else {"beginnings": []}
    return file_keep(
        content=text.encode(), filename="f.csv", subject=subject, choices={**chosen, **choices}, person=owner
    )


def rates_read(owner: User, text: str = RATES) -> ImportFile:
    file = kept(owner, text)
    return tax_file_apply(file=file, person=owner, shown=rate_plan(file).fingerprint)


def zips_read(owner: User, *rows: str, **choices: Any) -> ImportFile:
    file = kept(owner, "\n".join(rows), "tax_zips", **choices)
    return tax_file_apply(file=file, person=owner, shown=zip_plan(file).fingerprint)


def test_nothing_is_written_before_it_is_applied(owner: User) -> None:
    before = TaxAuthority.objects.count()
    plan = rate_plan(kept(owner, RATES))
    assert (plan.added, plan.changed, plan.unchanged, plan.may_apply) == (4, 0, 0, True)
    assert TaxAuthority.objects.count() == before


def test_authorities_and_their_periods_come_in(owner: User) -> None:
    rates_read(owner)
    county = TaxAuthority.objects.get(code="98-00-007")
    assert (county.name, county.level) == ("Maren, county 007", "county")
    parts = county.rates.filter(tax_class="parts").order_by("begin")
    assert [(rate.rate, rate.begin, rate.end) for rate in parts] == [
        (D("0.01"), date(2022, 4, 1), date(2026, 6, 30)),
        (D("0.015"), date(2026, 7, 1), None),
    ]
    assert not county.rates.get(tax_class="freight").taxed
    assert Event.objects.filter(verb="tax file read").count() == 1


def test_reading_it_again_changes_nothing_and_once_applied_it_stays(owner: User) -> None:
    first = rates_read(owner)
    assert tax_file_apply(file=first, person=owner, shown="anything").outcome == first.outcome
    plan = rate_plan(kept(owner, RATES))
    assert (plan.added, plan.changed, plan.unchanged, plan.may_apply) == (0, 0, 4, False)


def test_names_classes_and_limits_that_were_entered_stay(owner: User) -> None:
    rates_read(owner)
    county = TaxAuthority.objects.get(code="98-00-007")
    TaxAuthority.objects.filter(pk=county.pk).update(name="Heron County")
    county.rates.filter(tax_class="parts", end=None).update(cap=D(5000), per_item=True)
    county.rates.filter(tax_class="freight").update(taxed=True, rate=D("0.01"))
    place = tax_place_of(codes=WHOLE, person=owner)
    type(place).objects.update(tax_point="payment")
    rates_read(owner, "98,00,7,0.0175,0.0175,,,20270101,29991231\n")
    county.refresh_from_db()
    newest = county.rates.get(tax_class="parts", end=None)
    assert (county.name, newest.rate, newest.cap, newest.per_item) == ("Heron County", D("0.0175"), D(5000), True)
    assert county.rates.get(tax_class="parts", begin=date(2026, 7, 1)).end == date(2026, 12, 31)
    assert county.rates.get(tax_class="freight").rate == D("0.01")
    assert tax_place_of(codes=WHOLE, person=owner).tax_point == "payment"


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ("98,00,7,0.01,0.01,,,20220401,20260630\n98,00,7,0.02,0.02,,,20260601,29991231\n", "overlaps"),
        ("98,00,7,0.01,0.01,,,20220401,20260630\n98,00,7,0.02,0.02,,,20260801,29991231\n", "no rate from 2026-07-01"),
    ],
)
def test_gaps_and_overlaps_are_refused_at_their_row(owner: User, rows: str, words: str) -> None:
    file = kept(owner, rows)
    plan = rate_plan(file)
    (problem,) = plan.problems
    assert (problem.row, words in problem.problem) == (2, True)
    with pytest.raises(Refused, match="every row is right"):
        tax_file_apply(file=file, person=owner, shown=plan.fingerprint)
    assert not TaxAuthority.objects.filter(code="98-00-007").exists()


def test_rates_that_changed_since_they_were_shown_are_looked_over_again(owner: User) -> None:
    file = kept(owner, RATES)
    shown = rate_plan(file).fingerprint
    rates_read(owner)
    with pytest.raises(Refused, match="Look it over again"):
        tax_file_apply(file=file, person=owner, shown=shown)


def test_a_file_without_a_rate_is_refused(owner: User) -> None:
    with pytest.raises(FileError):
        rate_plan(kept(owner, " \n"))


def test_zip_plus_four_goes_before_zip(owner: User) -> None:
    rates_read(owner)
    zips_read(owner, zip_row("Z", "98001", place=""), zip_row("4", "98001", plus=("1000", "1999")))
    exact, wide = tax_lookup("1 Quay\nHeron 98001-1234", DAY), tax_lookup("98001-2000", DAY)
    assert (exact.by, exact.candidates[0].codes) == ("ZIP+4", WHOLE)
    assert (wide.by, wide.candidates[0].codes) == ("ZIP", WHOLE[:2])
    assert exact.is_sure
    assert exact.candidates[0].parts_rate == D("0.08")  # 5 + 1 + 2 %


def test_the_day_chooses_the_rate_and_the_row(owner: User) -> None:
    rates_read(owner)
    zips_read(owner, zip_row("Z", "98001", place="", end="20260630"), zip_row("Z", "98001", begin="20260701"))
    assert tax_lookup("98001", date(2026, 6, 30)).candidates[0].parts_rate == D("0.06")  # 5 + 1 %
    assert tax_lookup("98001", date(2026, 7, 1)).candidates[0].parts_rate == D("0.085")  # 5 + 1.5 + 2 %


def test_a_zip_in_several_places_shows_the_lowest_rate_first(owner: User) -> None:
    rates_read(owner)
    zips_read(owner, zip_row("Z", "98001"), zip_row("Z", "98001", place=""))
    found = tax_lookup("98001", DAY)
    assert [each.parts_rate for each in found.candidates] == [D("0.06"), D("0.08")]
    assert not found.is_sure


def test_a_zip_nobody_knows_gives_nothing_and_an_authority_without_rates_is_named(owner: User) -> None:
    assert tax_lookup("98001", DAY).candidates == ()
    assert tax_lookup("no zip here", DAY).zip5 == ""
    zips_read(owner, zip_row("Z", "98001"))
    (found,) = tax_lookup("98001", DAY).candidates
    assert (found.missing, found.parts_rate, found.place) == (WHOLE, None, None)
    with pytest.raises(Refused, match="Read the state's rate file"):
        tax_place_of(codes=found.codes, person=owner)


@pytest.mark.parametrize(
    ("address", "zips"),
    [
        ("1 Quay, Port Wren 98001", ("98001", "")),
        ("12345 Long Road\nHeron, 98001-0042", ("98001", "0042")),
        ("call 555-0100", ("", "")),
        ("98001234", ("", "")),
    ],
)
def test_the_last_zip_of_an_address_counts(address: str, zips: tuple[str, str]) -> None:
    assert zip_of(address) == zips


def test_a_place_is_made_once_and_taxes_by_its_stack(owner: User) -> None:
    rates_read(owner)
    place = tax_place_of(codes=WHOLE, person=owner)
    assert tax_place_of(codes=WHOLE, person=owner) == place
    made = option([part("1000.00")])
    priced = price_sheet(quote(made, engine_tax_place(place.pk, DAY), day=DAY), made)
    assert [(share.level, share.amount) for share in priced.taxes] == [
        ("state", D("50.00")),
        ("county", D("10.00")),
        ("city", D("20.00")),
    ]
    zips_read(owner, zip_row("Z", "98001"))
    assert tax_lookup("98001", DAY).candidates[0].place == place


def test_a_new_boundary_file_takes_the_place_of_the_old_where_it_reaches(owner: User) -> None:
    zips_read(owner, zip_row("Z", "98001"), zip_row("Z", "97001"))
    file = zips_read(owner, zip_row("Z", "98001", place=""), zip_row("Z", "97001", place=""), beginnings=["980"])
    assert file.outcome == "1 ZIP and 0 ZIP+4 rows in place of 1"
    assert [(row.zip_low, len(row.codes)) for row in TaxBoundary.objects.order_by("zip_low")] == [
        ("97001", 3),
        ("98001", 2),
    ]


def test_a_boundary_file_with_a_wrong_row_is_not_applied(owner: User) -> None:
    file = kept(owner, f"{zip_row('Z', '98001')}\n{zip_row('Z', 'x')}", "tax_zips")
    plan = zip_plan(file)
    assert (plan.kept, plan.wrong, plan.may_apply) == (1, 1, False)
    with pytest.raises(Refused):
        tax_file_apply(file=file, person=owner, shown=plan.fingerprint)
    assert not TaxBoundary.objects.exists()


def test_a_holiday_parts_the_rate_and_leaves_no_gap(owner: User) -> None:
    rates_read(owner)
    state = TaxAuthority.objects.get(code="98-45-98")
    tax_holiday_add(
        authority=state, tax_class="parts", first=date(2026, 8, 1), last=date(2026, 8, 7), up_to=D(100), person=owner
    )
    rates = state.rates.filter(tax_class="parts").order_by("begin")
    assert [(rate.begin, rate.end, rate.threshold, rate.whole) for rate in rates] == [
        (date(2020, 1, 1), date(2026, 7, 31), None, False),
        (date(2026, 8, 1), date(2026, 8, 7), D(100), True),
        (date(2026, 8, 8), None, None, False),
    ]
    place = tax_place_of(codes=["98-45-98"], person=owner)
    made = option([part("90.00"), part("150.00", code="P2")])
    found = {}
    for day in (date(2026, 8, 7), date(2026, 8, 8)):
        found[day.day] = price_sheet(quote(made, engine_tax_place(place.pk, day), day=day), made).tax_total
    assert found == {7: D("7.50"), 8: D("12.00")}  # 5 % of 150; 5 % of 240


def test_a_holiday_without_a_limit_is_not_taxed_at_all(owner: User) -> None:
    rates_read(owner)
    city = TaxAuthority.objects.get(code="98-01-04500")
    first, last = date(2026, 8, 1), date(2026, 8, 7)
    tax_holiday_add(authority=city, tax_class="parts", first=first, last=last, up_to=None, person=owner)
    assert not TaxRate.objects.get(authority=city, tax_class="parts", begin=first).taxed


def test_a_holiday_where_no_rate_is_known_is_refused(owner: User) -> None:
    rates_read(owner)
    city = TaxAuthority.objects.get(code="98-01-04500")
    for first, last, words in (
        (date(2023, 12, 30), date(2024, 1, 2), "has no rate for parts"),
        (date(2026, 8, 7), date(2026, 8, 1), "ends before"),
    ):
        with pytest.raises(Refused, match=words):
            tax_holiday_add(authority=city, tax_class="parts", first=first, last=last, up_to=None, person=owner)


def test_the_page_takes_the_same_queries_whatever_the_places(owner: User) -> None:
    rates_read(owner)
    few = queries_of(lambda: tax_page(DAY))
    for number in range(1, 4):
        tax_place_of(codes=WHOLE[:number], person=owner)
    assert queries_of(lambda: tax_page(DAY)) == few
    row = next(row for row in tax_page(DAY).places if row.place == TaxPlace.objects.get(name="Maren, city 04500"))
    assert (row.rates[0].rate, row.rates[0].note, row.next_change) == (D("0.08"), "", date(2026, 7, 1))
