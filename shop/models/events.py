"""Who did what, when, from what to what, and why. Append-only."""

from __future__ import annotations

from django.conf import settings
from django.db import models


class Event(models.Model):
    """One act. `subject` names the record in words a person knows: Q-2041, B-1007, P-310."""

    at = models.DateTimeField(auto_now_add=True)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+")
    verb = models.CharField(max_length=40)
    subject = models.CharField(max_length=60)
    quote = models.ForeignKey("shop.Quote", null=True, blank=True, on_delete=models.PROTECT, related_name="events")
    build = models.ForeignKey("shop.Build", null=True, blank=True, on_delete=models.PROTECT, related_name="events")
    before = models.CharField(max_length=300, blank=True)
    after = models.CharField(max_length=300, blank=True)
    reason = models.CharField(max_length=300, blank=True)
    key = models.CharField(max_length=80, unique=True, null=True, blank=True, help_text="Makes a repeat harmless.")

    class Meta:
        ordering = ["-at", "-pk"]
        indexes = [models.Index(fields=["subject"], name="event_by_subject")]  # a record's history

    def __str__(self) -> str:
        return f"{self.at:%Y-%m-%d %H:%M} {self.verb} {self.subject}"
