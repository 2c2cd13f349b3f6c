from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from sessions.desk.search.look import look
from tests.factories import (
    ClientFactory,
    MoneyPaperFactory,
    PersonFactory,
    ProjectFactory,
    RecordingSessionFactory,
    SongFactory,
    UnitFactory,
)

pytestmark = pytest.mark.django_db


def found(text, user, most=20) -> dict[str, list[str]]:
    return {group.name: [hit.title for hit in group.hits] for group in look(text, user, most=most)}


def test_one_word_finds_everything_that_is_called_so(manager):
    client = ClientFactory(name="Lantern Records")
    PersonFactory(name="Ada Fenwright", client=client)
    project = ProjectFactory(client=client, name="Ninth Tide EP", artist="The Windlass Four")
    RecordingSessionFactory(project=project, title="Band day")
    SongFactory(project=project, title="Neap and Spring")
    UnitFactory(asset_tag="MC-09", model__maker="Lantern", model__name="Glim")

    assert found("lantern", manager) == {
        "Clients": ["Lantern Records"],
        "People": ["Ada Fenwright"],
        "Sessions": ["Band day"],
        "Projects": ["Ninth Tide EP"],
        "Songs": ["Neap and Spring"],
        "Units": ["Lantern Glim (MC-09)"],
        "Models": ["Lantern Glim"],
    }
    assert found("lantern band", manager) == {"Sessions": ["Band day"]}
    assert found("lantern kraken", manager) == {}


def test_accents_and_capitals_do_not_matter_in_names(manager):
    client = ClientFactory(name="Ærø Kør")
    RecordingSessionFactory(project=ProjectFactory(client=client), title="Carols")

    assert found("AERO kor", manager)["Clients"] == ["Ærø Kør"]
    assert found("aero", manager)["Sessions"] == ["Carols"]


def test_phone_leads_to_client_and_people(manager):
    ClientFactory(name="Ropewalk", phone="01632 960 255")
    PersonFactory(name="Ada Fenwright", phone="+44 1632 960255")
    PersonFactory(name="Corin Strake", phone="01632 960 256")

    assert found("01632 960 255", manager) == {"Clients": ["Ropewalk"], "People": ["Ada Fenwright"]}


def test_papers_are_found_by_their_number_and_narrowed_by_kind_and_client(manager):
    client = ClientFactory(name="Ropewalk")
    session = RecordingSessionFactory(project__client=client, title="Band day")
    MoneyPaperFactory(kind="quote", number=1, session=session)
    MoneyPaperFactory(kind="work_order", number=1)
    order = MoneyPaperFactory(kind="work_order", number=2)

    assert set(found("1", manager)["Papers"]) == {"Quote 1", "Work order 1"}
    assert found("quote 1", manager)["Papers"] == ["Quote 1"]
    assert found("1 ropewalk", manager)["Papers"] == ["Quote 1"]
    [group] = look("work order 2", manager, most=4)
    assert group.hits[0].address == reverse("money:paper_pdf", args=[order.pk])


def test_nearest_name_comes_first_and_what_is_retired_last(manager):
    for name in ("Old Tern", "Stern Watch", "Tern Street Singers", "Tern"):
        ClientFactory(name=name)
    ClientFactory(name="Tern Hall", retired=True)

    assert found("tern", manager)["Clients"] == [
        *["Tern", "Tern Street Singers", "Old Tern", "Stern Watch", "Tern Hall"]
    ]


def test_sessions_to_come_stand_before_those_that_are_over(manager):
    project, now = ProjectFactory(), timezone.now()
    for days in (-30, -3, 9, 2):
        starts = now + timedelta(days=days)
        RecordingSessionFactory(
            project=project,
            title=f"Day {days}",
            starts_at=starts,
            ends_at=starts + timedelta(hours=2),
        )

    assert found("day", manager)["Sessions"] == ["Day 2", "Day 9", "Day -3", "Day -30"]
    assert found("day", manager, most=2)["Sessions"] == ["Day 2", "Day 9"]


def test_each_role_finds_what_its_own_pages_show(
    manager, engineer, mix_engineer, mixed_project, client_of
):
    client = ClientFactory(name="Ropewalk")
    other = RecordingSessionFactory(project__client=client, title="Ropewalk day")
    MoneyPaperFactory(kind="quote", number=1, session=other)
    SongFactory(project=mixed_project, title="Ropewalk round")
    SongFactory(project=other.project, title="Ropewalk reel")

    assert list(found("ropewalk", manager)) == ["Clients", "Sessions", "Projects", "Songs"]
    assert "Papers" in found("1 ropewalk", manager)
    assert "Papers" not in found("1 ropewalk", engineer)
    assert found("ropewalk", mix_engineer) == {"Songs": ["Ropewalk round"]}


@pytest.mark.parametrize("rows", [1, 3])
def test_any_number_of_rows_costs_the_same(manager, rows, django_assert_num_queries):
    for number in range(1, rows + 1):
        client = ClientFactory(name=f"Ropewalk {number} of 1", phone="01632 960 255")
        PersonFactory(name="Ropewalk 1", client=client)
        session = RecordingSessionFactory(project__client=client, title="Ropewalk 1")
        MoneyPaperFactory(kind="quote", number=number, session=session)
        SongFactory(project=session.project, title="Ropewalk 1")
        UnitFactory(model__name=f"Ropewalk {number} 1")

    with django_assert_num_queries(9):
        groups = look("ropewalk 1", manager, most=20)

    assert [len(group.hits) for group in groups] == [1, *[rows] * 7]


def test_box_gets_the_first_of_each_kind_as_options(client_of, manager):
    for number in range(6):
        ClientFactory(name=f"Ropewalk {number}")
    page = client_of(manager).get(
        reverse("search:results"), {"q": "ropewalk"}, headers={"HX-Request": "true"}
    )

    assert "<html" not in page.text
    assert page.text.count('role="option"') == 4 + 2  # and the two that show more


def test_page_needs_no_script_and_keeps_what_was_typed(client_of, manager):
    client = ClientFactory(name="Ropewalk <b>")

    page = client_of(manager).get(reverse("search:results"), {"q": "ropewalk <b>"})

    assert client.get_absolute_url() in page.text
    assert 'value="ropewalk &lt;b&gt;"' in page.text


def test_what_nothing_is_called_is_looked_for_in_lyrics_and_notes_and_forgives_a_letter(
    client_of, engineer
):
    song = SongFactory(title="Slow the Lantern")

    page = client_of(engineer).get(reverse("search:results"), {"q": "lantren"})

    assert reverse("recall:song", args=[song.pk]) in page.text
    assert "Read as" in page.text


def test_what_holds_no_word_is_said_as_it_was_typed(client_of, manager):
    page = client_of(manager).get("/search/", {"q": "%"}).content.decode()

    assert "Nothing with “%”" in page
