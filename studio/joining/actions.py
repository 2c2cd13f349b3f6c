from collections.abc import Callable
from datetime import timedelta

from axes.utils import reset
from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Q
from django.utils import timezone
from django.utils.text import slugify
from django_tasks import task

from gear.acting import action
from gear.editing.history import update_with_history
from sessions.clients.models import Person
from sessions.letters.sending import mail_is_sent
from sessions.tasks.models import DEFAULT, Worker
from studio.joining.letters import write
from studio.models import User
from studio.password_links import OPENS_FOR, PasswordLink, Purpose

AddressOf = Callable[[str], str]  # of the page that a token opens
MOST_ASKED = 3  # letters with a link that anybody may have sent to one user, within:
ASKED_WITHIN = timedelta(hours=1)


@action
def invite(person: Person, *, email: str, role: str, address_of: AddressOf, by) -> str:
    """Make a sign-in for the person, who chooses its password under a link that is sent to them.
    Returns the link's address where no letter goes, for whoever hands it over. Raises
    ValidationError if they have a sign-in."""
    person = Person.objects.select_for_update(of=("self",), no_key=True).get(pk=person.pk)
    if person.user_id:
        raise ValidationError(f"{person} has a sign-in already.")
    first, _, last = person.name.rpartition(" ")
    user = User(
        username=_free_username(person.name),
        first_name=first or last,
        last_name=last if first else "",
        email=email or person.email,
        role=role,
        is_active=False,  # until they have chosen a password
    )
    user.set_unusable_password()
    user.save()
    person.user, person.email = user, person.email or email
    person.does = person.does or user.get_role_display()
    person.version += 1
    person.save()
    return send_link(user, address_of=address_of, by=by)


@action
def send_link(user: User, *, address_of: AddressOf, by) -> str:
    """A new link in place of those that were sent before: an invitation to whoever has no password
    yet, else for a new one. Returns its address as `invite` does. Raises ValidationError for somebody
    who may not sign in."""
    invited = not user.has_usable_password()
    if not invited and not user.is_active:
        raise ValidationError(f"{user} may not sign in: tick “May sign in” first.")
    now = timezone.now()
    user.password_links.revoke(now)
    purpose = Purpose.INVITATION if invited else Purpose.RESET
    link, token = PasswordLink.make(
        by=by, expires_at=now + OPENS_FOR[purpose], user=user, purpose=purpose
    )
    address, to = address_of(token), user.letters_to()
    if not to or not mail_is_sent():
        return address
    write(link, to=to, address=address, by=by)
    return ""


@action
def revoke_links(user: User, *, by) -> int:
    """No link that was sent to them opens any more; how many still did."""
    now = timezone.now()
    standing = PasswordLink.objects.standing(now).filter(user=user).count()
    user.password_links.revoke(now)
    return standing


@action
def choose_password(link: PasswordLink, *, password: str, username: str = "", by: User) -> User:
    """What the link is for; it and all others of its user end with it. Raises ValidationError if it
    was used meanwhile."""
    user = _use_up(link)
    user.set_password(password)
    if link.purpose == Purpose.INVITATION:
        user.username, user.is_active = username or user.username, True
        user.version += 1
        user.save()
    else:
        user.save(update_fields=["password"])
    user.signed_in.all().end()
    transaction.on_commit(lambda: reset(username=user.username))
    return user


@action
def keep_password(link: PasswordLink, *, by: User) -> User:
    """What the link is for was not needed; it is used up all the same. Raises ValidationError if it
    was meanwhile."""
    return _use_up(link)


def _use_up(link: PasswordLink) -> User:
    now = timezone.now()
    mine = PasswordLink.objects.filter(pk=link.pk, revoked_at=None)
    if not update_with_history(mine, used_at=now, revoked_at=now):
        raise ValidationError("This link was used meanwhile.")
    user = User.objects.select_for_update(no_key=True).get(pk=link.user_id)
    user.password_links.revoke(now)
    return user


def answer_forgotten(email: str, *, pattern: str) -> None:
    """Somebody says that this is their e-mail address, and asks for a new password. Where a worker is
    at work it does the rest, so that the answer takes as long whether or not anybody has it."""
    if Worker.objects.alive(DEFAULT):
        send_forgotten.enqueue(email, pattern)
    else:
        send_forgotten.call(email, pattern)


@task(queue_name=DEFAULT)
def send_forgotten(email: str, pattern: str) -> None:
    """A letter to each who may sign in and has that address; `pattern` makes an address of a token."""
    theirs = Q(email__iexact=email) | Q(email="", person__email__iexact=email)
    for user in User.objects.filter(theirs, is_active=True):
        if user.has_usable_password():
            _send_asked(user, pattern)


@transaction.atomic
def _send_asked(user: User, pattern: str) -> None:
    """Those sent before still open: a stranger who asks takes nothing from the user."""
    user, now = User.objects.select_for_update(no_key=True).get(pk=user.pk), timezone.now()
    recently = (now - ASKED_WITHIN, now)  # and none that a clock set back has still to come
    asked = user.password_links.filter(purpose=Purpose.RESET, made_at__range=recently)
    if asked.count() >= MOST_ASKED:
        return
    expires_at = now + OPENS_FOR[Purpose.RESET]
    link, token = PasswordLink.make(
        by=user, expires_at=expires_at, user=user, purpose=Purpose.RESET
    )
    write(link, to=user.letters_to(), address=pattern.replace("TOKEN", token), by=None)


def _free_username(name: str) -> str:
    """Made of the name; they may choose another."""
    wanted = slugify(name).replace("-", ".")[:140] or "guest"
    taken = set(User.objects.filter(username__startswith=wanted).values_list("username", flat=True))
    number, username = 1, wanted
    while username in taken:
        number += 1
        username = f"{wanted}.{number}"
    return username
