"""Whoever’s second factor changes is told by e-mail (OWASP, Multifactor Authentication Cheat Sheet)."""

from django.utils import timezone
from django.utils.formats import date_format

from sessions.clients.models import Person
from sessions.letters.outbox import Draft, post
from sessions.letters.sending import mail_is_sent
from sessions.letters.text import LetterText
from sessions.rooms.models import Studio
from studio.models import User


def tell_of_factor(user: User, *, what: str, by) -> None:
    """`what` ends the sentence “Your second factor was …”. Nobody is told without an address."""
    to = user.letters_to()
    if not to or not mail_is_sent():
        return
    studio = Studio.current()
    person = Person.objects.filter(user=user).first()
    at = date_format(timezone.localtime(), "DATETIME_FORMAT")
    doer = "by you" if by == user else f"by {by}" if by else "on the studio’s server"
    text = LetterText(
        greeting=f"Hello {user},",
        paragraphs=(f"Your second factor for the sign-in at {studio} was {what} {doer}, {at}.",),
        last=("If you know nothing of it, tell the studio manager at once.",),
        closing=studio.closing,
    )
    draft = Draft(to=to, person=person, subject=f"Your sign-in at {studio}", text=text)
    post(person or (), kind="second_factor", drafts=[draft], sender=studio.writes_as, by=by)
