"""The summary of the day by e-mail: what it says, to whom it goes, and when it cannot be sent."""

import pytest
from django.urls import reverse

from sessions.bookings.models import RecordingSession
from sessions.desk.summary.letter import draft
from sessions.letters.models import Letter, LetterState
from sessions.reports.session_report import session_report
from sessions.reports.summaries import SUMMARY
from tests.factories import (
    CreditFactory,
    DeliverableFactory,
    FaultFactory,
    LetterFactory,
    PartFactory,
    PersonFactory,
    RecordingSessionFactory,
    ReservationFactory,
    RoomFactory,
    TakeFactory,
)
from tests.sessions.bookings.challenges.servers import UNKNOWN

pytestmark = pytest.mark.django_db

LABEL, FIDDLER = "label@a.example", "fiddle@b.example"


@pytest.fixture
def session():
    part = PartFactory(name="Lead vocal", song__title="Drystone")
    project = part.song.project
    project.client.email = LABEL
    project.client.save()
    session = RecordingSessionFactory(
        project=project, title="Group vocals", left_to_do="Flugelhorn overdub"
    )
    ReservationFactory(session=session, room=RoomFactory(name="Rope Floor"))
    CreditFactory(session=session, person=PersonFactory(name="Bram Teal", email=FIDDLER))
    session.faults.add(FaultFactory(description="Crackles in the make-up control"))
    TakeFactory(part=part, session=session, number=1, mark="breakdown")
    TakeFactory(part=part, session=session, number=2, mark="master", circled=True)
    return session


def draft_of(session):
    loaded = RecordingSession.objects.select_related("project__client").get(pk=session.pk)
    return draft(session_report(loaded, for_the_house=True))


def address(session):
    return reverse("bookings:summary", args=[session.pk])


def typed(**changes):
    return {
        "people": [LABEL],
        "others": "",
        "subject": "Today",
        "body": "Two takes.",
        "for_the_house": "The compressor crackles.",
    } | changes


def test_draft_tells_the_day_in_short(session):
    first = draft_of(session)

    assert first.subject == "Group vocals: summary of Mon 1 Jun 2026"
    assert "When: Mon 1 Jun 2026, 11:00 to 15:00 (4 h)\nRooms: Rope Floor" in first.body
    assert "Drystone\n- Lead vocal: 2 takes, chosen: take 2 (master, circled)" in first.body
    assert "Rough mixes made:\n- none" in first.body
    assert "Left to do:\n- Flugelhorn overdub\n- Drystone: no rough mix yet" in first.body


def test_draft_names_the_rough_mixes_made(session):
    made = DeliverableFactory(song=session.takes.first().song, kind="rough_mix")

    body = draft_of(session).body

    assert f"Rough mixes made:\n- Drystone: {made}" in body
    assert "no rough mix yet" not in body


def test_faults_are_drafted_for_the_house_only(session):
    first = draft_of(session)

    assert "Crackles" not in first.body
    assert "Crackles in the make-up control" in first.for_the_house


def test_form_offers_the_client_ticked_and_the_people_of_the_session(client_of, engineer, session):
    page = client_of(engineer).get(address(session))

    form = page.context["form"]
    assert [value for value, _ in form.fields["people"].choices] == [LABEL, FIDDLER]
    assert form.initial["people"] == [LABEL]
    assert "Flugelhorn overdub" in page.text


@pytest.mark.usefixtures("real_database")
def test_summary_is_sent_one_letter_an_address_and_stays_on_the_report(
    client_of, engineer, session, mailoutbox
):
    engineer.email = "ulric@quay-steps.example"
    engineer.save()
    others = f"Ulric@quay-steps.example, {LABEL.upper()}"

    page = client_of(engineer).post(address(session), typed(others=others), follow=True)

    bodies = {tuple(letter.to): letter.body for letter in mailoutbox}
    assert bodies == {
        (LABEL,): "Two takes.\n",
        ("Ulric@quay-steps.example",): "Two takes.\n\nThe compressor crackles.\n",
    }
    letters = Letter.objects.about_thing(session).order_by("to")
    assert [(each.to, each.state, each.written_by, each.subject) for each in letters] == [
        ("Ulric@quay-steps.example", LetterState.SENT, engineer, "Today"),
        (LABEL, LetterState.SENT, engineer, "Today"),
    ]
    assert f"To {LABEL}, sent" in page.text


@pytest.mark.parametrize(
    ("changes", "field", "said"),
    [
        ({"others": "label@a.example, nobody at sea"}, "others", "Not an e-mail address: nobody"),
        ({"people": []}, "people", "Choose at least one person, or enter an address below."),
        ({"people": ["stranger@z.example"]}, "people", "stranger@z.example"),
        ({"body": " "}, "body", "This field is required."),
    ],
)
def test_refused_form_says_why_beside_the_field_and_sends_nothing(
    client_of, engineer, session, mailoutbox, changes, field, said
):
    page = client_of(engineer).post(address(session), typed(**changes))

    assert said in " ".join(page.context["form"].errors[field])
    assert "The compressor crackles." in page.text
    assert mailoutbox == []
    assert not Letter.objects.exists()


@pytest.mark.usefixtures("real_database")
def test_refused_address_is_said_and_the_letter_is_kept_as_failed(
    client_of, engineer, session, settings
):
    settings.EMAIL_BACKEND = "tests.sessions.bookings.challenges.servers.PickyServer"

    page = client_of(engineer).post(address(session), typed(others=UNKNOWN), follow=True)

    assert f"refused the e-mail to {UNKNOWN}. Let" in page.text
    assert f"To {UNKNOWN}, failed" in page.text
    assert dict(Letter.objects.values_list("to", "state")) == {
        LABEL: LetterState.SENT,
        UNKNOWN: LetterState.FAILED,
    }


def test_mix_engineer_neither_sends_nor_reads_to_whom_it_went(
    client_of, mix_engineer, mixed_project, engineer
):
    theirs = RecordingSessionFactory(project=mixed_project)
    LetterFactory(about=theirs, kind=SUMMARY, to=LABEL)
    client = client_of(mix_engineer)

    report = client.get(reverse("reports:session", args=[theirs.pk])).text

    assert client.post(address(theirs), typed()).status_code == 403
    assert address(theirs) not in report
    assert LABEL not in report


@pytest.mark.parametrize("rows", [1, 3])
def test_form_and_report_cost_the_same_queries_for_any_number_of_rows(
    client_of, engineer, session, rows, django_assert_num_queries
):
    for _ in range(rows):
        CreditFactory(session=session, person=PersonFactory(email="a@b.example"))
        ReservationFactory(session=session, room=None, person=PersonFactory(email="c@d.example"))
        LetterFactory(about=session, kind=SUMMARY)
    client = client_of(engineer)

    with django_assert_num_queries(25):
        client.get(address(session))
    with django_assert_num_queries(23):
        client.get(reverse("reports:session", args=[session.pk]))
