"""The session report as a stored paper: one for the house, and one for the client."""

from sessions.bookings.models import RecordingSession, Status
from sessions.papers.stored.kinds import Contents, PaperKind
from sessions.reports.session_report import session_report
from sessions.takes.models import Take, TakePart


def _kind(name: str, *, for_the_house: bool) -> PaperKind:
    def contents(session: RecordingSession, address: str) -> Contents:
        return Contents({"report": session_report(session, for_the_house=for_the_house)})

    return PaperKind(
        path=f"{__name__}.{name}",
        title="Session report: {}".format,
        page="reports:session",
        template="sessions/reports/session_report.html",
        subjects=RecordingSession.objects.select_related("project__client"),
        contents=contents,
        for_client=not for_the_house,
        follows={"pk": RecordingSession, "takes": Take, "takes__take_parts": TakePart},
        ahead=RecordingSession.objects.filter(status=Status.WRAPPED),
    )


SESSION_REPORT = _kind("SESSION_REPORT", for_the_house=True)
CLIENTS_REPORT = _kind("CLIENTS_REPORT", for_the_house=False)
