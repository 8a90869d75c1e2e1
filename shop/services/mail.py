"""Letters that are sent: written down first, sent by the worker, and what became of it kept."""

from __future__ import annotations

from django.contrib.auth.models import User
from django.core.mail import EmailMessage
from django.db import transaction
from django.utils import timezone
from django_tasks import task

from shop.documents.purchase import purchase_pdf
from shop.models import Build, Mail, MailState, PurchaseOrder
from shop.pdf import PdfUnavailable
from shop.selectors.shop import the_shop
from shop.services.errors import Refused
from shop.services.events import event_write

LONGEST = 300  # Mail.error


@transaction.atomic
def mail_write(
    *,
    to: str,
    subject: str,
    body: str,
    person: User | None,
    key: str,
    order: PurchaseOrder | None = None,
    build: Build | None = None,
) -> Mail:
    """Keep a letter about an order or a build, and hand it to the worker. Safe to repeat with the same `key`."""
    made = Mail.objects.filter(key=key).first()
    if made is not None:
        return made
    if not to.strip():
        raise Refused("There is no mail address. Enter one.", "to")
    row = Mail(
        to=to.strip(), subject=" ".join(subject.split()), body=body.strip(), order=order, build=build, person=person,
        key=key,
    )  # fmt: skip
    row.full_clean(exclude=["order", "build", "person"], validate_unique=False)
    row.save(force_insert=True)
    subject_of = order.number if order else build.number if build else ""
    event_write(
        person=person, verb="letter written", subject=subject_of, build=build, after=f"to {row.to}: {row.subject}"
    )
    transaction.on_commit(lambda: mail_send.enqueue(row.pk))
    return row


@transaction.atomic
def mail_again(*, mail: Mail, person: User | None) -> Mail:
    """Try a letter that did not go once more. Safe to repeat."""
    row = Mail.objects.select_for_update().get(pk=mail.pk)
    if row.state == MailState.FAILED:
        row.state, row.error = MailState.WAITING, ""
        row.save(update_fields=["state", "error"])
        about = row.order.number if row.order else row.build.number if row.build else ""
        event_write(person=person, verb="letter tried again", subject=about, build=row.build, after=f"to {row.to}")
        transaction.on_commit(lambda: mail_send.enqueue(row.pk))
    return row


@task()
def mail_send(mail_pk: int) -> str:
    """The worker's part: send one letter. What hinders it is kept with the letter for the person to see.

    No transaction is held while the mail server answers: the shop goes on working. A worker killed between sending and
    noting it sends the letter again when the task is tried again.
    """
    row = Mail.objects.select_related("order").filter(pk=mail_pk).first()
    if row is None or row.state != MailState.WAITING:
        return "nothing to send"
    try:
        _message(row).send()
    except OSError as problem:  # smtplib's errors are OSErrors
        row.state, row.error = MailState.FAILED, (str(problem) or type(problem).__name__)[:LONGEST]
    else:
        row.state, row.sent_at = MailState.SENT, timezone.now()
    row.save(update_fields=["state", "error", "sent_at"])
    return str(row.state)


def _message(row: Mail) -> EmailMessage:
    reply = the_shop().email
    message = EmailMessage(row.subject, row.body, to=[row.to], reply_to=[reply] if reply else None)
    if row.order is not None:
        try:
            message.attach(f"order-{row.order.number}.pdf", purchase_pdf(row.order), "application/pdf")
        except PdfUnavailable:
            message.body = message.body.replace(" attached:", ":")  # the lines stand in the text
    return message
