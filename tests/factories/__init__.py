"""One factory a model. The names are Harbour Lane's, invented like everything there."""

from tests.factories.bookings import (
    TEN_O_CLOCK,
    BlockFactory,
    ChallengeFactory,
    CreditFactory,
    FeedAddressFactory,
    RecordingSessionFactory,
    ReservationFactory,
    RoomFactory,
    SeriesFactory,
    WeeklyHoursFactory,
    WorkedHoursFactory,
)
from tests.factories.deliverables import AudioFileFactory, DeliverableFactory
from tests.factories.equipment import (
    BayFactory,
    ControlFactory,
    FaultFactory,
    GearModelFactory,
    MicrophoneModelFactory,
    PanelFactory,
    PatchPointFactory,
    UnitFactory,
)
from tests.factories.letters import LetterFactory
from tests.factories.money import (
    CancellationStepFactory,
    CancellationTermsFactory,
    MoneyPaperFactory,
    RateCardFactory,
    RateFactory,
)
from tests.factories.people import (
    PASSWORD,
    ClientFactory,
    PersonFactory,
    ProjectFactory,
    UserFactory,
)
from tests.factories.recall import ImportedSheetFactory, RebuildFactory, RebuildStepFactory
from tests.factories.setups import (
    ChainFactory,
    HeadphoneLineFactory,
    HeadphoneMixFactory,
    PlacementFactory,
    RevisionFactory,
    SetupFactory,
    StageFactory,
)
from tests.factories.songs import LyricLineFactory, PartFactory, SectionFactory, SongFactory
from tests.factories.takes import TakeFactory

__all__ = [
    "AudioFileFactory",
    "BayFactory",
    "BlockFactory",
    "CancellationStepFactory",
    "CancellationTermsFactory",
    "ImportedSheetFactory",
    "ChainFactory",
    "ChallengeFactory",
    "ClientFactory",
    "ControlFactory",
    "CreditFactory",
    "DeliverableFactory",
    "FaultFactory",
    "FeedAddressFactory",
    "GearModelFactory",
    "HeadphoneLineFactory",
    "HeadphoneMixFactory",
    "LetterFactory",
    "LyricLineFactory",
    "MicrophoneModelFactory",
    "MoneyPaperFactory",
    "PASSWORD",
    "PanelFactory",
    "PartFactory",
    "PatchPointFactory",
    "PersonFactory",
    "PlacementFactory",
    "ProjectFactory",
    "RateCardFactory",
    "RateFactory",
    "RebuildFactory",
    "RebuildStepFactory",
    "RecordingSessionFactory",
    "ReservationFactory",
    "RevisionFactory",
    "RoomFactory",
    "SectionFactory",
    "SeriesFactory",
    "SetupFactory",
    "SongFactory",
    "StageFactory",
    "TEN_O_CLOCK",
    "TakeFactory",
    "UnitFactory",
    "UserFactory",
    "WeeklyHoursFactory",
    "WorkedHoursFactory",
]
