"""Who may sign in, and as what."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib import admin
from django.contrib.auth.admin import UserAdmin
from django.contrib.auth.forms import UserChangeForm
from django.contrib.auth.models import Group, User
from django.http import HttpRequest

from shop.admin.bases import SettingsAdmin
from shop.admin.site import site
from shop.permissions import OWNER, ROLES


class RoleChoice(forms.ModelMultipleChoiceField[Group]):
    def label_from_instance(self, obj: Any) -> str:
        return str(obj.name).capitalize()


class SignInForm(UserChangeForm[User]):
    groups = RoleChoice(
        label="Roles",
        queryset=Group.objects.filter(name__in=ROLES).order_by("pk"),
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text="The owner may do all that the others may.",
    )

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = super().clean() or self.cleaned_data
        groups = data.get("groups")
        stays = data.get("is_active") and groups is not None and any(group.name == OWNER for group in groups)
        if not stays and _is_last_owner(self.instance):
            self.add_error("groups", "This is the only owner. Make somebody else owner first.")
        return data


def _is_last_owner(user: User) -> bool:
    owners = User.objects.filter(is_active=True, groups__name=OWNER)
    return owners.filter(pk=user.pk).exists() and not owners.exclude(pk=user.pk).exists()


@admin.register(User, site=site)
class SignInAdmin(SettingsAdmin, UserAdmin[User]):
    """Somebody who leaves is set to not active: what they did stays in the books under their name."""

    section = "Sign-ins"
    form = SignInForm
    fieldsets = (
        (None, {"fields": ("username", "password")}),
        ("Who it is", {"fields": ("first_name", "last_name", "email")}),
        ("What they may do", {"fields": ("is_active", "groups")}),
    )
    list_display = ("username", "first_name", "last_name", "roles", "is_active")
    list_filter = ("is_active", "groups")
    filter_horizontal = ()

    @admin.display(description="roles")
    def roles(self, user: User) -> str:
        return ", ".join(group.name for group in user.groups.all())

    def get_queryset(self, request: HttpRequest) -> Any:
        return super().get_queryset(request).prefetch_related("groups")

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False
