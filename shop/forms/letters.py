"""A letter to look over before it goes."""

from __future__ import annotations

from typing import Any

from django import forms

from shop.forms.keyed import KeyedForm
from shop.letters import Letter


class LetterForm(KeyedForm):
    """To whom, what about, and the text."""

    to = forms.EmailField(label="To", error_messages={"invalid": "This is no mail address. Write it like a@b.example."})
    subject = forms.CharField(label="About", max_length=200)
    body = forms.CharField(label="Letter", widget=forms.Textarea(attrs={"rows": 14}))

    def __init__(self, *args: Any, letter: Letter, **kwargs: Any) -> None:
        initial = {"to": letter.to, "subject": letter.subject, "body": letter.body}
        super().__init__(*args, **{"initial": initial, **kwargs})
