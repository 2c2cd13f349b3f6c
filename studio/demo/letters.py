"""The summary of a wrapped session's day, put on record as sent that evening: a demo sends no mail."""

from datetime import timedelta

from sessions.bookings.models import RecordingSession, SentSummary
from sessions.desk.summary.letter import draft
from sessions.reports.session_report import session_report


def put_summary_on_record(session: RecordingSession, *, by) -> None:
    loaded = RecordingSession.objects.select_related("project__client").get(pk=session.pk)
    first = draft(session_report(loaded, for_the_house=True))
    SentSummary.objects.create(
        session=loaded,
        at=loaded.ends_at + timedelta(minutes=40),
        by=by,
        recipients=[loaded.project.client.email, by.person.email],
        subject=first.subject,
        body=f"Dear all,\n\na good day. Here is where we stand.\n\n{first.body}",
        for_the_house=first.for_the_house,
    )
