"""Django looks for models only here; code imports them from their slice."""

from sessions.bookings.models import Credit, RecordingSession, Reservation, Room
from sessions.clients.models import Client, Person, Project
from sessions.deliverables.models import AudioFile, Deliverable, Delivery
from sessions.recall.models import Rebuild, RebuildStep
from sessions.setups.models import Chain, Placement, Revision, Setup, Stage
from sessions.songs.models import LyricLine, Part, Section, Song
from sessions.takes.models import CompChoice, Take, TakeRevision

__all__ = [
    "AudioFile",
    "Chain",
    "Client",
    "CompChoice",
    "Credit",
    "Deliverable",
    "Delivery",
    "LyricLine",
    "Part",
    "Person",
    "Placement",
    "Project",
    "Rebuild",
    "RebuildStep",
    "RecordingSession",
    "Reservation",
    "Revision",
    "Room",
    "Section",
    "Setup",
    "Song",
    "Stage",
    "Take",
    "TakeRevision",
]
