"""The settings' own site: for owners only, its subjects in an order an owner would look for them."""

from __future__ import annotations

from typing import Any

from django.contrib.admin import AdminSite
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse

from shop.permissions import OWNER, roles_of

SECTIONS = (
    "The shop",
    "People and benches",
    "Tax",
    "Country sheets",
    "Suppliers and prices",
    "Donor families",
    "Sign-ins",
    "Records, to look up",
)


def is_owner(request: HttpRequest) -> bool:
    return request.user.is_active and OWNER in roles_of(request.user)


class SettingsSite(AdminSite):
    """Django's admin, entered by the owner's role instead of by staff flags and permissions."""

    site_header = "donorbench settings"
    site_title = "donorbench"
    index_title = "What is edited a few times a year"

    def has_permission(self, request: HttpRequest) -> bool:
        return is_owner(request)

    def login(self, request: HttpRequest, extra_context: dict[str, Any] | None = None) -> HttpResponse:
        """Signing in is the application's own page; whoever gets here is signed in and not an owner."""
        if self.has_permission(request):
            return HttpResponseRedirect(reverse("admin:index", current_app=self.name))
        raise PermissionDenied

    def get_app_list(self, request: HttpRequest, app_label: str | None = None) -> list[Any]:
        """The tables by section, each section in the order it was registered."""
        if app_label:
            return super().get_app_list(request, app_label)
        shown = {entry["model"]: entry for app in super().get_app_list(request) for entry in app["models"]}
        listed: dict[str, list[Any]] = {section: [] for section in SECTIONS}
        for model, model_admin in self._registry.items():
            if model in shown:
                listed[getattr(model_admin, "section", SECTIONS[0])].append(shown[model])
        index = reverse("admin:index", current_app=self.name)
        return [
            {
                "name": section,
                "app_label": section.lower().replace(" ", "-").replace(",", ""),
                "app_url": index,
                "has_module_perms": True,
                "models": models,
            }
            for section, models in listed.items()
            if models
        ]


site = SettingsSite(name="admin")
