"""What every settings page shares: owners only, one event per save, errors that name the field and the remedy."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django import forms
from django.contrib import admin
from django.contrib.admin.models import LogEntry
from django.db.models import Model, QuerySet
from django.http import HttpRequest

from shop.admin.site import is_owner
from shop.services.events import event_write
from shop.services.line_lock import line_lock

SUBJECT_LENGTH = 60  # Event.subject


class OwnersOnly:
    """The owner's role opens everything; nothing else opens anything."""

    def has_module_permission(self, request: HttpRequest) -> bool:
        return is_owner(request)

    def has_view_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        return is_owner(request)

    def has_add_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        return is_owner(request)

    def has_change_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        return is_owner(request)

    def has_delete_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        return is_owner(request)


class SettingsAdmin(OwnersOnly, admin.ModelAdmin[Any]):
    """A settings page. `moves_plan`: what is edited here decides finish dates, so each save is a new plan revision."""

    section = "The shop"
    moves_plan = False
    save_on_top = False

    def log_addition(self, request: HttpRequest, obj: Model, message: Any) -> LogEntry:
        entry: LogEntry = super().log_addition(request, obj, message)
        self.written(request, obj, "setting added", entry.get_change_message())
        return entry

    def log_change(self, request: HttpRequest, obj: Model, message: Any) -> LogEntry:
        entry: LogEntry = super().log_change(request, obj, message)
        self.written(request, obj, "setting changed", entry.get_change_message())
        return entry

    def log_deletions(self, request: HttpRequest, queryset: QuerySet[Any]) -> Any:
        entries = super().log_deletions(request, queryset)
        for obj in queryset:
            self.written(request, obj, "setting deleted", str(obj))
        return entries

    def written(self, request: HttpRequest, obj: Model, verb: str, after: str) -> None:
        """The event row beside Django's own log entry, in the transaction of the save."""
        subject = f"{obj._meta.verbose_name}: {obj}"[:SUBJECT_LENGTH]
        event_write(person=request.user, verb=verb, subject=subject, after=after)  # type: ignore[arg-type]
        if self.moves_plan:
            with line_lock():
                pass


class SettingsInline(OwnersOnly, admin.TabularInline[Any, Any]):
    extra = 0


class RecordAdmin(SettingsAdmin):
    """Rows that are only ever written by the shop's work: to look up, not to edit."""

    section = "Records, to look up"

    def has_add_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        return False

    def has_change_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        return False

    def has_delete_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        return False


class RecordInline(SettingsInline):
    def has_add_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        return False

    def has_change_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        return False

    def has_delete_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        return False


class SettingsForm(forms.ModelForm[Any]):
    """A form with checks of its own: each adds its error to a field, with the remedy."""

    shares: Iterable[str] = ()
    at_least_zero: Iterable[str] = ()
    above_zero: Iterable[str] = ()

    def clean(self) -> dict[str, Any]:
        super().clean()
        for name in self.shares:
            self.hold(name, lambda value: 0 <= value <= 1, "Enter a share from 0 to 1: 0.30 is 30 %.")
        for name in self.at_least_zero:
            self.hold(name, lambda value: value >= 0, "Enter 0 or more.")
        for name in self.above_zero:
            self.hold(name, lambda value: value > 0, "Enter more than 0.")
        return self.cleaned_data

    def hold(self, name: str, holds: Any, remedy: str) -> None:
        """Add `remedy` to a field whose value is there and does not hold."""
        value = self.cleaned_data.get(name)
        if value is not None and not holds(value):
            self.add_error(name, remedy)


class SpanForm(SettingsForm):
    """A first and a last day, both included."""

    def clean(self) -> dict[str, Any]:
        data = super().clean()
        first, last = data.get("first"), data.get("last")
        if first and last and last < first:
            self.add_error("last", f"Ends before it starts on {first}. Enter that day or a later one.")
        return data
