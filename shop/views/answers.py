"""What views share: who asks, whether a fragment is wanted, and a refusal's words beside the field they belong to."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

from django.contrib.auth.models import User
from django.core.exceptions import ObjectDoesNotExist, ValidationError
from django.http import Http404, HttpRequest, HttpResponse, QueryDict
from django.shortcuts import render
from django.utils.cache import patch_vary_headers

from shop.forms.base import ShopForm
from shop.services.errors import Refused

Written = TypeVar("Written")
UNREADABLE, IN_THE_WAY = 422, 409  # RFC 9110 sections 15.5.21 and 15.5.10


def person_of(request: HttpRequest) -> User:
    """The signed-in user; roles_required has let nobody else in."""
    assert isinstance(request.user, User)  # noqa: S101 - for the type checker
    return request.user


def is_htmx(request: HttpRequest) -> bool:
    return bool(getattr(request, "htmx", False))


def attempt(form: ShopForm, write: Callable[[dict[str, Any]], Written]) -> Written | None:
    """Check the form and write its values; None when it could not be read or was refused, the words in the form."""
    if not form.is_valid():
        return None
    try:
        return write(form.cleaned_data)
    except (Refused, ValidationError) as refusal:
        refuse(form, refusal)
        return None


def changed_values(form: ShopForm) -> dict[str, Any]:
    """Only what was changed: a figure shown rounded in the shop's units must not be saved back rounded."""
    return {name: form.cleaned_data[name] for name in form.changed_data}


def refuse(form: ShopForm, refusal: Refused | ValidationError) -> None:
    """A service's words beside the field they belong to, or above the form."""
    if isinstance(refusal, Refused):
        form.add_error(refusal.field if refusal.field in form.fields else None, refusal.message)
        return
    by_field = refusal.message_dict if hasattr(refusal, "error_dict") else {"": refusal.messages}
    for name, said in by_field.items():
        form.add_error(name if name in form.fields else None, said)


def posted(request: HttpRequest) -> QueryDict | None:
    """What a form is bound to: the fields sent, or None while the page is only looked at."""
    return request.POST if request.method == "POST" else None


def page_or_part(request: HttpRequest, page: str, part: str, context: dict[str, Any], *forms: ShopForm) -> HttpResponse:
    """The page; for htmx only the part of it that is exchanged. Going back in the browser wants the page again."""
    restores = is_htmx(request) and request.htmx.history_restore_request  # type: ignore[attr-defined]
    answer = page_with(request, part if is_htmx(request) and not restores else page, context, *forms)
    patch_vary_headers(answer, ["HX-Request"])
    return answer


def page_with(request: HttpRequest, template: str, context: dict[str, Any], *forms: ShopForm) -> HttpResponse:
    """The page; 422 when one of its forms has something to correct."""
    wrong = any(form.is_bound and form.errors for form in forms)
    return render(request, template, context, status=UNREADABLE if wrong else 200)


def found_or_404(read: Callable[[], Written]) -> Written:
    """What a selector reads; its DoesNotExist becomes "not found"."""
    try:
        return read()
    except ObjectDoesNotExist as missing:
        raise Http404(str(missing)) from missing


def list_address(request: HttpRequest) -> str:
    """The list's address with its filters and without its page, ending in ? or &."""
    kept = request.GET.copy()
    kept.pop("page", None)
    return f"?{kept.urlencode()}&" if kept else "?"
