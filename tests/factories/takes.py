from datetime import timedelta

import factory
from factory.django import DjangoModelFactory

from sessions.setups.chains.actions import fix_revision
from sessions.setups.headphones.actions import snapshot_mixes
from sessions.takes.models import RevisionInDoubt, Take, TakeFile, TakePart
from tests.factories.bookings import TEN_O_CLOCK, RecordingSessionFactory
from tests.factories.people import UserFactory
from tests.factories.setups import RevisionFactory
from tests.factories.songs import PartFactory


class TakeFactory(DjangoModelFactory):
    """A take of one `part`, or of several `parts` at once; mark, grade and circle are those of each."""

    class Meta:
        model = Take

    parts = ()
    part = factory.Maybe("parts", None, factory.SubFactory(PartFactory))
    song = factory.LazyAttribute(lambda take: [*take.parts, take.part][0].song)
    session = factory.SubFactory(
        RecordingSessionFactory, project=factory.SelfAttribute("..song.project")
    )
    number = factory.Sequence(lambda n: n + 1_000)  # none that a test gives
    started_at = TEN_O_CLOCK
    ended_at = TEN_O_CLOCK + timedelta(minutes=4)

    @classmethod
    def _create(cls, model, *args, parts, part, mark="", grade=None, circled=False, **facts):
        take = super()._create(model, *args, **facts)
        for each in parts or [part]:
            TakePart.objects.create(take=take, part=each, mark=mark, grade=grade, circled=circled)
        return take


class TakeFileFactory(DjangoModelFactory):
    """One that waits; four minutes from 10:00:00 UTC, as its header says (11:00:00 in London)."""

    class Meta:
        model = TakeFile

    session = factory.SubFactory(RecordingSessionFactory)
    path = factory.Sequence(lambda n: f"day 1/track {n:02}x.wav")
    size_bytes = 34_560_044
    container = "wav"
    sample_rate = 48_000
    bit_depth = 24
    channels = 1
    frames = 11_520_000
    time_reference = 11 * 60 * 60 * 48_000
    bext = factory.LazyAttribute(
        lambda file: {
            "description": "",
            "origination_date": "2026-06-01",
            "origination_time": "11:00:00",
            "time_reference": file.time_reference,
        }
    )
    added_by = factory.SubFactory(UserFactory)


class RevisionInDoubtFactory(DjangoModelFactory):
    class Meta:
        model = RevisionInDoubt

    take = factory.SubFactory(TakeFactory)
    revision = factory.SubFactory(RevisionFactory)

    @classmethod
    def _create(cls, model, *args, revision, **facts):
        fix_revision(revision)
        heard = snapshot_mixes(revision.chain.setup)
        return super()._create(model, *args, revision=revision, heard=heard, **facts)
