"""One visit of a recipient: from the press of Open on, in one browser, for half a day.

Programs that scan mail fetch addresses, and some fetch what those lead to. None presses a button: so
nothing is shown, counted or handed out before that.
"""

from django.http import HttpRequest
from django.utils import timezone

from sessions.deliveries.actions import note_event
from sessions.deliveries.models import DeliverableFile, DeliveryLink, EventKind

LASTS_SECONDS = 12 * 60 * 60
KEY = "delivery_visits"


class Visit:
    def __init__(self, request: HttpRequest, link: DeliveryLink):
        self.session, self.recipient, self.key = request.session, link.recipient, f"{link.pk}"
        # What the house looks at on a link of its own making is no answer of its recipient. Somebody
        # from outside who signs in here, a mix engineer, may well be one.
        self.is_counted = not request.user.has_perm("studio_sessions.view_all_projects")

    @property
    def _kept(self) -> dict:
        return self.session.get(KEY, {})

    @property
    def is_open(self) -> bool:
        began = self._kept.get(self.key, {}).get("began", 0)
        return timezone.now().timestamp() < began + LASTS_SECONDS

    def begin(self) -> None:
        self._keep({"began": timezone.now().timestamp(), "heard": []})
        self.note(EventKind.OPENED)

    def note(self, kind: EventKind, **facts) -> None:
        if self.is_counted:
            note_event(self.recipient, kind, **facts)

    def note_listening(self, file: DeliverableFile) -> None:
        """Once for each file: a player asks for many stretches of it."""
        kept = self._kept[self.key]
        if file.pk not in kept["heard"]:
            self._keep(kept | {"heard": [*kept["heard"], file.pk]})
            self.note(EventKind.LISTENED, file=file)

    def _keep(self, visit: dict) -> None:
        self.session[KEY] = self._kept | {self.key: visit}
