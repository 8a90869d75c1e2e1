"""One customer told of a new finish: the window promised, why, and the letter."""

from __future__ import annotations

from typing import Any

from django import forms

from shop.forms.days import DayField
from shop.forms.keyed import fresh_key
from shop.forms.letters import LetterForm


class TellForm(LetterForm):
    """The new window and the letter that says so."""

    finish_from = DayField(label="First day")
    finish_to = DayField(label="Last day", help_text="When you change the days, change them in the letter too.")
    reason = forms.CharField(label="Why", max_length=160, help_text="As the customer and the line are shown it.")

    field_order = ["finish_from", "finish_to", "reason", "to", "subject", "body"]

    def __init__(self, *args: Any, initial: dict[str, Any], **kwargs: Any) -> None:
        letter = kwargs["letter"]
        words = {"to": letter.to, "subject": letter.subject, "body": letter.body, "key": fresh_key()}
        super().__init__(*args, **{**kwargs, "initial": {**words, **initial}})
