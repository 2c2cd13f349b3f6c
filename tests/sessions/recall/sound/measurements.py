"""A chain as a test file found it: invented, with a bit of everything that a measurement can say."""

from datetime import UTC, datetime

from gear.audio.curves import Band, response_db
from gear.audio.proving.plan import Plan
from gear.audio.proving.result import (
    HERTZ,
    Compression,
    Fault,
    Harmonics,
    Result,
    Timing,
)
from gear.audio.proving.three_tones.tone import Tone
from sessions.recall.sound.measured import Measured
from tests.factories.proving import result_of

AT = datetime(2026, 6, 1, 9, 30, tzinfo=UTC)
BANDS = [Band("low shelf", 95, 3), Band("high shelf", 9000, -2)]
TONES = [
    {"hertz": 60.0, "sent_dbu": -46.0, "read_dbu": -11.2},
    {"hertz": 1000.0, "sent_dbu": -46.0, "read_dbu": -9.9},
    {"hertz": 10_000.0, "sent_dbu": -46.0, "read_dbu": None, "said": ["Too soft to be told."]},
]


def found(**facts) -> Result:
    """With a ceiling of -10 dBFS, fed at -12 dBu through 20 dB: 0 dBFS of the file is -2 dBu there."""
    plain = {
        "response_db": tuple(
            response_db(BANDS, hertz) - 4.25 if hertz < 19_000 else None for hertz in HERTZ
        ),
        "gain_db": -4.25,
        "polarity": -1,
        "compression": Compression(-32.0, 2.5, 0.0),
        "timings": (Timing(1000.0, 20.37, 251.4), Timing(5000.0, None, 250.0)),
        "harmonics": tuple(
            Harmonics(float(level), -62.06, -74.0 + level, -61.0) for level in range(-50, -9, 2)
        ),
        "noise_dbfs": -84.2,
        "noise_a_dbfs": -86.9,
        "hum": ((50.0, -101.25),),
        "faults": (Fault("hum", "Hum stands out of the noise.", None),),
        "cannot_tell": {},
    }
    return result_of(**plain | facts)


def full(result: Result | None = None, **facts) -> Measured:
    plain = {
        "measured_by": "Ulric Yarrell",
        "measured_at": AT,
        "test_file": Plan(48_000, -10.0).as_json(),
        "fed_dbu": -12.0,
        "pad_db": 20.0,
    }
    return Measured(**plain | facts, result=result or found())


def of_tones(**facts) -> Measured:
    plain = {"measured_by": "Piran Tolle", "measured_at": AT}
    return Measured(**plain | facts, tones=tuple(map(Tone.from_json, TONES)))


def at(hertz: float) -> int:
    """Where that third octave stands in a response."""
    return min(range(len(HERTZ)), key=lambda place: abs(HERTZ[place] - hertz))
