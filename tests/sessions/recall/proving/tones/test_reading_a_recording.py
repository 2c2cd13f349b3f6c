import pytest
from django.core.files import File

from gear.audio.proving.three_tones.layout import ThreeTones
from sessions.recall.proving.models import Measurement, MeasurementState
from sessions.recall.proving.running import read_return
from tests.factories import MeasurementFactory, result_of, three_tones
from tests.sessions.recall.proving.tones.recordings import recording

pytestmark = pytest.mark.django_db


def read(path, **facts):
    """As the worker does, of tones that were sent at -20 dBu with 0 dBFS at +18 dBu."""
    asked = [tone | {"read_dbu": None} for tone in three_tones()]
    measurement = MeasurementFactory(of_tones=True, tones=asked, state="waiting", **facts)
    with path.open("rb") as file:
        measurement.recording.save("x.sound", File(file))
    read_return.func(measurement.pk)
    return Measurement.objects.get(pk=measurement.pk)


def gains(measurement):
    return [tone.gain_db for tone in measurement.tones_read]


def test_recording_of_tones_is_read_in_dbu(tmp_path):
    """Played at -18 dBFS through 20 dB of pad: 0 dBFS is +20 + -20 + 18. 3 dB more come back."""
    measurement = read(recording(tmp_path, gain_db=3))

    assert measurement.state == MeasurementState.DONE
    assert gains(measurement) == pytest.approx([23, 23, 23], abs=0.001)
    assert measurement.result is None
    assert not measurement.recording


def test_channel_that_holds_the_tones_is_found(tmp_path):
    measurement = read(recording(tmp_path, gain_db=-6, channels=3, on=2))

    assert gains(measurement) == pytest.approx([14, 14, 14], abs=0.001)


def test_gain_of_a_cable_is_taken_off(tmp_path):
    """A cable that came back 0.4 dB low: the converters'."""
    cable = MeasurementFactory(
        revision=None, is_cable=True, result=result_of(gain_db=-0.4).as_json()
    )
    measurement = read(recording(tmp_path), cable=cable)

    assert gains(measurement) == pytest.approx([20.4] * 3, abs=0.001)


def test_what_speaks_against_a_reading_is_kept(tmp_path):
    """Hum at the bottom tone's own frequency, 30 dB below it."""
    measurement = read(recording(tmp_path, hum=(80, -48)))

    bottom, middle, _ = measurement.tones_read
    assert "80 Hz, hum or noise lies only 30 dB below" in bottom.said[0]
    assert middle.said == ()


def test_another_recording_is_refused_in_words(tmp_path):
    measurement = read(recording(tmp_path, plan=ThreeTones(48_000, -18.0, 100, 8000)))

    assert measurement.state == MeasurementState.FAILED
    assert measurement.refusal.startswith("The tones (80 Hz, 1 kHz, 10 kHz) are not in this")
    assert [tone.read_dbu for tone in measurement.tones_read] == [None] * 3


def test_file_that_is_no_sound_is_refused(tmp_path):
    path = tmp_path / "x.wav"
    path.write_bytes(b"RIFF" + bytes(100))

    assert read(path).refusal.startswith("No sound can be read in this file")
