"""The bass measured by its sound while it was set up, and again on a rebuild whose panels read the same.

Nobody has such a chain: what comes back is simulated from its logged controls (`simulated.py`), and read
as any return is.
"""

from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal

from django.utils import timezone

from gear.audio.curves import Band
from gear.audio.proving.analysing import analyse
from gear.equipment.models import Unit
from gear.panels.models import Meaning
from sessions.recall.models import Rebuild
from sessions.recall.proving.actions import begin_chain, begin_unit, save_readings
from sessions.recall.proving.feeding import feed_of, feed_through, usual_pad_db
from sessions.recall.proving.models import Depth, Measurement, MeasurementState
from sessions.recall.rebuilds.lines import ChainChecklist
from sessions.recall.then_and_now.actions import begin_rebuilt
from sessions.recall.then_and_now.standing import standing_stages
from sessions.setups.controls.compressor import compressor_of
from sessions.setups.controls.equaliser import bands_of
from sessions.setups.controls.gains import summed_gains
from sessions.setups.controls.stage_controls import StageControls
from sessions.setups.models import Setup, Stage
from studio.demo.days import as_of, at
from studio.demo.simulated import Holds, simulated_return
from studio.demo.simulated import Stage as Simulated

TRACK = "Bass DI"
#: What its transformers do, whatever is set.
TRANSFORMERS = (Band("low cut", 16, order=1), Band("high cut", 42_000, order=1))
LATE = 92  # samples: the converters'
#: What the controls of the rebuild do beyond what they read: by tag and key.
OTHERWISE = {"PR-01": {"gain": 1.6}, "CO-01": {"threshold": 2.8}}
NOTE = "Simulated: this studio is invented, and so is what came back."


#: Of eight-channel preamplifiers, by days, tag and channel: what a meter read of three tones, from the bottom up.
READ_DBU = {
    (-371, "PR-01", 1): (3.8, 4.0, 3.8),
    (-9, "PR-01", 1): (3.7, 3.9, 2.9),
    (-9, "PR-01", 2): (3.9, 4.1, 3.9),
    (-9, "PR-02", 1): (3.9, 4.0, 3.8),
}
SET_AS = "Gain 24 dB, everything else out, 48 V off."


def measure_preamplifiers(*, by) -> None:
    """By themselves, a year apart: the top of one channel has fallen meanwhile."""
    for (days, tag, channel), read_dbu in READ_DBU.items():
        with as_of(at(days, 9, 30)):
            measurement = begin_unit(
                Unit.objects.get(asset_tag=tag),
                depth=Depth.TONES,
                channel=channel,
                note=SET_AS,
                rate_hz=48_000,
                full_scale_dbu=Decimal(18),
                fed_dbu=Decimal(-20),
                pad_db=Decimal(20),
                by=by,
            )
            hertz = (tone.hertz for tone in measurement.tones_read)
            save_readings(measurement, dict(zip(hertz, read_dbu, strict=True)), by=by)


def measure_bass(setup: Setup, *, by) -> None:
    """As it is set up, before anybody plays."""
    chain = setup.chains.get(track=TRACK)
    feed = feed_of(chain.newest_revision())
    measurement = begin_chain(
        chain,
        seen=feed.digest,
        fed_dbu=Decimal(feed.loudest_dbu),
        pad_db=Decimal(usual_pad_db(feed.loudest_dbu, feed.full_scale_dbu)),
        by=by,
    )
    _come_back(measurement, feed.stages, {}, by=by)


def measure_rebuilt_bass(rebuild: Rebuild, chain: ChainChecklist, *, by) -> None:
    """By the file of then, through units that are set as it was logged, by what is engraved on them."""
    wanted = chain.wanted
    then = wanted.revision.measurements.standing().get()
    feed = feed_through(standing_stages(chain), then.full_scale_dbu)
    measurement = begin_rebuilt(
        rebuild,
        wanted.number,
        seen=feed.digest,
        pad_db=then.pad_db,
        fed_dbu=then.fed_dbu,
        by=by,
    )
    _come_back(measurement, feed_of(wanted.revision).stages, OTHERWISE, by=by)


def _come_back(
    measurement: Measurement, stages: Iterable[Stage], otherwise: Mapping[str, dict], *, by
) -> None:
    samples = simulated_return(
        measurement.file_plan,
        [TRANSFORMERS, *_simulated(stages, otherwise)],
        fed_dbu=float(measurement.fed_dbu),
        full_scale_dbu=measurement.full_scale_dbu,
        samples_late=LATE,
    )
    found = analyse(measurement.file_plan, samples, measurement.file_plan.rate_hz)
    measurement.result = found.as_json()
    measurement.state, measurement.progress = MeasurementState.DONE, 100
    measurement.original_name, measurement.note = "bass return.wav", NOTE
    measurement.measured_by, measurement.measured_at = by, timezone.now()
    measurement.save()


def _simulated(stages: Iterable[Stage], otherwise: Mapping[str, dict]) -> Iterator[Simulated]:
    """What each unit does, by its controls."""
    for stage in stages:
        more = otherwise.get(stage.unit.asset_tag, {})
        settings = stage.settings | {key: stage.settings[key] + by for key, by in more.items()}
        controls = StageControls(stage.controls(), settings)
        gains, _ = summed_gains(controls, [])
        yield gains["gain_db"] - abs(gains["pad_db"])
        yield tuple(bands_of(controls, []))
        if curve := compressor_of(controls, []):
            attack, release = (controls.of(each)[0] for each in (Meaning.ATTACK, Meaning.RELEASE))
            yield Holds(curve, controls.setting(attack), controls.setting(release))
