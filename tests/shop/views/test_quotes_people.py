"""Customer and bike found or added in place; the VIN looked at as it is typed."""

from __future__ import annotations

import pytest

from shop.models import Customer, Donor
from tests.shop.made_counter import Counter, text
from tests.shop.made_parts import make_donor
from tests.shop.made_shop import make_customer

# Check digit worked by 49 CFR 565.15(c): the published example 1M8GDM9AXKP042788 gives remainder 10, written X.
VIN = "1M8GDM9AXKP042788"
WRONG = "1M8GDM9A1KP042788"


def test_customers_are_found_as_their_name_is_typed(counter: Counter) -> None:
    make_customer("Robin Example", phone="555 0100")
    page = text(counter.get("quote-customer-find", query={"find_customer": "rob"}, script=True))
    assert "Robin Example" in page
    assert "<html" not in page
    nobody = text(counter.get("quote-customer-find", query={"find_customer": "zzz"}, script=True))
    assert "Nobody found for “zzz”" in nobody


def test_without_script_the_search_is_part_of_the_page(counter: Counter) -> None:
    make_customer("Robin Example")
    page = text(counter.get("quote", query={"find_customer": "rob", "find_donor": "anvil"}))
    assert "Robin Example" in page
    assert "Anvil 500, 1999" in page


def test_a_customer_is_chosen(counter: Counter) -> None:
    robin = make_customer("Robin Example")
    answer = counter.post("quote-customer-choose", customer=robin.public_id, option="A")
    assert counter.quote.customer == robin
    assert "Robin Example" in text(answer)
    assert counter.post("quote-customer-choose", customer="nobody").status_code == 404


def test_a_customer_is_added(counter: Counter) -> None:
    answer = counter.post("quote-customer-new", customer__name="Kim Example", customer__phone="555 0101")
    assert answer.status_code == 200
    assert counter.quote.customer == Customer.objects.get(name="Kim Example")


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"name": ""}, "Fill this in."),
        ({"name": "Kim"}, "Give a telephone number or a mail address"),
        ({"name": "Kim", "email": "kim at example"}, "Enter a valid email address"),
    ],
)
def test_a_customer_who_cannot_be_reached_is_refused(typed: dict[str, str], words: str, counter: Counter) -> None:
    before = counter.quote.customer
    answer = counter.post("quote-customer-new", **{f"customer-{name}": value for name, value in typed.items()})
    assert answer.status_code == 422
    assert words in text(answer)
    assert counter.quote.customer == before


def test_a_bike_is_found_and_chosen_and_brings_its_weight(counter: Counter) -> None:
    other = make_donor(counter.family, year=2001, vin=VIN, owner=counter.quote.customer)
    page = text(counter.get("quote-donor-find", query={"find_donor": "2001"}, script=True))
    assert VIN in page
    answer = counter.post("quote-donor-choose", donor=other.public_id)
    assert counter.quote.donor == other
    assert "Anvil 500, 2001" in text(answer)
    assert counter.post("quote-donor-choose", donor="nothing").status_code == 404


def test_somebody_elses_bike_is_refused_in_words(counter: Counter) -> None:
    other = make_donor(counter.family, owner=make_customer("Robin Example"))
    answer = counter.post("quote-donor-choose", donor=other.public_id)
    assert answer.status_code == 422
    assert "belongs to Robin Example" in text(answer)
    assert counter.quote.donor != other


def test_a_bike_is_added_with_its_figures_in_the_shops_units(counter: Counter) -> None:
    family = counter.family
    sent = {
        "family": str(family.pk), "year": "1989", "vin": VIN.lower(), "market": "north america", "whose": "own",
        "kerb_kg": "450", "gvwr_kg": "400 kg", "odometer_km": "25,000", "title_seen": "on",
    }  # fmt: skip
    answer = counter.post("quote-donor-new", **{f"donor-{name}": value for name, value in sent.items()})
    assert answer.status_code == 200, text(answer)
    donor = counter.quote.donor
    assert donor is not None
    assert (donor.vin, donor.year, donor.owner, donor.title_seen) == (VIN, 1989, counter.quote.customer, True)
    assert donor.kerb_kg == pytest.approx(204.116, abs=0.001)  # 450 × 0.45359237
    assert donor.gvwr_kg == pytest.approx(400)
    assert donor.odometer_km == pytest.approx(40233.6)  # 25,000 × 1.609344
    assert donor.stolen_check_done is None  # not ticked is not known, never "no"


def test_a_bike_whose_vin_cannot_be_right_is_refused_beside_the_field(counter: Counter) -> None:
    count = Donor.objects.count()
    family = counter.family
    sent = {"family": str(family.pk), "vin": WRONG, "market": "north america", "whose": "yard"}
    answer = counter.post("quote-donor-new", **{f"donor-{name}": value for name, value in sent.items()})
    assert answer.status_code == 422
    assert 'id="id_donor-vin_error"' in text(answer)
    assert "check digit" in text(answer)
    assert Donor.objects.count() == count


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"donor-vin": VIN, "donor-market": "north america", "donor-year": "1989"}, "check digit right"),
        ({"donor-vin": WRONG, "donor-market": "north america"}, "STOP"),
        ({"vin": "1M8GDM9AXKP04278", "market": "north america", "year": "1990"}, "characters"),
    ],
)
def test_a_vin_is_looked_at_as_it_is_typed(typed: dict[str, str], words: str, counter: Counter) -> None:
    answer = counter.client.get("/vin/", typed)
    assert words.lower() in text(answer).lower()


def test_nothing_is_said_of_nothing(counter: Counter) -> None:
    assert text(counter.client.get("/vin/", {"vin": " ", "year": "next"})).strip() == ""
