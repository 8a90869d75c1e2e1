"""The shop itself: its settings row, opening hours, closed days."""

from __future__ import annotations

from typing import Any

from babel import Locale, UnknownLocaleError
from django.contrib import admin
from django.db.models import Model
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse

from quoting.errors import RequestError
from quoting.price import minor_digits
from shop.admin.bases import SettingsAdmin, SettingsForm, SpanForm
from shop.admin.site import site
from shop.models import ClosedDays, LedgerEntry, OpeningHours, QuoteVersion, Shop, VersionState
from shop.selectors.shop import the_shop


def currency_remedy(code: str) -> str:
    """What to do about a currency code; empty when it is one of ISO 4217."""
    try:
        minor_digits(code)
    except RequestError as error:
        return error.problems[0].remedy
    return ""


class ShopForm(SettingsForm):
    shares = ("deposit_rate", "margin_floor", "discount_limit", "contingency_rate", "usable_share")
    at_least_zero = (
        "deposit_minimum",
        "storage_fee",
        "passenger_kg",
        "luggage_kg",
        "auxiliary_w",
    )
    above_zero = ("deposit_fixed", "rider_kg", "usable_share")

    class Meta:
        model = Shop
        fields = "__all__"

    def clean(self) -> dict[str, Any]:
        data = super().clean()
        self.hold("margin_floor", lambda rate: rate < 1, "Enter less than 1: no price gives a margin of 100 %.")
        remedy = currency_remedy(data["currency"]) if data.get("currency") else ""
        if remedy:
            self.add_error("currency", remedy)
        elif "currency" in self.changed_data and self._amounts_are_kept():
            kept = Shop.objects.get(pk=self.instance.pk).currency
            self.add_error("currency", f"Quotes and the cash book are kept in {kept}. A shop keeps its one currency.")
        locale = data.get("locale", "")
        try:
            Locale.parse(locale, sep="-" if "-" in locale else "_")
        except (UnknownLocaleError, ValueError):
            self.add_error("locale", f"'{locale}' is not a locale. Use a tag such as en-US or en-GB.")
        warm, cold = data.get("warm_c"), data.get("cold_c")
        if warm is not None and cold is not None and cold >= warm:
            self.add_error("cold_c", f"The cold day must be colder than the warm one of {warm:g} °C.")
        return data

    def _amounts_are_kept(self) -> bool:
        return QuoteVersion.objects.exclude(state=VersionState.DRAFT).exists() or LedgerEntry.objects.exists()


class OpeningHoursForm(SettingsForm):
    class Meta:
        model = OpeningHours
        fields = "__all__"

    def clean(self) -> dict[str, Any]:
        data = super().clean()
        start, end = data.get("start"), data.get("end")
        if start is None or end is None or data.get("weekday") is None:
            return data
        if end <= start:
            self.add_error("end", f"Closes before it opens at {start:%H:%M}. Enter a later time.")
            return data
        others = OpeningHours.objects.filter(weekday=data["weekday"], start__lt=end, end__gt=start)
        other = others.exclude(pk=self.instance.pk).first()
        if other is not None:
            self.add_error("start", f"Overlaps {other}. Change one of the two, or delete it.")
        return data


class ClosedDaysForm(SpanForm):
    class Meta:
        model = ClosedDays
        fields = "__all__"


@admin.register(Shop, site=site)
class ShopAdmin(SettingsAdmin):
    """One row, so the list leads straight to it."""

    form = ShopForm
    moves_plan = True  # goods-in days and the zone decide dates
    fieldsets = (
        (None, {"fields": ("name", "address", "email", "phone")}),
        ("How figures are written", {"fields": ("currency", "locale", "zone", "units", "paper")}),
        (
            "Quotes",
            {"fields": ("valid_days", "hours_percentile", "contingency_rate", "margin_floor", "discount_limit")},
        ),
        ("Prices", {"fields": ("stale_after_days", "duty_on_freight", "handling_days")}),
        ("Tax", {"fields": ("home_tax_place", "tax_number", "tax_rounding")}),
        ("Registration", {"fields": ("home_country_sheet",)}),
        ("Deposit", {"fields": ("deposit_rate", "deposit_minimum", "deposit_fixed", "deposit_terms")}),
        (
            "What range and weight are worked out with",
            {"fields": ("usable_share", "rider_kg", "passenger_kg", "luggage_kg", "auxiliary_w", "warm_c", "cold_c")},
        ),
        ("Storage", {"fields": ("storage_free_days", "storage_fee")}),
    )

    def has_add_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        return False

    def has_delete_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        return False

    def changelist_view(self, request: HttpRequest, extra_context: dict[str, Any] | None = None) -> HttpResponse:
        return HttpResponseRedirect(reverse("admin:shop_shop_change", args=[the_shop().pk]))


@admin.register(OpeningHours, site=site)
class OpeningHoursAdmin(SettingsAdmin):
    form = OpeningHoursForm
    moves_plan = True
    list_display = ("weekday", "start", "end")


@admin.register(ClosedDays, site=site)
class ClosedDaysAdmin(SettingsAdmin):
    form = ClosedDaysForm
    moves_plan = True
    list_display = ("first", "last", "reason")
