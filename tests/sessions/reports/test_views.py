import pytest
from django.urls import reverse

from tests.factories import (
    CreditFactory,
    FaultFactory,
    PartFactory,
    PersonFactory,
    RecordingSessionFactory,
    ReservationFactory,
    RoomFactory,
    SongFactory,
    TakeFactory,
)
from tests.printed import accessibility_errors, collisions, page_texts, text_of, words_of
from tests.sessions.recall.recorded import chain_of, record

pytestmark = pytest.mark.django_db

PAGES = ["reports:session", "reports:session_pdf"]


@pytest.fixture
def session():
    """Alto voice on take 4, a fault, a note, and something left to do."""
    song = SongFactory(title="Neap and Spring", project__client__name="Pier Records")
    part = PartFactory(name="Lead vocal", song=song)
    session = RecordingSessionFactory(
        project=part.song.project,
        title="Group vocals",
        note="Rain on the roof until noon.",
        left_to_do="Flugelhorn overdub\n<b>Spoken verse</b>",
    )
    ReservationFactory(session=session, room=RoomFactory(name="Room 1"))
    CreditFactory(
        session=session,
        person=PersonFactory(name="Bram Teal"),
        role="musician",
        instrument="Fiddle",
    )
    session.faults.add(FaultFactory(description="Crackles in the make-up control"))
    take = TakeFactory(
        part=part,
        session=session,
        number=4,
        mark="master",
        circled=True,
        kind="punch_in",
        into=TakeFactory(part=part, number=2),
        punch_in="bar 17",
        punch_out="bar 21",
    )
    record(take, chain_of(part, session=session))
    return session


SAID = [
    "Pier Records",
    "11:00 to 15:00",
    "4 h",
    "Room 1",
    "Bram Teal",
    "Lead vocal",
    "punch-in",
    "bar 17 to bar 21",
    "master, circled",
    "Alto voice → Ld Vox, revision 1",
    "Alto voice → Ld Vox",
    "Neap and Spring: 4",
    "Crackles in the make-up control",
    "Rain on the roof until noon.",
    "Flugelhorn overdub",
]


def test_paper_reports_the_session_and_has_lines_to_sign(client_of, engineer, session):
    response = client_of(engineer).get(reverse("reports:session_pdf", args=[session.pk]))
    pdf = response.getvalue()
    text = text_of(pdf)
    assert accessibility_errors(pdf) == []

    assert response["Content-Disposition"] == 'inline; filename="session-report-group-vocals.pdf"'
    assert [said for said in SAID if said not in text] == []
    assert "<b>Spoken verse</b>" in text
    assert "Engineer: name, signature, date" in text
    assert "For Pier Records: name, signature, date" in text
    pages = page_texts(pdf)
    assert f"Page 1 of {len(pages)}" in pages[0]
    assert collisions(words_of(pdf)) == []


def test_page_reports_the_session(client_of, engineer, session):
    response = client_of(engineer).get(reverse("reports:session", args=[session.pk]))
    page = " ".join(
        response.content.decode().replace("<strong>", "").replace("</strong>", "").split()
    )

    assert [said for said in SAID if said not in page] == []
    assert "<b>Spoken" not in page
    assert reverse("reports:session_pdf", args=[session.pk]) in page


def test_faults_are_told_to_the_house_only(client_of, engineer, mix_engineer, session):
    session.project.mix_engineers.add(mix_engineer.person)
    page, paper = (reverse(name, args=[session.pk]) for name in PAGES)

    assert "Faults" not in client_of(mix_engineer).get(page).text
    assert "Crackles" not in text_of(client_of(mix_engineer).get(paper).getvalue())
    assert "Crackles" not in text_of(client_of(engineer).get(f"{paper}?for=client").getvalue())


@pytest.mark.parametrize("page", PAGES)
def test_session_in_which_nothing_happened_has_a_report(client_of, engineer, page):
    session = RecordingSessionFactory()

    response = client_of(engineer).get(reverse(page, args=[session.pk]))

    text = text_of(response.getvalue()) if page.endswith("pdf") else response.content.decode()
    assert "No takes logged and no parts set up." in text
    assert "No setups documented." in text


@pytest.mark.parametrize("page", PAGES)
def test_mix_engineer_reads_only_reports_of_own_projects(
    client_of, mix_engineer, mixed_project, page
):
    theirs = RecordingSessionFactory(project=mixed_project)
    other = RecordingSessionFactory()
    client = client_of(mix_engineer)

    answer = client.get(reverse(page, args=[theirs.pk]))
    assert (answer.status_code, bool(answer.getvalue())) == (200, True)
    assert client.get(reverse(page, args=[other.pk])).status_code == 404
