"""Suppliers, what they ask, exchange rates."""

from __future__ import annotations

from typing import Any

from django.contrib import admin
from django.db.models import QuerySet
from django.http import HttpRequest

from shop.admin.bases import SettingsAdmin, SettingsForm, SettingsInline, SpanForm
from shop.admin.shop import currency_remedy
from shop.admin.site import site
from shop.models import ExchangeRate, Offer, PastPurchase, Supplier, SupplierClosure
from shop.selectors.shop import shop_today, the_shop
from shop.services.catalogue import OfferValues, offer_remove, offer_save

SECTION = "Suppliers and prices"


class SupplierForm(SettingsForm):
    class Meta:
        model = Supplier
        fields = "__all__"

    def clean(self) -> dict[str, Any]:
        data = super().clean()
        remedy = currency_remedy(data["currency"]) if data.get("currency") else ""
        if remedy:
            self.add_error("currency", remedy)
        return data


class SupplierClosureForm(SpanForm):
    class Meta:
        model = SupplierClosure
        fields = "__all__"


class SupplierClosureInline(SettingsInline):
    model = SupplierClosure
    form = SupplierClosureForm


@admin.register(Supplier, site=site)
class SupplierAdmin(SettingsAdmin):
    section = SECTION
    form = SupplierForm
    moves_plan = True
    inlines = (SupplierClosureInline,)
    list_display = ("name", "code", "currency", "ships_dangerous")
    search_fields = ("name", "code")


class OfferForm(SettingsForm):
    at_least_zero = ("unit_cost", "freight_share", "duty_rate")
    above_zero = ("least_quantity", "pack_quantity")

    class Meta:
        model = Offer
        fields = "__all__"

    def clean(self) -> dict[str, Any]:
        data = super().clean()
        if data.get("priced_on") and data["priced_on"] > shop_today():
            self.add_error("priced_on", "The day of the price lies ahead. Enter today or an earlier day.")
        return data

    def _get_validation_exclusions(self) -> set[str]:
        """Preferring an offer takes the preference from the others: that is no clash."""
        return {*super()._get_validation_exclusions(), "preferred"}  # type: ignore[misc]


@admin.register(Offer, site=site)
class OfferAdmin(SettingsAdmin):
    section = SECTION
    form = OfferForm
    moves_plan = True
    list_display = ("component", "supplier", "unit_cost", "priced_on", "lead_days", "preferred")
    list_filter = ("supplier", "preferred")
    list_select_related = ("component", "supplier")
    search_fields = ("component__code", "component__name", "supplier_code")

    def get_readonly_fields(self, request: HttpRequest, obj: Offer | None = None) -> tuple[str, ...]:
        """An offer stays one supplier's for one component."""
        return () if obj is None else ("component", "supplier")

    def save_model(self, request: HttpRequest, obj: Offer, form: Any, change: bool) -> None:
        values = {name: getattr(obj, name) for name in OfferValues.__annotations__}
        person: Any = request.user
        obj.pk = offer_save(person=person, component=obj.component, supplier=obj.supplier, **values).pk

    def delete_model(self, request: HttpRequest, obj: Offer) -> None:
        person: Any = request.user
        offer_remove(offer=obj, person=person)

    def delete_queryset(self, request: HttpRequest, queryset: QuerySet[Offer]) -> None:
        for offer in queryset:
            self.delete_model(request, offer)


class PastPurchaseForm(SettingsForm):
    above_zero = ("quantity",)
    at_least_zero = ("unit_cost",)

    class Meta:
        model = PastPurchase
        exclude = ("person",)

    def clean(self) -> dict[str, Any]:
        data = super().clean()
        ordered, received = data.get("ordered_on"), data.get("received_on")
        if ordered and received and not ordered <= received <= shop_today():
            self.add_error("received_on", "It came between the day it was ordered and today. Correct one of the days.")
        remedy = currency_remedy(data["currency"]) if data.get("currency") else ""
        if remedy:
            self.add_error("currency", remedy)
        return data


@admin.register(PastPurchase, site=site)
class PastPurchaseAdmin(SettingsAdmin):
    section = SECTION
    form = PastPurchaseForm
    moves_plan = True
    list_display = ("component", "supplier", "ordered_on", "received_on", "quantity", "unit_cost", "currency")
    list_filter = ("supplier",)
    list_select_related = ("component", "supplier")
    search_fields = ("component__code", "component__name", "reference")
    date_hierarchy = "ordered_on"


class ExchangeRateForm(SettingsForm):
    above_zero = ("rate",)

    class Meta:
        model = ExchangeRate
        fields = "__all__"

    def clean(self) -> dict[str, Any]:
        data = super().clean()
        currency = data.get("currency", "")
        own = the_shop().currency
        remedy = currency_remedy(currency) if currency else ""
        if not remedy and currency == own:
            remedy = f"{own} is the shop's own currency. Enter the rate of another one."
        if remedy:
            self.add_error("currency", remedy)
        return data


@admin.register(ExchangeRate, site=site)
class ExchangeRateAdmin(SettingsAdmin):
    section = SECTION
    form = ExchangeRateForm
    list_display = ("currency", "day", "rate")
    list_filter = ("currency",)
    date_hierarchy = "day"
