"""Figures in templates: money by the shop's currency and locale, measures in the shop's units.

Tags read `shop` from the context, so every template writes a figure the same way: {% money sheet.total %},
{% distance profile.low_km profile.high_km %}.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django import template
from django.template import Context

from quoting import show
from shop import written
from shop.models import Event

register = template.Library()
THOUSANDS = 10_000  # from here a plain figure is written without decimals


def _currency(context: Context, currency: str) -> str:
    return currency or context["shop"].currency


@register.simple_tag(takes_context=True)
def money(context: Context, amount: Decimal | None, currency: str = "") -> str:
    """With the currency's sign."""
    return written.money(amount, _currency(context, currency), context["shop"].locale)


@register.simple_tag(takes_context=True)
def amount(context: Context, value: Decimal | None, currency: str = "") -> str:
    """Without the sign, for columns whose head names the currency."""
    return written.money(value, _currency(context, currency), context["shop"].locale, symbol=False)


@register.simple_tag(takes_context=True)
def whole_money(context: Context, value: Decimal | None, currency: str = "") -> str:
    """In whole units, for tabs."""
    return written.whole_money(value, _currency(context, currency), context["shop"].locale)


@register.simple_tag(takes_context=True)
def logged(context: Context, event: Event) -> str:
    """What an event changed and why, days and sums as the shop writes them: "place 4 → place 3. Parts are here"."""
    tag = context["shop"].locale
    change = " → ".join(written.log_words(each, tag) for each in (event.before, event.after) if each)
    return ". ".join(each for each in (change, event.reason) if each)


@register.simple_tag(takes_context=True)
def quantity(context: Context, value: Any, places: int = 3) -> str:
    return written.quantity(value, context["shop"].locale, places)


@register.simple_tag(takes_context=True)
def percent(context: Context, rate: Any) -> str:
    return written.percent(rate, context["shop"].locale)


@register.simple_tag(takes_context=True)
def distance(context: Context, km: float | None, to_km: float | None = None) -> str:
    return _span(show.show_distance, km, to_km, context["shop"].units)


@register.simple_tag(takes_context=True)
def speed(context: Context, kmh: float | None) -> str:
    return show.show_speed(kmh, context["shop"].units)


@register.simple_tag(takes_context=True)
def mass(context: Context, kg: float | None) -> str:
    return show.show_mass(kg, context["shop"].units)


@register.simple_tag(takes_context=True)
def power(context: Context, power_w: float | None) -> str:
    return show.show_power(power_w, context["shop"].units)


@register.simple_tag(takes_context=True)
def energy_use(context: Context, wh_per_km: float | None) -> str:
    return show.show_use(wh_per_km, context["shop"].units)


@register.simple_tag(takes_context=True)
def temperature(context: Context, degc: float | None) -> str:
    return show.show_temperature(degc, context["shop"].units)


@register.simple_tag(takes_context=True)
def length(context: Context, mm: float | None) -> str:
    return show.show_length(mm, context["shop"].units)


@register.simple_tag(takes_context=True)
def unit(context: Context, of_quantity: str) -> str:
    """The word for a unit: {% unit "speed" %} is mph."""
    return show.unit_symbol(of_quantity, context["shop"].units)


@register.simple_tag
def volts(value: float | None) -> str:
    return show.show_volts(value)


@register.simple_tag
def amps(value: float | None) -> str:
    return show.show_amps(value)


@register.simple_tag
def watts(value: float | None) -> str:
    return show.show_watts(value)


@register.simple_tag
def energy(value: float | None) -> str:
    return show.show_energy(value)


@register.simple_tag
def hours(value: Any) -> str:
    """A length of time: "3 h 50 min"."""
    return show.show_hours(None if value is None else float(value))


@register.simple_tag
def bench_hours(value: Decimal | None) -> str:
    """Hours of work as they are booked: "14.25"."""
    return "not known" if value is None else f"{value:.2f}"


@register.simple_tag
def plain_figure(value: float | None, symbol: str = "") -> str:
    """A finding's figure with its own unit: "84.0 V", "2,800 A"."""
    if value is None:
        return show.NOT_KNOWN
    places = 0 if abs(value) >= THOUSANDS or value == int(value) else 1 if abs(value) >= 10 else 2
    return f"{show.number(value, places)} {symbol}".strip()


def _span(one: Any, low: float | None, high: float | None, units: str) -> str:
    """A band written once with its unit: "38 to 46 mi"."""
    if high is None:
        return str(one(low, units))
    first, last = one(low, units), one(high, units)
    same = first.rpartition(" ")[2] == last.rpartition(" ")[2]
    return f"{first.rpartition(' ')[0] if same else first} to {last}"
