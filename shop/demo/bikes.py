"""Customers, donor families with their bays, the donors, and the steps of each kind of job."""

from __future__ import annotations

from decimal import Decimal

from django.contrib.auth.models import User

from shop.demo.clock import Clock
from shop.demo.files import rows, toml
from shop.models import Bay, BenchType, Customer, Donor, DonorFamily, RoutingStep, Skill
from shop.services.customers import customer_save
from shop.services.donors import donor_save

YES = "yes"


def load_customers(clock: Clock, person: User) -> dict[str, Customer]:
    """The customers by the key the other files know them by."""
    return {
        row["key"]: customer_save(
            person=person,
            name=row["name"],
            email=row["email"],
            phone=row["phone"],
            address=row["address"],
            notes=row["notes"],
            exempt_certificate=row["exempt_certificate"],
            exempt_until=clock.day(int(row["exempt_days"])) if row["exempt_days"] else None,
        )
        for row in rows("customers.csv")
    }


def load_families() -> None:
    """Frame families with their bays."""
    for entry in toml("families.toml")["families"]:
        bays = entry.pop("bays")
        first, last = entry.pop("years")
        family = DonorFamily(first_year=first, last_year=last, **entry)
        family.full_clean()
        family.save()
        for bay in bays:
            row = Bay(family=family, **bay)
            row.full_clean(exclude=["family"])
            row.save()


def load_donors(customers: dict[str, Customer], person: User) -> dict[str, Donor]:
    """The donors by the key the other files know them by; without an owner they stand in the yard."""
    families = {family.code: family for family in DonorFamily.objects.all()}
    return {
        row["key"]: donor_save(
            person=person,
            family=families[row["family"]],
            owner=customers[row["owner"]] if row["owner"] else None,
            year=int(row["year"]),
            vin=row["vin"],
            color=row["color"],
            kerb_kg=float(row["kerb_kg"]) if row["kerb_kg"] else None,
            gvwr_kg=float(row["gvwr_kg"]) if row["gvwr_kg"] else None,
            odometer_km=float(row["odometer_km"]),
            condition=row["condition"],
            title_seen=row["title_seen"] == YES,
            stolen_check_done=row["stolen_check"] == YES,
        )
        for row in rows("donors.csv")
    }


def load_routing() -> None:
    """The steps of each kind of job, with families that have their own."""
    families = {family.code: family for family in DonorFamily.objects.all()}
    skills = {skill.code: skill for skill in Skill.objects.all()}
    bench_types = {bench_type.code: bench_type for bench_type in BenchType.objects.all()}
    for row in rows("routing.csv"):
        step = RoutingStep(
            job=row["job"],
            family=families[row["family"]] if row["family"] else None,
            position=int(row["position"]),
            code=row["code"],
            label=row["label"],
            skill=skills[row["skill"]] if row["skill"] else None,
            bench_type=bench_types[row["bench"]] if row["bench"] else None,
            low_h=Decimal(row["low_h"]),
            likely_h=Decimal(row["likely_h"]),
            high_h=Decimal(row["high_h"]),
            lead_days=int(row["lead_days"]),
            needs_kinds=row["needs"].split(),
        )
        step.full_clean(exclude=["family", "skill", "bench_type"])
        step.save()
