"""The summary of a wrapped session's day, as sent that evening: a demo sends no mail."""

from datetime import timedelta

from sessions.bookings.models import RecordingSession
from sessions.desk.summary.letter import draft
from sessions.letters.models import Letter, LetterState, LetterTopic
from sessions.letters.text import LetterText
from sessions.reports.session_report import session_report
from sessions.reports.summaries import SUMMARY


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
