"""Donor families and the bays in their frames."""

from __future__ import annotations

from typing import Any

from django.contrib import admin

from shop.admin.bases import SettingsAdmin, SettingsForm, SettingsInline
from shop.admin.site import site
from shop.models import Bay, DonorFamily

SECTION = "Donor families"


class DonorFamilyForm(SettingsForm):
    class Meta:
        model = DonorFamily
        fields = "__all__"

    def clean(self) -> dict[str, Any]:
        data = super().clean()
        self.hold("front_share", lambda share: 0 < share < 1, "Enter a share between 0 and 1: 0.48 is 48 %.")
        first, last = data.get("first_year"), data.get("last_year")
        if first and last and last < first:
            self.add_error("last_year", f"Before the first year, {first}. Enter that year or a later one.")
        kerb_kg, removed_kg = data.get("kerb_kg"), data.get("removed_kg")
        if kerb_kg is not None and removed_kg is not None and removed_kg >= kerb_kg:
            self.add_error("removed_kg", f"More leaves than the bike weighs ({kerb_kg:g} kg). Check both figures.")
        return data


class BayInline(SettingsInline):
    model = Bay


@admin.register(DonorFamily, site=site)
class DonorFamilyAdmin(SettingsAdmin):
    """An empty figure means not known: the quote then says what is missing."""

    section = SECTION
    form = DonorFamilyForm
    inlines = (BayInline,)
    list_display = ("name", "code", "first_year", "last_year", "kerb_kg")
    search_fields = ("name", "code")
    fieldsets = (
        (None, {"fields": ("code", "name", "first_year", "last_year", "frame_kind")}),
        ("Weight", {"fields": ("kerb_kg", "front_share", "removed_kg", "removed_x_m", "wheelbase_m", "cg_height_m")}),
        ("Ratings on the plate", {"fields": ("gvwr_kg", "gawr_front_kg", "gawr_rear_kg", "brake_rated_kg")}),
        ("On the road", {"fields": ("cda_m2", "crr", "engine_kw", "front_tire", "rear_tire")}),
        (
            "Rear wheel and brakes",
            {
                "fields": (
                    "rear_rim_inch",
                    "dropout_mm",
                    "axle_mm",
                    "chain_pitch",
                    "brake_side",
                    "front_brake",
                    "rear_brake",
                )
            },
        ),
        ("Electrics", {"fields": ("system_v",)}),
    )
