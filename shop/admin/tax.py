"""Tax authorities with their dated rates, and the places that stack them."""

from __future__ import annotations

from typing import Any

from django.contrib import admin
from django.forms import BaseInlineFormSet
from django.http import HttpRequest

from shop.admin.bases import SettingsAdmin, SettingsForm, SettingsInline
from shop.admin.site import site
from shop.models import TaxAuthority, TaxPlace, TaxPlaceAuthority, TaxRate
from shop.services.tax import tax_rate_problems, tax_rates_set

SECTION = "Tax"


class TaxRateForm(SettingsForm):
    class Meta:
        model = TaxRate
        fields = "__all__"

    def clean(self) -> dict[str, Any]:
        data = super().clean()
        self.hold("rate", lambda rate: 0 <= rate < 1, "A rate is below 100 %. Enter 7.25 % as 0.0725.")
        return data

    def _get_validation_exclusions(self) -> set[str]:
        """What the table would refuse in words of its own is found over all rows, in the formset below."""
        return {*super()._get_validation_exclusions(), "begin", "end", "rate"}  # type: ignore[misc]


class TaxRateFormSet(BaseInlineFormSet[TaxRate, TaxAuthority, TaxRateForm]):
    def clean(self) -> None:
        super().clean()
        if any(form.errors for form in self.forms):
            return
        kept = self.kept_forms()
        for index, problem in tax_rate_problems([form.instance for form in kept]):
            form = kept[index]
            form.add_error(
                problem.field if problem.field in form.fields else None, f"{problem.problem} {problem.remedy}"
            )

    def validate_unique(self) -> None:
        """Two rates that begin on one day overlap: `clean` says so at the field."""

    def kept_forms(self) -> list[TaxRateForm]:
        """The rows that stay, leaving out blank ones and those marked to go."""
        gone = set(self.deleted_forms)
        return [form for form in self.forms if form not in gone and (form.has_changed() or form.instance.pk)]


class TaxRateInline(SettingsInline):
    model = TaxRate
    form = TaxRateForm
    formset = TaxRateFormSet  # type: ignore[assignment]


@admin.register(TaxAuthority, site=site)
class TaxAuthorityAdmin(SettingsAdmin):
    """Rates are the shop's own responsibility; the authority's word goes before what is entered here."""

    section = SECTION
    inlines = (TaxRateInline,)
    list_display = ("name", "level", "code")
    search_fields = ("name", "code")

    def save_formset(self, request: HttpRequest, form: Any, formset: Any, change: bool) -> None:
        if not isinstance(formset, TaxRateFormSet):
            return super().save_formset(request, form, formset, change)
        formset.save(commit=False)  # tells the log what was added, changed and deleted
        rows = [kept.instance for kept in formset.kept_forms()]
        if formset.has_changed():
            tax_rates_set(authority=form.instance, rows=rows, person=request.user)  # type: ignore[arg-type]
        return None


class TaxPlaceAuthorityFormSet(BaseInlineFormSet[TaxPlaceAuthority, TaxPlace, Any]):
    def clean(self) -> None:
        """Caps and thresholds only work where tax is added on top."""
        super().clean()
        if self.instance.mode != TaxPlace.Mode.INCLUDED:
            return
        gone = set(self.deleted_forms)
        for form in self.forms:
            authority = form.cleaned_data.get("authority") if form not in gone and not form.errors else None
            limited = (
                authority.rates.filter(cap__isnull=False) | authority.rates.filter(threshold__gt=0)
                if authority
                else None
            )
            if limited is not None and limited.exists():
                form.add_error(
                    "authority",
                    f"{authority} has caps or thresholds, which cannot be used where prices include tax. "
                    "Remove them, or set the place to tax added on top.",
                )


class TaxPlaceAuthorityInline(SettingsInline):
    model = TaxPlaceAuthority
    formset = TaxPlaceAuthorityFormSet


@admin.register(TaxPlace, site=site)
class TaxPlaceAdmin(SettingsAdmin):
    section = SECTION
    inlines = (TaxPlaceAuthorityInline,)
    list_display = ("name", "code", "mode", "tax_point")
