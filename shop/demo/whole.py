"""The whole invented shop, in the order in which it came about."""

from __future__ import annotations

from datetime import date

from django.contrib.auth.models import User
from django.db import transaction

from shop.demo.bikes import load_customers, load_donors, load_families, load_routing
from shop.demo.catalogue import load_catalogue, load_stock
from shop.demo.files import Clock
from shop.demo.premises import load_premises
from shop.demo.taxes import load_taxes


@transaction.atomic
def load_demo(today: date) -> None:
    """Everything, or nothing. The tables must be empty."""
    clock = Clock(today)
    load_premises(clock)
    load_taxes(clock)
    owner = User.objects.get(username="owner")
    load_families()
    load_routing()
    load_catalogue(clock, owner)
    load_stock(owner)
    customers = load_customers(clock, owner)
    load_donors(customers, owner)
