"""Where the audio of one project lives: two drives, one copy of which nobody has checked yet, and what
came in from another house."""

from datetime import timedelta

from django.utils import timezone

from sessions.deliverables.media.actions import hand_over, verify_copy
from sessions.deliverables.media.models import (
    Held,
    IncomingMaterial,
    MediaCopy,
    Medium,
    MediumKind,
    WorkstationFile,
)
from studio.demo.days import as_of, at


def fill_media(work, band) -> None:
    project = band.project
    drive = Medium.objects.create(
        name="QS drive 7",
        kind=MediumKind.SOLID_STATE,
        serial_number="T-7041",
        place="Control room, top drawer",
    )
    shelf = Medium.objects.create(
        name="Windlass archive A",
        kind=MediumKind.DISC,
        place="Oakum Row, upstairs",
        is_off_site=True,
        client=project.client,
    )
    WorkstationFile.objects.create(
        project=project,
        name="Ninth Tide EP/Band day/Band day 03",
        program="House workstation, program version 12.4",
        plug_ins="None on the tracks; a click only.",
    )
    with as_of(at(-8, 21)):
        first = MediaCopy.objects.create(project=project, medium=drive, session=band)
        verify_copy(first, how="checksums compared", by=work.assistant, version=first.version)
    MediaCopy.objects.create(
        project=project,
        medium=shelf,
        holds=Held.ALL,
        kept_until=timezone.localdate() + timedelta(days=365),
        note="Copied on Monday; nobody has compared it yet.",
    )
    IncomingMaterial.objects.create(
        project=project,
        song=work.songs["Neap and Spring"],
        what="Harbour bell and chain, 4 files",
        sender="Oriel Yard",
        received_on=timezone.localdate() - timedelta(days=5),
        medium=drive,
        rate="48 kHz, 24 bit",
        tempo="as our click",
        start_point="from bar 1, time stamp 00:00:00",
        missing="The second bell of the last refrain; asked for.",
    )
    with as_of(at(-6, 13)):
        hand_over(
            project,
            what="Rough mixes 1 and 2 on a drive of the band’s own",
            signed_by="Corin Strake",
            on_behalf_of="The Windlass Four",
            by=work.assistant,
        )
