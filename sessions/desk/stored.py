"""The papers that a session is prepared with, as stored papers."""

from sessions.bookings.event import CONFIRMED, SAYS
from sessions.bookings.models import RecordingSession
from sessions.desk.call_sheet import call_sheet
from sessions.desk.confirmation import confirmation
from sessions.papers.stored.kinds import Contents, PaperKind

CONFIRMATION = PaperKind(
    path=f"{__name__}.CONFIRMATION",
    title=lambda session: f"{SAYS.get(session.status, CONFIRMED)[0]}: {session}",
    page="bookings:detail",
    template="sessions/desk/confirmation.html",
    subjects=RecordingSession.objects.for_list(),
    contents=lambda session, address: Contents({"paper": confirmation(session)}),
    for_client=True,
)


def _call_sheet(name: str, *, with_phones: bool) -> PaperKind:
    def contents(session: RecordingSession, address: str) -> Contents:
        return Contents({"sheet": call_sheet(session), "with_phones": with_phones})

    return PaperKind(
        path=f"{__name__}.{name}",
        title="Call sheet: {}".format,
        page="bookings:detail",
        template="sessions/desk/call_sheet.html",
        subjects=RecordingSession.objects.select_related("project__client"),
        contents=contents,
        for_client=not with_phones,
    )


CALL_SHEET = _call_sheet("CALL_SHEET", with_phones=True)
CALL_SHEET_WITHOUT_PHONES = _call_sheet("CALL_SHEET_WITHOUT_PHONES", with_phones=False)
