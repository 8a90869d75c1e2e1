from __future__ import annotations

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from shop.models import Event, Shop, TaxAuthority, TaxRate
from tests.shop.admin.forms import errors, save, shown


@pytest.fixture
def state(shop: Shop) -> TaxAuthority:
    """The state, with parts at 6 % from 2020 on and five classes not taxed."""
    return TaxAuthority.objects.get(level="state")


def with_rates(
    client: Client, authority: TaxAuthority, *rows: dict[str, str], parts: dict[str, Any] | None = None
) -> Any:
    """Add rows to the authority's rates; `parts` changes the row of parts that is there."""
    page = shown(client, "shop_taxauthority_change", authority.pk)
    changed: dict[str, Any] = {}
    for index in range(6):
        if page[f"rates-{index}-tax_class"] == "parts":
            changed.update({f"rates-{index}-{name}": value for name, value in (parts or {}).items()})
    for index, row in enumerate(rows, start=6):
        values = {"taxed": "on", "tax_class": "parts", "authority": str(authority.pk), "id": "", **row}
        changed.update({f"rates-{index}-{name}": value for name, value in values.items()})
    changed["rates-TOTAL_FORMS"] = str(6 + len(rows))
    return save(client, "shop_taxauthority_change", authority.pk, **changed)


def test_a_new_rate_follows_on_the_day_after_the_old_one_ends(owner: Client, state: TaxAuthority) -> None:
    response = with_rates(owner, state, {"rate": "0.065", "begin": "2026-07-01"}, parts={"end": "2026-06-30"})
    assert response.status_code == 302
    rates = [(str(row.rate), str(row.begin)) for row in state.rates.filter(tax_class="parts").order_by("begin")]
    assert rates == [("0.060000", "2020-01-01"), ("0.065000", "2026-07-01")]
    event = Event.objects.get(verb="tax rates set")
    assert "parts 0.06 from 2020-01-01" in event.before
    assert "parts 0.065 from 2026-07-01" in event.after


def test_an_overlap_is_refused_at_the_row_that_begins_too_early(owner: Client, state: TaxAuthority) -> None:
    found = errors(with_rates(owner, state, {"rate": "0.065", "begin": "2026-07-01"}))
    assert list(found) == ["begin"]
    assert "overlaps rate" in found["begin"][0]
    assert "End the earlier rate the day before this one begins." in found["begin"][0]
    assert state.rates.count() == 6


def test_a_gap_is_refused(owner: Client, state: TaxAuthority) -> None:
    found = errors(with_rates(owner, state, {"rate": "0.065", "begin": "2026-07-03"}, parts={"end": "2026-06-30"}))
    assert found == {
        "begin": ["parts has no rate from 2026-07-01 to 2026-07-02. Close the gap, or enter 'not taxed' for it."]
    }


@pytest.mark.parametrize(
    ("row", "field", "remedy"),
    [
        ({"rate": "6.5", "begin": "2026-07-01", "tax_class": "fee"}, "rate", "Enter 7.25 % as 0.0725"),
        ({"rate": "0.05", "begin": "2019-01-01", "end": "2018-12-31"}, "end", "Correct one of the two dates"),
        ({"rate": "0.05", "begin": "2019-01-01", "end": "2019-12-31", "taxed": ""}, "rate", "mark it as taxed"),
        ({"rate": "0.05", "begin": "2019-01-01", "end": "2019-12-31", "cap": "0"}, "cap", "Leave it empty for no cap"),
        ({"rate": "0.0725005", "begin": "2019-01-01", "end": "2019-12-31"}, "rate", "6 decimal places"),
    ],
)
def test_a_rate_that_cannot_be_is_refused_by_its_field(
    owner: Client, state: TaxAuthority, row: dict[str, str], field: str, remedy: str
) -> None:
    found = errors(with_rates(owner, state, row))
    assert field in found
    assert remedy in " ".join(found[field])
    assert state.rates.count() == 6


def test_a_rate_is_taken_away_and_two_change_places_in_one_save(owner: Client, state: TaxAuthority) -> None:
    with_rates(owner, state, {"rate": "0.065", "begin": "2026-07-01"}, parts={"end": "2026-06-30"})
    page = shown(owner, "shop_taxauthority_change", state.pk)
    rows = [index for index in range(7) if page[f"rates-{index}-tax_class"] == "parts"]
    begin, end = (page[f"rates-{rows[0]}-{name}"] for name in ("begin", "end"))
    swapped = {
        f"rates-{rows[0]}-begin": page[f"rates-{rows[1]}-begin"],
        f"rates-{rows[0]}-end": "",
        f"rates-{rows[1]}-begin": begin,
        f"rates-{rows[1]}-end": end,
    }
    gone = next(index for index in range(7) if page[f"rates-{index}-tax_class"] == "fee")
    response = save(owner, "shop_taxauthority_change", state.pk, **swapped, **{f"rates-{gone}-DELETE": "on"})
    assert response.status_code == 302
    rates = [str(row.rate) for row in state.rates.filter(tax_class="parts").order_by("begin")]
    assert rates == ["0.065000", "0.060000"]
    assert not state.rates.filter(tax_class="fee").exists()


def test_caps_do_not_go_with_prices_that_include_tax(owner: Client, shop: Shop) -> None:
    TaxRate.objects.filter(tax_class="parts", authority__level="state").update(cap=5000)
    place = shop.home_tax_place
    assert place is not None
    found = errors(save(owner, "shop_taxplace_change", place.pk, mode="included"))
    assert list(found) == ["authority"]
    assert "set the place to tax added on top" in found["authority"][0]


def test_the_owner_says_when_tax_is_due_and_is_told_what_it_means(owner: Client, shop: Shop) -> None:
    place = shop.home_tax_place
    assert place is not None
    assert place.tax_point == "invoice"
    page = owner.get(reverse("admin:shop_taxplace_change", args=[place.pk])).content.decode()
    assert "each deposit is taxed on its day and on its amount" in page
    assert "the tax authority decides" in page
    assert save(owner, "shop_taxplace_change", place.pk, tax_point="payment").status_code == 302
    place.refresh_from_db()
    assert place.tax_point == "payment"
    assert "tax_point" in errors(save(owner, "shop_taxplace_change", place.pk, tax_point="later"))
