"""The pages of one session's money."""

from datetime import date, timedelta
from decimal import Decimal

import pytest
import time_machine
from django.urls import reverse

from sessions.bookings.actions import set_status
from sessions.bookings.models import BlockKind, RecordingSession, Status, WorkedHours
from sessions.money.actions import issue_paper
from sessions.money.models import MoneyPaper, PaperKind
from tests.factories import (
    BlockFactory,
    CancellationStepFactory,
    CancellationTermsFactory,
    RateCardFactory,
    RateFactory,
    RecordingSessionFactory,
    ReservationFactory,
    UnitFactory,
    WorkedHoursFactory,
)
from tests.sessions.money.priced import priced_session, worked

pytestmark = pytest.mark.django_db

QUOTE, WORK_ORDER = PaperKind.QUOTE, PaperKind.WORK_ORDER

ACTUAL = WorkedHours.Kind.ACTUAL


def test_cancellation_page_says_what_it_costs_now_and_until_when(web):
    terms = CancellationTermsFactory()
    CancellationStepFactory(terms=terms, notice_from=96, notice_below=None, percent=0)
    CancellationStepFactory(terms=terms, notice_below=48, percent=50)
    session = priced_session(cancellation_terms=terms)
    address = reverse("money:cancellation", args=[session.pk])

    with time_machine.travel(session.starts_at - timedelta(hours=20)):
        now = web.get(address)
    with time_machine.travel(session.starts_at - timedelta(hours=72)):
        in_the_gap = web.get(address)

    assert "108.00 GBP: 50 % of the fee, for notice of less than 48 hours." in now.text
    assert "until Thu 28 May 2026, 11:00" in now.text
    assert in_the_gap.context["charge"].amount is None
    assert "The terms say nothing about this notice" in in_the_gap.text


def test_cancel_step_shows_the_charge_to_the_manager_only(client_of, manager, engineer):
    step = CancellationStepFactory(notice_below=None, percent=100)
    session = priced_session(cancellation_terms=step.terms)
    address = reverse("bookings:status", args=[session.pk]) + "?to=cancelled"

    assert "216.00 GBP: 100 % of the fee" in client_of(manager).get(address).text
    assert "216.00" not in client_of(engineer).get(address).text


def test_hold_that_is_given_up_costs_nothing(web):
    session = priced_session(status=Status.HELD)

    page = web.get(reverse("bookings:status", args=[session.pk]) + "?to=cancelled")

    assert "Cancelling an enquiry or a hold is free." in page.text


def test_card_terms_and_discount_are_chosen(web):
    session, card, terms = RecordingSessionFactory(), RateCardFactory(), CancellationTermsFactory()

    answer = web.post(
        reverse("money:choose", args=[session.pk]),
        {
            "rate_card": card.pk,
            "cancellation_terms": terms.pk,
            "discount_percent": "12.5",
            "seen": session.version,
        },
    )

    session.refresh_from_db()
    assert answer.url == reverse("money:session", args=[session.pk])
    assert (session.rate_card, session.cancellation_terms) == (card, terms)
    assert (session.discount_percent, session.version) == (Decimal("12.5"), 2)


@pytest.mark.parametrize(
    ("typed", "message"),
    [
        ("100.01", "Give 100 or less."),
        ("-5", "Give 0 or more."),
        ("ten", "Enter a number, such as 45 or 12.50."),
    ],
)
def test_wrong_discount_is_told_beside_its_field_and_kept(web, typed, message):
    session, card = RecordingSessionFactory(), RateCardFactory()

    page = web.post(
        reverse("money:choose", args=[session.pk]),
        {"rate_card": card.pk, "discount_percent": typed, "seen": session.version},
    )

    form = page.context["form"]
    assert form.errors == {"discount_percent": [message]}
    assert (form["discount_percent"].value(), form["rate_card"].value()) == (typed, str(card.pk))


def test_choice_of_somebody_else_is_not_overwritten(web, engineer):
    session = RecordingSessionFactory()
    set_status(session, to=Status.UNDER_WAY, by=engineer)

    page = web.post(
        reverse("money:choose", args=[session.pk]), {"discount_percent": "10", "seen": "1"}
    )

    assert page.status_code == 409
    assert RecordingSession.objects.get().discount_percent == 0


def test_worked_hours_are_entered_and_taken_out(web):
    session = priced_session()
    asked = reverse("money:hours_create", args=[session.pk])

    web.post(asked, {"starts_at": "2026-06-01T11:00", "ends_at": "2026-06-01T17:30"})

    hours = session.worked_hours.get()
    assert (hours.kind, hours.ends_at - hours.starts_at) == (ACTUAL, timedelta(hours=6.5))
    page = web.get(reverse("money:session", args=[session.pk]))
    assert page.context["actual"]["lines"][0]["quantity"] == "6 h 30 min"

    web.post(reverse("money:hours_delete", args=[hours.pk]))
    assert not session.worked_hours.exists()


@pytest.mark.parametrize(
    ("starts", "ends", "field"),
    [
        ("2026-06-01T15:00", "2026-06-01T11:00", "ends_at"),
        ("2026-06-01T11:00", "2066-06-01T11:00", "ends_at"),
        ("2026-06-01T12:00", "2026-06-01T13:00", "starts_at"),
        ("", "2026-06-01T13:00", "starts_at"),
        ("2026-06-01T12:00", "at one", "ends_at"),
    ],
)
def test_wrong_hours_are_told_beside_their_field_and_kept(web, starts, ends, field):
    session = priced_session()
    worked(session)

    page = web.post(
        reverse("money:hours_create", args=[session.pk]),
        {"starts_at": starts, "ends_at": ends, "note": "Lunch left out"},
    )

    form = page.context["form"]
    assert list(form.errors) == [field]
    assert (form["starts_at"].value(), form["note"].value()) == (starts, "Lunch left out")
    assert session.worked_hours.count() == 1


def test_quote_is_issued_from_the_page(web):
    session = priced_session()

    web.post(
        reverse("money:issue", args=[session.pk]),
        {"kind": "quote", "valid_until": "2026-05-20", "note": "Tea included"},
    )

    paper = MoneyPaper.objects.get()
    assert (paper.valid_until, paper.note) == (date(2026, 5, 20), "Tea included")
    page = web.get(reverse("money:session", args=[session.pk]))
    [(row, why_void)] = page.context["papers"]
    assert (row.paper, row.total, why_void) == (paper, "216.00", "")


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"kind": "work_order"}, "__all__"),
        ({"kind": "invoice"}, "kind"),
        ({"kind": "quote", "valid_until": "soon"}, "valid_until"),
    ],
)
def test_refused_paper_is_told_and_what_was_typed_kept(web, typed, field):
    session = priced_session()

    page = web.post(reverse("money:issue", args=[session.pk]), {"note": "Tea included"} | typed)

    form = page.context["issue_form"]
    assert page.status_code == 200
    assert (list(form.errors), form["note"].value()) == ([field], "Tea included")
    assert not MoneyPaper.objects.exists()


def test_page_without_card_terms_and_reservations_says_so(web):
    session = RecordingSessionFactory()

    page = web.get(reverse("money:session", args=[session.pk]))

    assert "Choose a rate card: there is no price without one." in page.text
    assert (page.context["planned"], page.context["actual"]) == (None, None)


def test_session_page_links_to_its_money_for_the_manager_only(client_of, manager, engineer):
    session = RecordingSessionFactory()
    link = reverse("money:session", args=[session.pk])

    assert link in client_of(manager).get(session.get_absolute_url()).text
    assert link not in client_of(engineer).get(session.get_absolute_url()).text


@pytest.mark.parametrize("count", [1, 3])
def test_money_page_costs_the_same_however_much_there_is(
    web, manager, django_assert_num_queries, count
):
    session = priced_session(cancellation_terms=CancellationStepFactory().terms)
    for number in range(count):
        reservation = ReservationFactory(session=session)
        RateFactory(card=session.rate_card, room=reservation.room)
        starts_at = session.starts_at + timedelta(days=number)
        WorkedHoursFactory(
            session=session,
            kind=ACTUAL,
            starts_at=starts_at,
            ends_at=starts_at + timedelta(hours=1),
        )
        issue_paper(session, kind=QUOTE, by=manager, note=str(number))

    with django_assert_num_queries(11):
        page = web.get(reverse("money:session", args=[session.pk]))

    assert len(page.context["papers"]) == count
    assert len(page.context["planned"]["lines"]) == count + 1


@pytest.mark.parametrize("count", [1, 3])
def test_cancellation_page_costs_the_same_however_many_steps(web, django_assert_num_queries, count):
    terms = CancellationTermsFactory()
    session = priced_session(cancellation_terms=terms)
    for number in range(count):
        CancellationStepFactory(terms=terms, notice_from=number * 24, notice_below=number * 24 + 24)
        BlockFactory(kind=BlockKind.HOLIDAY, starts_at=session.starts_at - timedelta(days=9))

    with django_assert_num_queries(11):
        web.get(reverse("money:cancellation", args=[session.pk]))


def test_page_only_names_what_is_without_charge(web):
    session = priced_session()
    unit = ReservationFactory(session=session, room=None, unit=UnitFactory()).unit
    RateFactory(card=session.rate_card, room=None, unit=unit, basis="session", amount=0)

    planned = web.get(reverse("money:session", args=[session.pk])).context["planned"]

    assert (planned["free"].in_words, planned["free"].names) == ("1 unit", (str(unit),))
    assert str(unit) not in [line["what"] for line in planned["lines"]]
