"""Rough mixes sent: one that ended unopened, one withdrawn, one that the band heard and answered; stems that wait for payment."""

from datetime import datetime, timedelta

from django.urls import reverse

from sessions.clients.models import Person
from sessions.deliverables.listening.actions import give_verdict
from sessions.deliverables.listening.models import Choice
from sessions.deliverables.models import Deliverable, DeliverableKind
from sessions.deliveries.actions import note_event, send, withdraw
from sessions.deliveries.models import ApprovedRecipient, Delivery, EventKind, Paper
from sessions.deliveries.rules import Recipient
from studio.demo.days import as_of, at
from studio.models import User


def send_rough_mixes(work) -> None:
    song = work.songs["Neap and Spring"]
    mixes = {
        each.version: each for each in song.deliverables.filter(kind=DeliverableKind.ROUGH_MIX)
    }
    for name in ("Hesper Dunnage", "Rosamund Keel"):
        person = work.people[name]
        first, last = name.lower().split()
        person.email = f"{first}@{last}.example"
        person.save()
        ApprovedRecipient.objects.create(project=song.project, person=person)
    _send(work, mixes[1], ["Rosamund Keel"], sent_at=at(-8, 20, 45), days=4)
    wrong = _send(work, mixes[1], ["Hesper Dunnage", "Rosamund Keel"], sent_at=at(-7, 9))
    with as_of(at(-7, 9, 20)):
        withdraw(wrong, why="Sent before the pianist had heard it.", tell=True, by=work.engineer)
    heard = _send(
        work,
        mixes[2],
        ["Hesper Dunnage"],
        sent_at=at(-6, 12, 30),
        message="For the quartet to learn from. The brass pair is up, as you asked.",
        papers=[Paper.RECALL_SHEET],
    )
    _answer(heard, heard.recipients.get())


def hold_one_back() -> None:
    """Made ready last evening, while the project's sessions are not paid. Call once they have terms."""
    stems = Deliverable.objects.filter(kind=DeliverableKind.STEMS).latest("pk")
    hesper = Person.objects.get(name="Hesper Dunnage")
    with as_of(at(-1, 21, 40)):
        send(
            stems.song,
            deliverables=[stems],
            recipients=[Recipient(hesper.name, hesper.email, hesper)],
            expires_at=at(27, 0),
            address_of=lambda token: reverse("deliveries:open", args=[token]),
            message="Printed through the mix that you approved.",
            by=User.objects.get(username="ulric"),
        )


def _send(work, mix, names: list[str], *, sent_at: datetime, days: int = 28, **more) -> Delivery:
    people = [work.people[name] for name in names]
    with as_of(sent_at):
        delivery, _ = send(
            mix.song,
            deliverables=[mix],
            recipients=[Recipient(each.name, each.email, each) for each in people],
            expires_at=sent_at.replace(hour=0, minute=0) + timedelta(days=days),
            address_of=lambda token: reverse("deliveries:open", args=[token]),
            by=work.engineer,
            **more,
        )
    return delivery


def _answer(delivery: Delivery, recipient) -> None:
    file, mix, name = delivery.files().get(), delivery.deliverables.get(), recipient.name
    text = "The low voices are a little far away in the last verse."
    opened = delivery.sent_at + timedelta(hours=7)
    for minutes, kind, facts in [
        (0, EventKind.OPENED, {}),
        (1, EventKind.LISTENED, {"file": file}),
        (9, EventKind.DOWNLOADED, {"file": file}),
        (11, EventKind.CHANGES_WANTED, {"said_by": name, "text": f"{mix}: {text}"}),
        (12, EventKind.RECEIVED, {"said_by": name}),
    ]:
        with as_of(opened + timedelta(minutes=minutes)):
            note_event(recipient, kind, **facts)
    with as_of(opened + timedelta(minutes=11)):
        give_verdict(mix, choice=Choice.CHANGES_WANTED, text=text, said_by=name, by=None)
