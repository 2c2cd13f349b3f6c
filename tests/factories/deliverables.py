import uuid

import factory
from django.utils import timezone
from factory.django import DjangoModelFactory

from sessions.deliverables.listening.models import LightCopy, MixNote
from sessions.deliverables.models import Deliverable, DeliverableFile, DeliverableKind, FileState
from sessions.deliverables.nulling.models import NullTest
from sessions.deliverables.uploads.models import Upload
from tests.factories.people import UserFactory
from tests.factories.songs import SongFactory


class DeliverableFactory(DjangoModelFactory):
    class Meta:
        model = Deliverable

    song = factory.SubFactory(SongFactory)
    kind = DeliverableKind.ROUGH_MIX
    version = factory.Sequence(lambda n: n + 1)
    created_by = factory.SubFactory(UserFactory)


class DeliverableFileFactory(DjangoModelFactory):
    class Meta:
        model = DeliverableFile

    deliverable = factory.SubFactory(DeliverableFactory)
    file = factory.django.FileField(filename="slow_the_lantern.wav", data=b"RIFF")
    original_name = "slow_the_lantern.wav"
    size_bytes = 4
    state = FileState.MEASURED
    progress_percent = 100
    sha256 = "0" * 64
    container = "wav"
    codec = "pcm_s24le"
    lossless = True
    sample_rate = 48_000
    bit_depth = 24
    channels = 2
    frames = 48_000
    duration_seconds = 1.0
    measured_at = factory.LazyFunction(timezone.now)


class LightCopyFactory(DjangoModelFactory):
    class Meta:
        model = LightCopy

    source = factory.SubFactory(DeliverableFileFactory)
    file = factory.django.FileField(filename="light.m4a", data=b"ftypM4A ")
    made_at = factory.LazyFunction(timezone.now)
    sha256 = "1" * 64
    size_bytes = 8
    codec = "aac"
    bit_rate = 192_000
    channels = 2
    duration_seconds = 1.0


class MixNoteFactory(DjangoModelFactory):
    class Meta:
        model = MixNote

    deliverable = factory.SubFactory(DeliverableFactory)
    text = "Cornet a little lower"
    said_by = "Odile Marrack"


class NullTestFactory(DjangoModelFactory):
    """One that waits."""

    class Meta:
        model = NullTest

    stems = factory.SubFactory(DeliverableFactory, kind=DeliverableKind.STEMS)
    mix = factory.SubFactory(
        DeliverableFileFactory, deliverable__song=factory.SelfAttribute("...stems.song")
    )
    started_by = factory.SubFactory(UserFactory)


class UploadFactory(DjangoModelFactory):
    """Of which nothing has arrived."""

    class Meta:
        model = Upload

    song = factory.SubFactory(SongFactory)
    kind = DeliverableKind.ROUGH_MIX
    batch = factory.LazyFunction(uuid.uuid4)
    original_name = "slow_the_lantern.wav"
    size_bytes = 4
    by = factory.SubFactory(UserFactory)
