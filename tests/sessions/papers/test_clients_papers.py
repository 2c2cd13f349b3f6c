"""What leaves the house bears its letterhead, and nothing that its reader can’t open."""

import pytest
from django.utils import timezone

from sessions.deliverables.media.stored import RECEIPT
from sessions.money.invoices.actions import issue_invoice
from sessions.money.invoices.models import Invoice
from sessions.money.invoices.stored import INVOICE
from sessions.money.models import MoneyPaper
from sessions.money.stored import HOUSE_COPY, MONEY_PAPER, WORK_ORDER
from sessions.papers.pdf import PaperSize, render_pdf
from sessions.papers.stored.drafts import draft_of
from sessions.papers.stored.models import StoredPaper
from sessions.recall.sheet.stored import RECALL_SHEET
from sessions.reports.stored import CLIENTS_REPORT
from sessions.rooms.models import Studio
from tests.factories import HandoverFactory
from tests.paper_pictures import kinds
from tests.printed import leads_out, page_texts, pictured_in, pictures_in, text_of
from tests.sessions.papers.every_paper import KINDS, day_of, subject_of
from tests.sessions.setups.photos.pictures import camera_jpeg

pytestmark = pytest.mark.django_db
ALL = (*KINDS, RECEIPT, WORK_ORDER, HOUSE_COPY, INVOICE)
FOR_CLIENTS = [kind for kind in ALL if kind.for_client]
HOST = "studio.quay-steps.example"
LETTERHEAD = "Sluice Gate Rooms 4 Sluice Gate, Oakum 01632 960 211 · hello@sluice-gate.example"
LEGAL = "Company number 00 112 358 · Tax number XX 13 21 34"


@pytest.fixture
def studio():
    return Studio.objects.create(
        pk=1,
        name="Sluice Gate Rooms",
        address="4 Sluice Gate\nOakum",
        phone="01632 960 211",
        email="hello@sluice-gate.example",
        registration_number="00 112 358",
        tax_number="XX 13 21 34",
        bank_details="Harbour Bank\nXX00 1234",
        directions="The blue door beside the chandler’s.",
    )


@pytest.fixture
def session(studio):
    return day_of(1)


def printed(kind, session, *, size=PaperSize.A4) -> bytes:
    if kind == RECEIPT:
        subject = kind.subjects.get(pk=HandoverFactory(project=session.project).pk)
    elif kind in (WORK_ORDER, HOUSE_COPY):
        subject = MoneyPaper.objects.first() or subject_of(MONEY_PAPER, session)
    elif kind == INVOICE:
        order = MoneyPaper.objects.first() or subject_of(MONEY_PAPER, session)
        client, by = session.project.client, order.issued_by
        subject = Invoice.objects.first() or issue_invoice(client, papers=[order], by=by)
    else:
        subject = subject_of(kind, session)
    address = kind.whole_address(subject, f"https://{HOST}/")
    return render_pdf(
        kind.template,
        kind.contents(subject, address).context,
        title=kind.title(subject),
        base_url=address,
        printed_at=timezone.now(),
        size=size,
    )


def test_every_paper_for_clients_is_walked():
    assert {kind.path for kind in kinds() if kind.for_client} == {k.path for k in FOR_CLIENTS}


@pytest.mark.parametrize("size", [PaperSize.A4, PaperSize.LETTER])
def test_papers_for_clients_have_the_letterhead_and_lead_nowhere(size, session):
    for kind in FOR_CLIENTS:
        pdf = printed(kind, session, size=size)

        assert LETTERHEAD in page_texts(pdf)[0], kind.path
        assert all(LEGAL in page for page in page_texts(pdf)), kind.path
        assert not leads_out(pdf), kind.path


def test_papers_of_the_house_lead_to_their_pages(session):
    for kind in ALL:
        if not kind.for_client:
            pdf = printed(kind, session)

            assert f"https://{HOST}/" in text_of(pdf), kind.path
            assert LETTERHEAD not in text_of(pdf), kind.path
            assert f"QR code to https://{HOST}/" in " ".join(pictured_in(pdf)), kind.path
            assert leads_out(pdf), kind.path


def test_logo_is_printed_where_there_is_one(session, studio):
    [confirmation] = [kind for kind in KINDS if kind.path.endswith(".CONFIRMATION")]
    assert pictures_in(printed(confirmation, session)) == 0
    studio.logo = camera_jpeg(kind="PNG")
    studio.save()

    pdf = printed(confirmation, session)

    assert pictures_in(pdf) == 1
    assert "Logo of Sluice Gate Rooms" in pictured_in(pdf)


@pytest.mark.parametrize("name", ["CONFIRMATION", "CALL_SHEET", "CALL_SHEET_WITHOUT_PHONES"])
def test_way_here_is_told_to_who_comes(session, name):
    [kind] = [each for each in KINDS if each.path.endswith(f".{name}")]

    assert "How to find us 4 Sluice Gate, Oakum The blue door" in text_of(printed(kind, session))


def test_money_paper_keeps_what_the_studio_was_when_it_was_issued(session, studio):
    before = printed(MONEY_PAPER, session)
    studio.name, studio.bank_details = "Capstan House", "Another bank"
    studio.save()

    paper = MoneyPaper.objects.get()
    contents = MONEY_PAPER.contents(paper, "")
    again = render_pdf(
        MONEY_PAPER.template,
        contents.context,
        title=str(paper),
        base_url="",
        printed_at=timezone.now(),
    )

    assert "Pay to Harbour Bank, XX00 1234" in text_of(before)
    assert "Pay to Harbour Bank, XX00 1234" in text_of(again)
    assert "Capstan House" not in text_of(again)


@pytest.mark.parametrize("fact", ["name", "address", "tax_number"])
def test_another_fact_of_the_letterhead_makes_another_paper(fact, session, studio):
    papers = [
        (StoredPaper(kind=kind.path, subject=subject.pk, size="a4", address=""), subject)
        for kind in (RECALL_SHEET, CLIENTS_REPORT)
        for subject in [subject_of(kind, session)]
    ]
    before = [draft_of(*each).key for each in papers]
    setattr(studio, fact, "Another")
    studio.save()

    after = [draft_of(*each).key for each in papers]

    assert not set(before) & set(after)
