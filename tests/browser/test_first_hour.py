"""An empty studio, by keyboard alone: the first confirmed session, with client, room and engineer."""

from datetime import timedelta

import pytest
from django.utils import timezone

from sessions.bookings.models import RecordingSession, Status
from studio.models import User
from tests.browser.browsing import sign_in
from tests.browser.forms import has_focus, sees
from tests.factories import PASSWORD

pytestmark = pytest.mark.browser

MOST_LOADS, MOST_KEYS = 6, 200


class Keyboard:
    """Counts what is struck, and the pages that come of it."""

    def __init__(self, page):
        self.page, self.keys, self.loads = page, 0, 1  # the page that is open
        page.on("domcontentloaded", self._loaded)

    def _loaded(self, page) -> None:
        self.loads += 1

    def strike(self, *keys: str) -> None:
        for key in keys:
            self.page.keyboard.press(key)
            self.keys += 1

    def type(self, text: str) -> None:
        self.page.keyboard.type(text)
        self.keys += len(text)

    def send(self) -> None:
        """Enter, which sends the form or follows the link that has the focus."""
        with self.page.expect_navigation():
            self.strike("Enter")

    def go_to(self, locator, key: str = "Tab") -> None:
        """Tab until it has the focus."""
        for _ in range(40):
            if locator.evaluate("element => element === document.activeElement"):
                return
            self.strike(key)
        has_focus(locator)


def test_first_session_is_booked_by_keyboard_in_few_pages_and_keys(new_page, real_database):
    User.objects.create_superuser(
        "odile", "odile@quay-steps.example", PASSWORD, first_name="Odile", last_name="Marrack"
    )
    page = new_page()
    sign_in(page, "odile", PASSWORD)
    hand = Keyboard(page)

    # Today has the focus in the first step that is not done: the studio's facts.
    has_focus(page.locator("#id_facts-name"))
    hand.strike("Tab")
    hand.type("01632 960 201")
    hand.send()
    hand.type("Rope Floor")
    hand.send()
    hand.type("Piran Tolle")
    hand.send()

    hand.go_to(page.get_by_role("link", name="Book a session").first, "Shift+Tab")
    hand.send()
    hand.type("Ninth Tide EP")
    hand.strike("Enter")  # a project that is new; the client is asked next
    hand.type("Thole & Ledger")
    hand.go_to(page.get_by_label("Title"), "Shift+Tab")
    hand.type("Voices")
    hand.go_to(page.locator("#id_starts_at"))
    hand.type(f"{timezone.localdate() + timedelta(days=1):%m%d%Y}")
    hand.strike("Tab")  # a year may have six digits
    hand.type("1000A")
    hand.go_to(page.get_by_label("Held", exact=True))
    hand.strike("ArrowRight")
    hand.go_to(page.get_by_label("Rope Floor"))
    hand.strike("Space")
    hand.go_to(page.get_by_label("Piran Tolle"))
    hand.strike("Space")
    hand.send()

    sees(page, "Voices booked", "Rope Floor", "Piran Tolle", "Thole & Ledger")
    session = RecordingSession.objects.get()
    assert session.status == Status.CONFIRMED
    assert (hand.loads <= MOST_LOADS, hand.keys <= MOST_KEYS) == (True, True), (
        f"{hand.loads} pages, {hand.keys} keys"
    )
