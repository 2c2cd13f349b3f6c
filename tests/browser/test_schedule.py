"""The schedule by hand, by keyboard alone, and on paper."""

import io
from datetime import timedelta

import pypdf
import pytest
from django.utils import timezone

from sessions.bookings.models import Status
from sessions.calendar.schedule.days import period_of
from sessions.periods import midnight
from studio.roles import Role
from tests.browser.forms import strike
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
    assert f"starts={today + day}T23:00" in page.url


def test_session_is_dragged_to_another_day_of_the_month(manager_page):
    first = timezone.localdate().replace(day=1)
    year, month = divmod(first.year * 12 + first.month, 12)  # the next one, all of which is to come
    day = first.replace(year=year, month=month + 1, day=10)
    session = RecordingSessionFactory(
        title="Choir",
        status=Status.CONFIRMED,
        starts_at=midnight(day) + timedelta(hours=10),
        ends_at=midnight(day) + timedelta(hours=14),
    )
    ReservationFactory(session=session, room=RoomFactory(name="Bread Room"))
    page = manager_page
    page.goto(f"/schedule/month/?day={day}")

    page.get_by_text("10:00 to 14:00").drag_to(page.locator(f'[data-day="{day.replace(day=19)}"]'))
    page.get_by_text("“Choir” is now").wait_for()

    assert when(session) == (10, 14, "Bread Room")
    assert timezone.localdate(session.starts_at) == day.replace(day=19)


@pytest.fixture
def overdubs():
    """In the Bread Room of the day after tomorrow, 10 to 14; brass has the Rope Floor from 15 to 18."""
    day = timezone.localdate() + timedelta(days=2)
    bread, rope = RoomFactory(name="Bread Room"), RoomFactory(name="Rope Floor")
    sessions = [
        RecordingSessionFactory(
            title=title,
            status=Status.CONFIRMED,
            starts_at=midnight(day) + timedelta(hours=start),
            ends_at=midnight(day) + timedelta(hours=end),
        )
        for title, start, end in (("Overdubs", 10, 14), ("Brass", 15, 18))
    ]
    for session, room in zip(sessions, (bread, rope), strict=True):
        ReservationFactory(session=session, room=room)
    return sessions[0]


def when(session) -> tuple[int, int, str]:
    """From which hour to which, and in which room."""
    session.refresh_from_db()
    hours = [timezone.localtime(at).hour for at in (session.starts_at, session.ends_at)]
    return (*hours, session.reservations.get().room.name)


def hour_of(page, hour: int, room: str) -> tuple[float, float]:
    """The middle of the column of a room, where that hour begins."""
    row = page.locator(f'[data-minute="{hour * 60}"]').bounding_box()
    column = page.get_by_role("columnheader", name=room).bounding_box()
    return column["x"] + column["width"] / 2, row["y"] + 1


def test_session_is_dragged_onto_a_clash_and_to_free_time_and_the_move_is_undone(
    manager_page, overdubs
):
    page, day = manager_page, timezone.localdate() + timedelta(days=2)
    page.set_viewport_size({"width": 1280, "height": 1400})  # the whole day is seen
    page.goto(f"/schedule/day/?day={day}")
    x, y = hour_of(page, 11, "Bread Room")
    heights = page.locator("tr.hour:not(.fold)").evaluate_all(
        "rows => rows.map((row) => row.getBoundingClientRect().height)"
    )
    assert {round(height) for height in heights} == {48}  # whatever stands in it

    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(*hour_of(page, 12, "Bread Room"), steps=4)
    page.keyboard.press("Escape")  # leaves it where it was
    page.mouse.move(x, y + 9)
    page.mouse.up()
    assert page.locator(".ghost").count() == 0
    assert when(overdubs) == (10, 14, "Bread Room")

    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(*hour_of(page, 16, "Rope Floor"), steps=4)
    ghost = page.locator(".ghost.refused")
    ghost.wait_for()
    assert "Rope Floor is taken by “Brass”" in ghost.inner_text()
    page.mouse.move(*hour_of(page, 19, "Rope Floor"), steps=4)
    page.locator(".ghost:not(.refused)", has_text="✓ Overdubs, 18:00 to 22:00").wait_for()
    page.mouse.up()
    page.get_by_text("“Overdubs” is now").wait_for()
    assert when(overdubs) == (18, 22, "Rope Floor")
    assert page.evaluate("document.activeElement.className") == "move-link no-print"

    strike(page, "u")
    page.get_by_text("Undone: “Overdubs” is").wait_for()
    assert when(overdubs) == (10, 14, "Bread Room")

    x, y = hour_of(page, 14, "Bread Room")
    page.mouse.move(x, y - 3)
    page.mouse.down()
    page.mouse.move(x, hour_of(page, 15, "Bread Room")[1], steps=4)
    page.mouse.up()
    page.get_by_text("“Overdubs” is now").wait_for()
    assert when(overdubs) == (10, 15, "Bread Room")


def test_session_is_moved_and_stretched_by_keyboard_and_free_time_is_dragged_over(
    manager_page, overdubs
):
    page, day = manager_page, timezone.localdate() + timedelta(days=2)
    page.set_viewport_size({"width": 1280, "height": 1400})  # the whole day is seen
    page.goto(f"/schedule/week/?day={day}")
    page.get_by_role("link", name="Move Overdubs").focus()
    for key in ("Enter", *["ArrowRight"] * 4, *["Shift+ArrowRight"] * 4, "ArrowDown"):
        page.keyboard.press(key)
    page.get_by_text("✗").and_(page.locator("p")).get_by_text("taken by “Brass”").wait_for()
    page.keyboard.press("ArrowUp")
    page.get_by_text("✓ free:").wait_for()
    page.keyboard.press("Enter")
    page.get_by_text("“Overdubs” is now").wait_for()
    assert when(overdubs) == (11, 16, "Bread Room")

    page.goto(f"/schedule/day/?day={day}")
    x, y = hour_of(page, 18, "Bread Room")
    page.mouse.move(x, y + 2)
    page.mouse.down()
    page.mouse.move(x, hour_of(page, 21, "Bread Room")[1], steps=4)
    assert "18:00 to 21:00" in page.locator(".ghost").inner_text()
    page.keyboard.press("Escape")  # leaves it: what is let go then books nothing
    page.mouse.move(x, y + 9)
    page.mouse.up()
    assert page.locator(".ghost").count() == 0

    x, y = hour_of(page, 21, "Bread Room")
    page.mouse.move(x, y - 2)
    page.mouse.down()
    page.mouse.move(x, hour_of(page, 18, "Bread Room")[1], steps=4)  # upwards, too
    assert "18:00 to 21:00" in page.locator(".ghost").inner_text()
    page.mouse.up()
    page.wait_for_url("**/sessions/new/**")
    assert f"starts={day}T18%3A00" in page.url
    assert f"ends={day}T21%3A00" in page.url


# ISO 216: 210 by 297 mm; ANSI/ASME Y14.1: 8.5 by 11 inches
PAPERS = {"A4": [297, 210], "Letter": [279, 216]}


@pytest.mark.parametrize("span", ["day", "week", "month"])
def test_paper_lies_flat_and_holds_everything(manager_page, span):
    """One sheet for a day, week and month of six rooms, of whichever paper."""
    starts_at = period_of(timezone.localdate())[0] + timedelta(hours=10)
    rooms = [RoomFactory(name=f"Room {name}") for name in "ABCDEF"]
    for number, room in enumerate(rooms[:3]):
        session = RecordingSessionFactory(
            title=f"Overdubs {number}", starts_at=starts_at, ends_at=starts_at + timedelta(hours=4)
        )
        ReservationFactory(session=session, room=room)
    page = manager_page
    page.goto(f"/schedule/{span}/")

    for name, size in PAPERS.items():
        paper = pypdf.PdfReader(io.BytesIO(page.pdf(format=name, landscape=True)))
        millimetres = [round(float(side) / 72 * 25.4) for side in paper.pages[0].mediabox[2:]]
        words = " ".join(sheet.extract_text() for sheet in paper.pages)
        assert millimetres == size
        assert [f"Overdubs {n}" in words for n in range(3)] == [True] * 3
        assert len(paper.pages) == 1
        assert "Sign out" not in words
