"""People, their skills and leave; benches; the steps of each kind of job."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib import admin

from quoting.parts import KINDS
from shop.admin.bases import SettingsAdmin, SettingsForm, SettingsInline, SpanForm
from shop.admin.site import site
from shop.models import Bench, BenchDowntime, BenchType, Leave, Person, RoutingStep, Skill

SECTION = "People and benches"


class LeaveForm(SpanForm):
    class Meta:
        model = Leave
        fields = "__all__"


class LeaveInline(SettingsInline):
    model = Leave
    form = LeaveForm


class PersonForm(SettingsForm):
    class Meta:
        model = Person
        fields = "__all__"
        widgets = {"skills": forms.CheckboxSelectMultiple}


@admin.register(Person, site=site)
class PersonAdmin(SettingsAdmin):
    """Somebody who has left is marked as not active: their hours stay on the builds."""

    section = SECTION
    form = PersonForm
    moves_plan = True
    inlines = (LeaveInline,)
    list_display = ("name", "active", "user")
    list_filter = ("active", "skills")


class SkillForm(SettingsForm):
    at_least_zero = ("rate", "cost_rate")

    class Meta:
        model = Skill
        fields = "__all__"


@admin.register(Skill, site=site)
class SkillAdmin(SettingsAdmin):
    section = SECTION
    form = SkillForm
    list_display = ("label", "code", "rate", "cost_rate", "tax_class")


@admin.register(BenchType, site=site)
class BenchTypeAdmin(SettingsAdmin):
    section = SECTION
    list_display = ("label", "code")


class BenchDowntimeForm(SpanForm):
    class Meta:
        model = BenchDowntime
        fields = "__all__"


class BenchDowntimeInline(SettingsInline):
    model = BenchDowntime
    form = BenchDowntimeForm


@admin.register(Bench, site=site)
class BenchAdmin(SettingsAdmin):
    section = SECTION
    moves_plan = True
    inlines = (BenchDowntimeInline,)
    list_display = ("name", "bench_type", "active")
    list_filter = ("active", "bench_type")


class RoutingStepForm(SettingsForm):
    needs_kinds = forms.MultipleChoiceField(
        label="Waits for",
        choices=[(kind.code, kind.label) for kind in KINDS.values()],
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text="Kinds of component the step cannot start without.",
    )

    class Meta:
        model = RoutingStep
        fields = "__all__"

    def clean(self) -> dict[str, Any]:
        data = super().clean()
        low_h, likely_h, high_h = (data.get(name) for name in ("low_h", "likely_h", "high_h"))
        if low_h is None or likely_h is None or high_h is None:
            return data
        if not 0 <= low_h <= likely_h <= high_h:
            self.add_error("likely_h", "Hours must rise from low over likely to high, none below zero.")
        if data.get("lead_days") and high_h:
            self.add_error("lead_days", "Outside work takes days, work on a bench takes hours: enter one of the two.")
        if high_h and not (data.get("bench_type") and data.get("skill")):
            missing = "skill" if not data.get("skill") else "bench_type"
            self.add_error(missing, "A step with hours needs a skill and a type of bench, or no date can be planned.")
        others = RoutingStep.objects.filter(job=data.get("job"), family=data.get("family"), code=data.get("code"))
        if others.exclude(pk=self.instance.pk).exists():
            self.add_error("code", "This job has a step of that code already. Choose another code.")
        return data


@admin.register(RoutingStep, site=site)
class RoutingStepAdmin(SettingsAdmin):
    """Quotes copy the steps: what is changed here holds for quotes started later."""

    section = SECTION
    form = RoutingStepForm
    list_display = ("label", "job", "family", "position", "skill", "bench_type", "low_h", "likely_h", "high_h")
    list_filter = ("job", "family")
    list_select_related = ("family", "skill", "bench_type")
