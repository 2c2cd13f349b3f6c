"""Who works in the studio, and at what: two share each session and its song, each of them records a part
of their own through a chain of their own."""

from dataclasses import dataclass, replace
from datetime import timedelta

from django.contrib.auth.hashers import make_password
from django.db import transaction
from django.utils import timezone

from sessions.bookings.models import RecordingSession, Status
from sessions.clients.models import Client
from sessions.setups.chains.forms import CONTROL
from sessions.setups.models import Chain, Setup
from sessions.songs.models import Part
from studio.models import User
from studio.roles import Role
from tests.factories import (
    PASSWORD,
    ClientFactory,
    LyricLineFactory,
    PartFactory,
    PersonFactory,
    ProjectFactory,
    RateCardFactory,
    RateFactory,
    RecordingSessionFactory,
    ReservationFactory,
    RoomFactory,
    SectionFactory,
    SongFactory,
)
from tests.measure.fill.chains import set_up
from tests.measure.fill.house import Booth, furnish

TURNED = "Stile"  # the kind of unit whose first control, its gain, is turned


@dataclass(frozen=True)
class Desk:
    """One person, and what is theirs: their chain's gain is turned by nobody else."""

    user: User
    client: Client
    session: RecordingSession
    setup: Setup
    chain: Chain
    part: Part

    @property
    def stage(self):
        return self.chain.revisions.newest().get().stages.get(unit__model__name=TURNED)

    @property
    def control(self) -> str:
        return self.stage.panel.controls.earliest("position").key

    @property
    def field(self) -> str:
        return f"{CONTROL}{self.control}"


@transaction.atomic
def desks_for(roles: list[Role]) -> list[Desk]:
    """One for each of an even number of people."""
    house = furnish(rooms=1, chains=len(roles))
    [booth] = house.booths
    card, password = RateCardFactory(), make_password(PASSWORD)  # one hash: each takes long
    found = []
    for place in range(0, len(roles), 2):
        session = _session(card, place // 2)
        song = _song(session.project)
        for number, role in enumerate(roles[place : place + 2], place):
            user = User.objects.create(username=f"person{number}", role=role, password=password)
            part = PartFactory(song=song, name=f"Voice {number}", position=number)
            own = replace(booth, chains=[booth.chains[number]])
            found.append(_desk(user, session, part, own, house.manager))
    return found


def _session(card, number: int) -> RecordingSession:
    """Under way in a room of its own, for a client who is written to."""
    now = timezone.now()
    client = ClientFactory(name=f"Pier {number} Records", email=f"pier{number}@records.example")
    session = RecordingSessionFactory(
        project=ProjectFactory(client=client, name=f"Ninth Tide {number}"),
        status=Status.UNDER_WAY,
        rate_card=card,
        starts_at=now - timedelta(hours=1),
        ends_at=now + timedelta(hours=8),
    )
    room = RoomFactory(name=f"Loft {number}")
    ReservationFactory(session=session, room=room)
    RateFactory(card=card, room=room)
    return session


def _song(project):
    song = SongFactory(project=project, title=f"Slow the Lantern {project.pk}")
    section = SectionFactory(song=song, first_bar=1)
    for position in range(8):
        LyricLineFactory(section=section, position=position, text=f"Line {position + 1}")
    return song


def _desk(user: User, session: RecordingSession, part: Part, booth: Booth, by: User) -> Desk:
    if user.role == Role.MIX_ENGINEER:
        session.project.mix_engineers.add(PersonFactory(user=user))
    setup = set_up(session, [part], booth, by=by)
    setup.name = f"Of {user}"
    setup.save()
    return Desk(user, session.project.client, session, setup, setup.chains.get(), part)
