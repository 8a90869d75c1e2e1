"""Letters the shop sends by mail: what was written, to whom, and whether it went."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q

from shop.models.exact import new_public_id


class MailState(models.TextChoices):
    WAITING = "waiting", "To be sent"
    SENT = "sent", "Sent"
    FAILED = "failed", "Not sent"


class Mail(models.Model):
    """One letter. The worker sends it; `order` or `build` is what it is about. The order's PDF goes with it."""

    public_id = models.CharField(max_length=20, unique=True, default=new_public_id, editable=False)
    to = models.EmailField()
    subject = models.CharField(max_length=200)
    body = models.TextField()
    order = models.ForeignKey(
        "shop.PurchaseOrder", null=True, blank=True, on_delete=models.PROTECT, related_name="mails"
    )
    build = models.ForeignKey("shop.Build", null=True, blank=True, on_delete=models.PROTECT, related_name="mails")
    state = models.CharField(max_length=8, choices=MailState, default=MailState.WAITING)
    error = models.CharField(max_length=300, blank=True)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(auto_now_add=True)
    sent_at = models.DateTimeField(null=True, blank=True)
    key = models.CharField(max_length=80, unique=True, help_text="Makes a repeat harmless.")

    class Meta:
        ordering = ["-at", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(order__isnull=False, build__isnull=True) | Q(order__isnull=True, build__isnull=False),
                name="mail_about_one_thing",
            ),
            models.CheckConstraint(
                condition=Q(state="sent", sent_at__isnull=False) | (~Q(state="sent") & Q(sent_at__isnull=True)),
                name="mail_sent_has_a_time",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.subject} to {self.to}"
