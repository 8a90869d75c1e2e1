"""Who may do what. A role is a group; the owner may do all that the others may."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.contrib.auth.models import AnonymousUser, Group, User
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse

OWNER, COUNTER, BUILDER = "owner", "counter", "builder"
ROLES = (OWNER, COUNTER, BUILDER)
View = Callable[..., HttpResponse]


def roles_of(user: User | AnonymousUser) -> frozenset[str]:
    """The roles of a user, read once per request: owners and superusers hold all."""
    if not user.is_authenticated:
        return frozenset()
    cached: frozenset[str] | None = getattr(user, "_donorbench_roles", None)
    if cached is None:
        names = set(Group.objects.filter(user=user, name__in=ROLES).values_list("name", flat=True))
        cached = frozenset(ROLES) if user.is_superuser or OWNER in names else frozenset(names)
        user._donorbench_roles = cached  # type: ignore[attr-defined]
    return cached


def roles_required(*roles: str) -> Callable[[View], View]:
    """Let only these roles in; others get 403. Signed-out people are sent to sign in by LoginRequiredMiddleware."""
    unknown = set(roles) - set(ROLES)
    if unknown or not roles:
        raise ValueError(f"roles_required: {sorted(unknown) or 'no role given'}")

    def decorate(view: View) -> View:
        @wraps(view)
        def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
            if not roles_of(request.user) & set(roles):
                raise PermissionDenied
            return view(request, *args, **kwargs)

        guarded.roles = frozenset(roles)  # type: ignore[attr-defined]
        return guarded

    return decorate
