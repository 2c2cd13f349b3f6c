"""What recipients and senders are written."""

from datetime import datetime

from django.conf import settings
from django.utils import timezone
from django.utils.formats import date_format

from sessions.deliveries.models import Delivery, DeliveryEvent, DeliveryRecipient
from sessions.letters.outbox import Draft, post
from sessions.letters.text import LetterText
from sessions.rooms.models import Studio


def house() -> dict[str, str]:
    """Whom to ask, as a link's page and the letters say it."""
    studio = Studio.current()
    return {
        "house": studio.name,
        "house_email": studio.email or studio.sender or settings.DEFAULT_FROM_EMAIL,
        "house_phone": studio.phone,
    }


def invite(recipient: DeliveryRecipient, *, address: str, until: datetime, by) -> None:
    """Write to the recipient under which address the delivery opens, and until when."""
    delivery, us = recipient.delivery, house()
    private = "The link is yours alone: whoever has it can open it, so do not pass it on."
    if delivery.password:
        private += (
            f"\nIt asks for a password, which is not in this e-mail: ask {delivery.sent_by} for it."
        )
    text = LetterText(
        greeting=f"Hello {recipient.name},",
        paragraphs=(
            f"{delivery.sent_by} at {us['house']} has sent you {_named(delivery)}.",
            delivery.message,
        ),
        links=((f"Listen and download here, until {_time(until)}", address),),
        last=(private,),
        closing=_questions(us),
    )
    subject = f"{delivery}, from {us['house']}"
    draft = Draft(
        to=recipient.email, person=recipient.person, subject=subject, text=text, secret=address
    )
    _post(delivery, "sent", draft, by=by)


def tell_withdrawn(delivery: Delivery, *, by) -> None:
    us = house()
    for recipient in delivery.recipients.select_related("person"):
        text = LetterText(
            greeting=f"Hello {recipient.name},",
            paragraphs=(
                f"{us['house']} has withdrawn {_named(delivery)}, which was sent to you on "
                f"{_day(delivery.sent_at)}. Its link no longer opens.",
                delivery.withdrawn_why,
            ),
            last=("Please do not use what you downloaded without asking first.",),
            closing=_questions(us),
        )
        subject = f"Withdrawn: {delivery}"
        draft = Draft(to=recipient.email, person=recipient.person, subject=subject, text=text)
        _post(delivery, "withdrawn", draft, by=by)


def tell_sender(event: DeliveryEvent) -> None:
    """Of what a recipient answered; a sender without an e-mail finds it on Today."""
    delivery, recipient = event.recipient.delivery, event.recipient
    sender = delivery.sent_by
    person = getattr(sender, "person", None)
    if to := sender.email or (person and person.email):
        kind = event.get_kind_display()
        text = LetterText(
            paragraphs=(
                f"{event.said_by or recipient.name} on {_named(delivery)}, sent on "
                f"{_day(delivery.sent_at)} to {recipient.name}:",
                f"{kind}, {_time(event.at)}",
                event.text,
            )
        )
        draft = Draft(to=to, person=person, subject=f"{kind}: {delivery}", text=text)
        _post(delivery, "answered", draft, by=None)


def _post(delivery: Delivery, kind: str, draft: Draft, *, by) -> None:
    sender = Studio.current().writes_as
    post(delivery, kind=f"delivery_{kind}", drafts=[draft], sender=sender, by=by)


def _named(delivery: Delivery) -> str:
    return f"{delivery} ({delivery.song.project.artist})"


def _questions(us: dict[str, str]) -> str:
    whom = (us["house"], us["house_email"], us["house_phone"])
    return f"Questions: {', '.join(each for each in whom if each)}"


def _day(moment: datetime) -> str:
    return date_format(timezone.localtime(moment))


def _time(moment: datetime) -> str:
    return date_format(timezone.localtime(moment), "DATETIME_FORMAT")
