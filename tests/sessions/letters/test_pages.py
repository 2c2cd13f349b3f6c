"""The pages of letters: the list, a letter with its parts, and what may be done about it."""

import csv
from datetime import timedelta

import pytest
from django.core import mail
from django.urls import reverse
from django.utils import timezone
from lxml import html

from sessions.letters.models import Letter, LetterState
from tests.factories import (
    ClientFactory,
    LetterFactory,
    LetterFileFactory,
    PersonFactory,
    RecordingSessionFactory,
)

pytestmark = pytest.mark.django_db
REFUSED = "550 5.1.1 No such mailbox"


def subjects(page):
    return [row.record.subject for row in page.context["table"].rows]


def failed(**facts):
    return LetterFactory(state=LetterState.FAILED, error=REFUSED, **facts)


@pytest.mark.parametrize("rows", [1, 3])
def test_list_costs_the_same_at_any_length(client_of, manager, rows, django_assert_num_queries):
    for _ in range(rows):
        LetterFactory(person=PersonFactory(), written_by=manager)
        LetterFactory(client=ClientFactory())
    client = client_of(manager)

    with django_assert_num_queries(8):
        page = client.get(reverse("letters:list"))

    assert len(subjects(page)) == 2 * rows


def test_list_is_narrowed_by_what_came_of_them_and_by_words(client_of, manager):
    failed(subject="Not to be had")
    LetterFactory(subject="Late", written_at=timezone.now() - timedelta(hours=1))
    LetterFactory(subject="Sent", state=LetterState.SENT, text="Bring the horn.")
    LetterFactory(subject="Old", state=LetterState.REPLACED, error="timed out")
    client, address = client_of(manager), reverse("letters:list")

    assert subjects(client.get(address, {"state": "not_told"})) == ["Not to be had", "Late"]
    assert subjects(client.get(address, {"state": "replaced"})) == ["Old"]
    assert subjects(client.get(address, {"q": "HORN"})) == ["Sent"]


def test_csv_has_what_the_list_shows(client_of, manager):
    session = RecordingSessionFactory(title="Sea songs")
    failed(about=session, person=PersonFactory(name="Ludo Fenwick"), to="ludo@f.example")
    LetterFactory(state=LetterState.SENT)

    answer = client_of(manager).get(reverse("letters:list"), {"state": "failed", "csv": "1"})

    text = b"".join(answer.streaming_content).decode("utf-8-sig")
    [row] = csv.DictReader(text.splitlines())
    assert (row["to"], row["reader"], row["about"]) == (
        "ludo@f.example",
        "Ludo Fenwick",
        "Sea songs",
    )
    assert (row["state"], row["why not"]) == ("failed", REFUSED)


def test_letter_is_shown_as_text_as_html_and_with_its_parts(client_of, manager):
    letter = failed(html="<!doctype html><html lang='en'><p>Hello</p></html>")
    file = LetterFileFactory(letter=letter)
    client = client_of(manager)

    page = client.get(letter.get_absolute_url())
    frame = client.get(html.fromstring(page.content).xpath("//iframe[@sandbox]/@src")[0])
    paper = client.get(reverse("letters:file", args=[file.pk]))

    assert letter.text in page.text
    assert REFUSED in page.text
    assert frame.content.decode() == letter.html
    policy = frame["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "sandbox" in policy
    assert "script-src" not in policy
    assert frame["X-Frame-Options"] == "SAMEORIGIN"
    assert paper.content == bytes(file.content)
    assert paper["Content-Disposition"] == 'attachment; filename="confirmation.pdf"'


def test_others_read_what_they_wrote_or_were_written_and_see_that_the_rest_went(
    client_of, engineer
):
    session = RecordingSessionFactory()
    priced = LetterFactory(about=session, subject="With the price")
    own = LetterFactory(about=session, person=PersonFactory(user=engineer), subject="To you")
    client = client_of(engineer)

    panel = html.fromstring(client.get(session.get_absolute_url()).content)

    assert client.get(priced.get_absolute_url()).status_code == 404
    assert client.get(reverse("letters:html", args=[priced.pk])).status_code == 404
    assert client.get(own.get_absolute_url()).status_code == 200
    assert subjects(client.get(reverse("letters:list"))) == ["To you"]
    assert "With the price" in panel.text_content()
    assert panel.xpath("//a[starts-with(@href, '/letters/')]/text()") == ["To you"]


def test_mix_engineer_learns_of_no_letters(client_of, mix_engineer, mixed_project):
    session = RecordingSessionFactory(project=mixed_project)
    letter = LetterFactory(about=session)
    client = client_of(mix_engineer)

    assert letter.subject not in client.get(session.get_absolute_url()).text
    assert client.get(reverse("letters:list")).status_code == 403


@pytest.mark.usefixtures("real_database")
def test_failed_letter_is_tried_again_as_the_same(client_of, manager):
    letter = failed()

    page = client_of(manager).post(reverse("letters:again", args=[letter.pk]), follow=True)

    assert "is on its way" in page.text
    assert Letter.objects.get().state == LetterState.SENT
    [sent] = mail.outbox
    assert sent.extra_headers["Message-ID"] == f"<{letter.message_id}@localhost>"


@pytest.mark.usefixtures("real_database")
def test_letter_goes_to_the_address_that_its_reader_has_by_now(client_of, manager):
    person = PersonFactory(email="new@ford.example")
    letter = failed(person=person, to="old@ford.example")
    LetterFileFactory(letter=letter)
    client = client_of(manager)
    assert "Send to new@ford.example" in client.get(letter.get_absolute_url()).text

    client.post(reverse("letters:again", args=[letter.pk]))

    letter.refresh_from_db()
    copy = letter.copies.get()
    assert letter.state == LetterState.REPLACED
    assert (copy.to, copy.state, copy.files.count()) == ("new@ford.example", LetterState.SENT, 1)
    assert list(copy.topics.values_list("about_id")) == list(letter.topics.values_list("about_id"))


@pytest.mark.usefixtures("real_database")
def test_letter_that_was_sent_goes_again_as_a_copy(client_of, manager):
    letter = LetterFactory(state=LetterState.SENT, told={"1": {"at": "10:00"}})

    client_of(manager).post(reverse("letters:again", args=[letter.pk]))

    copy = letter.copies.get()
    assert copy.message_id != letter.message_id
    assert (copy.text, copy.html, copy.told) == (letter.text, letter.html, letter.told)
    assert (copy.state, copy.written_by) == (LetterState.SENT, manager)


@pytest.mark.parametrize(
    ("facts", "why"),
    [
        ({"state": LetterState.REPLACED}, "that one says it all"),
        ({"state": LetterState.SENT, "secret_forgotten": True}, "make a new link"),
        ({"state": LetterState.WAITING}, "about to be sent"),
    ],
)
def test_letter_that_would_mislead_is_not_sent_again(client_of, manager, facts, why):
    letter = LetterFactory(**facts)
    again = reverse("letters:again", args=[letter.pk])
    client = client_of(manager)

    assert again not in client.get(letter.get_absolute_url()).text
    assert why in client.post(again, follow=True).text
    assert Letter.objects.count() == 1


def test_nobody_is_told_the_opposite_by_an_old_letter(client_of, manager):
    session, told = RecordingSessionFactory(), {"1": {"at": "10:00"}}
    facts = {"about": session, "to": "a@b.example", "told": told, "state": LetterState.SENT}
    old, new = LetterFactory(**facts), LetterFactory(**facts)
    LetterFactory(**facts | {"told": {}})  # a summary says nothing of the booking
    person = PersonFactory(email="new@b.example")
    moved_away = LetterFactory(**facts | {"to": "old@b.example", "person": person})
    LetterFactory(**facts | {"to": person.email, "person": person})
    client = client_of(manager)

    for letter, offered in ((old, False), (new, True), (moved_away, False)):
        again = reverse("letters:again", args=[letter.pk])
        assert (again in client.get(letter.get_absolute_url()).text) == offered
    answer = client.post(reverse("letters:again", args=[old.pk]), follow=True)
    assert "told something newer" in answer.text
    assert Letter.objects.count() == 5


def test_who_was_told_otherwise_counts_as_told(client_of, manager):
    letter = failed()
    client, told = client_of(manager), reverse("letters:told", args=[letter.pk])
    assert Letter.objects.not_told(timezone.now()).exists()

    empty = client.post(told, {"how": ""})
    client.post(told, {"how": "by telephone"})

    assert "This field is required." in empty.text
    letter.refresh_from_db()
    assert (letter.state, letter.told_how, letter.told_by) == (
        LetterState.TOLD,
        "by telephone",
        manager,
    )
    assert not Letter.objects.not_told(timezone.now()).exists()
    assert letter in Letter.objects.heard()
    assert "Only of a letter that failed" in client.post(told, {"how": "again"}, follow=True).text


def test_session_page_says_at_its_top_who_was_not_told(client_of, engineer):
    session = RecordingSessionFactory()
    failed(about=session, person=PersonFactory(name="Ludo Fenwick"))
    hour_ago = timezone.now() - timedelta(hours=1)
    LetterFactory(about=session, to="late@b.example", written_at=hour_ago)
    LetterFactory(about=session, to="soon@b.example")

    page = html.fromstring(client_of(engineer).get(session.get_absolute_url()).content)

    said = [
        " ".join(each.split())
        for each in page.xpath("//div[@class='message warning']//strong/text()")
    ]
    assert said == ["Ludo Fenwick was not told:", "late@b.example was not told:"]


def test_today_says_who_was_not_told(client_of, manager, engineer):
    letter = failed(person=PersonFactory(name="Ludo Fenwick"))
    LetterFactory(subject="On its way")

    assert client_of(engineer).get("/").context["not_told"] == []
    page = client_of(manager).get("/")
    assert list(page.context["not_told"]) == [letter]
    assert "to Ludo Fenwick" in page.text
    assert REFUSED in page.text


@pytest.mark.parametrize("rows", [1, 3])
def test_panels_cost_the_same_at_any_length(
    client_of, manager, rows, django_assert_max_num_queries
):
    person, client = PersonFactory(), ClientFactory()
    for _ in range(rows):
        LetterFactory(person=person, written_by=manager)
        LetterFactory(client=client)
        failed()
    web = client_of(manager)

    with django_assert_max_num_queries(10):
        assert len(web.get(person.get_absolute_url()).context["letters"]) == rows
    with django_assert_max_num_queries(11):
        assert len(web.get(client.get_absolute_url()).context["letters"]) == rows


def test_paper_to_somebody_else_may_state_a_price_and_is_not_opened_by_whoever_may_see_none(
    client_of, engineer, manager
):
    """An engineer who has overtime approved writes the client’s letter, the confirmation with it."""
    engineer.email = "ulric@quay-steps.example"
    engineer.save()
    letter = LetterFactory(state=LetterState.SENT, written_by=engineer, to="label@a.example")
    paper = LetterFileFactory(letter=letter, name="confirmation.pdf", method="")
    calendar = LetterFileFactory(letter=letter, name="session.ics", method="REQUEST")
    theirs = LetterFactory(state=LetterState.SENT, to=engineer.email)
    own = LetterFileFactory(letter=theirs, method="")
    client = client_of(engineer)

    page = client.get(letter.get_absolute_url())

    assert "confirmation.pdf" in page.text
    assert reverse("letters:file", args=[paper.pk]) not in page.text
    opened = [
        client.get(reverse("letters:file", args=[file.pk])).status_code
        for file in (paper, calendar, own)
    ]
    assert opened == [404, 200, 200]
    assert client_of(manager).get(reverse("letters:file", args=[paper.pk])).status_code == 200
