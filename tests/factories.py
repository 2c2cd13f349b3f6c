"""One factory a model. The names are Harbour Lane's, invented like everything there."""

from datetime import UTC, datetime, time, timedelta
from decimal import Decimal

import factory
from factory.django import DjangoModelFactory

from gear.equipment.models import Category, Fault, GearModel, Phantom, SignalLevel, Unit
from gear.panels.models import Control, Kind, Meaning, Panel
from gear.patchbay.models import Bay, PatchPoint, Side
from sessions.bookings.feeds.models import FeedAddress, fingerprint
from sessions.bookings.house.models import Block, BlockKind, Weekday, WeeklyHours
from sessions.bookings.models import (
    Challenge,
    Credit,
    CreditRole,
    RecordingSession,
    Reservation,
    Room,
    Series,
    Status,
    WorkedHours,
)
from sessions.bookings.money.models import (
    Basis,
    CancellationStep,
    CancellationTerms,
    MoneyPaper,
    PaperKind,
    Rate,
    RateCard,
)
from sessions.clients.models import Client, Person, Project
from sessions.deliverables.models import AudioFile, Deliverable, DeliverableKind
from sessions.recall.models import CarriedRecall, Rebuild, RebuildStep
from sessions.setups.headphones.models import HeadphoneLine, HeadphoneMix
from sessions.setups.models import Chain, Placement, Revision, Setup, Stage
from sessions.songs.models import LyricLine, Part, Section, Song
from sessions.takes.models import Take
from studio.models import User
from studio.roles import Role

TEN_O_CLOCK = datetime(2026, 6, 1, 10, tzinfo=UTC)
PASSWORD = "lantern-over-the-quay"


class UserFactory(DjangoModelFactory):
    class Meta:
        model = User
        skip_postgeneration_save = True

    username = factory.Sequence(lambda n: f"user{n}")
    role = Role.ENGINEER

    @factory.post_generation
    def password(self, create, extracted, **kwargs):
        self.set_password(extracted or PASSWORD)
        if create:
            self.save()


class ClientFactory(DjangoModelFactory):
    class Meta:
        model = Client

    name = factory.Sequence(lambda n: f"Pier {n} Records")


class PersonFactory(DjangoModelFactory):
    class Meta:
        model = Person

    name = factory.Sequence(lambda n: f"Orla Quill {n}")


class ProjectFactory(DjangoModelFactory):
    class Meta:
        model = Project

    client = factory.SubFactory(ClientFactory)
    name = factory.Sequence(lambda n: f"Low Water EP {n}")
    artist = "The Capstan Four"


class SongFactory(DjangoModelFactory):
    class Meta:
        model = Song

    project = factory.SubFactory(ProjectFactory)
    title = factory.Sequence(lambda n: f"Haul Away the Morning {n}")


class SectionFactory(DjangoModelFactory):
    class Meta:
        model = Section

    song = factory.SubFactory(SongFactory)
    position = factory.Sequence(lambda n: n + 1)
    name = factory.Sequence(lambda n: f"Verse {n + 1}")


class LyricLineFactory(DjangoModelFactory):
    class Meta:
        model = LyricLine

    section = factory.SubFactory(SectionFactory)
    position = factory.Sequence(lambda n: n + 1)
    text = "The tide is on the turning"


class PartFactory(DjangoModelFactory):
    class Meta:
        model = Part

    song = factory.SubFactory(SongFactory)
    name = factory.Sequence(lambda n: f"Harmony {n + 1}")


class RoomFactory(DjangoModelFactory):
    class Meta:
        model = Room

    name = factory.Sequence(lambda n: f"Room {n}")


class RecordingSessionFactory(DjangoModelFactory):
    """Four hours from ten o'clock UTC; reserves nothing by itself."""

    class Meta:
        model = RecordingSession

    project = factory.SubFactory(ProjectFactory)
    title = factory.Sequence(lambda n: f"Group vocals {n}")
    starts_at = TEN_O_CLOCK
    ends_at = factory.LazyAttribute(lambda session: session.starts_at + timedelta(hours=4))
    status = Status.CONFIRMED


class ReservationFactory(DjangoModelFactory):
    """Of a room, over the whole session, in first place."""

    class Meta:
        model = Reservation

    session = factory.SubFactory(RecordingSessionFactory)
    room = factory.SubFactory(RoomFactory)
    starts_at = factory.SelfAttribute("session.starts_at")
    ends_at = factory.SelfAttribute("session.ends_at")
    rank = 1


class FeedAddressFactory(DjangoModelFactory):
    class Meta:
        model = FeedAddress

    token = factory.Sequence(lambda n: fingerprint(f"secret {n}"))
    person = factory.SubFactory(PersonFactory)
    made_by = factory.SubFactory(UserFactory)


class ChallengeFactory(DjangoModelFactory):
    """One hold challenged by another, to be answered within a day; neither reserves anything."""

    class Meta:
        model = Challenge

    hold = factory.SubFactory(RecordingSessionFactory, status=Status.HELD)
    challenger = factory.SubFactory(RecordingSessionFactory, status=Status.HELD)
    made_by = factory.SubFactory(UserFactory)
    made_at = TEN_O_CLOCK - timedelta(days=7)
    deadline = factory.LazyAttribute(lambda challenge: challenge.made_at + timedelta(days=1))


class SeriesFactory(DjangoModelFactory):
    class Meta:
        model = Series

    rule = "FREQ=WEEKLY;COUNT=4"
    made_by = factory.SubFactory(UserFactory)


class WorkedHoursFactory(DjangoModelFactory):
    """Planned, over the whole session."""

    class Meta:
        model = WorkedHours

    session = factory.SubFactory(RecordingSessionFactory, lockout=True)
    kind = WorkedHours.Kind.PLANNED
    starts_at = factory.SelfAttribute("session.starts_at")
    ends_at = factory.SelfAttribute("session.ends_at")


class WeeklyHoursFactory(DjangoModelFactory):
    """Of a room, Monday 10:00 to 22:00."""

    class Meta:
        model = WeeklyHours

    room = factory.SubFactory(RoomFactory)
    weekday = Weekday.MONDAY
    opens = time(10)
    closes = time(22)


class BlockFactory(DjangoModelFactory):
    """Four hours from ten o'clock UTC; keeps nothing by itself."""

    class Meta:
        model = Block

    kind = BlockKind.MAINTENANCE
    title = factory.Sequence(lambda n: f"Piano tuning {n}")
    starts_at = TEN_O_CLOCK
    ends_at = factory.LazyAttribute(lambda block: block.starts_at + timedelta(hours=4))


class RateCardFactory(DjangoModelFactory):
    """Half-hour steps, two hours at least, a day of ten hours, 50 % overtime after those, 20 % tax."""

    class Meta:
        model = RateCard

    name = factory.Sequence(lambda n: f"House rates {n}")
    overtime_after_minutes = 600


class RateFactory(DjangoModelFactory):
    """45.00 an hour for a room."""

    class Meta:
        model = Rate

    card = factory.SubFactory(RateCardFactory)
    room = factory.SubFactory(RoomFactory)
    basis = Basis.HOUR
    amount = Decimal("45.00")


class CancellationTermsFactory(DjangoModelFactory):
    class Meta:
        model = CancellationTerms

    name = factory.Sequence(lambda n: f"House terms {n}")


class CancellationStepFactory(DjangoModelFactory):
    """Half the fee for less than 48 hours' notice."""

    class Meta:
        model = CancellationStep

    terms = factory.SubFactory(CancellationTermsFactory)
    notice_below = 48
    percent = 50


class MoneyPaperFactory(DjangoModelFactory):
    """A quote that says nothing; the first of its kind, since numbers have no gap."""

    class Meta:
        model = MoneyPaper

    kind = PaperKind.QUOTE
    number = 1
    session = factory.SubFactory(RecordingSessionFactory)
    issued_by = factory.SubFactory(UserFactory)
    currency = "GBP"
    net = tax = total = Decimal(0)


class CreditFactory(DjangoModelFactory):
    class Meta:
        model = Credit

    session = factory.SubFactory(RecordingSessionFactory)
    person = factory.SubFactory(PersonFactory)
    role = CreditRole.VOCALIST


class GearModelFactory(DjangoModelFactory):
    class Meta:
        model = GearModel

    maker = "Tidewell"
    name = factory.Sequence(lambda n: f"Model {n}")
    category = Category.PREAMPLIFIER
    input_level = SignalLevel.MICROPHONE
    output_level = SignalLevel.LINE


class MicrophoneModelFactory(GearModelFactory):
    maker = "Petrel & Daughters"
    category = Category.MICROPHONE
    transducer = "condenser"
    phantom = Phantom.NEEDED
    sensitivity_mv_pa = 20
    max_spl_db = 130
    input_level = ""
    output_level = SignalLevel.MICROPHONE


class UnitFactory(DjangoModelFactory):
    class Meta:
        model = Unit

    model = factory.SubFactory(GearModelFactory)
    asset_tag = factory.Sequence(lambda n: f"HL-{n:04}")


class FaultFactory(DjangoModelFactory):
    class Meta:
        model = Fault

    unit = factory.SubFactory(UnitFactory)
    description = "Crackles when touched"
    reported_by = factory.SubFactory(UserFactory)


class PanelFactory(DjangoModelFactory):
    class Meta:
        model = Panel

    model = factory.SubFactory(GearModelFactory)


class ControlFactory(DjangoModelFactory):
    """A gain knob of 0 to 60 dB from 7 to 5 o'clock."""

    class Meta:
        model = Control

    panel = factory.SubFactory(PanelFactory)
    position = factory.Sequence(lambda n: n + 1)
    key = factory.Sequence(lambda n: f"gain-{n}")
    label = "Gain"
    kind = Kind.CONTINUOUS
    unit = "dB"
    meaning = Meaning.GAIN
    marks = factory.LazyFunction(
        lambda: [
            {"value": 0, "angle": -150, "label": ""},
            {"value": 30, "angle": 0, "label": ""},
            {"value": 60, "angle": 150, "label": ""},
        ]
    )


class BayFactory(DjangoModelFactory):
    class Meta:
        model = Bay

    name = factory.Sequence(lambda n: f"Bay {n}")


class PatchPointFactory(DjangoModelFactory):
    class Meta:
        model = PatchPoint

    bay = factory.SubFactory(BayFactory)
    row = "A"
    column = factory.Sequence(lambda n: n + 1)
    label = factory.Sequence(lambda n: f"Pre {n + 1} out")
    level = SignalLevel.LINE
    side = Side.SEND


class SetupFactory(DjangoModelFactory):
    class Meta:
        model = Setup

    session = factory.SubFactory(RecordingSessionFactory)
    name = factory.Sequence(lambda n: f"Morning {n}")


class ChainFactory(DjangoModelFactory):
    class Meta:
        model = Chain

    setup = factory.SubFactory(SetupFactory)
    source = "Alto voice"
    track = "Ld Vox"


class RevisionFactory(DjangoModelFactory):
    class Meta:
        model = Revision

    chain = factory.SubFactory(ChainFactory)
    created_by = factory.SubFactory(UserFactory)


class StageFactory(DjangoModelFactory):
    """A unit on the panel that its model has; give `panel__...` or `panel=None` to change that."""

    class Meta:
        model = Stage

    revision = factory.SubFactory(RevisionFactory)
    position = factory.Sequence(lambda n: n + 1)
    unit = factory.SubFactory(UnitFactory)
    panel = factory.SubFactory(PanelFactory, model=factory.SelfAttribute("..unit.model"))


class PlacementFactory(DjangoModelFactory):
    class Meta:
        model = Placement

    revision = factory.SubFactory(RevisionFactory)
    distance_cm = 20


class HeadphoneMixFactory(DjangoModelFactory):
    class Meta:
        model = HeadphoneMix

    setup = factory.SubFactory(SetupFactory)
    name = factory.Sequence(lambda n: f"Singers {n}")


class HeadphoneLineFactory(DjangoModelFactory):
    class Meta:
        model = HeadphoneLine

    mix = factory.SubFactory(HeadphoneMixFactory)
    position = factory.Sequence(lambda n: n + 1)
    source = "Click"
    level = "low"


class TakeFactory(DjangoModelFactory):
    class Meta:
        model = Take

    song = factory.SelfAttribute("part.song")
    part = factory.SubFactory(PartFactory)
    session = factory.SubFactory(
        RecordingSessionFactory, project=factory.SelfAttribute("..song.project")
    )
    number = factory.Sequence(lambda n: n + 1)
    started_at = TEN_O_CLOCK


class CarriedRecallFactory(DjangoModelFactory):
    """From another studio, of a song with no chains."""

    class Meta:
        model = CarriedRecall

    song = factory.SubFactory(SongFactory)
    title = "Haul Away the Morning"
    studio = "Fathom Row"
    file_name = "recall.json"
    carried_by = factory.SubFactory(UserFactory)
    data = factory.LazyFunction(
        lambda: {
            "studio": "Fathom Row",
            "song": dict.fromkeys(["title", "artist", "project", "key", "meter", "note"], "")
            | {"sample_rate_hz": 48_000, "bit_depth": 24, "full_scale_dbu": 18},
            "takes": [],
            "chains": [],
        }
    )


class RebuildFactory(DjangoModelFactory):
    class Meta:
        model = Rebuild

    song = factory.SubFactory(SongFactory)
    started_by = factory.SubFactory(UserFactory)


class RebuildStepFactory(DjangoModelFactory):
    """The first stage of the first chain, with its own unit."""

    class Meta:
        model = RebuildStep

    rebuild = factory.SubFactory(RebuildFactory)
    chain_number = 1
    stage = factory.SubFactory(StageFactory)
    position = factory.SelfAttribute("stage.position")
    unit = factory.SelfAttribute("stage.unit")
    panel = factory.SelfAttribute("stage.panel")


class DeliverableFactory(DjangoModelFactory):
    class Meta:
        model = Deliverable

    song = factory.SubFactory(SongFactory)
    kind = DeliverableKind.ROUGH_MIX
    version = factory.Sequence(lambda n: n + 1)
    created_by = factory.SubFactory(UserFactory)


class AudioFileFactory(DjangoModelFactory):
    class Meta:
        model = AudioFile

    deliverable = factory.SubFactory(DeliverableFactory)
    file = factory.django.FileField(filename="haul_away.wav", data=b"RIFF")
    original_name = "haul_away.wav"
    size_bytes = 4
    sha256 = "0" * 64
    container = "wav"
    codec = "pcm_s24le"
    lossless = True
    sample_rate = 48_000
    bit_depth = 24
    channels = 2
    frames = 48_000
    duration_seconds = 1.0
