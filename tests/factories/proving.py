import factory
from factory.django import DjangoModelFactory

from gear.audio.proving.plan import Plan
from gear.audio.proving.result import HERTZ, Harmonics, Result
from gear.audio.proving.three_tones.layout import ThreeTones
from sessions.recall.proving.models import Depth, Measurement, MeasurementState
from tests.factories.bookings import TEN_O_CLOCK
from tests.factories.people import UserFactory
from tests.factories.setups import RevisionFactory


def result_of(**facts) -> Result:
    """Of a chain that does nothing but give 2 dB of gain, unless said otherwise."""
    plain = {
        "rate_hz": 48_000,
        "clock_ppm": 0.0,
        "latency_samples": 64.0,
        "polarity": 1,
        "gain_db": 2.0,
        "signal_to_noise_db": 70.0,
        "response_db": (0.0,) * len(HERTZ),
        "response_level_db": -10.0,
        "harmonics": (Harmonics(-10.0, -80.0, -90.0, -79.5),),
        "curve": tuple((level, level + 2.0) for level in range(-50, -8, 2)),
        "compression": None,
        "timings": (),
        "noise_dbfs": -90.0,
        "noise_a_dbfs": -92.0,
        "hum": (),
        "cannot_tell": {"compression": "The curve bends by less than 3 dB."},
    }
    return Result(**plain | facts)


def three_tones(gain_db=20.0, *, sent_dbu=-20.0, bottom_db=0.0, top_db=0.0) -> list[dict]:
    """At 80 Hz, 1 kHz and 10 kHz: the gain, and what is more of it at the bottom and the top."""
    return [
        {"hertz": hertz, "sent_dbu": sent_dbu, "read_dbu": sent_dbu + gain_db + more}
        for hertz, more in ((80.0, bottom_db), (1000.0, 0.0), (10_000.0, top_db))
    ]


class MeasurementFactory(DjangoModelFactory):
    """A full one of an open revision, done; one that is not is `state="begun", result=None, …`."""

    class Meta:
        model = Measurement

    revision = factory.SubFactory(RevisionFactory)
    depth = Depth.FULL
    plan = factory.LazyFunction(lambda: Plan(48_000, -10.0).as_json())
    pad_db = 20
    fed_dbu = -12  # 0 dBFS is +18 dBu
    state = MeasurementState.DONE
    progress = 100
    result = factory.LazyFunction(lambda: result_of().as_json())

    class Params:
        of_tones = factory.Trait(
            depth=Depth.TONES,
            result=None,
            plan=factory.LazyFunction(lambda: ThreeTones(48_000, -18.0).as_json()),
            fed_dbu=-20,
            tones=factory.LazyFunction(three_tones),
        )

    original_name = "return.wav"
    cautions_by = factory.SubFactory(UserFactory)
    cautions_at = TEN_O_CLOCK
    measured_by = factory.SelfAttribute("cautions_by")
    measured_at = TEN_O_CLOCK
