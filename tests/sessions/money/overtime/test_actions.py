from datetime import timedelta
from decimal import Decimal

import pytest
import time_machine
from django.db import IntegrityError, transaction

from sessions.bookings.clashes import ClashError
from sessions.bookings.models import RecordingSession, Status
from sessions.letters.models import Letter
from sessions.money.overtime.actions import OvertimeRefused, approve_overtime, void_overtime
from sessions.money.overtime.models import Overtime
from sessions.money.overtime.statements import overtime_statement
from sessions.money.session_costs import SessionCosts
from sessions.signing.forms import READ_AGAIN
from tests.factories import (
    OvertimeFactory,
    PersonFactory,
    RecordingSessionFactory,
    ReservationFactory,
)
from tests.factories.signing import LINES
from tests.sessions.money.priced import loaded, priced_session

pytestmark = pytest.mark.django_db
HOUR = timedelta(hours=1)


def approve(session, ends_at, *, by, starts_at=None, **facts):
    session = loaded(session)
    read = overtime_statement(SessionCosts(session), starts_at or session.ends_at, ends_at)
    signature = {"name": "Ebba Quarrell", "strokes": LINES}
    return approve_overtime(
        session, ends_at=ends_at, by=by, **{"read": read, "signature": signature} | facts
    )


@pytest.fixture
def session():
    return priced_session(status=Status.UNDER_WAY)


def test_overtime_is_signed_priced_and_reserved(session, engineer):
    end = session.ends_at

    made = approve(session, end + 2 * HOUR, by=engineer)

    session.refresh_from_db()
    assert (made.starts_at, made.ends_at, made.total) == (end, end + 2 * HOUR, Decimal("108.00"))
    assert (session.ends_at, session.reservations.get().ends_at) == (end + 2 * HOUR,) * 2
    signature = made.signature
    assert (signature.name, signature.strokes, signature.taken_by) == (
        "Ebba Quarrell",
        LINES,
        engineer,
    )
    assert signature.on_behalf_of == session.project.client.name
    assert ("Total for the overtime", "108.00 GBP") in signature.signed.facts
    assert session.history.first().history_user == engineer


def test_who_works_at_it_is_told_that_it_goes_on(session, engineer):
    person = PersonFactory(email="brass@neap.example")
    ReservationFactory(session=session, room=None, person=person)

    with time_machine.travel(session.starts_at):
        approve(session, session.ends_at + HOUR, by=engineer)

    letter = Letter.objects.get(to="brass@neap.example")
    assert "16:00" in letter.text
    assert "GBP" not in letter.text


def test_overtime_says_by_which_rates_and_until_when(session):
    costs = SessionCosts(loaded(session))

    said = overtime_statement(costs, session.ends_at, session.ends_at + 2 * HOUR)

    room = str(session.reservations.get().room)
    assert dict(said.facts)["Overtime"] == "Mon 1 Jun 2026, 15:00 to 17:00 (2 h)"
    assert dict(said.facts)[room] == "90.00 GBP (by the hour 45.00)"
    assert dict(said.facts)["Charged"] == "the time that is worked, in steps of 30 min"
    assert said.sentence == "I approve this overtime at this price."


def test_more_overtime_follows_on(session, engineer):
    end = session.ends_at
    approve(session, end + HOUR, by=engineer)

    second = approve(session, end + 2 * HOUR, by=engineer)

    assert (second.starts_at, second.total) == (end + HOUR, Decimal("54.00"))


def test_time_that_another_session_has_is_refused_and_nothing_is_signed(session, engineer):
    room = session.reservations.get().room
    other = RecordingSessionFactory(starts_at=session.ends_at + HOUR, title="Reeds")
    ReservationFactory(session=other, room=room)

    with pytest.raises(ClashError, match="Reeds"):
        approve(session, session.ends_at + 2 * HOUR, by=engineer)

    assert not Overtime.objects.exists()
    assert approve(session, session.ends_at + HOUR, by=engineer).ends_at == other.starts_at


def test_wrapped_session_is_not_lengthened(engineer):
    session = priced_session(status=Status.WRAPPED)
    end = session.ends_at

    approve(session, end + HOUR, by=engineer)

    assert RecordingSession.objects.get().ends_at == end


@pytest.mark.parametrize("status", [Status.ENQUIRY, Status.HELD, Status.CANCELLED])
def test_session_that_is_not_booked_has_no_overtime(status, engineer):
    session = priced_session(status=status)

    with pytest.raises(OvertimeRefused, match="overtime is approved in one that is confirmed"):
        approve(session, session.ends_at + HOUR, by=engineer)


@pytest.mark.parametrize(
    ("hours", "why"), [(0, "ends after the agreed time"), (25, "at most 24 hours")]
)
def test_overtime_that_cannot_be_is_refused(session, engineer, hours, why):
    with pytest.raises(OvertimeRefused, match=why):
        approve(session, session.ends_at + hours * HOUR, by=engineer)


def test_what_was_read_has_to_be_what_it_says_now(session, engineer):
    """The rate went up between the page and the signature."""
    ends_at = session.ends_at + HOUR
    read = overtime_statement(SessionCosts(session), session.ends_at, ends_at)
    rate = session.rate_card.rates.get()
    rate.amount = Decimal("60.00")
    rate.save()

    with pytest.raises(OvertimeRefused) as refusal:
        approve(session, ends_at, by=engineer, read=read)

    assert refusal.value.messages == [READ_AGAIN]
    assert not Overtime.objects.exists()


def test_session_without_rate_card_states_no_price(engineer):
    session = ReservationFactory(session=RecordingSessionFactory(status=Status.UNDER_WAY)).session

    made = approve(session, session.ends_at + HOUR, by=engineer)

    assert (made.total, made.price_in_words) == (None, "no price stated")
    assert (
        "charged by the rates that the studio and the client agree"
        in made.signature.signed.sentence
    )


def test_void_overtime_gives_the_time_back_and_stays_readable(session, engineer, manager):
    end = session.ends_at
    made = approve(session, end + 2 * HOUR, by=engineer)

    with time_machine.travel(end + timedelta(minutes=30)):
        void_overtime(made, reason="The client left", by=manager)

    made.refresh_from_db()
    session.refresh_from_db()
    assert (made.is_void, made.voided_by, made.void_reason) == (True, manager, "The client left")
    assert session.ends_at == end + timedelta(minutes=30)
    assert made.signature.name == "Ebba Quarrell"


def test_only_the_last_overtime_is_voided_and_once(session, engineer):
    first = approve(session, session.ends_at + HOUR, by=engineer)
    second = approve(session, loaded(session).ends_at + HOUR, by=engineer)

    with pytest.raises(OvertimeRefused, match="void that first"):
        void_overtime(first, reason="Slip", by=engineer)
    void_overtime(second, reason="Slip", by=engineer)
    with pytest.raises(OvertimeRefused, match="void already"):
        void_overtime(second, reason="Slip", by=engineer)


def test_overtime_approved_anew_takes_the_place_of_the_old(session, engineer):
    end = session.ends_at
    old = approve(session, end + HOUR, by=engineer)

    new = approve(session, end + 2 * HOUR, by=engineer, starts_at=end, replaces=old)

    old.refresh_from_db()
    assert old.is_void
    assert (new.starts_at, new.ends_at) == (end, end + 2 * HOUR)
    assert loaded(session).ends_at == end + 2 * HOUR


@pytest.mark.parametrize(
    "change",
    [{"total": Decimal(1)}, {"total": None}, {"currency": "EUR"}, {"ends_at": "2030-01-01T10:00Z"}],
)
def test_approved_overtime_never_changes(change):
    overtime = OvertimeFactory()
    rows = Overtime.objects.filter(pk=overtime.pk)

    with pytest.raises(IntegrityError, match="overtime_kept"), transaction.atomic():
        rows.update(**change)
    with pytest.raises(IntegrityError, match="overtime_kept"), transaction.atomic():
        rows._raw_delete(rows.db)


def test_void_overtime_is_not_brought_back():
    overtime = OvertimeFactory(is_voided=True)

    with pytest.raises(IntegrityError, match="overtime_kept"):
        Overtime.objects.filter(pk=overtime.pk).update(voided_at=None)
