"""A new calendar link: what it tells, whose, and what it is called."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib.auth.models import User

from shop.forms.keyed import KeyedForm
from shop.models import FeedKind, Person
from shop.permissions import OWNER, roles_of
from shop.selectors.calendars import may_follow_finishes


class CalendarForm(KeyedForm):
    """For the owner anybody's; for others their own, so that there is nothing to choose."""

    kind = forms.ChoiceField(label="What it tells", choices=FeedKind.choices)
    who = forms.ModelChoiceField(
        queryset=Person.objects.none(),
        label="Whose bench work",
        to_field_name="public_id",
        required=False,
        empty_label="nobody's",
        error_messages={"invalid_choice": "Choose somebody who works here."},
    )
    label = forms.CharField(
        label="Called", max_length=60, help_text="Where it is followed from: my phone, office wall."
    )

    def __init__(self, *args: Any, person: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        people = Person.objects.filter(active=True)
        own = people if OWNER in roles_of(person) else people.filter(user=person)
        self.fields["who"].queryset = own  # type: ignore[attr-defined]
        if not may_follow_finishes(person):
            self.fields["kind"].choices = [(FeedKind.WORK.value, FeedKind.WORK.label)]  # type: ignore[attr-defined]
        if OWNER not in roles_of(person):
            self.fields["who"].empty_label = None  # type: ignore[attr-defined]
            self.fields["who"].initial = own.first()
