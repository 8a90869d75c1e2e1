"""An order mailed to its supplier: a draft is sent by it."""

from __future__ import annotations

from django.contrib.auth.models import User
from django.db import transaction

from shop.models import Mail, OrderState, PurchaseOrder
from shop.services.errors import Refused
from shop.services.mail import mail_write
from shop.services.orders import order_send


@transaction.atomic
def order_mail(*, order: PurchaseOrder, to: str, subject: str, body: str, person: User | None, key: str) -> Mail:
    """Mail an order with its PDF. A draft counts as sent today, its lines expected by the offers' lead times.

    Safe to repeat with the same `key`.
    """
    row = PurchaseOrder.objects.select_related("supplier").get(pk=order.pk)
    made = Mail.objects.filter(key=key).first()
    if made is not None:
        return made
    if row.state not in (OrderState.DRAFT, OrderState.SENT):
        raise Refused(f"{row} is {row.get_state_display().lower()}. Make a new order.")
    if row.state == OrderState.DRAFT:
        order_send(order=row, person=person)
    return mail_write(to=to, subject=subject, body=body, person=person, key=key, order=row)
