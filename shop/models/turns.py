"""Whose turn it is on a bench or with a person, where that is not the order of the line."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from shop.models.exact import new_public_id


class StepTurn(models.Model):
    """A step that is done before another build's step, by a person's word. Spent once either has started.

    The row goes when the turn is given back; the log keeps who said what and why.
    """

    public_id = models.CharField(max_length=20, unique=True, default=new_public_id, editable=False)
    first = models.ForeignKey("shop.BuildStep", on_delete=models.CASCADE, related_name="turns_before")
    then = models.ForeignKey("shop.BuildStep", on_delete=models.CASCADE, related_name="turns_after")
    reason = models.CharField(max_length=160)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["at", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["first", "then"], name="step_turn_once"),
            models.CheckConstraint(condition=~Q(first=F("then")), name="step_turn_of_two_steps"),
        ]

    def __str__(self) -> str:
        return f"{self.first} before {self.then}"
