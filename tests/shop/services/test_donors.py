from __future__ import annotations

import pytest
from django.core.exceptions import ValidationError

from shop.models import Donor, Event
from shop.services.donors import donor_save
from tests.shop.made_parts import invented_vin, make_family

pytestmark = pytest.mark.django_db


def test_a_bike_is_added_with_its_vin_as_it_is_kept() -> None:
    vin = invented_vin(7)
    typed = f" {vin[:3].lower()} {vin[3:]} "
    made = donor_save(person=None, family=make_family(), year=1999, vin=typed, kerb_kg=198.0)
    assert (made.vin, made.kerb_kg, made.owner) == (vin, 198.0, None)
    assert Event.objects.get().verb == "bike added"


def test_a_vin_that_cannot_be_right_is_refused_with_the_remedy() -> None:
    vin = invented_vin(7)
    wrong = vin[:8] + ("0" if vin[8] != "0" else "1") + vin[9:]
    with pytest.raises(ValidationError) as refused:
        donor_save(person=None, family=make_family(), year=1999, vin=wrong)
    (message,) = refused.value.message_dict["vin"]
    assert "check digit at place 9" in message
    assert message.endswith("Leave it empty until it has been read again.")
    assert not Donor.objects.exists()


def test_a_frame_number_from_before_1981_is_kept_as_it_is() -> None:
    assert donor_save(person=None, family=make_family(), year=1974, vin="ab-12345").vin == "AB-12345"


def test_without_a_vin_it_can_be_entered_all_the_same() -> None:
    assert donor_save(person=None, family=make_family(), year=1999).vin == ""


def test_a_change_of_year_looks_at_the_vin_again() -> None:
    made = donor_save(person=None, family=make_family(), year=1974, vin="AB-12345")
    with pytest.raises(ValidationError, match="17"):
        donor_save(person=None, donor=made, year=1999)
    made.refresh_from_db()
    assert made.year == 1974


def test_one_vin_is_one_bike() -> None:
    family = make_family()
    donor_save(person=None, family=family, year=1999, vin=invented_vin(7))
    with pytest.raises(ValidationError):
        donor_save(person=None, family=family, year=1999, vin=invented_vin(7))


def test_only_what_is_given_changes() -> None:
    made = donor_save(person=None, family=make_family(), year=1999, color="red")
    donor_save(person=None, donor=made, kerb_kg=200.0)
    made.refresh_from_db()
    assert (made.color, made.kerb_kg) == ("red", 200.0)
    assert Event.objects.get(verb="bike changed").after == "Anvil 500, 1999: kerb kg"
    donor_save(person=None, donor=made, kerb_kg=200.0)
    assert Event.objects.filter(verb="bike changed").count() == 1
