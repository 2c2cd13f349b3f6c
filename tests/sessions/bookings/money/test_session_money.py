"""The money of one session: what it costs, what is issued, and that nothing issued changes."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from threading import Barrier, Thread

import pytest
import time_machine
from django.db import IntegrityError, connection, transaction
from django.urls import reverse

from sessions.bookings.actions import set_status
from sessions.bookings.house.models import BlockKind
from sessions.bookings.models import RecordingSession, Status, WorkedHours
from sessions.bookings.money.actions import PaperRefused, issue_paper
from sessions.bookings.money.models import Basis, MoneyPaper, PaperKind
from sessions.bookings.money.session_costs import (
    SessionCosts,
    cancellation_now,
    holidays_before,
)
from tests.factories import (
    TEN_O_CLOCK,
    BlockFactory,
    CancellationStepFactory,
    CancellationTermsFactory,
    PersonFactory,
    RateCardFactory,
    RateFactory,
    RecordingSessionFactory,
    ReservationFactory,
    UnitFactory,
    UserFactory,
    WorkedHoursFactory,
)
from tests.printed import text_of

pytestmark = pytest.mark.django_db
QUOTE, WORK_ORDER = PaperKind
ACTUAL = WorkedHours.Kind.ACTUAL


def priced_session(**facts) -> RecordingSession:
    """Four hours in one room at 45.00 an hour: 180.00, 36.00 tax."""
    reservation = ReservationFactory(
        session=RecordingSessionFactory(rate_card=RateCardFactory(), **facts)
    )
    RateFactory(card=reservation.session.rate_card, room=reservation.room)
    return loaded(reservation.session)


def loaded(session) -> RecordingSession:
    return RecordingSession.objects.for_list().get(pk=session.pk)


def worked(session, *, late=timedelta(0), hours=4) -> None:
    WorkedHoursFactory(
        session=session,
        kind=ACTUAL,
        starts_at=session.starts_at + late,
        ends_at=session.starts_at + timedelta(hours=hours),
    )


@pytest.fixture
def web(client_of, manager):
    return client_of(manager)


def test_room_person_and_equipment_are_priced_and_a_units_own_rate_wins():
    session = priced_session()
    card = session.rate_card
    person = PersonFactory(bookable=True)
    own, of_model = UnitFactory(asset_tag="A-1"), UnitFactory(asset_tag="B-1")
    for thing in ({"person": person}, {"unit": own}, {"unit": of_model}):
        ReservationFactory(session=session, room=None, **thing)
    RateFactory(card=card, room=None, person=person, amount=30)
    RateFactory(card=card, room=None, unit=own, basis=Basis.SESSION, amount=12)
    for unit in (own, of_model):
        RateFactory(card=card, room=None, gear_model=unit.model, basis=Basis.SESSION, amount=20)

    price = SessionCosts(loaded(session)).planned_price

    assert [line.amount for line in price.lines] == [
        Decimal("180.00"),
        Decimal("120.00"),
        Decimal("12.00"),
        Decimal("20.00"),
    ]


def test_reserved_thing_without_a_rate_is_a_line_that_says_so():
    session = priced_session()
    ReservationFactory(session=session)

    price = SessionCosts(loaded(session)).planned_price

    assert [line.remark for line in price.unpriced] == [
        f"“{session.rate_card}” has no rate for it."
    ]


def test_lockout_bills_the_hours_planned_inside_it():
    session = priced_session(lockout=True, ends_at=TEN_O_CLOCK + timedelta(days=2))
    assert SessionCosts(session).planned_price.unpriced[0].remark == "No hours are entered."

    for day in (0, 1):
        starts_at = session.starts_at + timedelta(days=day, hours=1)
        WorkedHoursFactory(
            session=session, starts_at=starts_at, ends_at=starts_at + timedelta(hours=8)
        )

    assert SessionCosts(loaded(session)).planned_price.gross == Decimal("720.00")


def test_lockout_rate_counts_the_days_that_the_room_is_kept():
    session = priced_session(lockout=True, ends_at=TEN_O_CLOCK + timedelta(days=2))
    session.rate_card.rates.update(basis=Basis.LOCKOUT, amount=500)

    assert SessionCosts(session).planned_price.gross == Decimal("1000.00")


@pytest.mark.parametrize(("late", "amount"), [(15, "180.00"), (16, "180.00"), (75, "180.00")])
def test_late_client_pays_from_the_booked_start_beyond_the_grace(late, amount):
    """16 min late and more: four hours. 15 min: 3 h 45 min, billed as four hours by the half hour."""
    session = priced_session(cancellation_terms=CancellationTermsFactory(grace_minutes=15))
    worked(session, late=timedelta(minutes=late))

    costs = SessionCosts(loaded(session))

    assert costs.actual_price.gross == Decimal(amount)
    assert bool(costs.waiting_in_words) == (late > 15)


def test_without_terms_only_the_worked_hours_count():
    session = priced_session()
    worked(session, late=timedelta(hours=1))

    costs = SessionCosts(loaded(session))

    assert (costs.actual_price.gross, costs.waiting_in_words) == (Decimal("135.00"), "")


def test_hours_stand_beside_each_other_by_day():
    session = priced_session()
    worked(session, hours=5)
    next_day = session.starts_at + timedelta(days=1)
    WorkedHoursFactory(
        session=session, kind=ACTUAL, starts_at=next_day, ends_at=next_day + timedelta(hours=1)
    )

    hours = SessionCosts(session).hours

    assert [(each.planned, each.actual, each.difference) for each in hours] == [
        ("4 h", "5 h", "1 h more"),
        ("none", "1 h", "1 h more"),
    ]


# What is issued


def test_quote_keeps_lines_and_sums(manager):
    session = priced_session(discount_percent=10)

    paper = issue_paper(session, kind=QUOTE, by=manager, note="Tea included")

    paper.refresh_from_db()
    assert (paper.kind, paper.number, paper.currency) == ("quote", 1, "GBP")
    assert (paper.net, paper.tax, paper.total, paper.deposit) == (
        Decimal("162.00"),
        Decimal("32.40"),
        Decimal("194.40"),
        Decimal("97.20"),
    )
    assert [(line["quantity"], line["rate"], line["amount"]) for line in paper.lines] == [
        ("4 h", "45.00", "180.00")
    ]


def test_work_order_bills_the_worked_hours(manager):
    session = priced_session(status=Status.WRAPPED)
    worked(session, hours=6)

    paper = issue_paper(session, kind=WORK_ORDER, by=manager)

    assert (str(paper), paper.net) == ("Work order 1", Decimal("270.00"))
    assert paper.as_issued["hours"] == [["Mon 1 Jun 2026", "4 h", "6 h", "2 h more"]]


def test_numbers_of_each_kind_run_on(manager):
    one, other = priced_session(), priced_session(status=Status.WRAPPED)
    worked(other)

    issued = [
        issue_paper(one, kind=QUOTE, by=manager),
        issue_paper(other, kind=QUOTE, by=manager),
        issue_paper(other, kind=WORK_ORDER, by=manager),
        issue_paper(one, kind=QUOTE, by=manager, note="Again"),
    ]

    assert [str(paper) for paper in issued] == ["Quote 1", "Quote 2", "Work order 1", "Quote 3"]


def refusal(session, kind, by) -> str:
    with pytest.raises(PaperRefused) as refused:
        issue_paper(session, kind=kind, by=by)
    assert not MoneyPaper.objects.exists()
    return refused.value.messages[0]


def test_nothing_is_issued_without_a_card(manager):
    assert refusal(RecordingSessionFactory(), QUOTE, manager) == (
        "Choose a rate card first: without one there is no price."
    )


def test_nothing_is_issued_while_a_line_has_no_price(manager):
    session = priced_session()
    room = ReservationFactory(session=session).room

    assert refusal(session, QUOTE, manager) == (
        f"Not everything has a price. {room}: “{session.rate_card}” has no rate for it. Where it "
        "is free, say 0."
    )


def test_nothing_is_issued_for_a_session_that_takes_nothing(manager):
    session = RecordingSessionFactory(rate_card=RateCardFactory())

    assert refusal(session, QUOTE, manager) == (
        "Nothing is reserved, so there is nothing to charge for."
    )


def test_work_order_waits_for_the_wrap(manager):
    session = priced_session()
    worked(session)

    assert refusal(session, WORK_ORDER, manager) == (
        "The session is confirmed: a work order is issued once it is wrapped."
    )


def test_work_order_waits_for_worked_hours(manager):
    session = priced_session(status=Status.WRAPPED)

    assert refusal(session, WORK_ORDER, manager) == "Enter the hours that were worked first."


def test_same_quote_is_not_issued_twice(manager):
    session = priced_session()
    issue_paper(session, kind=QUOTE, by=manager)

    with pytest.raises(PaperRefused, match="Quote 1 says this already"):
        issue_paper(session, kind=QUOTE, by=manager)

    assert MoneyPaper.objects.count() == 1


def test_issued_paper_cannot_be_changed_or_deleted(manager):
    paper = issue_paper(priced_session(), kind=QUOTE, by=manager)

    for attempt in (
        lambda: MoneyPaper.objects.update(total=1),
        lambda: paper.save(),
        lambda: MoneyPaper.objects.all().delete(),
    ):
        with pytest.raises(IntegrityError, match="money_paper_issued"), transaction.atomic():
            attempt()


@pytest.mark.parametrize("number", [1, 3])
def test_number_out_of_turn_is_refused_by_the_database(manager, number):
    session = priced_session()
    issue_paper(session, kind=QUOTE, by=manager)

    with pytest.raises(IntegrityError), transaction.atomic():
        MoneyPaper.objects.create(
            kind=QUOTE,
            number=number,
            session=session,
            issued_by=manager,
            currency="GBP",
            net=0,
            tax=0,
            total=0,
        )


def test_issued_paper_stays_when_card_and_session_change(web, manager):
    session = priced_session(cancellation_terms=CancellationStepFactory().terms)
    paper = issue_paper(session, kind=QUOTE, by=manager)
    address = reverse("money:paper_pdf", args=[paper.pk])
    before = text_of(web.get(address).content).partition("Client")[2]

    session.rate_card.rates.update(amount=99)
    type(session.rate_card).objects.update(name="Other rates", tax_name="GST", tax_percent=5)
    session.cancellation_terms.steps.all().delete()
    RecordingSession.objects.filter(pk=session.pk).update(title="Renamed")

    assert text_of(web.get(address).content).partition("Client")[2] == before
    assert "180.00" in before


@pytest.mark.postgres
def test_racing_managers_get_numbers_without_a_gap(on_postgresql, real_database):
    """Real commits, four threads that start together; SQLite lets one write at a time anyhow."""
    sessions, user = [priced_session() for _ in range(4)], UserFactory()
    start, failed = Barrier(4), []

    def run(session):
        try:
            start.wait()
            issue_paper(session, kind=QUOTE, by=user)
        except Exception as error:
            failed.append(error)
        finally:
            connection.close()

    threads = [Thread(target=run, args=[session]) for session in sessions]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert failed == []
    assert sorted(MoneyPaper.objects.values_list("number", flat=True)) == [1, 2, 3, 4]


def test_wrapped_sessions_without_a_work_order_are_unbilled(manager):
    billed, unbilled = (priced_session(status=Status.WRAPPED) for _ in range(2))
    priced_session()
    worked(billed)
    issue_paper(billed, kind=WORK_ORDER, by=manager)
    issue_paper(unbilled, kind=QUOTE, by=manager)

    assert list(RecordingSession.objects.unbilled()) == [unbilled]


# Papers


def test_quote_on_paper(web, manager):
    step = CancellationStepFactory(notice_below=48)
    session = priced_session(title="Group vocals", cancellation_terms=step.terms)
    paper = issue_paper(
        session, kind=QUOTE, by=manager, valid_until=date(2026, 5, 20), note="Tea included"
    )

    answer = web.get(reverse("money:paper_pdf", args=[paper.pk]))

    text = text_of(answer.content)
    assert answer["Content-Type"] == "application/pdf"
    assert 'filename="quote-1.pdf"' in answer["Content-Disposition"]
    for said in (
        "Quote 1",
        "Valid until 20 May 2026",
        "Group vocals",
        "Mon 1 Jun 2026, 11:00 to 15:00",
        "45.00 180.00",
        "VAT, 20 % 36.00",
        "Total, GBP 216.00",
        "Deposit, 50 % of the total 108.00",
        "Tea included",
        "half of it up",
        "Less than 48 hours: 50 % of the fee.",
        "Notice of exactly the stated length counts as in time.",
    ):
        assert said in text


def test_work_order_on_paper_shows_planned_and_worked_hours(web, manager):
    session = priced_session(status=Status.WRAPPED)
    worked(session, hours=6)
    paper = issue_paper(session, kind=WORK_ORDER, by=manager)

    text = text_of(web.get(reverse("money:paper_pdf", args=[paper.pk])).content)

    assert "Hours planned and worked" in text
    assert "Mon 1 Jun 2026 4 h 6 h 2 h more" in text
    assert "If you cancel" not in text


def test_sums_stand_once_below_the_lines_of_a_long_quote(web, manager):
    session = priced_session()
    for _ in range(40):
        room = ReservationFactory(session=session).room
        RateFactory(card=session.rate_card, room=room)
    paper = issue_paper(session, kind=QUOTE, by=manager)

    text = text_of(web.get(reverse("money:paper_pdf", args=[paper.pk])).content)

    assert text.count("45.00 180.00") == 41
    assert text.count("Total, GBP") == 1
    assert text.rindex("45.00 180.00") < text.index("Total, GBP")


# Cancellation


def test_charge_is_of_the_newest_quote(manager):
    """The quote says 216.00; the card has changed since."""
    step = CancellationStepFactory(notice_below=None, percent=50)
    session = priced_session(cancellation_terms=step.terms)
    issue_paper(session, kind=QUOTE, by=manager)
    session.rate_card.rates.update(amount=90)

    assert cancellation_now(loaded(session)).amount == Decimal("108.00")


def test_charge_is_of_todays_price_without_a_quote():
    step = CancellationStepFactory(notice_below=None, percent=100)
    session = priced_session(cancellation_terms=step.terms)

    assert cancellation_now(session).amount == Decimal("216.00")


def test_charge_is_not_guessed_without_a_price():
    step = CancellationStepFactory(notice_below=None, percent=50)
    session = loaded(RecordingSessionFactory(cancellation_terms=step.terms))

    assert cancellation_now(session).remark == (
        "50 % of the fee, but the session's price is not known."
    )


def test_holidays_are_the_days_that_their_blocks_touch():
    day = datetime(2026, 5, 24, 23, tzinfo=UTC)  # midnight in London
    BlockFactory(kind=BlockKind.HOLIDAY, starts_at=day, ends_at=day + timedelta(days=2))
    BlockFactory(
        kind=BlockKind.HOLIDAY, starts_at=day, ends_at=day + timedelta(days=9), lifted=True
    )
    BlockFactory(kind=BlockKind.MAINTENANCE, starts_at=day, ends_at=day + timedelta(days=9))

    assert holidays_before(TEN_O_CLOCK) == {date(2026, 5, 25), date(2026, 5, 26)}


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
    assert "to Thu 28 May 2026, 11:00" in now.text
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

    assert "An inquiry or a hold that is given up costs nothing." in page.text


# Pages


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
        ("100.01", "A discount cannot be more than 100 per cent."),
        ("-5", "A discount cannot be below 0."),
        ("ten", "Give a number, such as 45 or 12.50."),
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
    assert page.context["papers"] == [(paper, "216.00")]


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

    assert "Choose a rate card: without one there is no price." in page.text
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

    with django_assert_num_queries(7):
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
