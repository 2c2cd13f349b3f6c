"""Django looks for models only here; code imports them from their slice."""

from sessions.bookings.feeds.models import FeedAddress
from sessions.bookings.house.models import Block, HouseRules, WeeklyHours
from sessions.bookings.models import (
    Challenge,
    Credit,
    RecordingSession,
    Reservation,
    Room,
    SentSummary,
    Series,
    StatusStep,
    WorkedHours,
)
from sessions.bookings.money.models import (
    CancellationStep,
    CancellationTerms,
    MoneyPaper,
    Rate,
    RateCard,
)
from sessions.clients.models import Client, Person, Project
from sessions.deliverables.models import AudioFile, Deliverable, Delivery
from sessions.papers.stored.models import KeptPaper, KnownPaper
from sessions.recall.models import ImportedSheet, Rebuild, RebuildStep, Tick
from sessions.setups.headphones.models import HeadphoneLine, HeadphoneMix, KeptMixes
from sessions.setups.models import Chain, Placement, Revision, Setup, Stage
from sessions.songs.models import LyricLine, Part, Section, Song
from sessions.takes.models import CompChoice, Take, TakeRevision

__all__ = [
    "AudioFile",
    "Block",
    "CancellationStep",
    "CancellationTerms",
    "ImportedSheet",
    "Chain",
    "Challenge",
    "Client",
    "CompChoice",
    "Credit",
    "Deliverable",
    "Delivery",
    "FeedAddress",
    "HeadphoneLine",
    "HeadphoneMix",
    "HouseRules",
    "KeptMixes",
    "KeptPaper",
    "KnownPaper",
    "LyricLine",
    "MoneyPaper",
    "Part",
    "Person",
    "Placement",
    "Project",
    "Rate",
    "RateCard",
    "Rebuild",
    "RebuildStep",
    "RecordingSession",
    "Reservation",
    "Revision",
    "Room",
    "Section",
    "SentSummary",
    "Series",
    "Setup",
    "Song",
    "Stage",
    "StatusStep",
    "Take",
    "TakeRevision",
    "Tick",
    "WeeklyHours",
    "WorkedHours",
]
