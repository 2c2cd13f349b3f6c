"""The main bar by role, and that every page is reached from it by links alone."""

from datetime import timedelta
from urllib.parse import urljoin, urlsplit

import pytest
from django.urls import Resolver404, resolve
from django.utils import timezone
from lxml import html

from sessions.bookings.models import WorkedHours
from studio.access import PAGES, PUBLIC, may_open
from studio.bar import BARS, entry_of
from studio.roles import Role
from tests.browser.visits import FILES, TAKES_ONLY_DATA
from tests.factories import (
    BlockFactory,
    FeedAddressFactory,
    PersonFactory,
    ProjectFactory,
    UserFactory,
    WorkedHoursFactory,
)
from tests.studio.every_page import address, rows_of

WORDS = {
    Role.MANAGER: "Today Schedule Sessions Clients Songs Gear Money Studio",
    Role.ENGINEER: "Today Schedule Sessions Songs Gear",
    Role.ASSISTANT: "Today Schedule Sessions Songs Gear",
    Role.MIX_ENGINEER: "Today Songs Rebuilds Gear",
}
# Only while DEBUG is on; to a second hold; to a session of a series; by a press on a comp.
NOT_LINKED = {"style", "holds:challenge", "series:detail", "comp:note", "takes:live"}
NOT_LINKED |= {"series:rest"}  # from the page of a series
NOT_LINKED |= {"deliverables:progress", "rebuild:live"}  # asked by the page itself
NOT_LINKED |= {"bookings:live", "bookings:known"}  # asked by the booking form
NOT_LINKED |= {"schedule:move"}  # from a session that is still to come
NOT_LINKED |= {"schedule:check"}  # asked while a session is dragged
NOT_LINKED |= {"rebuild:take_over"}  # from a unit that is from outside
NOT_LINKED |= {"then_and_now:proposal", "then_and_now:undo"}  # from a chain that was measured again
NOT_LINKED |= {"then_and_now:measure_tones"}  # from a chain of which three tones were kept
NOT_LINKED |= {"imported:new_project", "imported:new_song"}  # from a sheet that has no song yet
NOT_LINKED |= {"rooms:logo_picture"}  # drawn on the page of the studio
NOT_LINKED |= {"letters:html"}  # in a frame of the letter’s page
NOT_LINKED |= {"sign_off:sign"}  # from a work order that still says what is charged
NOT_LINKED |= {"money:agree_charge"}  # from the charge of a session that is cancelled
NOT_LINKED |= {"deliveries:release"}  # from a delivery that waits for payment
NOT_LINKED |= {"not_sent"}  # from the sign-in, where a form came too late
NOT_LINKED |= {"proving:pair"}  # from a unit that was measured by itself
NOT_LINKED |= {"proving:test_file"}  # from a measurement whose file may be played
NOT_LINKED |= {"nulling:detail"}  # from the page of stems, where the walk opens a rough mix
# Of what the house measured; of what they rebuild themselves it is linked.
READ_ONLY = {Role.MIX_ENGINEER: {"proving:undo"}}


@pytest.mark.django_db
@pytest.mark.parametrize("role", Role)
def test_bar_names_what_the_role_goes_to(client_of, role):
    page = html.fromstring(client_of(UserFactory(role=role)).get("/").content)

    assert page.xpath("//nav[@aria-label='Main']//a/text()") == WORDS[role].split()
    assert page.xpath("//nav[@aria-label='Main']//a[@aria-current]/text()") == ["Today"]


@pytest.mark.parametrize("role", Role)
def test_every_page_belongs_under_an_entry_and_every_tab_may_be_opened(role):
    user = UserFactory.build(role=role)
    opened = {page for page, roles in PAGES.items() if roles is not PUBLIC and may_open(user, page)}

    assert {page for page in opened if not entry_of(page, BARS[role])} <= {
        "theme",
        "keys",
        "style",
        "password",
        "second_factor",
        "signed_in",
        "signed_in_end",
        "not_sent",
        "find:search",
    }
    assert {tab for entry in BARS[role] for tab in entry.tabs} <= opened


@pytest.mark.django_db
@pytest.mark.parametrize("role", [Role.MANAGER, Role.ENGINEER, Role.MIX_ENGINEER])
def test_every_page_is_reached_from_the_bar(client_of, role):
    user = UserFactory(role=role)
    project = ProjectFactory()
    person = PersonFactory(user=user, bookable=True)
    project.mix_engineers.add(person)
    rows = rows_of(project) | {"person": person, "feed": FeedAddressFactory(person=person)}
    rows["block"] = BlockFactory(
        starts_at=timezone.now() + timedelta(days=1), ends_at=timezone.now() + timedelta(days=2)
    )
    rows["setup"].buffer_samples = 128
    rows["setup"].save()
    WorkedHoursFactory(session=rows["session"], kind=WorkedHours.Kind.ACTUAL)
    opened = {page for page, roles in PAGES.items() if roles is not PUBLIC and may_open(user, page)}

    reached = reached_from_the_bar(client_of(user), rows)

    not_linked = (NOT_LINKED | READ_ONLY.get(role, set())) & opened
    assert opened - reached - TAKES_ONLY_DATA == not_linked


def reached_from_the_bar(client, rows) -> set[str]:
    """The URL names that links and forms lead to; of each page, the one of `rows` is looked at."""
    reached, looked_at, to_look_at = {"home"}, set(), {"/"}
    while to_look_at:
        here = to_look_at.pop()
        looked_at.add(here)
        page = html.fromstring(client.get(here, follow=True).content)
        for link in page.xpath("//a/@href | //form/@action | //button/@formaction"):
            path = urlsplit(urljoin(here, link)).path
            try:
                name = resolve(path).view_name
            except Resolver404:
                continue
            reached.add(name)
            if name not in TAKES_ONLY_DATA | FILES and path == address(name, rows):
                to_look_at |= {path} - looked_at
    return reached
