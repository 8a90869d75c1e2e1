from __future__ import annotations

from datetime import date

import pytest

from quoting import quote
from quoting.request import CountrySheet
from shop.models import Donor, Shop
from shop.selectors.country import engine_sheet
from shop.selectors.requests import quote_request
from tests.shop.made_country import make_sheet
from tests.shop.made_parts import make_family
from tests.shop.made_quotes import make_sound_draft

DAY = date(2026, 3, 2)


def test_a_row_becomes_the_engines_sheet_paper_by_paper(shop: Shop) -> None:
    shop.home_country_sheet = make_sheet()
    assert engine_sheet(shop, None) == CountrySheet(
        code="here",
        name="Plainland",
        as_of=date(2026, 1, 15),
        source="vehicle office, leaflet 12",
        mass_share=0.2,
        power_share=1.0,
        power_counts="peak",
        least_age_years=3,
        front_share_points=5.0,
        papers=("title", "photograph of the plate"),
    )


def test_a_bike_registered_elsewhere_takes_that_places_sheet(shop: Shop) -> None:
    shop.home_country_sheet = make_sheet()
    donor = Donor(family=make_family(), registered_in=make_sheet("there", name="Hill Country", mass_share=None))
    found = engine_sheet(shop, donor)
    assert found is not None
    assert (found.name, found.mass_share) == ("Hill Country", None)
    donor.registered_in = None
    home = engine_sheet(shop, donor)
    assert home is not None
    assert home.name == "Plainland"


def test_without_a_sheet_there_is_none(shop: Shop) -> None:
    assert engine_sheet(shop, Donor(family=make_family())) is None


def test_a_quote_is_held_against_the_sheet_and_its_note_is_read(shop: Shop) -> None:
    version = make_sound_draft(shop, DAY)
    shop.home_country_sheet = make_sheet(power_share=0.001, least_age_years=None)
    shop.save()
    version.note = "Range 900 miles on a charge."
    version.save()
    request = quote_request(version)
    assert request.country is not None
    assert request.country.name == "Plainland"
    found = {finding.rule: finding.level for finding in quote(request).options[0].findings}
    assert found["retrofit-power"] == "check"
    assert found["registration-papers"] == "note"
    assert found["claimed-range"] == "stop"


@pytest.mark.parametrize("elsewhere", [False, True])
def test_the_sheet_costs_at_most_one_query(shop: Shop, elsewhere: bool, django_assert_max_num_queries) -> None:
    shop.home_country_sheet = make_sheet()
    shop.save()
    donor = Donor.objects.create(
        family=make_family(), vin="AB-12345", registered_in=make_sheet("there") if elsewhere else None
    )
    kept = Donor.objects.select_related("registered_in").get(pk=donor.pk)
    fresh = Shop.objects.get()
    with django_assert_max_num_queries(0 if elsewhere else 1):
        engine_sheet(fresh, kept)
