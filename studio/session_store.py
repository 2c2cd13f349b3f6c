"""Django's sessions in the database, with a row that says whose they are (`SESSION_ENGINE`).

Django’s documented way to extend them: docs, “How to use sessions”, “Extending database-backed session
engines”. The row comes with the session, so a page costs no query more.
"""

from django.contrib.auth import SESSION_KEY
from django.contrib.sessions.backends import db
from django.http import HttpRequest

from studio.signed_in import SignedIn, browser_of

NOBODYS = 24 * 3600  # seconds that a session lasts in which nobody has signed in
FACTS = ("signed_in_at", "signed_in_from", "used_at", "used_from", "browser")


class SessionStore(db.SessionStore):
    row: SignedIn | None = None  # as it was loaded
    came_from: dict[str, str] = {}  # of who signs in in this request

    @classmethod
    def get_model_class(cls):
        return SignedIn

    def _get_session_from_db(self):
        self.row = super()._get_session_from_db()
        return self.row

    def note_where(self, request: HttpRequest, address: str) -> None:
        """Whoever signs in now does so from there."""
        browser = browser_of(request)
        self.came_from = {"signed_in_from": address, "used_from": address, "browser": browser}

    def create_model_instance(self, data):
        """Another key for the same user (a new password) is the same sign-in still."""
        made = super().create_model_instance(data)
        made.user_id = int(data[SESSION_KEY]) if SESSION_KEY in data else None
        known = self.row if self.row and self.row.user_id == made.user_id else None
        for name in FACTS if known else ():
            setattr(made, name, getattr(known, name))
        if known and known.session_key == made.session_key:
            made.number = known.number
        for name, value in self.came_from.items():
            setattr(made, name, value)
        self.row = made
        return made

    def get_session_cookie_age(self) -> int:
        return super().get_session_cookie_age() if SESSION_KEY in self else NOBODYS
