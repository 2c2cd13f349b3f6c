"""Every page there is, who of the demo looks at it, and at what."""

from django.urls import reverse

from gear.equipment.models import Fault, Unit
from gear.patchbay.models import Bay
from sessions.bookings.feeds.models import FeedAddress
from sessions.bookings.house.models import Block
from sessions.bookings.models import RecordingSession, Room, Series, WorkedHours
from sessions.bookings.money.models import (
    CancellationStep,
    CancellationTerms,
    MoneyPaper,
    Rate,
    RateCard,
)
from sessions.clients.models import Client, Person
from sessions.deliverables.models import Deliverable
from sessions.setups.models import Chain, Revision, Setup, Stage
from sessions.songs.models import Part, Song
from sessions.takes.models import Take
from studio.models import User
from tests.studio.test_access import FURTHER, ROW

STRANGER, MANAGER, ENGINEER, ASSISTANT, MIXER = "", "maren", "tobias", "ines", "desmond"

# (page, who, what follows the address)
VISITS = [
    ("login", STRANGER, ""),
    ("home", MANAGER, ""),
    ("home", MIXER, ""),
    ("style", MANAGER, ""),
    ("password", ASSISTANT, ""),
    ("sign_ins", MANAGER, ""),
    ("sign_in_create", MANAGER, ""),
    ("sign_in_edit", MANAGER, ""),
    ("sign_in_password", MANAGER, ""),
    ("clients:list", MANAGER, ""),
    ("clients:create", MANAGER, ""),
    ("clients:detail", MANAGER, ""),
    ("clients:edit", MANAGER, ""),
    ("clients:people", MANAGER, ""),
    ("clients:person_create", MANAGER, ""),
    ("clients:person_edit", MANAGER, ""),
    ("clients:project_create", MANAGER, ""),
    ("clients:project_detail", MANAGER, ""),
    ("clients:project_detail", MIXER, ""),
    ("clients:project_edit", MANAGER, ""),
    ("songs:list", ENGINEER, ""),
    ("songs:create", ENGINEER, ""),
    ("songs:detail", ENGINEER, ""),
    ("songs:detail", MIXER, ""),
    ("songs:edit", ENGINEER, ""),
    ("songs:part_create", ENGINEER, ""),
    ("songs:part_edit", ENGINEER, ""),
    ("songs:lyrics", ENGINEER, ""),
    ("bookings:list", MANAGER, ""),
    ("bookings:list", MANAGER, "?when=past"),
    ("bookings:create", MANAGER, ""),
    ("bookings:detail", MANAGER, ""),
    ("bookings:edit", MANAGER, ""),
    ("bookings:status", MANAGER, "?to=cancelled"),
    ("free:search", MANAGER, ""),
    (
        "free:search",
        MANAGER,
        "?hours=2&since=2026-12-01T08:00&until=2026-12-03T20:00&units={unit}&count=3",
    ),
    ("series:repeat", MANAGER, ""),
    ("series:detail", MANAGER, ""),
    ("bookings:padding", MANAGER, ""),
    ("bookings:hours", MANAGER, ""),
    ("house:hours", MANAGER, ""),
    ("house:room_hours", MANAGER, ""),
    ("house:person_hours", MANAGER, ""),
    ("house:blocks", MANAGER, ""),
    ("house:blocks", ASSISTANT, ""),
    ("house:block_create", MANAGER, ""),
    ("house:block_edit", MANAGER, ""),
    ("house:block_lift", MANAGER, ""),
    ("bookings:rooms", MANAGER, ""),
    ("bookings:room_create", MANAGER, ""),
    ("bookings:room_edit", MANAGER, ""),
    ("schedule:day", MANAGER, ""),
    ("schedule:day", MIXER, "?show=people"),
    ("schedule:week", ENGINEER, ""),
    ("schedule:week", MANAGER, "?show=equipment"),
    ("schedule:month", MANAGER, ""),
    ("holds:challenge", MANAGER, ""),
    ("holds:house_rules", MANAGER, ""),
    ("feeds:list", MANAGER, ""),
    ("feeds:list", MIXER, ""),
    ("feeds:revoke", MANAGER, ""),
    ("money:cards", MANAGER, ""),
    ("money:card_create", MANAGER, ""),
    ("money:card", MANAGER, ""),
    ("money:card_edit", MANAGER, ""),
    ("money:rate_create", MANAGER, ""),
    ("money:rate_edit", MANAGER, ""),
    ("money:rate_delete", MANAGER, ""),
    ("money:terms", MANAGER, ""),
    ("money:terms_create", MANAGER, ""),
    ("money:terms_detail", MANAGER, ""),
    ("money:terms_edit", MANAGER, ""),
    ("money:step_create", MANAGER, ""),
    ("money:step_edit", MANAGER, ""),
    ("money:step_delete", MANAGER, ""),
    ("money:session", MANAGER, ""),
    ("money:choose", MANAGER, ""),
    ("money:hours_create", MANAGER, ""),
    ("money:hours_delete", MANAGER, ""),
    ("money:cancellation", MANAGER, ""),
    ("equipment:list", ASSISTANT, ""),
    ("equipment:bring_in_units", ENGINEER, ""),
    ("equipment:bring_in_models", ENGINEER, ""),
    ("equipment:unit_create", ENGINEER, ""),
    ("equipment:unit_detail", ENGINEER, ""),
    ("equipment:unit_detail", MIXER, ""),
    ("equipment:unit_edit", ENGINEER, ""),
    ("equipment:models", ENGINEER, ""),
    ("equipment:model_create", ENGINEER, ""),
    ("equipment:model_detail", ENGINEER, ""),
    ("equipment:model_edit", ENGINEER, ""),
    ("equipment:fault_create", ASSISTANT, ""),
    ("equipment:fault_edit", ENGINEER, ""),
    ("panels:edit", ENGINEER, ""),
    ("panels:versions", ENGINEER, ""),
    ("patchbay:list", ENGINEER, ""),
    ("patchbay:bay_create", ENGINEER, ""),
    ("patchbay:bay_detail", ENGINEER, ""),
    ("patchbay:bay_edit", ENGINEER, ""),
    ("patchbay:row_edit", ENGINEER, ""),
    ("patchbay:normals", ENGINEER, ""),
    ("setups:session", ENGINEER, ""),
    ("setups:setup_create", ENGINEER, ""),
    ("setups:setup_copy", ENGINEER, ""),
    ("setups:setup_edit", ENGINEER, ""),
    ("setups:patched_now", ENGINEER, ""),
    ("setups:chain_create", ENGINEER, ""),
    ("setups:chain", ENGINEER, ""),
    ("setups:chain_edit", ENGINEER, ""),
    ("setups:chain_copy", ENGINEER, ""),
    ("setups:revision", MIXER, ""),
    ("setups:stage_create", ASSISTANT, ""),
    ("setups:stage_create", ASSISTANT, "?unit={unit}"),
    ("setups:stage_edit", ENGINEER, ""),
    ("setups:stage_copy", ENGINEER, ""),
    ("setups:stage_delete", ENGINEER, ""),
    ("setups:placement", ENGINEER, ""),
    ("setups:levels", ENGINEER, ""),
    ("setups:compare", MIXER, ""),
    ("setups:for_unit", ENGINEER, ""),
    ("editor:chain", ENGINEER, ""),
    ("editor:setup", ENGINEER, ""),
    ("takes:session", ENGINEER, ""),
    ("takes:session", MIXER, ""),
    ("takes:edit", ENGINEER, ""),
    ("deliverables:list", ENGINEER, ""),
    ("deliverables:upload", MIXER, ""),
    ("deliverables:detail", MIXER, ""),
    ("find:search", ENGINEER, ""),
    ("find:search", MIXER, "?q=vo"),
    ("recall:song", MIXER, ""),
    ("reports:session", MANAGER, ""),
    ("usage:months", MANAGER, ""),
    ("usage:lapsed", MANAGER, ""),
    ("usage:unbilled", MANAGER, ""),
]
# Where another row of the demo has more to show than the page's usual one.
RATHER = {
    "bookings:hours": "lockout",
    "house:person_hours": "assistant",
    "bookings:status": "held session",
    "holds:challenge": "second hold",
    "setups:chain_edit": "unrecorded chain",
    "money:session": "wrapped session",
    "money:hours_delete": "actual hours",
    "reports:session": "wrapped session",
    "reports:session_pdf": "wrapped session",
}
# URL names behind which no page stands: what only takes a form's data, and files.
TAKES_ONLY_DATA = {
    "panels:draw",
    "logout",
    "theme",
    "bookings:credit_create",
    "bookings:credit_delete",
    "bookings:hours_delete",
    "holds:withdraw",
    "feeds:create",
    "money:issue",
    "setups:strike",
    "setups:put_up",
    "setups:stage_move",
    "editor:field",
    "editor:add",
    "takes:log",
    "takes:mark",
    "takes:circle",
}
FILES = {
    "bookings:csv",
    "money:paper_pdf",
    "equipment:units_csv",
    "equipment:models_csv",
    "setups:photo",
    "deliverables:download",
    "recall:song_pdf",
    "recall:song_json",
    "reports:session_pdf",
    "feeds:calendar",
    "reports:call_sheet",
    "papers:confirmation",
    "papers:session_ics",
    "usage:csv",
}


def demo_rows() -> dict:
    """Of everything that a page can be about, the row of the demo that has most to show."""
    song = Song.objects.get(title="Haul Away the Morning")
    vocal = Chain.objects.get(track="Ld Vox")
    unit = Unit.objects.get(asset_tag="P-01")
    room = Room.objects.get(name="Net Loft")
    sessions = {session.title: session for session in RecordingSession.objects.all()}
    return {
        "user": User.objects.get(username=ASSISTANT),
        "client": Client.objects.get(name="Ebb & Lantern Records"),
        "person": Person.objects.get(name="Maud Ferrier"),
        "assistant": Person.objects.get(user__username=ASSISTANT),
        "block": Block.objects.get(title="Piano tuning"),
        "project": song.project,
        "song": song,
        "part": Part.objects.get(song=song, name="Lead vocal"),
        "session": sessions["Group vocals"],
        "held session": sessions["Readings, first night"],
        "second hold": sessions["Round, all seven"],
        "lockout": sessions["Readings, the long night"],
        "worked hours": sessions["Readings, the long night"].worked_hours.first(),
        "wrapped session": sessions["Lead vocal and fiddle"],
        "series": _series_of(sessions["Lead vocal and fiddle"]),
        "room": room,
        "setup": Setup.objects.get(name="All four round two microphones"),
        "chain": vocal,
        "unrecorded chain": Chain.objects.get(setup__name="Spoken verse, later"),
        "revision": Revision.objects.get(chain=vocal, number=1),
        "stage": Stage.objects.get(revision=vocal.newest_revision(), unit=unit),
        "take": Take.objects.get(part__song=song, part__name="Lead vocal", number=5),
        "deliverable": Deliverable.objects.get(song=song, version=2),
        "unit": unit,
        "model": unit.model,
        "fault": Fault.objects.get(unit__asset_tag="C-02"),
        "bay": Bay.objects.get(),
        "card": RateCard.objects.get(),
        "rate": Rate.objects.filter(room=room).first(),
        "terms": CancellationTerms.objects.get(),
        "step": CancellationStep.objects.first(),
        "paper": MoneyPaper.objects.get(),
        "actual hours": WorkedHours.objects.get(kind=WorkedHours.Kind.ACTUAL),
        "feed": FeedAddress.make(by=User.objects.get(username=MANAGER), room=room)[0],
    }


def _series_of(session: RecordingSession) -> Series:
    """A series with the session for its first."""
    session.series = Series.objects.create(
        rule="FREQ=WEEKLY;COUNT=4", made_by=User.objects.get(username=MANAGER)
    )
    session.save()
    return session.series


def address(page: str, query: str, rows: dict) -> str:
    """The address of a visit."""
    kwargs = {"pk": rows[RATHER.get(page, ROW[page])].pk} if page in ROW else {}
    further = query.format(unit=rows["unit"].pk)
    return reverse(page, kwargs=kwargs | FURTHER.get(page, {})) + further
