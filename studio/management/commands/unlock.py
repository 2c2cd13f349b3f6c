from axes.utils import reset
from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.urls import reverse

from studio.models import User
from studio.signing_in.unlocking import no_manager_is_left, unlock


class Command(BaseCommand):
    help = (
        "Let somebody in again who can’t sign in: lifts pauses after wrong passwords, takes the second "
        "factor away, and gives a link under which they choose a new password. If the house has no "
        "manager left who may sign in, they become one."
    )

    def add_arguments(self, parser):
        parser.add_argument("username", help="what they sign in as")
        parser.add_argument(
            "--address",
            default=_address(),
            help="of the studio’s pages, for the link (%(default)s)",
        )

    def handle(self, *, username, address, **options):
        user = User.objects.filter(username=username).first()
        if user is None:
            raise CommandError(f"Nobody signs in as {username}.")
        if not user.is_active and not no_manager_is_left():
            raise CommandError(f"{user} may not sign in: a studio manager ticks “May sign in”.")
        done = unlock(user, by=None)
        reset(username=username)
        self.stdout.write("\n".join(done.said))
        path = reverse("choose_password", args=[done.token])
        self.stdout.write(f"Open this within two hours, once: {address.rstrip('/')}{path}")


def _address() -> str:
    if settings.CSRF_TRUSTED_ORIGINS:
        return settings.CSRF_TRUSTED_ORIGINS[0]
    scheme = "https" if settings.SECURE_SSL_REDIRECT else "http"
    return f"{scheme}://{settings.ALLOWED_HOSTS[0] if settings.ALLOWED_HOSTS else 'localhost'}"
