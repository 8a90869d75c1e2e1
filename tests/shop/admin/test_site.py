from __future__ import annotations

from datetime import date

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse

from shop.admin import site
from shop.models import Bench, Event, LineLock, Person, Shop, Skill, TaxAuthority, TaxPlace
from tests.shop.admin.forms import save, shown
from tests.shop.made_builds import make_build
from tests.shop.made_parts import make_component, make_family, make_offer, receive

PAGES = sorted(f"{model._meta.app_label}_{model._meta.model_name}" for model in site._registry)


def test_the_index_lists_the_subjects_in_order(owner: Client) -> None:
    page = owner.get(reverse("admin:index"))
    assert page.status_code == 200
    assert [section["name"] for section in page.context["app_list"]] == [
        "The shop",
        "People and benches",
        "Tax",
        "Country sheets",
        "Suppliers and prices",
        "Donor families",
        "Sign-ins",
        "Records, to look up",
    ]


@pytest.mark.parametrize("page", PAGES)
def test_every_list_opens_for_the_owner(owner: Client, page: str) -> None:
    make_offer(make_component("MOT-1"), priced_on=date(2026, 3, 2))
    make_family()
    make_build()
    address = reverse(f"admin:{page}_changelist")
    assert owner.get(address, follow=True).status_code == 200


@pytest.mark.parametrize("page", PAGES)
def test_every_form_to_add_opens_or_is_not_there(owner: Client, page: str) -> None:
    status = owner.get(reverse(f"admin:{page}_add")).status_code
    kept = {"shop_shop", "shop_event", "shop_ledgerentry", "shop_stockmove", "shop_promiseentry"}
    assert status == (403 if page in {*kept, "shop_expecteddatechange"} else 200)


@pytest.mark.parametrize("role", ["counter", "builder"])
@pytest.mark.parametrize("page", ["index", "shop_person_changelist", "shop_event_changelist", "auth_user_changelist"])
def test_other_roles_are_refused(client_as, shop: Shop, role: str, page: str) -> None:
    assert client_as(role).get(reverse(f"admin:{page}"), follow=True).status_code == 403


def test_staff_and_permissions_open_nothing(shop: Shop) -> None:
    client = Client()
    client.force_login(User.objects.create_user("staff", is_staff=True))
    assert client.get(reverse("admin:index"), follow=True).status_code == 403


def test_an_owner_who_was_set_to_not_active_is_out(owner: Client) -> None:
    User.objects.update(is_active=False)
    response = owner.get(reverse("admin:index"), follow=True)
    assert response.redirect_chain[-1][0].startswith(reverse("sign-in"))


def test_the_signed_out_are_sent_to_sign_in(shop: Shop) -> None:
    for page in ("index", "shop_person_changelist"):
        response = Client().get(reverse(f"admin:{page}"), follow=True)
        assert response.redirect_chain[-1][0].startswith(reverse("sign-in"))


def test_signing_in_leads_back_to_the_settings(owner: Client) -> None:
    response = owner.get(reverse("admin:login"))
    assert (response.status_code, response["Location"]) == (302, reverse("admin:index"))


def test_each_save_writes_who_changed_what(owner: Client) -> None:
    skill = Skill.objects.get(code="repair")
    assert save(owner, "shop_skill_change", skill.pk, rate="99").status_code == 302
    event = Event.objects.get()
    assert (event.verb, event.subject) == ("setting changed", "skill: Repair")
    assert event.person is not None
    assert event.person.username.startswith("owner")
    assert "Rate" in event.after


def test_what_decides_dates_is_a_new_revision_of_the_plan(owner: Client) -> None:
    save(owner, "shop_skill_change", Skill.objects.get(code="repair").pk, rate="99")
    assert not LineLock.objects.exists()
    save(owner, "shop_bench_change", Bench.objects.get(name="Fab 1").pk, active=None)
    assert not Bench.objects.get(name="Fab 1").active
    assert LineLock.objects.get().revision == 1


@pytest.mark.parametrize("page", ["event", "stockmove", "ledgerentry", "promiseentry", "expecteddatechange"])
def test_the_books_can_be_looked_up_and_not_changed(owner: Client, page: str) -> None:
    receive(make_component("MOT-1"), 1)
    model = next(model for model in site._registry if model._meta.model_name == page)
    model_admin = site._registry[model]
    request = owner.get(reverse(f"admin:shop_{page}_changelist")).wsgi_request
    assert model_admin.has_view_permission(request)
    assert not model_admin.has_add_permission(request)
    assert not model_admin.has_change_permission(request)
    assert not model_admin.has_delete_permission(request)


def test_a_book_row_opens_without_a_single_field_to_type_into(owner: Client) -> None:
    move = receive(make_component("MOT-1"), 1)
    page = owner.get(reverse("admin:shop_stockmove_change", args=[move.pk]))
    assert page.status_code == 200
    assert list(page.context["adminform"].form.fields) == []
    assert owner.post(reverse("admin:shop_stockmove_change", args=[move.pk]), {"reason": "x"}).status_code == 403


def test_every_page_can_be_saved_as_it_is_shown(owner: Client) -> None:
    family = make_family()
    offer = make_offer(make_component("MOT-1"), priced_on=date(2026, 3, 2))
    rows = [
        Shop.objects.get(),
        Person.objects.first(),
        Skill.objects.first(),
        Bench.objects.first(),
        TaxAuthority.objects.first(),
        TaxPlace.objects.first(),
        family,
        offer,
        offer.supplier,
    ]
    for row in rows:
        assert row is not None
        page = f"shop_{row._meta.model_name}_change"
        assert shown(owner, page, row.pk)
        response = save(owner, page, row.pk)
        assert response.status_code == 302, f"{page}: {response.context_data['errors']}"
