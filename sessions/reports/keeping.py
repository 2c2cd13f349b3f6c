"""The session report as a paper that is kept: one for the house, and one for the client."""

from django.contrib.auth import get_user_model

from gear.equipment.models import Fault, GearModel, Unit
from gear.patchbay.models import Bay, Normal, PatchPoint, TieLine
from sessions.bookings.models import Credit, RecordingSession, Reservation, WorkedHours
from sessions.clients.models import Client, Person, Project
from sessions.deliverables.models import Deliverable
from sessions.papers.stored.kinds import Contents, PaperKind
from sessions.reports.session_report import session_report
from sessions.rooms.models import Room
from sessions.setups.headphones.models import HeadphoneLine, HeadphoneMix
from sessions.setups.models import Chain, Revision, Setup, Stage
from sessions.songs.models import Part, Song
from sessions.takes.models import CompChoice, Take


def _kind(name: str, *, for_the_house: bool) -> PaperKind:
    def contents(session: RecordingSession, address: str) -> Contents:
        return Contents({"report": session_report(session, for_the_house=for_the_house)})

    return PaperKind(
        name=name,
        called="Session report",
        page="reports:session",
        template="sessions/reports/session_report.html",
        subjects=RecordingSession.objects.select_related("project__client"),
        contents=contents,
        reads=(  # a changed panel stands in the history of its model, lyrics in that of the song
            *(get_user_model(), Client, Person, Project, Song, Part, Take, CompChoice),
            *(RecordingSession, WorkedHours, Reservation, Room, Credit, Deliverable),
            *(Setup, Chain, Revision, Stage, HeadphoneMix, HeadphoneLine),
            *(Unit, GearModel, Bay, PatchPoint, Normal, TieLine),
            *((Fault,) if for_the_house else ()),
        ),
    )


SESSION_REPORT = _kind("session report", for_the_house=True)
CLIENTS_REPORT = _kind("client's report", for_the_house=False)
