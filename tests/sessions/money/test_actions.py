"""What is issued, and that nothing issued changes."""

from decimal import Decimal
from threading import Barrier, Thread

import pytest
from django.db import IntegrityError, connection, transaction
from django.urls import reverse

from sessions.bookings.models import RecordingSession, Status
from sessions.money.actions import issue_paper
from sessions.money.drafting import PaperRefused
from sessions.money.models import MoneyPaper, PaperKind
from sessions.terms.taxes import TaxRow
from tests.factories import (
    CancellationStepFactory,
    RateCardFactory,
    RecordingSessionFactory,
    ReservationFactory,
    UserFactory,
)
from tests.printed import text_of
from tests.sessions.money.priced import priced_session, worked

pytestmark = pytest.mark.django_db

QUOTE, WORK_ORDER = PaperKind.QUOTE, PaperKind.WORK_ORDER


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
        "Choose a rate card first: there is no price without one."
    )


def test_nothing_is_issued_while_a_line_has_no_price(manager):
    session = priced_session()
    room = ReservationFactory(session=session).room

    assert refusal(session, QUOTE, manager) == (
        f"Some lines have no price. {room}: “{session.rate_card}” has no rate for it. Enter a "
        "rate of 0 for what is free."
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
        "The session is confirmed: wrap it before you issue a work order."
    )


def test_work_order_waits_for_worked_hours(manager):
    session = priced_session(status=Status.WRAPPED)

    assert refusal(session, WORK_ORDER, manager) == "Enter the hours worked first."


def test_same_quote_is_not_issued_twice(manager):
    session = priced_session()
    issue_paper(session, kind=QUOTE, by=manager)

    with pytest.raises(PaperRefused, match="Quote 1 says exactly this already"):
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
    before = text_of(web.get(address).getvalue()).partition("Client")[2]

    session.rate_card.rates.update(amount=99)
    type(session.rate_card).objects.update(name="Other rates", tax_name="GST", tax_percent=5)
    session.cancellation_terms.steps.all().delete()
    RecordingSession.objects.filter(pk=session.pk).update(title="Renamed")

    assert text_of(web.get(address).getvalue()).partition("Client")[2] == before
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


def test_a_paper_of_an_earlier_release_names_its_rate_above_the_total(manager):
    paper = issue_paper(priced_session(), kind=QUOTE, by=manager)
    kept = paper.taxes
    del paper.as_issued["taxes"]

    assert paper.taxes == kept == [TaxRow("VAT", Decimal(20), Decimal("180.00"), Decimal("36.00"))]
