"""Rough mixes of one song: of the band day, before the quartet, and with it."""

import tempfile
from datetime import timedelta
from pathlib import Path

from django.core.files import File
from django.utils import timezone

from sessions.deliverables.actions import hand_in
from sessions.deliverables.models import DeliverableKind
from studio.demo.days import as_of, at
from studio.demo.mixes import add_quartet_to_rough_mix
from studio.demo.sound import write_rough_mix


def hand_in_rough_mixes(work) -> None:
    song = work.songs["Neap and Spring"]
    with tempfile.TemporaryDirectory() as folder:
        for version, gain, moment, note in [
            (1, 0.4, at(-8, 20, 30), "Off the faders, at the end of the band day."),
            (
                2,
                0.55,
                at(-6, 12),
                "Brass pair up, piano a little darker, for the quartet to learn.",
            ),
            (
                3,
                0.6,
                timezone.now() - timedelta(minutes=20),
                "With take 4 of the quartet, the low voices held as they heard them.",
            ),
        ]:
            if version == 3:
                add_quartet_to_rough_mix(work)
            path = Path(folder) / f"WF_NeapAndSpring_UY0{version}_Rough_48k24.wav"
            write_rough_mix(path, seed=10 + version, gain=gain)
            with path.open("rb") as mix, as_of(moment + timedelta(minutes=5)):
                hand_in(
                    song,
                    kind=DeliverableKind.ROUGH_MIX,
                    upload=File(mix, name=path.name),
                    note=note,
                    by=work.engineer,
                )
