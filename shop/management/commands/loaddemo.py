"""`manage.py loaddemo`: fills an empty database with an invented shop. `manage.py demo` calls it."""

from argparse import ArgumentParser
from datetime import date
from typing import Any

from django.contrib.auth.models import User
from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from shop.demo.clock import ZONE
from shop.demo.whole import load_demo
from shop.models import Build, Component, Customer, Donor, DonorFamily, PurchaseOrder, Quote, Shop, Supplier

COUNTED = (DonorFamily, Donor, Customer, Supplier, Component, Quote, Build, PurchaseOrder)


class Command(BaseCommand):
    help = "Fills an empty database with an invented shop, Saltmarsh Cycle Works. Never into a real shop's tables."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--day", type=date.fromisoformat, help="the day it is loaded on, for a repeatable demo")
        parser.add_argument(
            "--odds", action="store_true", help="simulate its past, so that windows say how sure they are"
        )

    def handle(self, *, day: date | None, odds: bool, verbosity: int, **_: Any) -> None:
        full = [model for model in (Customer, Component, DonorFamily, Quote, User) if model.objects.exists()]
        if full:
            there = ", ".join(str(model._meta.verbose_name_plural) for model in full)
            raise CommandError(
                f"There is data here already: {there}. The demo only goes into an empty database; "
                "`manage.py demo --fresh` starts its own afresh."
            )
        load_demo(day or timezone.now().astimezone(ZONE).date(), odds=odds)
        if verbosity >= 1:
            counted = [f"{model.objects.count()} {model._meta.verbose_name_plural}" for model in COUNTED]
            self.stdout.write(f"{Shop.objects.get().name}: {', '.join(counted)}.")
