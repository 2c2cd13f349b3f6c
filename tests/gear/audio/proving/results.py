"""Results as a measurement would give them, worked out from bands and a compressor by closed forms."""

from dataclasses import replace

from gear.audio.curves import Band, Compressor, response_db
from gear.audio.proving.plan import STAIRS_DB
from gear.audio.proving.result import HERTZ, Harmonics, Result, Timing

CEILING_DBFS = -4.0


def result(*, gain: float = 0.0, bands=(), compressor: Compressor | None = None, **facts) -> Result:
    """What a chain of these would measure; facts stand in place of any figure."""
    bands = tuple(bands)
    levels = [CEILING_DBFS + stair for stair in STAIRS_DB]
    at_1_khz = gain + response_db(bands, 1000)

    def out(level: float) -> float:
        taken = compressor.reduction_db(level + at_1_khz) if compressor else 0.0
        return level + at_1_khz - taken

    measured = Result(
        rate_hz=48_000,
        clock_ppm=0.0,
        latency_samples=64.0,
        polarity=1,
        gain_db=at_1_khz,
        signal_to_noise_db=70.0,
        response_db=tuple(gain + response_db(bands, hertz) for hertz in HERTZ),
        response_level_db=-20.0,
        harmonics=tuple(Harmonics(level, -75.0, -80.0, -74.0) for level in levels),
        curve=tuple((level, out(level)) for level in levels),
        compression=None,
        timings=(Timing(1000.0, 10.0, 200.0), Timing(5000.0, 10.0, 200.0)),
        noise_dbfs=-85.0,
        noise_a_dbfs=-88.0,
        hum=((50.0, -95.0),),
    )
    return replace(measured, **facts)


#: A band that every chain of the tests has: a presence of 3 dB.
PRESENCE = Band("peak", 3000.0, 3.0, 1.0)
