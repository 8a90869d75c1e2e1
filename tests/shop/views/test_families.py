from __future__ import annotations

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from shop.models import Bay, DonorFamily, Event
from tests.shop.made_counter import text
from tests.shop.made_day import Day
from tests.shop.made_parts import make_family
from tests.shop.queries import queries_of
from tests.shop.views.guards import DESK, OWNER_ONLY, assert_guarded

FAMILIES = reverse("families")


def shown(client: Client, family: DonorFamily) -> dict[str, Any]:
    """The form as the page shows it."""
    page = client.get(reverse("family", args=[family.public_id]))
    forms = [page.context["form"], page.context["bays"].management_form, *page.context["bays"]]
    pairs = [(bound.html_name, bound.value()) for form in forms for bound in form]
    return {name: value for name, value in pairs if value not in (None, False)}


def save(client: Client, family: DonorFamily, **changed: str) -> Any:
    return client.post(reverse("family", args=[family.public_id]), {**shown(client, family), **changed})


def test_the_desk_looks_and_the_owner_edits(day: Day, client_as):
    assert_guarded(client_as, "families", roles=DESK)
    assert_guarded(client_as, "family-new", roles=OWNER_ONLY)
    assert_guarded(client_as, "family", day.family.public_id, roles=OWNER_ONLY)
    assert reverse("family", args=[day.family.public_id]) not in text(client_as("counter").get(FAMILIES))


def test_the_list_says_what_is_not_known(shop, client_as):
    make_family(code="bare", name="Bare 100", wheelbase_m=None, gvwr_kg=None)
    page = text(client_as("owner").get(FAMILIES))
    assert "wheelbase, gross weight rating" in page
    assert "640 × 300 × 360 mm" in page


def test_no_family_yet(shop, client_as):
    assert "No families yet" in text(client_as("counter").get(FAMILIES))


def test_saved_unchanged_nothing_changes(shop, client_as):
    family = make_family()
    before = DonorFamily.objects.values().get()
    assert save(client_as("owner"), family).headers["Location"] == FAMILIES
    assert DonorFamily.objects.values().get() == before
    assert not Event.objects.filter(verb="family changed").exists()


def test_figures_changed_in_the_shops_units(shop, client_as):
    family = make_family()
    save(client_as("owner"), family, kerb_kg="450", front_share="52", first_year="1994", crr="0.016")
    family.refresh_from_db()
    assert family.kerb_kg == pytest.approx(204.117, abs=0.001)  # 450 lb × 0.45359237
    assert (family.front_share, family.first_year, family.crr, family.gvwr_kg) == (0.52, 1994, 0.016, 400.0)
    assert Event.objects.get(verb="family changed").after == "first year, kerb kg, front share, crr"


def test_bays_added_changed_and_taken_away(shop, client_as):
    family, client = make_family(), client_as("owner")
    save(client, family, **{
        "bays-0-length_mm": "650", "bays-1-name": "tank", "bays-1-length_mm": "400", "bays-1-width_mm": "200",
        "bays-1-height_mm": "150",
    })  # fmt: skip
    assert [(bay.name, bay.length_mm, bay.x_m) for bay in family.bays.all()] == [
        ("main", 650, 0.72),
        ("tank", 400, None),
    ]
    save(client, family, **{"bays-0-DELETE": "on"})
    assert [bay.name for bay in family.bays.all()] == ["tank"]


def test_a_bay_that_a_draft_uses_stays(day: Day, client_as):
    day.draft.options.update(bay_names=["main"])
    answer = save(client_as("owner"), day.family, **{"bays-0-DELETE": "on"})
    assert answer.status_code == 422
    assert "puts its pack into bay main. Choose another bay there first." in text(answer)
    assert Bay.objects.filter(family=day.family).count() == 1


def test_a_family_is_added(shop, client_as):
    client = client_as("owner")
    page = client.get(reverse("family-new"))
    management = {bound.html_name: bound.value() for bound in page.context["bays"].management_form}
    client.post(reverse("family-new"), {**management, "name": "Heron 350", "code": "heron-350", "kerb_kg": "160 kg"})
    assert DonorFamily.objects.get(code="heron-350").kerb_kg == 160.0


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"name": ""}, "Fill this in."),
        ({"code": "two words"}, "Use letters, figures, dashes and underscores only."),
        ({"last_year": "1980"}, "The last year lies before the first."),
        ({"front_share": "120"}, "Write 99 or less."),
        ({"wheelbase_m": "long"}, "is not a number"),
        ({"bays-0-length_mm": ""}, "Fill this in."),
        (
            {"bays-1-name": "main", "bays-1-length_mm": "9", "bays-1-width_mm": "9", "bays-1-height_mm": "9"},
            "Another bay",
        ),
    ],
)
def test_what_cannot_be_kept_is_told_and_stays_typed(changed: dict[str, str], said: str, shop, client_as):
    family = make_family()
    answer = save(client_as("owner"), family, **{"chain_pitch": "530", **changed})
    assert answer.status_code == 422
    assert said in text(answer)
    assert 'value="530"' in text(answer)
    family.refresh_from_db()
    assert family.chain_pitch == "520"


def test_a_code_that_is_taken_is_told(shop, client_as):
    make_family()
    other = make_family(code="other", name="Other")
    answer = save(client_as("owner"), other, code="anvil")
    assert answer.status_code == 422
    assert "already exists" in text(answer)


def test_queries_stay_flat_from_one_family_to_fifty(shop, client_as):
    client = client_as("counter")
    make_family()
    client.get(FAMILIES)
    one = queries_of(lambda: client.get(FAMILIES))
    for number in range(49):
        make_family(code=f"f{number}", name=f"Family {number}")
    assert queries_of(lambda: client.get(FAMILIES)) == one
