"""Country sheets: limits on conversions by place, with the day they were read."""

from __future__ import annotations

from typing import Any

from django.contrib import admin

from shop.admin.bases import SettingsAdmin, SettingsForm
from shop.admin.site import site
from shop.models import CountrySheet
from shop.selectors.shop import shop_today

SECTION = "Country sheets"
CONFIRM = (
    "What you read in the authority's text, with the day you read it. It is a reminder, never the law: confirm with "
    "your authority. Leave a limit empty where you know of none."
)


class CountrySheetForm(SettingsForm):
    shares = ("mass_share",)
    at_least_zero = ("power_share", "front_share_points")

    class Meta:
        model = CountrySheet
        fields = "__all__"

    def clean(self) -> dict[str, Any]:
        data = super().clean()
        today = shop_today()
        self.hold("as_of", lambda day: day <= today, f"That day is still to come. Enter {today} or an earlier day.")
        return data


@admin.register(CountrySheet, site=site)
class CountrySheetAdmin(SettingsAdmin):
    """Kept by the owner; quotes show the sheet's date and who decides."""

    section = SECTION
    form = CountrySheetForm
    list_display = ("name", "code", "as_of")
    search_fields = ("name", "code")
    fieldsets = (
        (None, {"fields": ("name", "code", "as_of", "source"), "description": CONFIRM}),
        (
            "What a conversion may change",
            {"fields": ("mass_share", "power_share", "power_counts", "least_age_years", "front_share_points")},
        ),
        ("What the authority wants to see", {"fields": ("papers",)}),
    )
