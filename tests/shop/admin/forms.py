"""Posting to a settings page: what the page shows, with a few values changed."""

from __future__ import annotations

from typing import Any

from django.test import Client
from django.urls import reverse


def shown(client: Client, page: str, *args: object) -> dict[str, Any]:
    """Everything the page's form and inlines would send back untouched."""
    response = client.get(reverse(f"admin:{page}", args=args))
    assert response.status_code == 200
    context = response.context_data
    assert context is not None
    data: dict[str, Any] = {}
    forms = [context["adminform"].form]
    for inline in context["inline_admin_formsets"]:
        forms += [inline.formset.management_form, *inline.formset.forms]
    for form in forms:
        for bound in form:
            value = bound.value()
            data[bound.html_name] = "" if value is None else value
    return {key: value for key, value in data.items() if value is not False}


def save(client: Client, page: str, *args: object, **changed: Any) -> Any:
    """Change some values of a page and save it. None takes a value out, as an unticked box does."""
    data = {**shown(client, page, *args), **changed}
    return client.post(
        reverse(f"admin:{page}", args=args), {key: value for key, value in data.items() if value is not None}
    )


def errors(response: Any) -> dict[str, list[str]]:
    """Errors by field name, of the form and its inlines; fails when the page was saved."""
    assert response.status_code == 200, "it was saved"
    found: dict[str, list[str]] = {}
    forms = [response.context_data["adminform"].form]
    for inline in response.context_data["inline_admin_formsets"]:
        forms += inline.formset.forms
    for form in forms:
        for name, messages in form.errors.items():
            found.setdefault(name, []).extend(str(message) for message in messages)
    return found
