"""What somebody is written who is to choose a password."""

from django.utils import timezone
from django.utils.formats import date_format

from sessions.clients.models import Person
from sessions.letters.outbox import Draft, post
from sessions.letters.text import LetterText
from sessions.rooms.models import Studio
from studio.password_links import PasswordLink, Purpose

PRIVATE = "The link is yours alone and works once: do not pass it on."


def write(link: PasswordLink, *, to: str, address: str, by) -> None:
    """The letter with the link's `address`, which is kept no longer than until it is sent. Written
    `by` nobody if they asked for it themselves."""
    user, studio = link.user, Studio.current()
    until = date_format(timezone.localtime(link.expires_at), "DATETIME_FORMAT")
    invited = link.purpose == Purpose.INVITATION
    text = LetterText(
        greeting=f"Hello {user},",
        paragraphs=(_invitation(user, studio, by) if invited else _reset(user, studio),),
        links=((f"Choose your password here, until {until}", address),),
        last=(PRIVATE,) if invited else (PRIVATE, UNASKED),
        closing=studio.closing,
    )
    person = Person.objects.filter(user=user).first()
    subject = f"Your sign-in at {studio}" if invited else f"A new password at {studio}"
    draft = Draft(to=to, person=person, subject=subject, text=text, secret=address)
    kind = "invitation" if invited else "new_password"
    post(person or (), kind=kind, drafts=[draft], sender=studio.writes_as, by=by)


UNASKED = "If you did not ask for this, do nothing: your password stays as it is."


def _invitation(user, studio: Studio, by) -> str:
    return f"{by} invites you to sign in at {studio}, as {user.get_role_display().lower()}."


def _reset(user, studio: Studio) -> str:
    return f"You can choose a new password at {studio}. You sign in as {user.username}."
