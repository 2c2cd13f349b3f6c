"""Stems of a song's last bars with the mix that they were printed beside, and what its null test
found: the brass was printed a decibel up, and the piano's file has another name than was agreed."""

import tempfile
from datetime import timedelta
from pathlib import Path

import numpy as np
from django.core.files import File

from sessions.deliverables.actions import hand_in
from sessions.deliverables.models import DeliverableKind
from sessions.deliverables.nulling.models import NullTest
from sessions.deliverables.nulling.running import run
from studio.demo.days import as_of, at
from studio.demo.sound import last_bars, write_wav

A_DECIBEL = 10 ** (1 / 20)


def hand_in_stems(work) -> None:
    song, moment = work.songs["Neap and Spring"], at(-5, 16)
    parts = last_bars(seconds=6)
    mix = sum(parts.values())
    gain = 0.5 / np.abs(mix).max()
    files = {
        "WF_NeapAndSpring_UY01_Rhythm_48k24.wav": parts["Rhythm"] * gain,
        "WF_NeapAndSpring_UY01_Brass_48k24.wav": parts["Brass"] * gain * A_DECIBEL,
        "Piano last bars.wav": parts["Piano"] * gain,
    }
    with tempfile.TemporaryDirectory() as folder, as_of(moment):
        printed = _hand_in(
            work,
            song,
            DeliverableKind.INSTRUMENTAL,
            _written(Path(folder) / "WF_NeapAndSpring_UY01_LastBars_48k24.wav", mix * gain),
            note="The last bars without the voice, to hold the stems against.",
        )
        stems = None
        for name, samples in files.items():
            stems = _hand_in(
                work,
                song,
                DeliverableKind.STEMS,
                _written(Path(folder) / name, samples),
                note="The last bars, to try the stems out before all five songs are printed.",
                add_to=stems,
            )
    with as_of(moment + timedelta(minutes=5)):
        run(NullTest.objects.create(stems=stems, mix=printed.files.get(), started_by=work.engineer))


def _written(path: Path, samples: np.ndarray) -> Path:
    write_wav(path, samples)
    return path


def _hand_in(work, song, kind: DeliverableKind, path: Path, **facts):
    with path.open("rb") as file:
        upload = File(file, name=path.name)
        return hand_in(song, kind=kind, upload=upload, by=work.engineer, **facts)
