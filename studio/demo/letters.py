"""The summary of a wrapped session's day, and what came of the demo's letters: it sends no mail."""

from datetime import timedelta

from sessions.bookings.models import RecordingSession
from sessions.desk.summary.letter import draft
from sessions.letters.models import Letter, LetterState, LetterTopic
from sessions.letters.text import LetterText
from sessions.reports.session_report import session_report
from sessions.reports.summaries import SUMMARY

HOUSE = "@quay-steps.example"
NO_MAILBOX = "550 5.1.1 No such mailbox"


def write_summary(session: RecordingSession, *, by) -> None:
    loaded = RecordingSession.objects.select_related("project__client").get(pk=session.pk)
    first = draft(session_report(loaded, for_the_house=True))
    at = loaded.ends_at + timedelta(minutes=40)
    body = f"Good evening,\n\nthree songs, and everybody still speaks to each other. This is where we are.\n\n{first.body}"
    client, sender = loaded.project.client, by.person
    for to, words in (
        ({"to": client.email, "client": client}, body),
        ({"to": sender.email, "person": sender}, f"{body}\n\n{first.for_the_house}"),
    ):
        text = LetterText.of_plain(words)
        letter = Letter.objects.create(
            **to,
            kind=SUMMARY,
            subject=first.subject,
            text=text.as_text(),
            html=text.as_html(first.subject),
            written_at=at,
            written_by=by,
            state=LetterState.SENT,
            sent_at=at,
        )
        LetterTopic.objects.create(letter=letter, about=loaded)


def say_sent() -> None:
    """As if every letter that waits had left when it was written."""
    for letter in Letter.objects.waiting():
        letter.state, letter.sent_at = LetterState.SENT, letter.written_at
        letter.forget_secret()
        letter.save()


def let_one_fail() -> None:
    """The last one to somebody outside: Today says who was not told."""
    outside = Letter.objects.exclude(to__endswith=HOUSE).exclude(kind=SUMMARY)
    if refused := outside.filter(secret_forgotten=False).order_by("pk").last():
        refused.state, refused.sent_at, refused.error = LetterState.FAILED, None, NO_MAILBOX
        refused.save()
