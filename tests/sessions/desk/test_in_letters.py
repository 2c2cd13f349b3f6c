"""Papers and prices that go with letters about sessions."""

import pytest

from sessions.bookings.models import RecordingSession, Status
from sessions.desk.in_letters import (
    call_sheet_pdf,
    call_sheet_without_phones_pdf,
    confirmation_pdf,
    price_of,
)
from sessions.letters.mime import as_message
from sessions.letters.models import Letter
from tests.factories import (
    CancellationStepFactory,
    CancellationTermsFactory,
    ClientFactory,
    MoneyPaperFactory,
    PersonFactory,
    ProjectFactory,
)
from tests.printed import page_texts
from tests.sessions.bookings.challenges.lines import ASKED, at
from tests.sessions.bookings.days import booked

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _in_may():
    with at(ASKED):
        yield


@pytest.fixture
def session(manager):
    return booked(
        manager,
        title="Sea songs",
        project=ProjectFactory(client=ClientFactory(email="label@a.example")),
        status=Status.CONFIRMED,
        people=[
            PersonFactory(
                name="Ed Quoin", bookable=True, email="ed@c.example", phone="01632 960 111"
            )
        ],
    )


def text_of(pdf):
    return " ".join(page_texts(pdf))


def test_papers_in_letters_name_no_page_that_their_reader_cannot_open(session):
    assert "Confirmation" in text_of(confirmation_pdf(session.pk))
    for paper in (confirmation_pdf, call_sheet_pdf, call_sheet_without_phones_pdf):
        assert "Current page" not in text_of(paper(session.pk))


def test_only_those_who_sign_in_are_given_telephone_numbers(session, engineer):
    assert "01632 960 111" in text_of(call_sheet_pdf(session.pk))
    assert "01632 960 111" not in text_of(call_sheet_without_phones_pdf(session.pk))


def test_paper_is_made_when_the_letter_goes_and_kept(session):
    letter = Letter.objects.get(to="label@a.example")
    [file] = letter.files.filter(name="confirmation.pdf")
    assert not file.content

    message = as_message(letter)

    [attached] = [each for each in message.attachments if each[0] == "confirmation.pdf"]
    file.refresh_from_db()
    assert bytes(file.content) == attached[1]
    assert "Sea songs" in text_of(attached[1])


def test_letter_goes_without_a_paper_that_cannot_be_made(session, caplog):
    letter = Letter.objects.get(to="label@a.example")
    letter.files.filter(name="confirmation.pdf").update(made_of=0)

    names = [each[0] for each in as_message(letter).attachments]

    assert names == ["session.ics"]
    assert "confirmation.pdf cannot be made" in caplog.text


def test_price_is_that_of_the_newest_quote(session, manager):
    assert price_of(session) == ()
    MoneyPaperFactory(session=session, issued_by=manager, currency="GBP", total=480, deposit=96)

    assert price_of(session) == (
        ("Price, tax included", "480.00 GBP"),
        ("Of it as a deposit", "96.00 GBP"),
    )


def test_price_of_what_is_cancelled_is_the_charge_for_it(session, manager):
    terms = CancellationTermsFactory()
    CancellationStepFactory(terms=terms, notice_below=1000, percent=50)
    MoneyPaperFactory(session=session, issued_by=manager, currency="GBP", total=480)
    RecordingSession.objects.update(cancellation_terms=terms, status=Status.CANCELLED)

    [(label, charge)] = price_of(RecordingSession.objects.get())

    assert label == "Cancellation charge"
    assert charge.startswith("240.00 GBP")
