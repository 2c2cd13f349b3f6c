"""A booking by keyboard alone, with what is free beside it."""

import re
from datetime import timedelta

import pytest
from django.utils import timezone

from sessions.bookings.models import RecordingSession, Status
from sessions.periods import midnight
from studio.roles import Role
from tests.factories import (
    ClientFactory,
    PersonFactory,
    ProjectFactory,
    RoomFactory,
    UnitFactory,
    UserFactory,
)
from tests.sessions.bookings.days import booked

pytestmark = pytest.mark.browser
MOST_KEYS = 30  # from a free slot of the schedule to a session that is booked


@pytest.fixture
def keys(page_of):
    """`keys(page, "Tab", …)` strikes them; text is typed. `keys.count` says how many there were."""

    def strike(page, *wanted):
        for each in wanted:
            named = each in {"Tab", "Enter", "Space", "ArrowDown", "ArrowRight", "Backspace"}
            for key in [each] if named else each:
                page.keyboard.press(key)
                strike.count += 1

    strike.count = 0
    return strike


@pytest.fixture
def desk(page_of):
    """A manager, with a studio of nine people, nine units and a project."""
    manager = UserFactory(username="odile", role=Role.MANAGER)
    room = RoomFactory(name="Bread Room")
    people = [PersonFactory(name=name, bookable=True) for name in NAMES]
    units = [UnitFactory() for _ in range(9)]
    project = ProjectFactory(name="Ninth Tide EP", client=ClientFactory(name="Thole & Ledger"))
    day = midnight(timezone.localdate() + timedelta(days=7))
    return {
        "page": page_of("odile"),
        "manager": manager,
        "room": room,
        "people": people,
        "units": units,
        "project": project,
        "day": day,
    }


NAMES = [f"{first} Yarrell" for first in ("Ulric", "Ada", "Bram", "Cato", "Dov", "Edda", "Finn")]


def test_from_a_slot_of_the_schedule_in_thirty_keys(desk, keys):
    page, day = desk["page"], timezone.localtime(desk["day"]).date()
    page.goto(f"/schedule/day/?day={day}")

    page.get_by_role("link", name=f"Book Bread Room from {day:%a} ").first.focus()
    keys(page, "Enter")
    page.wait_for_url("**/sessions/new/**")
    page.wait_for_function("document.activeElement.id === 'id_project'")  # the first field
    keys(page, "ni", "Enter", "Tab", "Vox")
    page.get_by_text("All of it is free then.").first.wait_for()
    # to the people, over new ones, times, status and rooms
    while page.evaluate("document.activeElement.ariaLabel") != "People: type to find":
        keys(page, "Tab")
    keys(page, "ul", "Enter", "Enter")
    page.get_by_text("Vox booked: first hold.").wait_for()  # on the day that it was booked from

    session = RecordingSession.objects.get()
    assert session.title == "Vox"
    assert {str(each) for each in session.reservations.all()} == {"Bread Room", "Ulric Yarrell"}
    assert keys.count <= MOST_KEYS, keys.count


def test_beside_the_form_stand_clash_and_other_ways(desk, keys):
    """A taken room is said, a second hold or another room is one press; a new project is named where
    the others are chosen, and its client in the next field."""
    page, day = desk["page"], desk["day"]
    starts_at = day + timedelta(hours=10)
    other = booked(desk["manager"], rooms=[desk["room"]], people=[desk["people"][1]])
    other.reservations.update(starts_at=starts_at, ends_at=starts_at + timedelta(hours=4))
    RoomFactory(name="Rope Floor")
    page.goto(
        f"/sessions/new/?room={desk['room'].pk}&starts={timezone.localtime(starts_at):%Y-%m-%dT%H:%M}"
    )

    page.get_by_text("Bread Room is taken by “Overdubs”").wait_for()
    keys(page, "Neap Songs", "Enter")
    assert page.get_by_label("New project").input_value() == "Neap Songs"
    page.wait_for_function("document.activeElement.id === 'id_client'")
    keys(page, "Sluice and Sons")
    page.get_by_label("Title").fill("Vocals")
    people = page.get_by_role("combobox", name="People")
    people.fill("ada")
    found = page.get_by_role("option")
    assert found.all_inner_texts()[0].replace("\n", " ").startswith("taken Ada Yarrell")
    people.press("Escape")
    page.get_by_role("button", name=re.compile("Rope Floor is free then")).press("Enter")
    page.get_by_text("All of it is free then.").first.wait_for()
    assert (
        page.evaluate("document.activeElement.className") == "booking-live"
    )  # the keys go on here
    assert not page.get_by_label("Bread Room").is_checked()
    assert page.get_by_label("Rope Floor").is_checked()
    people.fill("finn")
    people.press("Enter")
    page.get_by_role("button", name="Remove Finn Yarrell").click()
    page.get_by_role("button", name="Book", exact=True).click()
    page.wait_for_url(r"**/sessions/*/")

    session = RecordingSession.objects.get(title="Vocals")
    assert session.project.name == "Neap Songs"
    assert session.project.client.name == "Sluice and Sons"
    assert [str(each) for each in session.reservations.all()] == ["Rope Floor"]
    assert session.status == Status.HELD
