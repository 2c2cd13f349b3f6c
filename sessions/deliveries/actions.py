from collections.abc import Callable, Iterable
from datetime import datetime, timedelta

from django.contrib.auth.hashers import make_password
from django.db import transaction
from django.utils import timezone

from gear.acting import action
from sessions.deliverables.models import Deliverable
from sessions.deliveries import letters
from sessions.deliveries.models import (
    ANSWERS,
    DeliveredItem,
    Delivery,
    DeliveryEvent,
    DeliveryLink,
    DeliveryRecipient,
    EventKind,
)
from sessions.deliveries.payment import waits_for
from sessions.deliveries.rules import NotToBeSent, Recipient, why_not_ready, why_not_to
from sessions.songs.models import Song

Addresses = dict[DeliveryRecipient, str]


@action
def send(
    song: Song,
    *,
    deliverables: Iterable[Deliverable],
    recipients: Iterable[Recipient],
    expires_at: datetime,
    address_of: Callable[[str], str],
    papers: Iterable[str] = (),
    message: str = "",
    password: str = "",
    by,
) -> tuple[Delivery, Addresses]:
    """Send the deliverables of the song, to each recipient by a letter with a link of their own.

    `address_of` makes an address of a link's token. Returned are the addresses, too, which nobody
    can read again. Where the terms want payment first and something is open, it is only made ready: it
    waits for `release`, and there are no addresses. Raises NotToBeSent.
    """
    deliverables, recipients = list(deliverables), list(recipients)
    reasons = [why_not_ready(each) for each in deliverables]
    reasons.append(why_not_to(recipients, deliverables, song.project))
    if reason := next(filter(None, reasons), ""):
        raise NotToBeSent(reason)
    delivery = Delivery.objects.create(
        song=song,
        papers=list(papers),
        message=message,
        expires_at=expires_at,
        password=make_password(password) if password else "",
        sent_by=by,
        sent_at=timezone.now(),
        held_back=bool(waits_for(song.project)),
    )
    for deliverable in deliverables:
        DeliveredItem.objects.create(delivery=delivery, deliverable=deliverable)
    addresses = {}
    for each in recipients:
        recipient = DeliveryRecipient.objects.create(
            delivery=delivery, person=each.person, name=each.name, email=each.email
        )
        if not delivery.held_back:
            addresses[recipient] = _link(recipient, expires_at, address_of, by)
    return delivery, addresses


@action
def release(
    delivery: Delivery, *, why: str = "", address_of: Callable[[str], str], by
) -> Addresses:
    """Send what waited for payment: links open as long as was meant. While something is open, only
    whoever sees money may, and says why. Raises NotToBeSent."""
    delivery = Delivery.objects.select_for_update(no_key=True).get(pk=delivery.pk)
    if not delivery.waits or delivery.withdrawn_at:
        raise NotToBeSent("It was sent or withdrawn meanwhile.")
    if waits_for(delivery.song.project):
        if not by.has_perm("studio_sessions.see_money"):
            raise NotToBeSent("It waits for payment: ask a studio manager to allow it.")
        if not why:
            raise NotToBeSent("Something is open still: say why it may go.")
    now = timezone.now()
    delivery.expires_at += timedelta(days=(now - delivery.sent_at).days)
    delivery.released_at, delivery.released_by, delivery.released_why = now, by, why
    delivery.save()
    recipients = delivery.recipients.select_related("person")
    return {each: _link(each, delivery.expires_at, address_of, by) for each in recipients}


def _link(recipient, expires_at, address_of, by) -> str:
    _, token = DeliveryLink.make(by=by, expires_at=expires_at, recipient=recipient)
    address = address_of(token)
    letters.invite(recipient, address=address, until=expires_at, by=by)
    return address


@action
def send_again(
    recipient: DeliveryRecipient,
    *,
    expires_at: datetime,
    address_of: Callable[[str], str],
    by,
) -> str:
    """Another link for that recipient; the ones before are revoked. Raises NotToBeSent."""
    delivery = Delivery.objects.select_for_update(no_key=True).get(pk=recipient.delivery_id)
    if delivery.withdrawn_at:
        raise NotToBeSent("The delivery was withdrawn: send a new one.")
    if delivery.waits:
        raise NotToBeSent("It waits for payment: allow it first.")
    to = Recipient(recipient.name, recipient.email, recipient.person)
    if reason := why_not_to([to], list(delivery.deliverables.all()), delivery.song.project):
        raise NotToBeSent(reason)
    for link in recipient.links.all():
        link.revoke(timezone.now())
    if expires_at > delivery.expires_at:
        delivery.expires_at = expires_at
        delivery.save()
    recipient.delivery = delivery
    return _link(recipient, expires_at, address_of, by)


@action
def withdraw(delivery: Delivery, *, why: str, tell: bool, by) -> None:
    """Its links open nothing from now on. What was withdrawn already keeps its reason."""
    delivery = Delivery.objects.select_for_update(no_key=True).get(pk=delivery.pk)
    if delivery.withdrawn_at:
        return
    delivery.withdrawn_at, delivery.withdrawn_by, delivery.withdrawn_why = timezone.now(), by, why
    delivery.save()
    if tell and not delivery.waits:
        letters.tell_withdrawn(delivery, by=by)


@transaction.atomic
def note_event(recipient: DeliveryRecipient, kind: EventKind, **facts) -> DeliveryEvent:
    """What the recipient did, and a letter to the sender where it is an answer. Received it is once."""
    facts["at"] = timezone.now()
    if kind == EventKind.RECEIVED:
        event, is_new = recipient.events.get_or_create(kind=kind, defaults=facts)
    else:
        event, is_new = recipient.events.create(kind=kind, **facts), True
    if is_new and kind in ANSWERS:
        letters.tell_sender(event)
    return event
