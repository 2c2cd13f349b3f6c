"""A measurement's levels against the voltages that they were, so that two converters can be compared."""

from dataclasses import replace

from gear.audio.proving.result import Result


def in_dbu(result: Result, *, sent_full_scale_dbu: float, read_full_scale_dbu: float) -> Result:
    """The same figures with levels in as dBu at the injection point, and levels out as dBu at the
    converter, in fields that say dBFS: full scale of the test file, through the pad, was sent as
    sent_full_scale_dbu, and the converter reaches full scale at read_full_scale_dbu (levels of a sine).
    """
    sent, read = sent_full_scale_dbu, read_full_scale_dbu
    more = read - sent
    threshold = result.compression
    return replace(
        result,
        gain_db=_moved(result.gain_db, more),
        response_db=tuple(_moved(each, more) for each in result.response_db),
        harmonics=tuple(replace(h, in_dbfs=h.in_dbfs + sent) for h in result.harmonics),
        curve=tuple((level_in + sent, out + read) for level_in, out in result.curve),
        compression=threshold
        and replace(threshold, threshold_dbfs=threshold.threshold_dbfs + sent),
        noise_dbfs=result.noise_dbfs + read,
        noise_a_dbfs=result.noise_a_dbfs + read,
        hum=tuple((hertz, level + read) for hertz, level in result.hum),
    )


def _moved(level: float | None, by: float) -> float | None:
    return None if level is None else level + by
