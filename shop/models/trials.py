"""How sure the days of a What-if are: worked out in the background, read when they are there."""

from __future__ import annotations

from django.core.serializers.json import DjangoJSONEncoder
from django.db import models

from shop.models.exact import new_public_id


class Trial(models.Model):
    """One question put to the simulated shop: the line as it is and as it would be, with the same random numbers.

    `key` of the question, so that it is worked out once however often it is asked; `question` its JSON form, emptied
    when it is answered; `halves` how many of the two lines are drawn; `odds` by build number, as it is and as it would
    be; `said` why it could not be worked out.
    """

    public_id = models.CharField(max_length=20, unique=True, default=new_public_id, editable=False)
    key = models.CharField(max_length=64, unique=True)
    revision = models.PositiveBigIntegerField()
    question = models.JSONField(encoder=DjangoJSONEncoder, null=True)
    halves = models.PositiveSmallIntegerField(default=0)
    odds = models.JSONField(encoder=DjangoJSONEncoder, null=True)
    said = models.CharField(max_length=300, blank=True)
    asked_at = models.DateTimeField(auto_now_add=True)
    started_at = models.DateTimeField(null=True, blank=True)
    ended_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-asked_at", "-pk"]

    def __str__(self) -> str:
        return f"trial of revision {self.revision}"
