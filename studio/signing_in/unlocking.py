"""The way back in from the server's command line, for whoever lost it: `manage.py unlock`."""

from dataclasses import dataclass

from django.utils import timezone

from gear.acting import action
from studio.models import PasswordLink, User
from studio.password_links import OPENS_FOR, Purpose
from studio.roles import Role
from studio.signing_in import second_factor
from studio.signing_in.letters import tell_of_factor


@dataclass(frozen=True)
class Unlocked:
    said: list[str]  # what was done, a sentence each
    token: str  # of the link to a new password


def no_manager_is_left() -> bool:
    """None of those who may sign in could let anybody in."""
    managers = User.objects.filter(role=Role.MANAGER, is_active=True)
    return not any(manager.has_usable_password() for manager in managers)


@action
def unlock(user: User, *, by) -> Unlocked:
    """Nothing but the password's link stands between them and their sign-in, which the history of the
    user says. Where nobody else could, they become an active manager."""
    user = User.objects.select_for_update(no_key=True).get(pk=user.pk)
    said = ["Pauses after wrong passwords are lifted."]
    user.known_devices.update(failures=0, failed_at=None)
    if second_factor.remove(user, why="Second factor removed by manage.py unlock", by=by):
        said.append("The second factor is removed.")
        tell_of_factor(user, what="removed", by=by)
    if no_manager_is_left():
        user.role, user.is_active = Role.MANAGER, True
        said.append(f"{user} is a studio manager who may sign in, since the house had none left.")
    user.version += 1
    user._change_reason = "Unlocked by manage.py unlock"
    user.save()
    now = timezone.now()
    user.password_links.revoke(now)
    _, token = PasswordLink.make(
        by=user, expires_at=now + OPENS_FOR[Purpose.RESET], user=user, purpose=Purpose.RESET
    )
    return Unlocked(said, token)
