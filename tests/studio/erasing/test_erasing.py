"""What becomes of somebody’s rows, links and letters, and what stays."""

from io import BytesIO

import pytest
from django.contrib.messages.storage.base import Message
from django.core.files.base import ContentFile
from django.urls import reverse
from django.utils import timezone
from pytest_django.asserts import assertContains, assertNotContains

from sessions.bookings.musicians.release import RELEASE
from sessions.clients.models import Client, Person
from sessions.desk.merging.actions import merge
from sessions.editing.presses import Press
from sessions.letters.models import LetterState
from sessions.papers.stored.models import StoredPaper
from sessions.recall.finding.models import SearchText
from sessions.recall.finding.upkeep import bring_up_to_date
from sessions.setups.chains.actions import fix_revision
from sessions.setups.models import Revision
from studio.erasing.actions import erase, plan
from studio.erasing.whom import NotErased, whom
from studio.erasures import Erasure
from studio.roles import Role
from tests.factories import (
    ChainFactory,
    ClientFactory,
    CreditFactory,
    DeliveryLinkFactory,
    FeedAddressFactory,
    InvoiceFactory,
    LetterFactory,
    LetterFileFactory,
    PasswordLinkFactory,
    PersonFactory,
    RecordingSessionFactory,
    RevisionFactory,
    SignatureFactory,
    SourceFactory,
    TakeFactory,
    UserFactory,
)

pytestmark = pytest.mark.django_db

NAME = "Ysolde Farrant"


@pytest.fixture
def ysolde():
    user = UserFactory(
        username="ysolde",
        first_name="Ysolde",
        last_name="Farrant",
        email="ysolde@farrant.example",
        role=Role.ENGINEER,
    )
    return PersonFactory(name=NAME, credited_as="Moll", email="ysolde@farrant.example", user=user)


def erased(person=None, user=None):
    them = whom(person=person, user=user)
    return erase(them, plan(them))


def test_what_was_said_after_a_press_and_in_html_goes_too(db):
    person = PersonFactory(name="Ysolde O'Farrant")
    said = Message(25, "Ysolde O'Farrant was booked.", "safe")
    press = Press.objects.create(user=UserFactory(), key="k", location="/", messages=[said])
    letter = LetterFactory(text="Hello", html="<p>Hello Ysolde O&#x27;Farrant</p>")

    erased(person)

    press.refresh_from_db()
    name = f"Erased person {person.pk}"
    assert press.messages == [Message(25, f"{name} was booked.", "safe")]
    letter.refresh_from_db()
    assert letter.html == f"<p>Hello {name}</p>"


def test_person_and_user_are_others_now_and_all_of_their_history(ysolde, manager):
    ysolde.phone, ysolde._history_user = "01632 960987", manager
    ysolde.save()

    erased(ysolde)

    person = Person.objects.get(pk=ysolde.pk)
    name = f"Erased person {ysolde.pk}"
    assert (person.name, person.credited_as, person.email, person.phone) == (name, "", "", "")
    assert (person.retired, person.version) == (True, ysolde.version + 1)
    assert (str(person.user), person.user.username) == (name, f"erased-{person.user.pk}")
    assert not person.user.is_active
    assert not person.user.has_usable_password()
    last, *before = person.history.all()
    assert {entry.name for entry in [last, *before]} == {name}
    assert {entry.history_change_reason for entry in [last, *before]} == {
        f"Personal data erased on {timezone.localdate():%-d %b %Y}"
    }
    assert (len(before), before[0].history_user) == (2, manager)


def test_erasure_says_which_rows_and_names_nobody(ysolde):
    session = RecordingSessionFactory(note=f"{NAME} is late")

    erasure = erased(ysolde)

    assert erasure.still_open is None
    assert (erasure.person_key, erasure.user_key) == (ysolde.pk, ysolde.user.pk)
    assert erasure.changed["studio_sessions_recordingsession"] == [session.pk]
    assert erasure.changed["studio_sessions_historicalrecordingsession"] == [
        session.history.get().pk
    ]
    assert "Farrant" not in str(erasure.changed)
    assert Erasure.objects.rows()["studio_sessions_recordingsession", str(session.pk)] == erasure.at


def test_text_elsewhere_is_changed_for_its_editors_to_notice(ysolde):
    session = RecordingSessionFactory(note=f"{NAME} is late")

    erased(ysolde)

    seen = session.version
    session.refresh_from_db()
    assert session.note == f"Erased person {ysolde.pk} is late"
    assert session.version == seen + 1


def test_what_was_saved_since_the_plan_was_made_stays(ysolde):
    session = RecordingSessionFactory(note=f"{NAME} is late")
    them = whom(person=ysolde, user=None)
    planned = plan(them)
    type(session).objects.filter(pk=session.pk).update(note=f"{NAME} is there, on the roof")

    erase(them, planned)

    session.refresh_from_db()
    assert session.note == f"Erased person {ysolde.pk} is there, on the roof"


def test_nothing_opens_to_them_any_more(client_of, ysolde):
    client = client_of(ysolde.user)
    feed = FeedAddressFactory(person=ysolde)
    link = DeliveryLinkFactory(recipient__person=ysolde, recipient__email=ysolde.email)
    PasswordLinkFactory(user=ysolde.user)
    assert client.get(reverse("password")).status_code == 200

    erased(ysolde)

    assert client.get(reverse("password")).status_code == 302
    for each in (feed, link):
        each.refresh_from_db()
        assert each.revoked_at
    assert not ysolde.user.password_links.exists()
    assert link.recipient.email == f"person-{ysolde.pk}-1@erased.invalid"


def test_letters_are_to_nobody_and_none_goes_any_more(ysolde):
    gone = LetterFactory(
        person=ysolde, to=ysolde.email, state=LetterState.SENT, text=f"Dear {NAME}"
    )
    waits = LetterFactory(person=ysolde, to=ysolde.email)
    of_other = LetterFactory(text="With Moll")

    erased(ysolde)

    for letter in (gone, waits, of_other):
        letter.refresh_from_db()
    assert (gone.text, gone.state) == (f"Dear Erased person {ysolde.pk}", LetterState.SENT)
    assert gone.to == f"person-{ysolde.pk}-1@erased.invalid"
    assert waits.state == LetterState.REPLACED
    assert of_other.text == "With Moll"  # which may be anybody


def test_name_of_one_word_is_replaced_where_a_row_points_to_them(ysolde):
    credit = CreditFactory(person=ysolde, credited_as="Moll")

    erased(ysolde)

    credit.refresh_from_db()
    assert credit.credited_as == f"Erased person {ysolde.pk}"


def pdf(text):
    from weasyprint import HTML

    made = BytesIO()
    HTML(string=f"<p>{text}</p>").write_pdf(made)
    return made.getvalue()


def test_files_of_letters_say_it_no_more(ysolde):
    """RFC 5545, 3.1: a long line is folded, here within the name."""
    event = LetterFileFactory(
        content_type="text/calendar", content=b"ATTENDEE;CN=Ysolde Far\r\n rant:mailto:x\r\n"
    )
    sheet = LetterFileFactory(content=pdf(f"Call {NAME} at ten"))
    other = LetterFileFactory(content=pdf("Call nobody"))
    invoice = LetterFileFactory(content=pdf(NAME), made_by="sessions.money.invoices.sending.paper")

    erased(ysolde)

    for each in (event, sheet, other, invoice):
        each.refresh_from_db()
    assert bytes(event.content) == (f"ATTENDEE;CN=Erased person {ysolde.pk}:mailto:x\r\n".encode())
    assert bytes(sheet.content) == b""
    assert b"%PDF" in bytes(other.content)
    assert b"%PDF" in bytes(invoice.content)


def test_revision_that_takes_point_to_says_it_no_more(ysolde):
    source = SourceFactory(performer=ysolde)
    revision = RevisionFactory(chain=ChainFactory(source=source, setup=source.setup))
    fix_revision(revision)
    assert NAME in str(Revision.objects.get(pk=revision.pk).sourced)

    erased(ysolde)

    fixed = Revision.objects.get(pk=revision.pk)
    assert fixed.is_fixed
    assert fixed.source_facts.performer == f"Erased person {ysolde.pk}"


def test_what_was_issued_or_signed_stays(ysolde):
    invoice = InvoiceFactory(client__name="Thole & Ledger")
    signature = SignatureFactory(name=NAME)
    InvoiceFactory(client__name=NAME)

    erased(ysolde)

    signature.refresh_from_db()
    assert signature.name == NAME
    assert invoice.client.name == "Thole & Ledger"
    assert {each.as_issued["client"]["name"] for each in type(invoice).objects.all()} == {
        "Thole & Ledger",
        NAME,
    }


def test_client_of_that_name_is_taken_to_be_them(ysolde):
    client = ClientFactory(name=NAME, address="12 Oakum Row\nOakmouth", note="Pays late")
    letter = LetterFactory(text="Sent to 12 Oakum Row\nOakmouth.")
    company = ClientFactory(name=f"{NAME} Limited", email=ysolde.email)

    erased(ysolde)

    client, company = Client.objects.get(pk=client.pk), Client.objects.get(pk=company.pk)
    letter.refresh_from_db()
    assert (client.name, client.address, client.note) == (f"Erased client {client.pk}", "", "")
    assert letter.text == "Sent to (erased)."
    assert company.name == f"Erased person {ysolde.pk} Limited"
    assert company.email == "ysolde@farrant.example"  # the company’s, too: it stays there


def test_namesake_keeps_the_name(ysolde):
    namesake = PersonFactory(name=NAME)
    session = RecordingSessionFactory(note=f"{NAME} is late")

    erased(ysolde)

    namesake.refresh_from_db()
    session.refresh_from_db()
    assert namesake.name == NAME
    assert session.note == f"{NAME} is late"  # which of them, nobody knows


def test_whoever_was_merged_with_them_is_erased_too(ysolde, manager):
    other = PersonFactory(name="Y. Farrant-Lowe", email="old@farrant.example")
    key = other.pk
    merge(ysolde, other, facts={}, seen=ysolde.version, other_seen=other.version, by=manager)
    session = RecordingSessionFactory(note="Ask Y. Farrant-Lowe, old@farrant.example")

    erased(Person.objects.get(pk=ysolde.pk))

    session.refresh_from_db()
    name = f"Erased person {ysolde.pk}"
    assert session.note == f"Ask {name}, person-{ysolde.pk}-1@erased.invalid"
    assert {entry.name for entry in Person.history.filter(id=key)} == {name}
    assert not Person.history.filter(history_change_reason__contains="Farrant").exists()


def test_only_manager_is_not_erased(manager):
    with pytest.raises(NotErased, match="the only manager who may sign in"):
        whom(person=None, user=manager)


def test_user_without_a_person(manager):
    user = UserFactory(first_name="Ysolde", last_name="Farrant", email="y@farrant.example")

    erased(user=user)

    user.refresh_from_db()
    assert (str(user), user.email) == (f"Erased user {user.pk}", "")


def test_what_is_made_of_rows_is_made_anew(ysolde, django_capture_on_commit_callbacks):
    take = TakeFactory(note=f"{NAME} hums")
    bring_up_to_date()
    kept, gone = (
        StoredPaper(kind=kind, subject=1, size="a4", address="")
        for kind in (RELEASE.path, "sessions.takes.sheets.stored.TAKE_SHEET")
    )
    for paper in (kept, gone):
        paper.file.save("paper.pdf", ContentFile(b"%PDF"))

    with django_capture_on_commit_callbacks(execute=True):
        erased(ysolde)
    bring_up_to_date()

    assert not SearchText.objects.filter(work__contains="farrant").exists()
    assert SearchText.objects.filter(subject=take.song_id, work__contains="hums").exists()
    assert list(StoredPaper.objects.all()) == [kept]
    assert kept.file.storage.exists(kept.file.name)
    assert not gone.file.storage.exists(gone.file.name)


def test_page_says_that_it_happened_and_what_stays(client_of, manager, ysolde):
    address = ysolde.get_absolute_url()
    client = client_of(manager)
    assertNotContains(client.get(address), "were replaced")

    erased(ysolde)

    page = client.get(address)
    assertContains(
        page, f"Names and addresses were replaced on {timezone.localdate():%a %-d %b %Y}"
    )
    assertContains(page, "What was issued or signed stays as it was")
