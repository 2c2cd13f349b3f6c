import csv
from datetime import UTC, datetime

import pytest
from django.urls import reverse

from sessions.bookings.models import CreditedOn
from sessions.recall.sheet.people import people_of
from sessions.reports.label_copy.copy import label_copies
from tests.factories import (
    CreditFactory,
    PartFactory,
    PersonFactory,
    ProjectFactory,
    RecordingSessionFactory,
    ReleaseFactory,
    ReservationFactory,
    RoomFactory,
    SongFactory,
    TakeFactory,
)
from tests.printed import text_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def project():
    return ProjectFactory(artist="The Windlass Four")


@pytest.fixture
def song(project):
    return SongFactory(project=project, title="Neap and Spring", writers="Ada Fenwright (music)")


@pytest.fixture
def session(project, song):
    """One song with a take of the cornet; a producer for all of it, a cornet for that song, a
    trombone for the other, which has no take."""
    session = RecordingSessionFactory(project=project)
    ReservationFactory(session=session, room=RoomFactory(name="Rope Floor"))
    mina = PersonFactory(name="Mina Sprigge", credited_as="M. Sprigge", phone="01632 960 111")
    TakeFactory(part=PartFactory(song=song, name="Cornet", performer=mina), session=session)
    cornet = CreditFactory(session=session, person=mina, role="musician", instrument="Cornet")
    CreditedOn.objects.create(credit=cornet, song=song)
    other = SongFactory(project=project, title="Slow the Lantern")
    trombone = CreditFactory(
        session=session, person__name="Osric Paull", role="musician", instrument="Trombone"
    )
    CreditedOn.objects.create(credit=trombone, song=other)
    CreditFactory(session=session, person__name="Rosamund Keel", role="producer")
    return session


def test_room_that_the_session_had_to_give_up_is_not_where_it_was_recorded(song, session):
    ReservationFactory(
        session=session, room=RoomFactory(name="Bread Room"), rank=None, missing=True
    )

    (copy,) = label_copies([song])

    assert copy.rooms == ("Rope Floor",)
    [people] = people_of([session])
    assert people.rooms == ("Rope Floor",)


def test_label_copy_names_those_who_are_on_the_song(song, session):
    (copy,) = label_copies([song])

    assert [(each.name, each.does) for each in copy.performers] == [("M. Sprigge", ("Cornet",))]
    assert copy.staff == (("Producer", ("Rosamund Keel",)),)
    assert copy.rooms == ("Rope Floor",)
    assert copy.recorded_in_words == "Mon 1 Jun 2026"


def test_take_that_was_logged_after_it_was_over_was_recorded_on_that_day(song, session):
    logged_at = datetime(2026, 6, 2, 22, 30, tzinfo=UTC)
    TakeFactory(part=song.parts.get(), session=session, started_at=None, logged_at=logged_at)

    (copy,) = label_copies([song])

    assert copy.recorded_in_words == "Mon 1 Jun 2026 and Tue 2 Jun 2026"


def test_song_that_was_not_recorded_names_only_who_is_credited_for_it(session):
    (copy,) = label_copies([session.project.songs.get(title="Slow the Lantern")])

    assert [each.name for each in copy.performers] == ["Osric Paull"]
    assert (copy.staff, copy.days, copy.rooms) == ((), (), ())


def test_name_that_plays_two_things_stands_once_with_both(song, session):
    mina = session.credits.get(instrument="Cornet").person
    for instrument, part in (("Flugelhorn", None), ("", PartFactory(song=song, name="Handclaps"))):
        credit = CreditFactory(session=session, person=mina, role="musician", instrument=instrument)
        CreditedOn.objects.create(credit=credit, song=None if part else song, part=part)

    (copy,) = label_copies([song])

    assert [each.does for each in copy.performers] == [("Cornet", "Flugelhorn", "Handclaps")]


def test_guide_is_not_on_the_record(song, session):
    guide = PartFactory(song=song, name="Guide", is_guide=True)
    TakeFactory(part=guide, session=RecordingSessionFactory(project=song.project))
    CreditedOn.objects.create(credit=CreditFactory(session=session), part=guide)

    (copy,) = label_copies([song])

    assert len(copy.performers) == 1
    assert len(copy.missing) == 2


def test_missing_says_what_to_see_to(song, session):
    song.writers = ""
    drums = PartFactory(
        song=song, name="Drums", position=2, performer=PersonFactory(name="Teo Larkrise")
    )
    bass = PartFactory(song=song, name="Bass", position=3)
    for part in (drums, bass):
        TakeFactory(part=part, session=session)

    assert label_copies([song])[0].missing == (
        "Writers are not given.",
        "The ISRC of the recording is not given.",
        "Drums: Teo Larkrise has no credit.",
        "Bass: the performer is not given.",
        f"{session}: no release is logged for Mina Sprigge.",
    )

    mina = session.credits.get(instrument="Cornet").person
    release = ReleaseFactory(session=session, person=mina)
    assert len(label_copies([song])[0].missing) == 4
    release.withdrawn_on = release.signed_on
    release.save()
    assert len(label_copies([song])[0].missing) == 5


@pytest.mark.parametrize("count", [1, 3])
def test_page_costs_the_same_for_any_number(
    client_of, manager, project, song, session, count, django_assert_num_queries
):
    for _ in range(count):
        one = TakeFactory(part=PartFactory(song=SongFactory(project=project)), session=session)
        CreditedOn.objects.create(credit=CreditFactory(session=session), song=one.song)
    client = client_of(manager)
    with django_assert_num_queries(10):
        client.get(reverse("label_copy:project", args=[project.pk]))


def test_csv_has_a_row_for_each_name_and_instrument(client_of, manager, project, session):
    answer = client_of(manager).get(reverse("label_copy:project_csv", args=[project.pk]))

    text = b"".join(answer.streaming_content).decode("utf-8-sig")
    rows = [
        (row["song"], row["role"], row["instrument"], row["name"], row["recorded on"])
        for row in csv.DictReader(text.splitlines())
    ]
    assert rows == [
        ("Neap and Spring", "Musician", "Cornet", "M. Sprigge", "2026-06-01"),
        ("Neap and Spring", "Producer", "", "Rosamund Keel", "2026-06-01"),
        ("Slow the Lantern", "Musician", "Trombone", "Osric Paull", ""),
    ]


def test_paper_goes_out_without_times_addresses_and_what_is_missing(
    client_of, manager, song, session
):
    paper = client_of(manager).get(reverse("label_copy:song_pdf", args=[song.pk]))

    text = text_of(b"".join(paper.streaming_content))
    assert "M. Sprigge" in text
    assert "Ada Fenwright (music)" in text
    for kept in ("01632", "11:00", "no release", "http", "example"):
        assert kept not in text


def test_mix_engineer_is_not_told_what_is_missing(client_of, mix_engineer, song, session):
    song.project.mix_engineers.add(mix_engineer.person)
    page = client_of(mix_engineer).get(reverse("label_copy:song", args=[song.pk])).text

    assert "M. Sprigge" in page
    assert "no release" not in page
    strange = SongFactory()
    url = reverse("label_copy:song", args=[strange.pk])
    assert client_of(mix_engineer).get(url).status_code == 404
