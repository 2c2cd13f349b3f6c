from types import SimpleNamespace

import pytest

from sessions.recall.sheet.levels import level_facts
from sessions.setups.models import Revision
from sessions.setups.models.recording_format import RecordingFormat


def facts(*, source=None, dbfs=None, **measured):
    levels = SimpleNamespace(
        source=source, converter_dbfs=dbfs, format=RecordingFormat(48_000, 24, 18.0)
    )
    return dict(level_facts(Revision(**measured), levels))


def test_levels_stand_in_figures():
    said = facts(
        source="84.0 dB SPL at the microphone",
        dbfs=-17.96,
        source_spl_db=90,
        source_distance_cm=30,
        tone_hz=1000,
        tone_dbu=4,
        readings_from=2,
    )

    assert said == {
        "Source": "90 dB SPL at 30 cm, 84.0 dB SPL at the microphone",
        "Converter": "−18 dBFS (0 dBFS at +18 dBu)",
        "Recorded as": "48 kHz, 24 bit",
        "Test tone": "1 kHz, +4 dBu",
        "Levels read": "on revision 2",
    }


@pytest.mark.parametrize("name", ["Source", "Test tone"])
def test_what_nobody_wrote_down_is_said(name):
    assert facts()[name] == "not logged"
    assert facts()["Converter"] == "level not known (0 dBFS at +18 dBu)"
