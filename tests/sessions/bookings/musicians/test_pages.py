import csv
import json
from datetime import date

import pytest
from django.urls import reverse

from sessions.bookings.models import Credit, CreditedOn, Release, Status
from sessions.bookings.musicians.actions import credit_by_parts
from sessions.rooms.models import HouseRules
from tests.factories import (
    AttendanceFactory,
    CreditFactory,
    PartFactory,
    PersonFactory,
    RecordingSessionFactory,
    ReleaseFactory,
    SignatureFactory,
    SongFactory,
    TakeFactory,
)
from tests.factories.signing import LINES
from tests.printed import text_of

pytestmark = pytest.mark.django_db
WORDING = "I agree that what I play on these songs may be sold."


@pytest.fixture
def part():
    song = SongFactory(title="Neap and Spring")
    return PartFactory(song=song, name="Cornet", performer=PersonFactory(name="Mina Sprigge"))


@pytest.fixture
def session(part):
    """One take of the cornet, under way; she is credited as a musician."""
    session = RecordingSessionFactory(project=part.song.project, status=Status.UNDER_WAY)
    TakeFactory(part=part, session=session)
    CreditFactory(session=session, person=part.performer, role="musician", instrument="Cornet")
    return session


@pytest.fixture
def credit(session):
    return session.credits.get()


def page_of(session):
    return reverse("musicians:session", args=[session.pk])


@pytest.mark.parametrize("count", [1, 3])
def test_page_costs_the_same_for_any_number(
    client_of, assistant, session, count, django_assert_num_queries
):
    for _ in range(count):
        person = AttendanceFactory(session=session).person
        CreditedOn.objects.create(
            credit=CreditFactory(session=session, person=person), song=SongFactory()
        )
        ReleaseFactory(session=session, person=person)
    client = client_of(assistant)
    with django_assert_num_queries(10):
        client.get(page_of(session))


def test_presses_log_in_and_out(client_of, assistant, session, credit):
    client, url = client_of(assistant), reverse("musicians:press", args=[session.pk])
    for verb in ("in", "break", "back", "out"):
        client.post(url, {"person": credit.person_id, "verb": verb})

    attendance = session.attendances.get()
    assert attendance.left_at
    assert attendance.breaks.get().ends_at


def test_press_for_somebody_who_is_not_credited_logs_nothing(client_of, assistant, session):
    url = reverse("musicians:press", args=[session.pk])
    answer = client_of(assistant).post(
        url, {"person": PersonFactory().pk, "verb": "in"}, follow=True
    )

    assert "choose a musician of this session" in answer.text
    assert not session.attendances.exists()


def test_times_typed_are_saved_and_a_wrong_break_stays_typed(client_of, assistant, session, credit):
    client = client_of(assistant)
    url = reverse("musicians:attendance_create", args=[session.pk])
    typed = {"person": credit.person_id, "came_at": "2026-06-01T11:00"}
    typed |= {"left_at": "2026-06-01T15:00", "breaks": "lunch"}

    refused = client.post(url, typed)
    assert "“lunch” is no break" in refused.text
    assert 'value="lunch"' in refused.text

    client.post(url, typed | {"breaks": "13:00 to 13:45"})
    attendance = session.attendances.get()
    assert attendance.played_in_words == "3 h 15 min"

    edit = reverse("musicians:attendance_edit", args=[attendance.pk])
    assert 'value="13:00 to 13:45"' in client.get(edit).text
    client.post(edit, typed | {"breaks": "", "seen": attendance.version, "note": "No lunch"})
    attendance.refresh_from_db()
    assert (attendance.played_in_words, attendance.note) == ("4 h", "No lunch")

    client.post(reverse("musicians:attendance_remove", args=[attendance.pk]))
    assert not session.attendances.exists()


def test_csv_has_what_is_to_be_paid(client_of, assistant, session, credit):
    CreditFactory(session=session, person=credit.person, role="musician", instrument="Piano")
    AttendanceFactory(session=session, person=credit.person, note="=1+1")

    answer = client_of(assistant).get(reverse("musicians:csv", args=[session.pk]))

    text = b"".join(answer.streaming_content).decode("utf-8-sig")
    (row,) = csv.DictReader(text.splitlines())
    assert row["plays"] == "Cornet; Piano"
    assert row["doubles"] == "1"
    assert (row["in"], row["minutes played"]) == ("2026-06-01 11:00", "240")
    assert row["note"] == "'=1+1"


def test_credit_is_given_for_songs_and_parts(client_of, engineer, credit, part):
    other = SongFactory(project=part.song.project, title="Slow the Lantern")
    url = reverse("musicians:credit_edit", args=[credit.pk])
    typed = {"person": credit.person_id, "role": "musician", "instrument": "Cornet", "seen": 1}
    typed |= {"credited_as": "M. Sprigge", "on": [f"part-{part.pk}", f"song-{other.pk}"]}

    client_of(engineer).post(url, typed)

    credit = Credit.objects.for_list().get()
    assert credit.name == "M. Sprigge"
    assert credit.songs_in_words == ["Neap and Spring", "Slow the Lantern"]

    late = client_of(engineer).post(url, typed | {"on": []})
    assert late.status_code == 409
    assert credit.on.count() == 2


def test_credit_that_is_there_already_is_refused(client_of, engineer, credit):
    other = CreditFactory(session=credit.session, person=credit.person, role="producer")
    url = reverse("musicians:credit_edit", args=[other.pk])
    typed = {"person": credit.person_id, "role": "musician", "instrument": "Cornet", "seen": 1}

    assert "has that credit already" in client_of(engineer).post(url, typed).text
    assert Credit.objects.get(pk=other.pk).role == "producer"


def test_credit_is_only_for_songs_of_the_project(client_of, engineer, credit):
    url = reverse("musicians:credit_edit", args=[credit.pk])
    typed = {"person": credit.person_id, "role": "musician", "seen": 1}

    client_of(engineer).post(url, typed | {"on": [f"song-{SongFactory().pk}"]})

    assert not CreditedOn.objects.exists()


def test_recorded_parts_are_added_to_credits_once(session, credit, part, engineer):
    guide = PartFactory(song=part.song, name="Guide", performer=part.performer, is_guide=True)
    TakeFactory(part=guide, session=session)
    TakeFactory(part=PartFactory(song=part.song, name="Drums"), session=session)

    assert [credit_by_parts(session, by=engineer) for _ in range(2)] == [1, 0]
    assert credit.on.get().part == part


def test_part_of_who_doubles_goes_to_the_instrument_that_it_names(session, part, engineer):
    facts = {"session": session, "person": part.performer, "role": "musician"}
    horn = CreditFactory(**facts, instrument="Flugelhorn")
    solo = PartFactory(song=part.song, name="Flugelhorn solo", performer=part.performer)
    unclear = PartFactory(song=part.song, name="Fanfare", performer=part.performer)
    for each in (solo, unclear):
        TakeFactory(part=each, session=session)

    credit_by_parts(session, by=engineer)

    assert [each.part for each in horn.on.all()] == [solo]
    assert not unclear.credited_on.exists()


def test_removed_credit_takes_its_songs_with_it(client_of, engineer, credit, part):
    CreditedOn.objects.create(credit=credit, part=part)
    client_of(engineer).post(reverse("bookings:credit_delete", args=[credit.pk]))

    assert not Credit.objects.exists()
    assert CreditedOn.history.filter(history_type="-").get().history_user == engineer


# Releases


def test_release_on_paper_is_logged(client_of, assistant, credit):
    url = reverse("musicians:release_log", args=[credit.pk])
    typed = {"covers": "Neap and Spring", "signed_on": "2099-01-01", "note": "Blue folder"}

    assert "still to come" in client_of(assistant).post(url, typed).text

    client_of(assistant).post(url, typed | {"signed_on": "2026-06-01"})
    release = Release.objects.get()
    assert (release.person, release.recorded_by) == (credit.person, assistant)
    assert release.signature is None


def test_release_is_signed_under_the_wording_of_the_day(client_of, assistant, credit):
    rules = HouseRules.current()
    client, url = client_of(assistant), reverse("musicians:release_sign", args=[credit.pk])
    assert "no wording of releases yet" in client.get(url).text
    rules.release_wording = WORDING
    rules.save()

    page = client.get(url)
    read = page.context["form"].statement.fingerprint
    typed = {"signed_name": "Mina Sprigge", "strokes": json.dumps(LINES), "read": read}
    client.post(url, typed)
    rules.release_wording = "Another wording."
    rules.save()

    release = Release.objects.get()
    assert release.signature.signed.sentence == WORDING
    assert release.signature.is_drawn
    assert release.stands
    assert WORDING in client.get(release.get_absolute_url()).text
    paper = client.get(reverse("musicians:release_pdf", args=[release.pk]))
    assert WORDING in " ".join(text_of(b"".join(paper.streaming_content)).split())
    refused = client.post(url, typed)
    assert "was changed while this page was open" in refused.text


def test_signed_release_can_only_be_withdrawn(client_of, engineer, session):
    release = ReleaseFactory(session=session, signature=SignatureFactory())
    url = reverse("musicians:release_edit", args=[release.pk])
    typed = {"seen": 1, "covers": "Everything", "signed_on": "2020-01-01"}

    early = client_of(engineer).post(url, typed | {"withdrawn_on": "2026-05-01"})
    assert "before it was signed" in early.text

    client_of(engineer).post(url, typed | {"withdrawn_on": "2026-07-01"})
    release.refresh_from_db()
    assert release.withdrawn_on == date(2026, 7, 1)
    assert not release.stands
    assert release.covers != "Everything"


def test_mix_engineer_sees_neither_times_nor_releases(client_of, mix_engineer, session):
    release = ReleaseFactory(session=session)
    for url in (page_of(session), release.get_absolute_url()):
        assert client_of(mix_engineer).get(url).status_code == 403
