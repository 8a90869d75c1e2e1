"""Tax places, an address looked up, a state's files: on screen."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from django.contrib.auth.models import User
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from shop.models import Customer, Shop, TaxAuthority, TaxBoundary, TaxPlace
from shop.services.customers import customer_save
from tests.shop.importing.sst import RATES, zip_row
from tests.shop.made_day import Day
from tests.shop.views.guards import DESK, OWNER_ONLY, assert_guarded
from tests.shop.views.test_change_orders import text


@pytest.fixture
def owner(shop: Shop, morning, client_as) -> Client:
    client: Client = client_as("owner")
    return client


def upload(client: Client, subject: str, content: str, **fields: object):
    prefix = "rates" if subject == "tax_rates" else "zips"
    file = SimpleUploadedFile("XXR2026Q3JUN05.csv", content.encode())
    data = {"subject": subject, f"{prefix}-file": file, **{f"{prefix}-{name}": value for name, value in fields.items()}}
    return client.post(reverse("tax-import"), data, follow=True)


def applied(client: Client, page) -> str:
    plan = page.context.get("rate_plan") or page.context["zip_plan"]
    address = reverse("tax-import-apply", args=[page.context["file"].public_id])
    return text(client.post(address, {"shown": plan.fingerprint}, follow=True))


def both_read(client: Client) -> None:
    applied(client, upload(client, "tax_rates", RATES, classes=["parts"], state_name="Maren"))
    applied(client, upload(client, "tax_zips", zip_row("Z", "98001"), beginnings=""))


def test_who_may_see_and_do(day: Day, client_as):
    assert_guarded(client_as, "tax", roles=DESK)
    assert_guarded(client_as, "tax-import", roles=OWNER_ONLY)
    assert_guarded(client_as, "tax-holiday", roles=OWNER_ONLY, post_only=True)
    assert_guarded(client_as, "tax-place-make", roles=DESK, post_only=True)


def test_a_file_is_looked_over_then_applied(owner: Client):
    page = upload(owner, "tax_rates", RATES, classes=["parts", "freight"], state_name="Maren")
    assert "Authorities added 4" in text(page)
    assert not TaxAuthority.objects.filter(code="98-45-98").exists()
    assert "4 authorities added" in applied(owner, page)
    assert TaxAuthority.objects.get(code="98-45-98").rates.get(tax_class="freight").rate == Decimal("0.05")


def test_every_wrong_row_is_shown_and_nothing_can_be_applied(owner: Client):
    page = upload(owner, "tax_rates", f"{RATES}98,45,98,9,,,,20200101,29991231\n", classes=["parts"])
    assert "9 is not a rate from 0 to less than 1." in text(page)
    assert "Apply the rates" not in text(page)
    refused = owner.post(reverse("tax-import-apply", args=[page.context["file"].public_id]), {"shown": "x"})
    assert refused.status_code == 409


def test_a_file_without_a_choice_keeps_the_form(owner: Client):
    page = upload(owner, "tax_rates", RATES, state_name="Maren")
    assert (page.status_code, "Maren" in page.content.decode()) == (422, True)
    assert upload(owner, "tax_zips", zip_row("Z", "98001"), beginnings="98x").status_code == 422


def test_somebody_elses_file_is_not_there(owner: Client, person):
    page = upload(owner, "tax_rates", RATES, classes=["parts"])
    other = Client()
    second = User.objects.create_user("second", is_superuser=True)
    other.force_login(second)
    assert other.get(reverse("tax-import-file", args=[page.context["file"].public_id])).status_code == 404
    assert owner.get(reverse("catalogue-import-file", args=[page.context["file"].public_id])).status_code == 404


def test_an_address_is_looked_up_and_made_a_place(owner: Client, client_as):
    both_read(owner)
    desk = client_as("counter")
    page = desk.get(reverse("tax"), {"address": "1 Quay, Heron 98001"})
    assert "8 % on parts" in text(page)
    assert desk.get(reverse("tax"), {"address": "no zip"}).status_code == 422
    codes = page.context["found"].candidates[0].codes
    assert desk.post(reverse("tax-place-make"), {"code": codes}).status_code == 302
    assert "That is our place Maren, city 04500" in text(desk.get(reverse("tax"), {"address": "98001"}))


def test_the_counter_offers_the_place_of_the_customers_address(owner: Client, counter):
    both_read(owner)
    customer = Customer.objects.get(quotes=counter.quote)
    customer_save(customer=customer, person=None, address="1 Quay\nHeron 98001")
    shown = counter.client.get(reverse("quote", args=[counter.quote.public_id]))
    assert "Who taxes at the customer's address" in text(shown)
    found = shown.context["page"].at_address
    counter.client.post(
        reverse("tax-place-make"),
        {"code": found.candidates[0].codes, "version": shown.context["page"].version.public_id},
    )
    after = counter.client.get(reverse("quote", args=[counter.quote.public_id])).context["page"]
    assert after.version.tax_place == TaxPlace.objects.get(name="Maren, city 04500")
    assert after.at_address is None


def test_a_kit_that_is_sent_is_taxed_where_it_goes_when_the_shop_says_so(owner: Client, counter, shop: Shop):
    both_read(owner)
    Customer.objects.filter(quotes=counter.quote).update(address="Heron 98001")
    address = reverse("quote", args=[counter.quote.public_id])
    counter.quote.versions.update(by_carrier=True)
    assert "taxed where it is delivered" not in text(counter.client.get(address))
    shop.tax_sourcing = "delivery"
    shop.save()
    assert "taxed where it is delivered" in text(counter.client.get(address))


def test_a_holiday_is_entered_and_refused_in_words(owner: Client):
    both_read(owner)
    state = TaxAuthority.objects.get(code="98-45-98")
    fields = {"authority": state.pk, "tax_class": "parts", "first": "2026-08-01", "last": "2026-08-07", "up_to": "100"}
    sent = {f"holiday-{name}": value for name, value in fields.items()}
    assert owner.post(reverse("tax-holiday"), sent).status_code == 302
    assert state.rates.get(tax_class="parts", begin=date(2026, 8, 1)).whole
    wrong = owner.post(reverse("tax-holiday"), {**sent, "holiday-last": "2026-07-01"})
    assert (wrong.status_code, "ends before it begins" in text(wrong)) == (422, True)


def test_only_the_owner_sees_the_ways_to_change_rates(day: Day, client_as):
    assert "A tax holiday" not in text(client_as("counter").get(reverse("tax")))
    assert "A tax holiday" in text(client_as("owner").get(reverse("tax")))
    assert not TaxBoundary.objects.exists()
