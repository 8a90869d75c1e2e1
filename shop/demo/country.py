"""Country sheets of invented places, and the bikes that will be registered there."""

from __future__ import annotations

from django.contrib.auth.models import User

from shop.demo.clock import Clock
from shop.demo.files import toml
from shop.models import CountrySheet, Donor, Shop
from shop.services.donors import donor_save


def load_country_sheets(clock: Clock) -> None:
    """The sheets, one of them the shop's own."""
    found = toml("country.toml")
    for entry in found["sheets"]:
        papers = "\n".join(entry.pop("papers"))
        sheet = CountrySheet(as_of=clock.day(entry.pop("read")), papers=papers, **entry)
        sheet.full_clean()
        sheet.save()
    shop = Shop.objects.get()
    shop.home_country_sheet = CountrySheet.objects.get(code=found["home"])
    shop.full_clean(validate_unique=False)
    shop.save()


def register_elsewhere(donors: dict[str, Donor], person: User) -> None:
    """Bikes for other places."""
    for key, code in toml("country.toml")["registered"].items():
        donor_save(person=person, donor=donors[key], registered_in=CountrySheet.objects.get(code=code))
