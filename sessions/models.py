"""Django looks for models only here; code imports them from their slice."""

from sessions.bookings.models import (
    Block,
    Challenge,
    Credit,
    RecordingSession,
    Reservation,
    Series,
    StatusStep,
    WorkedHours,
)
from sessions.calendar.feeds.models import FeedAddress
from sessions.clients.models import Client, Person, Project
from sessions.deliverables.models import AudioFile, Deliverable, Delivery
from sessions.editing.presses import Press
from sessions.letters.models import Letter, LetterFile
from sessions.links.models import WrongGuess
from sessions.money.models import MoneyPaper
from sessions.papers.stored.models import StoredPaper
from sessions.recall.models import ImportedSheet, Rebuild, RebuildStep, Tick
from sessions.rooms.models import HouseRules, Room, WeeklyHours
from sessions.setups.headphones.models import HeadphoneLine, HeadphoneMix, MixSnapshot
from sessions.setups.models import Chain, Placement, Revision, Setup, Stage
from sessions.songs.models import LyricLine, Part, Section, Song
from sessions.takes.models import CompChoice, Take, TakeRevision
from sessions.tasks.models import Worker
from sessions.terms.models import CancellationStep, CancellationTerms, Rate, RateCard

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
    "MixSnapshot",
    "Letter",
    "LetterFile",
    "LyricLine",
    "MoneyPaper",
    "Part",
    "Person",
    "Placement",
    "Press",
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
    "Series",
    "Setup",
    "Song",
    "Stage",
    "StatusStep",
    "StoredPaper",
    "Take",
    "TakeRevision",
    "Tick",
    "WeeklyHours",
    "WorkedHours",
    "WrongGuess",
    "Worker",
]
