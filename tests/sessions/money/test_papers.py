from datetime import date

import pytest
from django.urls import reverse

from sessions.bookings.actions import set_status
from sessions.bookings.models import Status
from sessions.money.actions import issue_paper
from sessions.money.cancellations.actions import cancel_session
from sessions.money.models import PaperKind
from tests.factories import CancellationStepFactory, RateFactory, ReservationFactory, UnitFactory
from tests.printed import accessibility_errors, text_of
from tests.sessions.money.priced import priced_session, worked

pytestmark = pytest.mark.django_db

QUOTE, WORK_ORDER = PaperKind.QUOTE, PaperKind.WORK_ORDER


def test_quote_on_paper(web, manager):
    step = CancellationStepFactory(notice_below=48)
    session = priced_session(title="Group vocals", cancellation_terms=step.terms)
    paper = issue_paper(
        session, kind=QUOTE, by=manager, valid_until=date(2026, 5, 20), note="Tea included"
    )

    answer = web.get(reverse("money:paper_pdf", args=[paper.pk]))

    pdf = answer.getvalue()
    text = text_of(pdf)

    assert accessibility_errors(pdf) == []
    assert answer["Content-Type"] == "application/pdf"
    assert 'filename="quote-1.pdf"' in answer["Content-Disposition"]
    for said in (
        "Quote 1",
        "Valid until Wed 20 May 2026",
        "Group vocals",
        "Mon 1 Jun 2026, 11:00 to 15:00",
        "45.00 180.00",
        "VAT, 20 % 36.00",
        "Total, GBP 216.00",
        "Deposit, 50 % of the total 108.00",
        "Tea included",
        "halves up",
        "Less than 48 hours: 50 % of the fee.",
        "Notice of exactly the stated length counts as in time.",
    ):
        assert said in text


def test_work_order_on_paper_shows_planned_and_worked_hours(web, manager):
    session = priced_session(status=Status.WRAPPED)
    worked(session, hours=6)
    paper = issue_paper(session, kind=WORK_ORDER, by=manager)

    text = text_of(web.get(reverse("money:paper_pdf", args=[paper.pk])).getvalue())

    assert "Hours planned and worked" in text
    assert "Mon 1 Jun 2026 4 h 6 h 2 h more" in text
    assert "Cancellation" not in text


def test_sums_stand_once_below_the_lines_of_a_long_quote(web, manager):
    session = priced_session()
    for _ in range(40):
        room = ReservationFactory(session=session).room
        RateFactory(card=session.rate_card, room=room)
    paper = issue_paper(session, kind=QUOTE, by=manager)

    text = text_of(web.get(reverse("money:paper_pdf", args=[paper.pk])).getvalue())

    assert text.count("45.00 180.00") == 41
    assert text.count("Total, GBP") == 1
    assert text.rindex("45.00 180.00") < text.index("Total, GBP")


def test_paper_only_counts_what_is_without_charge(web, manager):
    session = priced_session()
    for _ in range(8):
        unit = ReservationFactory(session=session, room=None, unit=UnitFactory()).unit
        RateFactory(card=session.rate_card, room=None, unit=unit, basis="session", amount=0)
    paper = issue_paper(session, kind=QUOTE, by=manager)

    text = text_of(web.get(reverse("money:paper_pdf", args=[paper.pk])).getvalue())

    assert "8 units without charge." in text
    assert " 0.00" not in text


def test_charge_of_a_cancellation_on_paper_and_void_once_reopened(web, manager):
    step = CancellationStepFactory(notice_below=None, percent=50)
    session = priced_session(status=Status.CONFIRMED, cancellation_terms=step.terms)
    paper = cancel_session(session, by=manager)
    address = reverse("money:paper_pdf", args=[paper.pk])

    pdf = web.get(address).getvalue()
    set_status(session, to=Status.ENQUIRY, by=manager)
    reopened = text_of(web.get(address).getvalue())

    assert accessibility_errors(pdf) == []
    text = text_of(pdf)
    for said in ("Cancellation charge 1", "50 % 180.00 90.00", "VAT, 20 % 18.00", "108.00"):
        assert said in text
    assert "Any notice: 50 % of the fee." in text
    assert "Agreed" not in text
    assert "Void: The session was reopened since." in reopened
