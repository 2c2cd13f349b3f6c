"""No dead end in a studio that holds nothing yet: every page that could list something says what is
missing and leads there, or says who does that."""

import pytest
from django.urls import reverse
from lxml import html
from pytest_django.asserts import assertContains

from studio.bar import BARS
from studio.next_steps import EMPTY, LACKS
from studio.roles import Role
from tests.factories import (
    PersonFactory,
    RecordingSessionFactory,
    RoomFactory,
    SetupFactory,
    SongFactory,
    UserFactory,
)

pytestmark = pytest.mark.django_db

# What these show is there from the start, or made by what is done elsewhere and wanted by nobody.
NOTHING_MISSING = {
    "home",  # the first steps, for who may do them
    "find:search",
    "stand_ins:open",
    "imported:list",  # its form stands there, as that of the feeds does
    "feeds:list",
    "rooms:studio",
    "rooms:house_rules",
    "usage:months",
    "usage:lapsed",
    "usage:unbilled",
    "payments:accountant",
    "sign_ins",
    "changes:list",  # of all that there is
    "backups",  # how they are made stands there
}
PAGES = {role: [tab for entry in BARS[role] for tab in entry.tabs] for role in Role}


@pytest.mark.parametrize("role", Role)
def test_every_list_of_an_empty_studio_leads_on(client_of, role):
    web, dead_ends = client_of(UserFactory(role=role)), []

    for page in PAGES[role]:
        content = html.fromstring(web.get(reverse(page)).content).get_element_by_id("content")
        leads = content.xpath(".//*[contains(@class, 'next-step')]//a/@href")
        leads += content.xpath(".//*[@class='empty']//a/@href")
        asks = content.xpath(".//*[contains(@class, 'next-step')][contains(., 'studio manager')]")
        if page not in NOTHING_MISSING and not leads and not (asks and role != Role.MANAGER):
            dead_ends.append(page)

    assert dead_ends == []


@pytest.mark.parametrize("page", EMPTY)
def test_where_they_lead_opens(client_of, manager, page):
    assert client_of(manager).get(reverse(EMPTY[page].page)).status_code == 200


@pytest.mark.parametrize(
    "page",
    [
        page
        for page in LACKS
        if page not in ("money:choose", "terms:rate_create", "imported:new_song")
    ],
)
def test_form_that_lacks_something_says_so_and_leads_there(client_of, manager, page):
    step = LACKS[page][0][1]

    shown = html.fromstring(client_of(manager).get(reverse(page)).content)

    (said,) = shown.xpath("//*[contains(@class, 'next-step')]")
    assert step.words in said.text_content()
    assert said.xpath(".//a/@href") == [reverse(step.page)]


def test_what_is_missing_is_said_one_after_the_other(client_of, manager):
    RoomFactory()

    assertContains(
        client_of(manager).get(reverse("bookings:create")), LACKS["bookings:create"][1][1].words
    )


def test_form_that_lacks_nothing_says_nothing(client_of, manager):
    RoomFactory()
    PersonFactory(bookable=True)

    page = client_of(manager).get(reverse("bookings:create"))

    assert "next-step" not in page.text


def test_filtered_list_that_finds_nothing_says_that(client_of, manager):
    page = client_of(manager).get(reverse("clients:list"), {"q": "nobody"})

    assert "next-step" not in page.text
    assert "No clients match." in page.text


def test_take_page_of_a_project_without_songs_and_of_a_song_without_parts_leads_on(
    client_of, engineer
):
    session = RecordingSessionFactory()
    address, web = reverse("takes:session", args=[session.pk]), client_of(engineer)

    without_song = web.get(address)
    song, setup = SongFactory(project=session.project), SetupFactory(session=session)
    without_parts = web.get(address, {"song": song.pk, "setup": setup.pk})

    assertContains(without_song, f'<a class="button" href="{session.project.get_absolute_url()}">')
    assertContains(without_parts, reverse("songs:part_create", args=[song.pk]))
