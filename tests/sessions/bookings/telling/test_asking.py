"""The page “Who is told”: before anything is saved, with what was typed."""

import pytest
from django.http import QueryDict
from django.urls import reverse

from sessions.bookings.models import Credit, RecordingSession, Status
from sessions.bookings.telling.asking import choices_in
from sessions.letters.models import Letter, LetterState
from tests.factories import (
    ClientFactory,
    CreditFactory,
    MoneyPaperFactory,
    PersonFactory,
    ProjectFactory,
    RoomFactory,
)
from tests.sessions.bookings.challenges.lines import ASKED, at
from tests.sessions.bookings.days import booked

pytestmark = pytest.mark.django_db
LABEL, ED = "label@a.example", "ed@c.example"


@pytest.fixture(autouse=True)
def _in_may():
    with at(ASKED):
        yield


@pytest.fixture
def session(manager):
    made = booked(
        manager,
        title="Sea songs",
        project=ProjectFactory(client=ClientFactory(name="Cinder Walk", email=LABEL)),
        status=Status.CONFIRMED,
        rooms=[RoomFactory(name="Bread Room")],
        people=[PersonFactory(name="Ed Quoin", bookable=True, email=ED)],
    )
    Letter.objects.update(state=LetterState.SENT)
    return made


def edited(session, **changes):
    """The fields of the session's form, as a browser sends them."""
    reserved = list(session.reservations.for_list())
    return {
        "project": session.project_id,
        "title": session.title,
        "starts_at": "2026-06-01T11:00",
        "ends_at": "2026-06-01T15:00",
        "rooms": [each.room_id for each in reserved if each.room_id],
        "people": [each.person_id for each in reserved if each.person_id],
        "note": "",
        "left_to_do": "",
        "seen": session.version,
    } | changes


def waiting():
    return set(Letter.objects.waiting().values_list("to", flat=True))


def test_move_is_asked_about_and_nothing_is_saved(client_of, manager, session):
    url = reverse("bookings:edit", args=[session.pk])

    page = client_of(manager).post(
        url, edited(session, starts_at="2026-06-01T12:00", press="0b0e", note="Bring & “go”")
    )

    assert page.templates[0].name == "sessions/bookings/telling/who_is_told.html"
    assert "Cinder Walk, client" in page.text
    assert "Ed Quoin, booked for it" in page.text
    assert "Moved: Sea songs, Mon 1 Jun 2026, 12:00" in page.text
    assert "<td>Mon 1 Jun 2026, 11:00 to 15:00 (BST)</td>" in page.text
    for typed in ('name="starts_at" value="2026-06-01T12:00"', 'name="press" value="0b0e"'):
        assert typed in page.text
    assert 'name="note" value="Bring &amp; “go”"' in page.text
    assert RecordingSession.objects.get().version == session.version
    assert waiting() == set()


def test_answer_saves_and_sends_to_those_who_are_ticked(client_of, manager, session):
    url = reverse("bookings:edit", args=[session.pk])
    answer = {"told": "send", "told_shown": [LABEL, ED], "told_to": [LABEL], "told_line": "Sorry!"}

    answered = client_of(manager).post(url, edited(session, starts_at="2026-06-01T12:00") | answer)

    assert answered.status_code == 302
    assert waiting() == {LABEL}
    assert "Sorry!" in Letter.objects.waiting().get().text


def test_nobody_is_told_where_that_is_pressed(client_of, manager, session):
    url = reverse("bookings:status", args=[session.pk])

    client_of(manager).post(url, {"to": "cancelled", "told": "nobody"})

    assert RecordingSession.objects.get().status == Status.CANCELLED
    assert waiting() == set()


def test_way_back_shows_the_form_as_it_was_typed(client_of, manager, session):
    url = reverse("bookings:edit", args=[session.pk])

    page = client_of(manager).post(url, edited(session, title="Land songs", told="back"))

    assert page.status_code == 200
    assert 'value="Land songs"' in page.text
    assert "to fix" not in page.text
    assert RecordingSession.objects.get().title == "Sea songs"


def test_way_back_from_a_button_leads_to_its_page(client_of, manager, session):
    credit = CreditFactory(session=session, person=PersonFactory(email="alma@d.example"))
    url = reverse("bookings:credit_delete", args=[credit.pk])

    answered = client_of(manager).post(
        url, {"told": "back", "told_from": f"http://testserver{session.get_absolute_url()}"}
    )

    assert answered.url == session.get_absolute_url()
    assert Credit.objects.exists()


@pytest.mark.parametrize(
    "elsewhere", ["", "//elsewhere.example/x", "javascript:x", r"/\elsewhere.example/x"]
)
def test_way_back_leads_nowhere_else(client_of, manager, session, elsewhere):
    credit = CreditFactory(session=session)
    url = reverse("bookings:credit_delete", args=[credit.pk])

    answered = client_of(manager).post(url, {"told": "back", "told_from": elsewhere})

    assert answered.url in {url, "/x"}


def test_change_that_concerns_nobody_is_saved_at_once(client_of, manager, session):
    url = reverse("bookings:edit", args=[session.pk])

    answered = client_of(manager).post(url, edited(session, note="They were late."))

    assert answered.status_code == 302
    assert RecordingSession.objects.get().note == "They were late."


def test_booking_is_asked_about_before_there_is_a_session(client_of, manager):
    project = ProjectFactory(client=ClientFactory(name="Cinder Walk", email=LABEL))
    wanted = {
        "project": project.pk,
        "title": "Sea songs",
        "starts_at": "2026-06-01T11:00",
        "ends_at": "2026-06-01T15:00",
        "status": "confirmed",
        "rooms": [RoomFactory().pk],
        "load_in_minutes": "0",
        "teardown_minutes": "0",
    }
    client = client_of(manager)

    page = client.post(reverse("bookings:create"), wanted)
    assert "Booked: Sea songs" in page.text
    assert not RecordingSession.objects.exists()
    answered = client.post(
        reverse("bookings:create"),
        wanted | {"told": "send", "told_shown": [LABEL], "told_to": [LABEL]},
    )

    assert answered.status_code == 302
    assert waiting() == {LABEL}


def test_who_has_no_address_is_said_on_the_page_and_after_it(client_of, manager, session):
    alma = PersonFactory(name="Alma Reeve", bookable=True, email="")
    url = reverse("bookings:edit", args=[session.pk])
    typed = edited(session, people=[alma.pk])
    client = client_of(manager)

    assert "No e-mail address is known of Alma Reeve" in client.post(url, typed).text
    page = client.post(url, typed | {"told": "send"}, follow=True)

    assert "No e-mail address is known of Alma Reeve" in page.text


def test_price_is_offered_where_there_is_one_and_stated_where_it_is_wanted(
    client_of, manager, session
):
    url = reverse("bookings:status", args=[session.pk])
    client = client_of(manager)
    assert "State the price" not in client.post(url, {"to": "held"}).text
    MoneyPaperFactory(session=session, issued_by=manager, currency="GBP", total=480)

    assert "State the price" in client.post(url, {"to": "held"}).text
    client.post(url, {"to": "held", "told": "send", "told_price": "on"})

    assert "Price, tax included: 480.00 GBP" in Letter.objects.waiting().get(to=LABEL).text
    assert "480.00" not in Letter.objects.waiting().get(to=ED).text


def test_whoever_may_not_see_prices_states_none(manager, engineer):
    sent = QueryDict("told=send&told_price=on")

    assert choices_in(sent, manager).with_price
    assert not choices_in(sent, engineer).with_price
