from __future__ import annotations

import pytest

from quoting.request import Bay
from shop.models import Donor
from shop.selectors.donors import (
    FAMILY_FIGURES,
    FAMILY_WORDS,
    OWN_FIGURES,
    donor_record,
    donors_found,
    donors_list,
    engine_donor,
)
from tests.shop.made_builds import make_build
from tests.shop.made_parts import make_donor, make_family
from tests.shop.made_quotes import make_draft
from tests.shop.made_shop import make_customer


@pytest.mark.django_db
def test_a_bike_takes_its_familys_figures() -> None:
    donor = engine_donor(make_donor(title_seen=None))
    assert (donor.family, donor.label, donor.year) == ("anvil", "Anvil 500, 1999", 1999)
    assert (donor.kerb_kg, donor.gvwr_kg, donor.wheelbase_m) == (205.0, 400.0, 1.43)
    assert (donor.frame_kind, donor.chain_pitch, donor.market) == ("cradle", "520", "north america")
    assert (donor.title_seen, donor.stolen_check_done) == (None, True)
    assert donor.bays == (Bay(name="main", length_mm=640, width_mm=300, height_mm=360, x_m=0.72),)


@pytest.mark.django_db
def test_what_was_measured_on_the_bike_stands_before_the_family() -> None:
    donor = engine_donor(make_donor(kerb_kg=198.5, gvwr_kg=390.0))
    assert (donor.kerb_kg, donor.gvwr_kg) == (198.5, 390.0)


@pytest.mark.django_db
def test_a_measured_zero_is_not_taken_for_unknown() -> None:
    assert engine_donor(make_donor(kerb_kg=0.0)).kerb_kg == 0.0


@pytest.mark.django_db
def test_what_nobody_knows_is_none_never_an_empty_word() -> None:
    words, figures = dict.fromkeys(FAMILY_WORDS, ""), dict.fromkeys((*FAMILY_FIGURES, *OWN_FIGURES))
    donor = engine_donor(make_donor(make_family(**words, **figures), vin=""))
    assert {getattr(donor, name) for name in (*FAMILY_WORDS, *FAMILY_FIGURES, *OWN_FIGURES)} == {None}
    assert donor.vin is None


@pytest.mark.django_db
def test_donors_are_found_by_every_word_typed() -> None:
    family = make_family()
    red = make_donor(family, color="red", year=1999, vin="AB123")
    blue = make_donor(family, color="blue", year=2001, owner=make_customer("Robin Example"))
    assert donors_found("") == (blue, red)
    assert donors_found("anvil red") == (red,)
    assert donors_found("ROBIN anvil") == (blue,)
    assert donors_found("2001") == (blue,)
    assert donors_found("b12") == (red,)
    assert donors_found("anvil green") == ()
    assert donors_found("anvil", limit=1) == (blue,)


def test_a_bikes_record_and_the_list_of_bikes(db: None) -> None:
    family = make_family()
    bike, other = make_donor(family), make_donor(family)
    build = make_build(1, donor=bike)
    version = make_draft("Q-1", donor=bike)
    record = donor_record(bike.public_id)
    assert (record.donor, record.versions, record.builds) == (bike, (version,), (build,))
    assert donor_record(other.public_id).builds == ()
    assert donors_list().rows == (other, bike)
    assert donors_list(bike.vin).rows == (bike,)
    with pytest.raises(Donor.DoesNotExist):
        donor_record("nothing")


def test_the_list_of_bikes_comes_in_pages(db: None) -> None:
    family = make_family()
    for _ in range(51):
        make_donor(family)
    last = donors_list(page=7)
    assert (last.count, last.page, last.pages, len(last.rows)) == (51, 2, 2, 1)
