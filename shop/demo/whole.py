"""The whole invented shop, in the order in which it came about."""

from __future__ import annotations

from datetime import date
from functools import partial

from django.contrib.auth.models import User
from django.db import transaction

from shop.demo.bench import Work
from shop.demo.bikes import load_customers, load_donors, load_families, load_routing
from shop.demo.buying import Buying
from shop.demo.catalogue import load_catalogue, load_stock
from shop.demo.changes import ChangeDesk
from shop.demo.clock import Clock
from shop.demo.combos import Combos
from shop.demo.country import load_country_sheets, register_elsewhere
from shop.demo.premises import load_numbers, load_premises
from shop.demo.prices import price_acts
from shop.demo.quotes import QuoteDesk
from shop.demo.taxes import load_taxes
from shop.models import Bench, Person
from shop.services.odds import odds_draw

OPENED = -175  # how long ago the shop began to keep its books here


@transaction.atomic
def load_demo(today: date, *, odds: bool = False) -> None:
    """Everything, or nothing. The tables must be empty.

    With `odds` the shop is simulated as its worker would have done, each time before a window is given and once at the
    end; without, windows come from the plan alone, which is a good deal faster.
    """
    clock = Clock(today)
    with clock.on(OPENED):
        load_premises(clock)
        load_numbers()
        load_taxes(clock)
        load_country_sheets(clock)
        owner, counter = User.objects.get(username="owner"), User.objects.get(username="counter")
        load_families()
        load_routing()
        load_catalogue(owner)
        load_stock(owner)
        customers = load_customers(clock, counter)
        donors = load_donors(customers, counter)
        register_elsewhere(donors, counter)
    combos = Combos()
    draw = odds_draw if odds else no_odds
    desk = QuoteDesk(clock, customers, donors, counter, combos, partial(odds_draw, line=False) if odds else no_odds)
    people = {person.name: person for person in Person.objects.select_related("user")}
    benches = {bench.name: bench for bench in Bench.objects.all()}
    work = Work(clock, desk.builds, owner, people, benches, draw)
    changes = ChangeDesk(clock, desk.builds, owner, combos)
    buying = Buying(clock, owner)
    clock.play([*desk.acts(), *buying.acts(), *price_acts(clock, owner), *work.acts(), *changes.acts()])
    draw()


def no_odds() -> None:
    """Nothing is simulated."""
