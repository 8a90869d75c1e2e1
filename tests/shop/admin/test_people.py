from __future__ import annotations

from decimal import Decimal

import pytest
from django.contrib.auth.models import Group, User
from django.test import Client

from shop.models import Bench, Leave, Person, RoutingStep
from tests.shop.admin.forms import errors, save


def test_leave_is_entered_with_the_person(owner: Client) -> None:
    ana = Person.objects.get(name="Ana Example")
    inline = {"leaves-TOTAL_FORMS": "1", "leaves-0-person": ana.pk, "leaves-0-first": "2026-07-06"}
    found = errors(save(owner, "shop_person_change", ana.pk, **inline, **{"leaves-0-last": "2026-07-01"}))
    assert found == {"last": ["Ends before it starts on 2026-07-06. Enter that day or a later one."]}
    assert save(owner, "shop_person_change", ana.pk, **inline, **{"leaves-0-last": "2026-07-10"}).status_code == 302
    assert Leave.objects.get().person == ana
    assert {skill.code for skill in ana.skills.all()} == {"fabrication", "repair"}


def test_a_bench_out_of_use_for_some_days(owner: Client) -> None:
    bench = Bench.objects.get(name="Fab 1")
    inline = {
        "downtimes-TOTAL_FORMS": "1",
        "downtimes-0-bench": bench.pk,
        "downtimes-0-first": "2026-07-06",
        "downtimes-0-last": "2026-07-06",
        "downtimes-0-reason": "floor painted",
    }
    assert save(owner, "shop_bench_change", bench.pk, **inline).status_code == 302
    assert bench.downtimes.get().reason == "floor painted"


def step(code: str) -> RoutingStep:
    return RoutingStep.objects.get(code=code)


@pytest.mark.parametrize(
    ("changed", "field", "remedy"),
    [
        ({"likely_h": "30"}, "likely_h", "must rise from low over likely to high"),
        ({"low_h": "-1"}, "likely_h", "none below zero"),
        ({"skill": ""}, "skill", "needs a skill"),
        ({"bench_type": ""}, "bench_type", "needs a skill and a type of bench"),
        ({"lead_days": "14"}, "lead_days", "enter one of the two"),
        ({"code": "pack"}, "code", "Choose another code"),
        ({"needs_kinds": ["sail"]}, "needs_kinds", "sail is not one of the available choices"),
    ],
)
def test_a_step_that_cannot_be_planned_is_refused_by_its_field(owner: Client, changed, field: str, remedy: str) -> None:
    found = errors(save(owner, "shop_routingstep_change", step("mounts").pk, **changed))
    assert list(found) == [field]
    assert remedy in " ".join(found[field])


def test_a_step_is_changed_and_keeps_what_it_waits_for(owner: Client) -> None:
    assert save(owner, "shop_routingstep_change", step("pack").pk, high_h="25").status_code == 302
    assert (step("pack").high_h, step("pack").needs_kinds) == (Decimal(25), ["cell", "bms"])


def test_outside_work_has_days_and_no_hours(owner: Client) -> None:
    outside = {
        "code": "paint",
        "label": "Paint",
        "job": "conversion",
        "position": "9",
        "lead_days": "21",
        "needs_kinds": [],
    }
    made = save(owner, "shop_routingstep_add", **outside)
    assert made.status_code == 302, errors(made)
    assert step("paint").lead_days == 21


def test_a_new_sign_in_gets_its_role_on_the_next_page(owner: Client) -> None:
    made = save(
        owner,
        "auth_user_add",
        username="robin",
        usable_password="true",
        password1="a long invented phrase",
        password2="a long invented phrase",
    )
    robin = User.objects.get(username="robin")
    assert made["Location"].endswith(f"/auth/user/{robin.pk}/change/")
    counter, _ = Group.objects.get_or_create(name="counter")  # emptied by tests with real transactions
    assert save(owner, "auth_user_change", robin.pk, groups=[counter.pk]).status_code == 302
    assert [group.name for group in robin.groups.all()] == ["counter"]
    assert not User.objects.get(username="robin").is_superuser


@pytest.mark.parametrize("changed", [{"groups": None}, {"is_active": None}])
def test_the_last_owner_stays_owner(owner: Client, person, changed) -> None:
    last = User.objects.get(groups__name="owner")
    found = errors(save(owner, "auth_user_change", last.pk, **changed))
    assert found == {"groups": ["This is the only owner. Make somebody else owner first."]}
    person("owner")
    assert save(owner, "auth_user_change", last.pk, **changed).status_code == 302


def test_nobody_is_made_superuser_or_deleted_here(owner: Client) -> None:
    last = User.objects.get(groups__name="owner")
    save(owner, "auth_user_change", last.pk, is_superuser="on", is_staff="on")
    last.refresh_from_db()
    assert (last.is_superuser, last.is_staff) == (False, False)
    assert owner.post(f"/admin/auth/user/{last.pk}/delete/", {"post": "yes"}).status_code == 403
