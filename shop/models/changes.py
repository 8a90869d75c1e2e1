"""Change orders: a running build changed by a new version of its quote."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from shop.models.exact import MoneyField, new_public_id


class AgreedHow(models.TextChoices):
    SIGNED = "signed", "Signed on paper"
    MAIL = "mail", "By mail"
    COUNTER = "counter", "In person at the counter"


class ChangeOrder(models.Model):
    """What a new version of the quote changes on a running build, against `base`, the version agreed until then.

    How it stands is its version's state: draft, offered, accepted, declined, lapsed or replaced. What was to be
    expected without the change, and the deposit asked, are kept when it is offered; who agreed, when it is accepted.
    """

    public_id = models.CharField(max_length=20, unique=True, default=new_public_id, editable=False)
    number = models.CharField(max_length=20, unique=True)
    build = models.ForeignKey("shop.Build", on_delete=models.PROTECT, related_name="changes")
    base = models.ForeignKey("shop.QuoteVersion", on_delete=models.PROTECT, related_name="changed_by")
    version = models.OneToOneField("shop.QuoteVersion", on_delete=models.PROTECT, related_name="change")
    reason = models.CharField(max_length=200)
    started_at = models.DateTimeField(auto_now_add=True)
    started_by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+")
    promised_from = models.DateField(null=True, blank=True)
    promised_to = models.DateField(null=True, blank=True)
    without_from = models.DateField(null=True, blank=True, help_text="Expected without the change, when offered.")
    without_to = models.DateField(null=True, blank=True)
    deposit = MoneyField(null=True, blank=True, help_text="The further deposit asked.")
    agreed_by = models.CharField(max_length=120, blank=True)
    agreed_how = models.CharField(max_length=8, choices=AgreedHow, blank=True)
    agreed_on = models.DateField(null=True, blank=True)
    other_payer = models.CharField(max_length=120, blank=True, help_text="Who else pays and agreed, if anybody.")
    accepted_at = models.DateTimeField(null=True, blank=True)
    accepted_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        ordering = ["-started_at", "-pk"]
        constraints = [
            models.CheckConstraint(condition=~Q(version=F("base")), name="change_is_another_version"),
            models.CheckConstraint(condition=~Q(reason=""), name="change_has_a_reason"),
            models.CheckConstraint(
                condition=Q(accepted_at__isnull=True, accepted_by__isnull=True, agreed_on__isnull=True, agreed_by="")
                | (
                    Q(accepted_at__isnull=False, accepted_by__isnull=False, agreed_on__isnull=False)
                    & ~Q(agreed_by="")
                    & ~Q(agreed_how="")
                ),
                name="change_accepted_by_both",
            ),
        ]

    def __str__(self) -> str:
        return self.number
