"""A return as the worker reads it, in a child of its own."""

from functools import cache

import numpy as np
import pytest
from django.core.files import File
from django.utils import timezone
from django_tasks_db.models import DBTaskResult

from gear.audio.proving.plan import Plan
from gear.audio.proving.signal import blocks
from sessions.recall.proving.models import Measurement, MeasurementState
from sessions.recall.proving.running import read_forgotten, read_return
from tests.factories import (
    MeasurementFactory,
    RebuildFactory,
    SetupFactory,
    UserFactory,
    result_of,
)
from tests.signals import channels, noise, stereo, write_wav
from tests.watched import watched

pytestmark = pytest.mark.django_db

PLAN = Plan(48_000, -10.0)


@cache
def returned() -> np.ndarray:
    """Through nothing but 6 dB less and 100 samples, upside down, with the noise of 20 bits."""
    played = np.concatenate(list(blocks(PLAN)))
    quiet = 1e-6 * np.random.default_rng(3).standard_normal(played.size + 2000)
    quiet[100 : 100 + played.size] -= 10 ** (-6 / 20) * played
    return quiet


def read(path, **facts):
    nothing = {"result": None, "measured_at": None}
    measurement = MeasurementFactory(
        **nothing | {"state": "waiting", "plan": PLAN.as_json()} | facts
    )
    with path.open("rb") as file:
        measurement.recording.save("x.sound", File(file))
    with watched() as taken:
        read_return.func(measurement.pk)
    return Measurement.objects.get(pk=measurement.pk), taken


def test_return_beside_another_channel_is_read_less_the_cable(tmp_path):
    """The cable came back 60 samples late and 0.5 dB low: 40 samples and -5.5 dB are the chain's. The other
    channel is louder, and no return."""
    sound = returned()
    beside = 0.5 * np.sin(2 * np.pi * 120 * np.arange(sound.size) / PLAN.rate_hz)
    path = write_wav(tmp_path / "return.wav", channels(beside, sound), rate=48_000)
    cable = MeasurementFactory(
        revision=None,
        is_cable=True,
        result=result_of(latency_samples=60.0, gain_db=-0.5).as_json(),
    )

    measurement, _ = read(path, cable=cable)

    found = measurement.found
    assert measurement.state == MeasurementState.DONE, measurement.refusal
    assert found.latency_samples == pytest.approx(40, abs=0.1)
    assert found.gain_db == pytest.approx(-5.5, abs=0.005)
    assert found.polarity == -1
    assert not measurement.recording
    assert measurement.progress == 100


def test_recording_that_is_wanted_is_kept(tmp_path, monkeypatch):
    told = {"result": result_of().as_json()}
    monkeypatch.setattr("sessions.recall.proving.running._read", lambda measurement, said: told)
    path = write_wav(tmp_path / "return.wav", channels(noise(0.1, -20)))

    measurement, _ = read(path, is_recording_kept=True)

    assert measurement.recording
    assert measurement.found == result_of()


def test_what_is_no_sound_is_refused_in_words(tmp_path):
    path = tmp_path / "notes.wav"
    path.write_text("RIFF is what I wanted to say")

    measurement, _ = read(path)

    assert measurement.state == MeasurementState.FAILED
    assert measurement.refusal.startswith("No sound can be read in this file")
    assert not measurement.recording


def test_another_rate_is_said(tmp_path):
    measurement, _ = read(
        write_wav(tmp_path / "return.wav", channels(noise(1, -20, rate=44_100)), rate=44_100)
    )

    assert "44.1 kHz" in measurement.refusal


def test_two_channels_of_a_rate_that_no_converter_has_are_refused(tmp_path):
    sound = stereo(noise(1, -20, rate=4000))
    measurement, _ = read(write_wav(tmp_path / "return.wav", sound, rate=4000))

    assert "4 kHz" in measurement.refusal


def test_recording_without_end_is_not_read_to_its_end(tmp_path):
    """More than three minutes of eight channels: no more than two minutes beside the file are taken in."""
    frames = 200 * 4000
    path = write_wav(tmp_path / "return.wav", np.zeros((frames, 8)), rate=4000)

    measurement, taken = read(path)

    assert measurement.refusal.startswith("The recording lasts longer than 18")
    ((memory, seconds),) = taken.children
    assert memory < 1 << 30
    assert seconds < 20
    assert taken.grown < 40 << 20


def test_plan_of_another_version_is_said(tmp_path):
    path = write_wav(tmp_path / "return.wav", channels(noise(0.1, -20)))

    measurement, _ = read(path, plan=PLAN.as_json() | {"version": 0})

    assert measurement.refusal == "That test file was made by another version: make it anew."


def test_one_that_was_undone_meanwhile_is_not_read(tmp_path, engineer):
    at = {"undone_by": engineer, "undone_at": "2026-11-29T10:00Z"}
    measurement, taken = read(write_wav(tmp_path / "return.wav", channels(noise(0.1, -20))), **at)

    assert measurement.state == MeasurementState.WAITING
    assert not taken.children


def test_lost_task_is_made_good():
    MeasurementFactory(result=None, state="running")
    MeasurementFactory()

    read_forgotten()
    read_forgotten()  # the task waits already

    assert DBTaskResult.objects.ready().count() == 1


def test_return_of_a_rebuild_that_was_finished_meanwhile_changes_nothing_of_its_report(tmp_path):
    rebuild = RebuildFactory(
        finished_at=timezone.now(), finished_by=UserFactory(), setup=SetupFactory()
    )
    path = write_wav(tmp_path / "return.wav", channels(returned()), rate=48_000)

    measurement, _ = read(path, revision=None, rebuild=rebuild, chain_number=1)

    assert (measurement.state, measurement.result) == (MeasurementState.FAILED, None)
    assert measurement.refusal == "Its rebuild was finished before this was read."
