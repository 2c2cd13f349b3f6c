from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from sessions.clients.models import Client, Person, Project
from studio.roles import Role
from tests.factories import (
    BlockFactory,
    ClientFactory,
    CreditFactory,
    FeedAddressFactory,
    PersonFactory,
    ProjectFactory,
    RecordingSessionFactory,
    ReservationFactory,
    SongFactory,
    UserFactory,
)

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("rows", [1, 3])
def test_client_list_costs_the_same_at_any_length(
    client_of, engineer, rows, django_assert_num_queries
):
    for _ in range(rows):
        ProjectFactory()
    client = client_of(engineer)

    with django_assert_num_queries(4):
        page = client.get(reverse("clients:list"))

    assert len(page.context["table"].rows) == rows


@pytest.mark.parametrize("rows", [1, 3])
def test_people_list_costs_the_same_at_any_length(
    client_of, engineer, rows, django_assert_num_queries
):
    for _ in range(rows):
        PersonFactory(client=ClientFactory(), user=UserFactory())
    client = client_of(engineer)

    with django_assert_num_queries(4):
        page = client.get(reverse("clients:people"))

    assert len(page.context["table"].rows) == rows


@pytest.mark.parametrize("rows", [1, 3])
def test_client_page_costs_the_same_at_any_length(
    client_of, engineer, rows, django_assert_num_queries
):
    house = ClientFactory()
    for _ in range(rows):
        PersonFactory(client=house)
        RecordingSessionFactory(project=ProjectFactory(client=house))
    client = client_of(engineer)

    with django_assert_num_queries(7):
        page = client.get(house.get_absolute_url())

    assert len(page.context["sessions"]) == rows


@pytest.mark.parametrize("rows", [1, 3])
def test_project_page_costs_the_same_at_any_length(
    client_of, engineer, rows, django_assert_num_queries
):
    project = ProjectFactory()
    for _ in range(rows):
        SongFactory(project=project)
        RecordingSessionFactory(project=project)
        project.mix_engineers.add(PersonFactory())
    client = client_of(engineer)

    with django_assert_num_queries(6):
        page = client.get(project.get_absolute_url())

    assert len(page.context["songs"]) == rows


def names(page) -> list[str]:
    return [row.record.name for row in page.context["table"].rows]


def test_client_list_leaves_retired_ones_out_until_asked(client_of, engineer):
    ClientFactory(name="Anchor Row")
    ClientFactory(name="Bollard Hall", retired=True)
    client = client_of(engineer)

    current = client.get(reverse("clients:list"))
    everyone = client.get(reverse("clients:list"), {"retired": "on"})

    assert names(current) == ["Anchor Row"]
    assert names(everyone) == ["Anchor Row", "Bollard Hall"]


def test_client_list_finds_by_name_and_by_contact(client_of, engineer):
    anchor, bollard = ClientFactory(name="Anchor Row"), ClientFactory(name="Bollard Hall")
    PersonFactory(name="Hedda Strand", client=bollard)
    client = client_of(engineer)

    assert names(client.get(reverse("clients:list"), {"q": "anchor"})) == [anchor.name]
    assert names(client.get(reverse("clients:list"), {"q": "strand"})) == [bollard.name]
    assert names(client.get(reverse("clients:list"), {"q": "nobody"})) == []


def test_people_list_narrows_to_bookable_and_current(client_of, engineer):
    PersonFactory(name="Ludo Fenwick", bookable=True)
    PersonFactory(name="Brid Callow")
    PersonFactory(name="Cato Lunn", bookable=True, retired=True)
    client = client_of(engineer)

    assert names(client.get(reverse("clients:people"))) == ["Brid Callow", "Ludo Fenwick"]
    assert names(client.get(reverse("clients:people"), {"bookable": "on"})) == ["Ludo Fenwick"]


def test_people_list_leads_to_a_person_whose_editing_is_offered_only_where_the_role_may(
    client_of, engineer, manager
):
    person = PersonFactory()
    page, door = person.get_absolute_url(), reverse("clients:person_edit", args=[person.pk])

    assert page in client_of(engineer).get(reverse("clients:people")).text
    assert door not in client_of(engineer).get(page).text
    assert door in client_of(manager).get(page).text


@pytest.mark.parametrize("rows", [1, 3])
def test_person_page_says_what_they_have_before_them_and_costs_the_same_at_any_length(
    client_of, engineer, rows, django_assert_num_queries
):
    now = timezone.now()
    day = {"starts_at": now + timedelta(days=1), "ends_at": now + timedelta(days=1, hours=4)}
    person = PersonFactory(bookable=True)
    for number in range(rows):
        session = RecordingSessionFactory(title=f"Booked {number}", **day)
        ReservationFactory(session=session, room=None, person=person, rank=number + 1, **day)
        CreditFactory(
            session=RecordingSessionFactory(title=f"Plays {number}", **day), person=person
        )
        FeedAddressFactory(person=person)
    over = {"starts_at": now - timedelta(days=2), "ends_at": now - timedelta(days=1)}
    CreditFactory(session=RecordingSessionFactory(title="Over", **over), person=person)
    block = BlockFactory(kind="leave", title="Dentist", **day)
    ReservationFactory(session=None, block=block, room=None, person=person, rank=rows + 1, **day)
    client = client_of(engineer)

    with django_assert_num_queries(10):
        page = client.get(person.get_absolute_url())

    assert [f"Booked {number}" in page.text for number in range(rows)] == [True] * rows
    assert [f"Plays {number}" in page.text for number in range(rows)] == [True] * rows
    assert "Over" not in page.text
    assert "Away" in page.text
    assert "Dentist" not in page.text
    assert len(page.context["feeds"]) == 0  # others’ feeds are the manager’s


def test_client_is_put_on_record_and_shown(client_of, manager):
    page = client_of(manager).post(
        reverse("clients:create"), {"name": "Anchor Row", "email": "desk@anchor-row.example"}
    )

    made = Client.objects.get()
    assert page.url == made.get_absolute_url()
    assert (made.name, made.email, made.retired) == ("Anchor Row", "desk@anchor-row.example", False)
    assert made.history.get().history_user == manager


def test_client_of_a_name_that_is_taken_is_refused_beside_the_field(client_of, manager):
    ClientFactory(name="Anchor Row", retired=True)

    page = client_of(manager).post(
        reverse("clients:create"), {"name": "Anchor Row", "note": "Rings back on Monday"}
    )

    assert page.context["form"].errors["name"] == [
        "That name is taken, perhaps by a retired one: choose another."
    ]
    assert "Rings back on Monday" in page.text
    assert Client.objects.count() == 1


def test_client_is_retired_by_editing(client_of, manager):
    house = ClientFactory(name="Anchor Row")
    seen = house.version

    client_of(manager).post(
        reverse("clients:edit", args=[house.pk]),
        {"name": "Anchor Row", "retired": "on", "seen": seen},
    )

    house.refresh_from_db()
    assert house.retired is True


def test_client_page_shows_contacts_projects_and_sessions_last_first(client_of, engineer):
    house = ClientFactory(note="Pays on the day")
    contact = PersonFactory(client=house, name="Hedda Strand")
    PersonFactory(client=house, name="Gone Away", retired=True)
    project = ProjectFactory(client=house)
    early = RecordingSessionFactory(project=project)
    late = RecordingSessionFactory(
        project=project, starts_at=early.ends_at.replace(day=9), title="Fiddle overdubs"
    )
    RecordingSessionFactory()

    page = client_of(engineer).get(house.get_absolute_url())

    assert list(page.context["people"]) == [contact]
    assert [(shown, shown.song_count) for shown in page.context["projects"]] == [(project, 0)]
    assert page.context["sessions"] == [late, early]
    assert "Pays on the day" in page.text


def test_person_is_put_on_record_from_a_client(client_of, manager):
    house = ClientFactory()
    client = client_of(manager)

    offered = client.get(reverse("clients:person_create"), {"client": house.pk})
    client.post(
        reverse("clients:person_create"),
        {"name": "Hedda Strand", "does": "tour manager", "client": house.pk},
    )

    assert offered.context["form"]["client"].value() == str(house.pk)
    assert Person.objects.get().client == house


def test_person_signs_in_only_as_a_user_who_is_nobody_else(client_of, manager):
    taken, free, left = UserFactory(), UserFactory(), UserFactory(is_active=False)
    PersonFactory(user=taken)
    person = PersonFactory()
    client = client_of(manager)
    page = reverse("clients:person_edit", args=[person.pk])
    facts = {"name": person.name, "seen": person.version}

    choices = set(client.get(page).context["form"].fields["user"].queryset)
    refused = client.post(page, {**facts, "user": taken.pk})
    client.post(page, {**facts, "user": free.pk})

    assert choices == {free, manager}
    assert left not in choices
    assert list(refused.context["form"].errors) == ["user"]
    assert Person.objects.get(pk=person.pk).user == free


def project_facts(**changed):
    facts = {
        "name": "Ninth Tide EP",
        "artist": "The Windlass Four",
        "sample_rate": 96_000,
        "bit_depth": 24,
        "full_scale_dbu": "18",
    }
    return facts | changed


def test_project_is_put_on_record_for_a_client(client_of, manager, mix_engineer):
    house = ClientFactory()

    page = client_of(manager).post(
        reverse("clients:project_create", args=[house.pk]),
        project_facts(mix_engineers=[mix_engineer.person.pk]),
    )

    project = Project.objects.get()
    assert page.url == project.get_absolute_url()
    assert (project.client, project.sample_rate) == (house, 96_000)
    assert list(project.mix_engineers.all()) == [mix_engineer.person]


def test_project_of_a_name_the_client_has_is_refused(client_of, manager):
    taken = ProjectFactory(name="Ninth Tide EP")

    page = client_of(manager).post(
        reverse("clients:project_create", args=[taken.client_id]), project_facts()
    )

    assert page.context["form"].errors["name"] == [
        f"{taken.client} has a project “Ninth Tide EP” already: choose another name."
    ]
    assert Project.objects.count() == 1


@pytest.mark.parametrize("level", ["-1", "181"])
def test_project_with_an_impossible_full_scale_is_refused(client_of, manager, level):
    page = client_of(manager).post(
        reverse("clients:project_create", args=[ClientFactory().pk]),
        project_facts(full_scale_dbu=level),
    )

    assert list(page.context["form"].errors) == ["full_scale_dbu"]


def test_project_keeps_a_mix_engineer_who_has_retired_since(client_of, manager, mixed_project):
    person = mixed_project.mix_engineers.get()
    person.retired = True
    person.save()

    page = client_of(manager).get(reverse("clients:project_edit", args=[mixed_project.pk]))

    assert list(page.context["form"].fields["mix_engineers"].queryset) == [person]


def test_project_is_shown_to_its_mix_engineer_and_no_other(client_of, mix_engineer, mixed_project):
    client = client_of(mix_engineer)

    theirs = client.get(mixed_project.get_absolute_url())
    not_theirs = client.get(ProjectFactory().get_absolute_url())

    assert theirs.status_code == 200
    assert not_theirs.status_code == 404


def test_project_page_opens_no_door_to_contacts_for_a_mix_engineer(
    client_of, mix_engineer, mixed_project
):
    page = client_of(mix_engineer).get(mixed_project.get_absolute_url())

    assert mixed_project.client.get_absolute_url() not in page.text
    assert mixed_project.client.name in page.text
    assert "Changes" not in page.text


def test_project_page_shows_the_house_what_was_changed(client_of, engineer, mixed_project):
    client = client_of(engineer)
    address = f"/changes/project/{mixed_project.pk}/"

    assert f'hx-get="{address}"' in client.get(mixed_project.get_absolute_url()).text
    assert "Mix engineers" in client.get(address).text


def test_project_page_states_the_format(client_of):
    """AES5 for the rate; EBU R 68: full scale at +18 dBu."""
    project = ProjectFactory(file_naming="CAP_{song}_{version}")

    page = client_of(UserFactory(role=Role.ASSISTANT)).get(project.get_absolute_url())

    for fact in ("48 kHz", "24 bit", "0 dBFS is +18.0 dBu", "CAP_{song}_{version}"):
        assert fact in page.text


def test_project_says_what_is_delivered_for_each_song(client_of, manager, mixed_project):
    web, edit = client_of(manager), reverse("clients:project_edit", args=[mixed_project.pk])
    form = web.get(edit).context["form"]
    assert form.initial["for_each_song"] == ["rough_mix"]  # until anything else is agreed
    sent = {name: value for name, value in form.initial.items() if value not in (None, False)}

    answer = web.post(
        edit, sent | {"seen": 1, "for_each_song": ["stems", "multitrack"], "mix_engineers": []}
    )

    assert answer.url == mixed_project.get_absolute_url()
    assert "Stems, Consolidated multitrack" in web.get(answer.url).text
