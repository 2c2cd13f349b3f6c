"""What recipients and senders are written."""

from datetime import datetime

from django.conf import settings
from django.template.loader import render_to_string

from sessions.deliveries.models import Delivery, DeliveryEvent, DeliveryRecipient
from sessions.letters.outbox import Draft, post
from sessions.rooms.models import HouseRules


def house() -> dict[str, str]:
    """Whom to ask, as a link's page and the letters say it."""
    rules = HouseRules.current()
    return {
        "house": settings.STUDIO_NAME,
        "house_email": rules.sender or settings.DEFAULT_FROM_EMAIL,
        "house_phone": rules.phone,
    }


def invite(recipient: DeliveryRecipient, *, address: str, until: datetime, by) -> None:
    """Write to the recipient under which address the delivery opens, and until when."""
    facts = {"recipient": recipient, "until": until}
    _write(recipient.delivery, "sent", to=recipient.email, secret=address, by=by, **facts)


def tell_withdrawn(delivery: Delivery, *, by) -> None:
    for recipient in delivery.recipients.all():
        _write(delivery, "withdrawn", to=recipient.email, by=by, recipient=recipient)


def tell_sender(event: DeliveryEvent) -> None:
    """Of what a recipient answered; a sender without an e-mail finds it on Today."""
    delivery = event.recipient.delivery
    sender = delivery.sent_by
    person = getattr(sender, "person", None)
    if to := sender.email or (person and person.email):
        _write(delivery, "answered", to=to, by=None, event=event)


def _write(delivery: Delivery, kind: str, *, to: str, by, secret: str = "", **facts) -> None:
    """The template's first line is the subject."""
    facts |= house() | {"delivery": delivery, "address": secret}
    text = render_to_string(f"sessions/deliveries/letters/{kind}.txt", facts)
    subject, _, body = text.partition("\n")
    draft = Draft(to, subject, body.strip() + "\n", secret=secret)
    sender = HouseRules.current().sender
    post(delivery, kind=f"delivery_{kind}", drafts=[draft], sender=sender, by=by)
