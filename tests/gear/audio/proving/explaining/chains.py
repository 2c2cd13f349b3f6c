"""A chain of a preamplifier, an equaliser, a compressor and a fader, and what it does in closed form."""

from dataclasses import replace

import numpy as np

from gear.audio.curves import Band, Compressor, response_db
from gear.audio.dial import Dial, Mark
from gear.audio.proving.explaining.model import Dynamics, Filter, Gain, Knob, Model
from gear.audio.proving.plan import STAIRS_DB
from gear.audio.proving.result import HERTZ, Result


def knob(key: str, meaning: str, value: float, *marks: float, unit="dB", kind="continuous") -> Knob:
    angles = np.linspace(-150, 150, len(marks))
    scale = "log" if unit in ("Hz", ":1", "") else "linear"
    dial = Dial(tuple(Mark(v, float(a)) for v, a in zip(marks, angles, strict=True)), kind, scale)
    return Knob(key, meaning, value, dial, unit)


def switch(key: str, value: float) -> Knob:
    dial = Dial((Mark(0, 0, "out"), Mark(1, 1, "in")), "switch")
    return Knob(key, "bypass", value, dial, figures=((0, 0), (1, 1)))


MODEL = Model(
    (
        Gain(knob("gain", "gain", 30, *range(18, 67, 6), kind="stepped")),
        Filter("low cut", knob("low-cut", "filter_frequency", 60, 30, 60, 120, 240, unit="Hz")),
        Filter(
            "peak",
            knob("mid-frequency", "band_frequency", 2000, 800, 2000, 5000, 9000, unit="Hz"),
            knob("mid-gain", "band_gain", 4, -12, -6, 0, 6, 12),
            knob("mid-q", "band_q", 1, 0.5, 1, 2, 4, unit=""),
            switch=switch("equaliser", 1),
        ),
        Filter(
            "high shelf",
            knob("high-frequency", "band_frequency", 9000, 3000, 6000, 9000, 14000, unit="Hz"),
            knob("high-gain", "band_gain", -3, -12, -6, 0, 6, 12),
            switch=switch("equaliser", 1),
        ),
        Dynamics(
            knob("threshold", "threshold", -10, -30, -20, -10, 0, 10, unit="dBu"),
            knob("ratio", "ratio", 4, 1.5, 2, 4, 12, unit=":1"),
            6.0,
        ),
        Gain(knob("make-up", "make_up", 5, 0, 5, 10, 15, 20)),
    )
)


def measured(model: Model = MODEL, *, level_db: float = 0.0, **moved: float) -> Result:
    """What it does with its controls where they stand then, but for those named (with _ for -)."""
    values = {each.key: each.value for each in model.knobs()}
    values |= {key.replace("_", "-"): value for key, value in moved.items()}

    def at(figure) -> float:
        return figure.figure(values[figure.key]) if isinstance(figure, Knob) else figure

    response = np.full(len(HERTZ), level_db)
    levels = np.array(STAIRS_DB) - 24
    fed = levels.copy()
    for part in model.parts:
        if part.switch is not None and not at(part.switch):
            continue
        if isinstance(part, Gain):
            response, levels = response + at(part.level_db), levels + at(part.level_db)
        elif isinstance(part, Dynamics):
            static = Compressor(at(part.threshold), at(part.ratio), at(part.knee_db))
            levels = np.array([static.output_db(level) for level in levels])
        else:
            band = Band(part.shape, at(part.frequency_hz), at(part.gain_db), at(part.q), part.order)
            response = response + [response_db([band], hertz) for hertz in HERTZ]
            levels = levels + response_db([band], 1000)
    levels = levels + level_db
    return Result(
        rate_hz=48_000,
        clock_ppm=0.0,
        latency_samples=0.0,
        polarity=1,
        gain_db=float(levels[0] - fed[0]),
        signal_to_noise_db=70.0,
        response_db=tuple(map(float, response)),
        response_level_db=-40.0,
        harmonics=(),
        curve=tuple(zip(map(float, fed), map(float, levels), strict=True)),
        compression=None,
        timings=(),
        noise_dbfs=-90.0,
        noise_a_dbfs=-92.0,
        hum=(),
    )


def recorded(model: Model, **now: float) -> Model:
    """The record says that these stand elsewhere than then."""

    def set_again(part):
        named = {
            name: replace(it, now=now[it.key.replace("-", "_")])
            for name, it in vars(part).items()
            if isinstance(it, Knob) and it.key.replace("-", "_") in now
        }
        return replace(part, **named)

    return Model(tuple(map(set_again, model.parts)))
