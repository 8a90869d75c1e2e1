"""Settings, hours, skills, benches, people, suppliers, exchange rates."""

from __future__ import annotations

from datetime import time
from decimal import Decimal
from typing import Any

from django.contrib.auth.models import Group, User

from shop.demo.clock import Clock
from shop.demo.files import toml
from shop.models import (
    Bench,
    BenchType,
    ClosedDays,
    ExchangeRate,
    Leave,
    OpeningHours,
    Person,
    Sequence,
    Shop,
    Skill,
    Supplier,
    SupplierClosure,
)
from shop.services.numbers import PREFIXES

FIRST_NUMBERS = {"quote": 2017, "build": 1042, "order": 318, "receipt": 604, "invoice": 131, "entry": 1}
AMOUNTS = (
    "deposit_rate",
    "parts_deposit_rate",
    "deposit_minimum",
    "contingency_rate",
    "margin_floor",
    "discount_limit",
    "storage_fee",
)


def load_premises(clock: Clock) -> None:
    """The shop itself, its people and its suppliers."""
    found = toml("premises.toml")
    _settings(found["shop"])
    for entry in found["hours"]:
        for weekday in entry["weekdays"]:
            for start, end in entry["spans"]:
                row = OpeningHours(weekday=weekday, start=time.fromisoformat(start), end=time.fromisoformat(end))
                row.full_clean()
                row.save()
    for entry in found["closed"]:
        ClosedDays.objects.create(
            first=clock.day(entry["first"]), last=clock.day(entry["last"]), reason=entry["reason"]
        )
    for entry in found["skills"]:
        Skill.objects.create(**{**entry, "rate": Decimal(entry["rate"]), "cost_rate": Decimal(entry["cost_rate"])})
    for entry in found["benches"]:
        bench_type = BenchType.objects.create(code=entry["code"], label=entry["label"])
        Bench.objects.bulk_create(Bench(name=name, bench_type=bench_type) for name in entry["names"])
    _people(found, clock)
    _suppliers(found, clock)


def load_numbers() -> None:
    """A shop some years old does not begin at 1."""
    for name, first in FIRST_NUMBERS.items():
        Sequence.objects.create(name=name, prefix=PREFIXES[name], next_number=first)


def _settings(values: dict[str, Any]) -> None:
    shop = Shop(pk=1)
    for name, value in values.items():
        text = value.strip() if isinstance(value, str) else value
        setattr(shop, name, Decimal(text) if name in AMOUNTS else text)
    shop.full_clean(validate_unique=False)
    shop.save()


def _people(found: dict[str, Any], clock: Clock) -> None:
    skills = {skill.code: skill for skill in Skill.objects.all()}
    for entry in found["people"]:
        user = _user(entry["user"], entry["name"]) if "user" in entry else None
        person = Person.objects.create(name=entry["name"], user=user)
        person.skills.set([skills[code] for code in entry["skills"]])
    for entry in found["leave"]:
        Leave.objects.create(
            person=Person.objects.get(name=entry["person"]),
            first=clock.day(entry["first"]),
            last=clock.day(entry["last"]),
        )


def _user(role: str, name: str) -> User:
    """A sign-in without a password: the demo command sets it."""
    first, _, last = name.partition(" ")
    user = User.objects.create_user(username=role, first_name=first, last_name=last)
    user.groups.add(Group.objects.get_or_create(name=role)[0])
    return user


def _suppliers(found: dict[str, Any], clock: Clock) -> None:
    for entry in found["suppliers"]:
        closed = entry.pop("closed", [])
        supplier = Supplier(**entry)
        supplier.full_clean()
        supplier.save()
        for first, last in closed:
            SupplierClosure.objects.create(supplier=supplier, first=clock.day(first), last=clock.day(last))
    for entry in found["exchange"]:
        ExchangeRate.objects.create(
            currency=entry["currency"], rate=Decimal(entry["rate"]), day=clock.day(entry["day"])
        )
