"""Fields for days and times of day: the browser's own picker, and ISO dates typed by hand."""

from __future__ import annotations

from typing import Any

from django import forms

FIRST_YEAR, LAST_YEAR = 1900, 2100  # as shop.models.Donor's own limits


class DayField(forms.DateField):
    """A date: "2026-03-20" (ISO 8601, what browsers send from their date picker)."""

    widget = forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"})
    input_formats = ["%Y-%m-%d"]
    default_error_messages = {"invalid": "This is not a date. Write year, month and day: 2026-03-20."}


class YearField(forms.IntegerField):
    """A year, written without grouping: "1974"."""

    widget = forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"})
    default_error_messages = {"invalid": "This is not a year. Write it like 1974."}

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**{"min_value": FIRST_YEAR, "max_value": LAST_YEAR, "required": False, **kwargs})


class TimeField(forms.TimeField):
    """A time of day: "08:00" or "8:00 AM"."""

    widget = forms.TimeInput(format="%H:%M", attrs={"type": "time"})
    input_formats = ["%H:%M", "%H:%M:%S", "%I:%M %p"]
    default_error_messages = {"invalid": "This is not a time of day. Write it like 08:00."}

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**{"required": False, **kwargs})
