from types import SimpleNamespace

from sessions.setups.models import Revision
from sessions.setups.models.recording_format import RecordingFormat
from sessions.setups.signal_path.levels import converter_text, source_text, tone_text


def levels(source=None, dbfs=None):
    return SimpleNamespace(
        source=source, converter_dbfs=dbfs, format=RecordingFormat(48_000, 24, 18.0)
    )


def test_levels_stand_in_figures():
    revision = Revision(source_spl_db=90, source_distance_cm=30, tone_hz=1000, tone_dbu=4)
    planned = levels(source="84.0 dB SPL at the microphone", dbfs=-17.96)

    assert source_text(revision, planned) == "90 dB SPL at 30 cm, 84.0 dB SPL at the microphone"
    assert converter_text(planned) == "−18.0 dBFS (0 dBFS at +18.0 dBu)"
    assert tone_text(revision) == "1 kHz, +4.0 dBu"


def test_what_nobody_wrote_down_is_said():
    assert source_text(Revision(), levels()) == "not logged"
    assert tone_text(Revision()) == "not logged"
    assert converter_text(levels()) == "level not known (0 dBFS at +18.0 dBu)"
