"""What a cancellation costs is fixed when it is cancelled, on a paper that counts until the session is
reopened."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.urls import reverse

from sessions.bookings.actions import set_status
from sessions.bookings.clashes import BookingRefused
from sessions.bookings.models import RecordingSession, Status
from sessions.bookings.series.rest.changes import Change, Verb
from sessions.money.actions import issue_paper
from sessions.money.cancellations.actions import agree_charge, cancel_rest, cancel_session
from sessions.money.drafting import PaperRefused
from sessions.money.invoices.billing import papers_to_bill
from sessions.money.models import MoneyPaper, PaperKind
from sessions.money.unbilled import without_paper
from sessions.terms.models import Basis
from tests.factories import (
    TEN_O_CLOCK,
    CancellationStepFactory,
    RateFactory,
    RecordingSessionFactory,
    ReservationFactory,
    SeriesFactory,
)
from tests.sessions.money.priced import loaded, priced_session

pytestmark = pytest.mark.django_db
DAY_BEFORE = TEN_O_CLOCK - timedelta(days=1)


@pytest.fixture(autouse=True)
def clock(time_machine):
    time_machine.move_to(DAY_BEFORE, tick=False)
    return time_machine


@pytest.fixture
def terms():
    """48 hours and more: nothing; less: half the fee."""
    step = CancellationStepFactory(notice_below=48, percent=50)
    CancellationStepFactory(terms=step.terms, notice_from=48, notice_below=None, percent=0)
    return step.terms


def confirmed(terms, **facts) -> RecordingSession:
    """216.00 with tax, of which half is 108.00."""
    session = priced_session(cancellation_terms=terms, status=Status.CONFIRMED, **facts)
    session.status_steps.create(status=Status.CONFIRMED)
    return session


def test_charge_is_fixed_on_a_paper_and_moves_with_no_clock_and_no_card(terms, manager, clock):
    session = confirmed(terms)

    paper = cancel_session(session, by=manager)

    clock.move_to(TEN_O_CLOCK + timedelta(days=9), tick=False)
    session.rate_card.rates.update(amount=90)
    paper = MoneyPaper.objects.get(pk=paper.pk)
    assert (paper.kind, paper.net, paper.tax, paper.total) == (
        PaperKind.CANCELLATION,
        Decimal("90.00"),
        Decimal("18.00"),
        Decimal("108.00"),
    )
    assert [(line["quantity"], line["rate"], line["amount"]) for line in paper.lines] == [
        ("50 %", "180.00", "90.00")
    ]
    assert paper.as_issued["why"] == "Notice of less than 48 hours: 50 % of the fee."
    assert list(papers_to_bill()) == [paper]


def test_paper_of_the_quoted_fee_has_its_tax_by_rate(terms, manager):
    """By hand: half of 180.00 at 20 % is 90.00 and 18.00; half of 33.33 at 5 % is 16.67 (16.665) and
    0.83 (0.8335). Together 125.50."""
    session = confirmed(terms)
    other = ReservationFactory(session=session)
    RateFactory(
        card=session.rate_card,
        room=other.room,
        basis=Basis.SESSION,
        amount=Decimal("33.33"),
        tax_percent=5,
    )
    issue_paper(session, kind=PaperKind.QUOTE, by=manager)

    paper = cancel_session(loaded(session), by=manager)

    assert [(row.percent, row.net, row.tax) for row in paper.taxes] == [
        (20, Decimal("90.00"), Decimal("18.00")),
        (5, Decimal("16.67"), Decimal("0.83")),
    ]
    assert paper.total == Decimal("125.50")


def test_charge_of_nothing_by_the_terms_is_a_paper_that_is_not_billed(terms, manager, clock):
    clock.move_to(TEN_O_CLOCK - timedelta(days=3), tick=False)

    paper = cancel_session(confirmed(terms), by=manager)

    assert (paper.total, paper.as_issued["why"]) == (0, "Notice of 48 hours or more: nothing.")
    assert not papers_to_bill().exists()
    assert not without_paper(RecordingSession.objects).exists()


@pytest.mark.parametrize("status", [Status.HELD, Status.ENQUIRY])
def test_hold_and_enquiry_are_cancelled_without_charge(terms, manager, status):
    session = priced_session(cancellation_terms=terms, status=status)

    assert cancel_session(session, by=manager) is None
    assert not MoneyPaper.objects.exists()
    assert not without_paper(RecordingSession.objects).exists()


def test_what_terms_do_not_say_is_to_be_settled_until_it_is_agreed(manager):
    """The terms say nothing of this notice: nothing is guessed."""
    step = CancellationStepFactory(notice_from=48, notice_below=None, percent=0)
    session = confirmed(step.terms)

    assert cancel_session(session, by=manager) is None
    assert list(without_paper(RecordingSession.objects)) == [session]

    paper = agree_charge(session, net=Decimal("50.00"), why="half a day", by=manager)

    assert (paper.net, paper.total) == (Decimal("50.00"), Decimal("60.00"))
    assert paper.as_issued["why"] == "As agreed: half a day"
    assert not without_paper(RecordingSession.objects).exists()


def test_agreed_charge_stands_in_the_place_of_the_terms(terms, manager):
    session = confirmed(terms)
    by_terms = cancel_session(session, by=manager)

    waived = agree_charge(session, net=Decimal(0), why="illness", by=manager)

    assert (by_terms.number, waived.number, waived.total) == (1, 2, 0)
    assert by_terms.replaced_by == waived
    assert not papers_to_bill().exists()


def test_agreed_charge_needs_a_cancelled_session(terms, manager):
    with pytest.raises(PaperRefused, match="not cancelled any more"):
        agree_charge(confirmed(terms), net=Decimal(5), why="asked for", by=manager)


def test_reopened_session_takes_its_charge_back_for_good(terms, manager, clock):
    """Cancelled again as an enquiry, which is free, the old charge does not come back."""
    session = confirmed(terms)
    paper = cancel_session(session, by=manager)

    clock.shift(60)
    set_status(session, to=Status.ENQUIRY, by=manager)
    assert (MoneyPaper.objects.get().was_taken_back, papers_to_bill().count()) == (True, 0)

    clock.shift(60)
    assert cancel_session(session, by=manager) is None
    assert MoneyPaper.objects.get(pk=paper.pk).was_taken_back
    assert not papers_to_bill().exists()


def test_charge_and_cancellation_are_one(terms, manager):
    """A step that is refused leaves no paper."""
    session = confirmed(terms)
    cancel_session(session, by=manager)

    with pytest.raises(BookingRefused):
        cancel_session(session, by=manager)

    assert MoneyPaper.objects.count() == 1


def test_dates_of_a_series_are_cancelled_each_with_its_charge(terms, manager):
    series = SeriesFactory()
    both = [confirmed(terms, series=series) for _ in range(2)]
    held = RecordingSessionFactory(series=series, cancellation_terms=terms)
    chosen = {each.pk: each.version for each in (*both, held)}

    cancel_rest(series, change=Change(Verb.CANCEL), chosen=chosen, by=manager)

    papers = MoneyPaper.objects.order_by("number")
    assert [(each.number, each.total) for each in papers] == [
        (1, Decimal("108.00")),
        (2, Decimal("108.00")),
    ]
    assert {each.session for each in papers} == set(both)


@pytest.mark.parametrize("count", [1, 3])
def test_reading_what_is_to_bill_and_to_settle_costs_two_queries(
    terms, manager, django_assert_num_queries, count
):
    for _ in range(count):
        cancel_session(confirmed(terms), by=manager)

    with django_assert_num_queries(2):
        papers, sessions = list(papers_to_bill()), list(without_paper(RecordingSession.objects))

    assert (len(papers), sessions) == (count, [])


def test_press_cancels_and_says_what_it_costs_and_the_pages_keep_it(web, terms):
    session = confirmed(terms)
    step = reverse("bookings:status", args=[session.pk])

    asked = web.get(step, {"to": "cancelled"}).text
    said = web.post(step, {"to": "cancelled"}, follow=True).text

    assert "108.00 GBP: 50 % of the fee, for notice of less than 48 hours." in asked
    assert "Cancellation charge 1: 108.00 GBP" in said
    page = web.get(reverse("money:cancellation", args=[session.pk])).text
    assert "108.00 GBP" in page
    reopening = web.get(step, {"to": "enquiry"}).text
    assert "Cancellation charge 1 becomes void." in reopening


def test_charge_as_agreed_is_entered_on_its_page(web, terms):
    session = confirmed(terms)
    page = reverse("money:agree_charge", args=[session.pk])
    assert web.get(page).status_code == 302  # it is not cancelled
    web.post(reverse("bookings:status", args=[session.pk]), {"to": "cancelled"})

    refused = web.post(page, {"net": "-1", "why": ""}).context["form"]
    answer = web.post(page, {"net": "25", "why": "a friend of the house"})

    assert refused.errors == {
        "net": ["This cannot be below 0."],
        "why": ["This field is required."],
    }
    assert answer.url == reverse("money:cancellation", args=[session.pk])
    assert MoneyPaper.objects.first().total == Decimal("30.00")


def test_engineer_learns_nothing_of_the_charge(client_of, engineer, terms, manager):
    session = confirmed(terms)
    cancel_session(session, by=manager)

    page = client_of(engineer).get(session.get_absolute_url()).text

    assert "108.00" not in page


def test_no_quote_is_issued_for_a_cancelled_session(terms, manager):
    session = confirmed(terms)
    cancel_session(session, by=manager)

    with pytest.raises(PaperRefused, match="cancelled: reopen it"):
        issue_paper(session, kind=PaperKind.QUOTE, by=manager)


def test_without_terms_nothing_is_fixed(manager):
    session = confirmed(None)

    assert cancel_session(session, by=manager) is None
    assert not without_paper(RecordingSession.objects).exists()


def test_terms_without_a_price_leave_it_to_be_settled(manager):
    step = CancellationStepFactory(notice_below=None, percent=50)
    session = RecordingSessionFactory(cancellation_terms=step.terms, status=Status.CONFIRMED)
    session.status_steps.create(status=Status.CONFIRMED)

    assert cancel_session(session, by=manager) is None
    assert list(without_paper(RecordingSession.objects)) == [session]
