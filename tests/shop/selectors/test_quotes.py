from __future__ import annotations

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest

from shop.models import QuoteVersion, Shop
from shop.selectors.quotes import PER_PAGE, QuoteFilter, quote_page, quotes_list
from shop.services.quotes import option_copy, version_offer, version_revise
from tests.shop.made_builds import make_build
from tests.shop.made_parts import make_donor, make_family
from tests.shop.made_quotes import make_draft, make_sound_draft
from tests.shop.made_shop import make_customer

NOW = datetime(2026, 3, 2, 15, 0, tzinfo=UTC)
DAY = date(2026, 3, 2)


def numbers(**asked: object) -> list[str]:
    return [row.quote.number for row in quotes_list(QuoteFilter(**asked)).rows]  # type: ignore[arg-type]


def test_an_offered_quote_shows_the_total_of_each_option(shop: Shop) -> None:
    version = make_sound_draft(shop, DAY)
    option_copy(option=version.options.get(), person=None)
    offered = version_offer(version=version, person=None, now=NOW)
    (row,) = quotes_list(QuoteFilter()).rows
    assert offered.result is not None
    total = Decimal(offered.result["options"][0]["price"]["total"])
    assert row.totals == (("A", total), ("B", total))
    assert (row.currency, row.build, row.version) == ("USD", "", offered)


def test_the_newest_version_stands_for_the_quote(shop: Shop) -> None:
    offered = version_offer(version=make_sound_draft(shop, DAY), person=None, now=NOW)
    draft = version_revise(version=offered, person=None)
    (row,) = quotes_list(QuoteFilter()).rows
    assert (row.version, row.totals, row.currency) == (draft, (), "")


def test_an_accepted_quote_names_its_build(shop: Shop) -> None:
    make_build(4)
    (row,) = quotes_list(QuoteFilter()).rows
    assert row.build == "B-1004"


def test_quotes_are_found_by_every_word_and_by_state(shop: Shop) -> None:
    family = make_family()
    make_draft("Q-1", customer=make_customer("Robin Example"), donor=make_donor(family))
    make_draft("Q-2", customer=make_customer("Alex Example"))
    make_build(1)
    assert numbers() == ["Q-1001", "Q-2", "Q-1"]
    assert numbers(text="robin") == ["Q-1"]
    assert numbers(text="example anvil") == ["Q-1"]
    assert numbers(text="q-2") == ["Q-2"]
    assert numbers(text="1ZZAB1C2") == ["Q-1"]
    assert numbers(state="accepted") == ["Q-1001"]
    assert numbers(text="robin", state="accepted") == []


def test_pages(shop: Shop) -> None:
    for number in range(PER_PAGE + 1):
        make_draft(f"Q-{number}")
    first = quotes_list(QuoteFilter())
    assert (len(first.rows), first.count, first.pages) == (PER_PAGE, PER_PAGE + 1, 2)
    assert [row.quote.number for row in quotes_list(QuoteFilter(page=2)).rows] == ["Q-0"]
    assert quotes_list(QuoteFilter(page=99)).page == 2
    assert quotes_list(QuoteFilter(page=0)).page == 1


@pytest.mark.parametrize("rows", [1, 50])
def test_the_list_takes_two_queries(shop: Shop, rows: int, django_assert_num_queries) -> None:
    family = make_family()
    for number in range(rows):
        make_draft(f"Q-{number}", customer=make_customer(), donor=make_donor(family))
    with django_assert_num_queries(2):
        shown = quotes_list(QuoteFilter())
        words = [f"{row.quote} {row.quote.customer} {row.quote.donor} {row.version.state}" for row in shown.rows]
    assert len(words) == rows


@pytest.mark.parametrize("options", [1, 3])
def test_the_counters_page_is_read_in_a_fixed_number_of_queries(
    shop: Shop, options: int, django_assert_num_queries
) -> None:
    version = make_sound_draft(shop, DAY)
    for _ in range(options - 1):
        option_copy(option=version.options.get(key="A"), person=None)
    with django_assert_num_queries(10):
        page = quote_page(version.public_id)
        words = [f"{part.component.name} {part.quantity}" for option in page.options for part in option.parts.all()] + [
            f"{step.label} {step.skill} {step.bench_type}" for option in page.options for step in option.steps.all()
        ]
    assert len(words) == options * (19 + 5)
    assert page.versions == (version,)
    assert page.quote.donor is not None
    assert page.quote.donor.family.name == "Anvil 500"


@pytest.mark.django_db
def test_an_unknown_page_is_not_there() -> None:
    with pytest.raises(QuoteVersion.DoesNotExist):
        quote_page("nothing")
