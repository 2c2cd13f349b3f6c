import factory
from factory.django import DjangoModelFactory

from sessions.deliverables.media.models import (
    Handover,
    IncomingMaterial,
    MediaCopy,
    Medium,
    WorkstationFile,
)
from tests.factories.people import ProjectFactory, UserFactory


class MediumFactory(DjangoModelFactory):
    class Meta:
        model = Medium

    name = factory.Sequence(lambda n: f"Drive {n}")
    place = "Machine room"


class MediaCopyFactory(DjangoModelFactory):
    class Meta:
        model = MediaCopy

    project = factory.SubFactory(ProjectFactory)
    medium = factory.SubFactory(MediumFactory)


class WorkstationFileFactory(DjangoModelFactory):
    class Meta:
        model = WorkstationFile

    project = factory.SubFactory(ProjectFactory)
    name = "Band day 03"
    program = "House workstation 12.4"


class IncomingMaterialFactory(DjangoModelFactory):
    class Meta:
        model = IncomingMaterial

    project = factory.SubFactory(ProjectFactory)
    what = "Bells, 4 files"
    sender = "Oriel Yard"


class HandoverFactory(DjangoModelFactory):
    class Meta:
        model = Handover

    project = factory.SubFactory(ProjectFactory)
    what = "A drive"
    signed_by = "Corin Strake"
    handed_by = factory.SubFactory(UserFactory)
