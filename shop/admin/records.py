"""The books: rows that are only added by the shop's work and never changed."""

from __future__ import annotations

from django.contrib import admin

from shop.admin.bases import RecordAdmin, RecordInline
from shop.admin.site import site
from shop.models import Event, ExpectedDateChange, LedgerEntry, Posting, PromiseEntry, StockMove


@admin.register(Event, site=site)
class EventAdmin(RecordAdmin):
    list_display = ("at", "person", "verb", "subject", "before", "after", "reason")
    list_filter = ("verb",)
    list_select_related = ("person",)
    search_fields = ("subject", "after", "reason")
    date_hierarchy = "at"


class PostingInline(RecordInline):
    model = Posting


@admin.register(LedgerEntry, site=site)
class LedgerEntryAdmin(RecordAdmin):
    inlines = (PostingInline,)
    list_display = ("number", "day", "kind", "receipt", "build", "customer", "method", "reference", "person")
    list_filter = ("kind", "method")
    list_select_related = ("build", "customer", "person")
    search_fields = ("receipt", "reference", "build__number", "customer__name")
    date_hierarchy = "day"


@admin.register(StockMove, site=site)
class StockMoveAdmin(RecordAdmin):
    list_display = ("at", "component", "kind", "on_hand", "reserved", "need", "order_line", "reason", "person")
    list_filter = ("kind",)
    list_select_related = (
        "component",
        "need__build",
        "need__component",
        "order_line__order",
        "order_line__component",
        "person",
    )
    search_fields = ("component__code", "component__name")
    date_hierarchy = "at"


@admin.register(PromiseEntry, site=site)
class PromiseEntryAdmin(RecordAdmin):
    list_display = ("at", "build", "kind", "finish_from", "finish_to", "reason", "person")
    list_filter = ("kind",)
    list_select_related = ("build", "person")
    search_fields = ("build__number",)


@admin.register(ExpectedDateChange, site=site)
class ExpectedDateChangeAdmin(RecordAdmin):
    list_display = ("at", "line", "old", "new", "reason", "person")
    list_select_related = ("line__order", "line__component", "person")
    search_fields = ("line__order__number", "line__component__code")
