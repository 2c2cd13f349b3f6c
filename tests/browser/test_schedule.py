"""The schedule by keyboard alone, and on paper."""

import io
from datetime import timedelta

import pypdf
import pytest
from django.utils import timezone

from sessions.calendar.schedule.days import period_of
from studio.roles import Role
from tests.factories import RecordingSessionFactory, ReservationFactory, RoomFactory, UserFactory

pytestmark = pytest.mark.browser


@pytest.fixture
def manager_page(page_of):
    UserFactory(username="odile", role=Role.MANAGER)
    return page_of("odile")


def test_pages_are_turned_and_a_booking_begun_by_key(manager_page):
    RoomFactory(name="Bread Room")
    page, today = manager_page, timezone.localdate()
    day = timedelta(days=1)
    page.goto("/schedule/day/")

    for key, expected in (
        ("ArrowRight", f"day={today + day}"),
        ("n", f"day={today + 2 * day}"),
        ("p", f"day={today + day}"),
        ("ArrowLeft", f"day={today}"),
        ("w", "/schedule/week/"),
        ("o", "show=people"),
        ("r", "show=rooms"),
        ("n", f"day={today + 7 * day}"),
        ("t", f"day={today}"),
        ("d", "/schedule/day/"),
        ("n", f"day={today + day}"),
    ):
        page.keyboard.press(key)
        page.wait_for_url(f"**{expected}*" if expected[0] == "/" else f"**{expected}**")

    page.get_by_role("link", name=f"Book Bread Room from {today + day:%a} ").last.focus()
    page.keyboard.press("Enter")
    page.wait_for_url("**/sessions/new/**")
    assert page.get_by_label("Starts").input_value() == f"{today + day}T23:00"
    assert page.get_by_label("Bread Room").is_checked()


@pytest.mark.parametrize("span", ["day", "week", "month"])
def test_paper_lies_flat_and_holds_everything(manager_page, span):
    """A4 on its side (ISO 216: 297 by 210 mm), one sheet for a usual day."""
    starts_at = period_of(timezone.localdate())[0] + timedelta(hours=10)
    for number in range(3):
        session = RecordingSessionFactory(
            title=f"Overdubs {number}", starts_at=starts_at, ends_at=starts_at + timedelta(hours=4)
        )
        ReservationFactory(session=session, room=RoomFactory(name=f"Room {'ABC'[number]}"))
    page = manager_page
    page.goto(f"/schedule/{span}/")

    paper = pypdf.PdfReader(io.BytesIO(page.pdf(prefer_css_page_size=True)))

    millimetres = [round(float(side) / 72 * 25.4) for side in paper.pages[0].mediabox[2:]]
    words = " ".join(sheet.extract_text() for sheet in paper.pages)
    assert millimetres == [297, 210]
    assert [f"Overdubs {n}" in words for n in range(3)] == [True] * 3
    assert span != "day" or len(paper.pages) == 1
    assert "Sign out" not in words
