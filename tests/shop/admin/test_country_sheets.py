from __future__ import annotations

from datetime import timedelta

from django.test import Client
from django.urls import reverse

from shop.models import CountrySheet, Event, Shop
from shop.selectors.shop import shop_today
from tests.shop.admin.forms import errors, save
from tests.shop.made_country import make_sheet


def test_a_sheet_is_kept_with_its_day_and_says_who_decides(owner: Client) -> None:
    page = owner.get(reverse("admin:shop_countrysheet_add"))
    assert "confirm with your authority" in page.content.decode()
    sheet = make_sheet()
    response = save(owner, "shop_countrysheet_change", sheet.pk, mass_share="0.15", papers="title\nphotos")
    assert response.status_code == 302
    sheet.refresh_from_db()
    assert (sheet.mass_share, sheet.paper_list) == (0.15, ("title", "photos"))
    assert Event.objects.get().subject == "country sheet: Plainland"


def test_a_new_sheet_may_know_no_limit(owner: Client) -> None:
    response = save(owner, "shop_countrysheet_add", name="Hill Country", code="hill", as_of="2026-01-02")
    assert response.status_code == 302
    kept = CountrySheet.objects.get()
    limits = (kept.mass_share, kept.power_share, kept.least_age_years, kept.front_share_points, kept.papers)
    assert limits == (None, None, None, None, "")


def test_what_cannot_be_is_refused_by_its_field(owner: Client) -> None:
    sheet = make_sheet()
    tomorrow = shop_today() + timedelta(days=1)
    found = errors(
        save(owner, "shop_countrysheet_change", sheet.pk, mass_share="20", power_share="-1", as_of=tomorrow.isoformat())
    )
    assert set(found) == {"mass_share", "power_share", "as_of"}
    assert "0.30 is 30 %" in " ".join(found["mass_share"])
    assert "still to come" in found["as_of"][0]
    assert CountrySheet.objects.get().mass_share == 0.2


def test_the_shop_names_its_home_sheet_and_the_sheet_then_stays(owner: Client, shop: Shop) -> None:
    sheet = make_sheet()
    assert save(owner, "shop_shop_change", shop.pk, home_country_sheet=str(sheet.pk)).status_code == 302
    shop.refresh_from_db()
    assert shop.home_country_sheet == sheet
    page = owner.post(reverse("admin:shop_countrysheet_delete", args=[sheet.pk]), {"post": "yes"})
    assert page.status_code == 200
    assert CountrySheet.objects.exists()
