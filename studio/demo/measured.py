"""The bass measured by its sound while it was set up, and again on a rebuild whose panels read the same.

Nobody has such a chain: what comes back is simulated from its logged controls (`simulated.py`), and read
as any return is.
"""

from collections.abc import Iterator, Mapping

from django.utils import timezone

from gear.audio.curves import Band
from gear.audio.proving.analysing import analyse
from gear.panels.models import Meaning
from sessions.recall.models import Rebuild
from sessions.recall.proving.actions import begin_chain
from sessions.recall.proving.feeding import feed_of, usual_pad_db
from sessions.recall.proving.models import Measurement, MeasurementState
from sessions.setups.controls.compressor import compressor_of
from sessions.setups.controls.equaliser import bands_of
from sessions.setups.controls.gains import summed_gains
from sessions.setups.controls.stage_controls import StageControls
from sessions.setups.models import Setup, Stage
from studio.demo.simulated import Holds, simulated_return
from studio.demo.simulated import Stage as Simulated

TRACK = "Bass DI"
#: What its transformers do, whatever is set.
TRANSFORMERS = (Band("low cut", 16, order=1), Band("high cut", 42_000, order=1))
LATE = 92  # samples: the converters'
#: What the controls of the rebuild do beyond what they read: by tag and key.
OTHERWISE = {"PR-01": {"gain": 1.6}, "CO-01": {"threshold": -3.2}}
NOTE = "Simulated: this studio is invented, and so is what came back."


def measure_bass(setup: Setup, *, by) -> None:
    chain = setup.chains.get(track=TRACK)
    feed = feed_of(chain.newest_revision())
    measurement = begin_chain(
        chain,
        seen=feed.digest,
        fed_dbu=feed.loudest_dbu,
        pad_db=usual_pad_db(feed.loudest_dbu, feed.full_scale_dbu),
        by=by,
    )
    _come_back(measurement, feed.stages, {}, by=by)
