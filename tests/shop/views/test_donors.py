from __future__ import annotations

import pytest
from django.urls import reverse

from shop.models import Donor
from tests.shop.made_counter import htmx, text
from tests.shop.made_day import Day
from tests.shop.made_parts import invented_vin, make_donor, make_family
from tests.shop.queries import queries_of
from tests.shop.views.guards import DESK, assert_guarded

DONORS = reverse("donors")
NEW = reverse("donor-new")


def test_bikes_are_for_the_desk(day: Day, client_as):
    assert_guarded(client_as, "donors", roles=DESK)
    assert_guarded(client_as, "donor-new", roles=DESK)
    assert_guarded(client_as, "donor", day.donor.public_id, roles=DESK)
    assert_guarded(client_as, "donor-edit", day.donor.public_id, roles=DESK)


def test_found_by_family_and_owner(day: Day, client_as):
    client = client_as("counter")
    assert day.donor.vin in text(client.get(DONORS))
    assert "No bike fits" in text(client.get(DONORS, {"q": "zzz"}))
    part = text(client.get(DONORS, {"q": "anvil"}, headers=htmx(True)))
    assert ("<html" in part, day.donor.vin in part) == (False, True)


def test_an_empty_yard_says_what_to_do(shop, client_as):
    assert "No bikes yet" in text(client_as("counter").get(DONORS))


def test_a_bike_with_its_builds_and_quotes_and_whose_figures_they_are(day: Day, client_as):
    page = text(client_as("counter").get(reverse("donor", args=[day.donor.public_id])))
    assert day.build.number in page
    assert day.draft.quote.number in page
    assert page.count("the family's figure") == 2  # neither weighed nor its own plate read


def values(**changed: str) -> dict[str, str]:
    known = {"vin": invented_vin(77), "year": "1999", "market": "north america", "title_seen": "yes", "condition": "x"}
    return {**known, "stolen_check_done": "", **changed}


def test_added_for_the_customer_whose_page_one_came_from(day: Day, client_as):
    client = client_as("counter")
    form = client.get(NEW, {"owner": day.customer.public_id}).context["form"]
    assert form["owner"].value() == day.customer.public_id
    sent = values(family=day.family.public_id, owner=day.customer.public_id, kerb_kg="440", color="red")
    client.post(NEW, sent)
    made = Donor.objects.get(color="red")
    assert (made.owner, made.title_seen, made.stolen_check_done) == (day.customer, True, None)
    assert made.kerb_kg == pytest.approx(199.58, abs=0.01)  # 440 lb × 0.45359237


def test_a_figure_that_was_not_touched_is_not_rounded(day: Day, client_as):
    """205 kg is shown as 451.9 lb; saving the page again must not make it 204.98 kg."""
    Donor.objects.filter(pk=day.donor.pk).update(kerb_kg=205.0)
    client, edit = client_as("counter"), reverse("donor-edit", args=[day.donor.public_id])
    form = client.get(edit).context["form"]
    sent = {bound.name: bound.value() if bound.value() is not None else "" for bound in form}
    assert sent["kerb_kg"] == "451.9"
    client.post(edit, {**sent, "color": "green"})
    day.donor.refresh_from_db()
    assert (day.donor.color, day.donor.kerb_kg) == ("green", 205.0)


@pytest.mark.parametrize(
    ("changed", "field", "said"),
    [
        ({"vin": "1ZZAB1C20XD00007O"}, "vin", "Leave it empty until it has been read again."),
        ({"year": "1,999"}, "year", "This is not a year. Write it like 1974."),
        ({"year": "1850"}, "year", "greater than or equal to 1900"),
        ({"family": "no-such"}, "family", "Select a valid choice"),
        ({"kerb_kg": "heavy"}, "kerb_kg", "is not a measure"),
    ],
)
def test_what_cannot_be_kept_stands_beside_its_field(
    changed: dict[str, str], field: str, said: str, day: Day, client_as
):
    sent = values(**{"family": day.family.public_id, "condition": "typed before", **changed})
    answer = client_as("counter").post(NEW, sent)
    assert answer.status_code == 422
    assert said in " ".join(answer.context["form"].errors[field])
    assert "typed before" in text(answer)


def test_the_number_is_looked_at_as_it_is_typed(shop, client_as):
    """The form's own names are those the check understands."""
    client = client_as("counter")
    page = text(client.get(NEW))
    assert f'hx-get="{reverse("vin-check")}"' in page
    said = text(client.get(reverse("vin-check"), {"vin": "1ZZAB1C2", "year": "1999", "market": "north america"}))
    assert "8 characters; a VIN has 17" in said


def test_queries_stay_flat_from_one_bike_to_fifty(shop, client_as):
    client, family = client_as("counter"), make_family()
    make_donor(family)
    client.get(DONORS)
    one = queries_of(lambda: client.get(DONORS))
    for _ in range(49):
        make_donor(family)
    assert queries_of(lambda: client.get(DONORS)) == one
