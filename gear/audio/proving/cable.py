"""What a measured cable says of the converters, taken off what was measured through them."""

from dataclasses import replace

from gear.audio.proving.result import Result


def less_cable(result: Result, cable: Result) -> Result:
    """The same result without the latency, the gain and the polarity that a plain cable has in place of
    the chain. What the noise of the converters is stays in it.

    Raises ValueError where the two were recorded at different rates.
    """
    if result.rate_hz != cable.rate_hz:
        raise ValueError(
            f"The cable was measured at {cable.rate_hz} Hz, this at {result.rate_hz} Hz."
        )
    gain = cable.gain_db or 0.0
    return replace(
        result,
        latency_samples=result.latency_samples - cable.latency_samples,
        polarity=result.polarity and result.polarity * (cable.polarity or 1),
        gain_db=None if result.gain_db is None else result.gain_db - gain,
        response_db=tuple(None if each is None else each - gain for each in result.response_db),
        curve=tuple((level_in, level_out - gain) for level_in, level_out in result.curve),
    )
