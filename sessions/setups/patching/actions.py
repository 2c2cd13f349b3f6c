from datetime import datetime

from django.db import transaction
from django.utils import timezone

from sessions.setups.models import Setup


def strike(setup: Setup) -> None:
    """Take the setup down: its cords come off the bays. One that is down already stays so."""
    _set_struck(setup, struck_at=timezone.now())


def undo_strike(setup: Setup) -> None:
    """Let a setup that was struck stand again, as it was."""
    _set_struck(setup, struck_at=None)


@transaction.atomic
def _set_struck(setup: Setup, *, struck_at: datetime | None) -> None:
    current = Setup.objects.select_for_update().get(pk=setup.pk)
    if current.is_up != (struck_at is None):
        current.struck_at = struck_at
        current.save(update_fields=["struck_at"])
    setup.struck_at = current.struck_at
