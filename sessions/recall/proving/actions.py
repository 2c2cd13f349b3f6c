from collections.abc import Callable, Mapping
from dataclasses import replace
from decimal import Decimal

from django.core.files.base import File
from django.db import transaction
from django.utils import timezone

from gear.acting import action
from gear.audio.proving.plan import Plan
from gear.audio.proving.three_tones.layout import ThreeTones
from gear.audio.proving.three_tones.tone import Tone
from gear.equipment.models import Unit
from sessions.recall.proving.feeding import Feed, feed_of, plan_of
from sessions.recall.proving.models import Depth, Measurement, MeasurementState
from sessions.recall.proving.running import read_return
from sessions.recall.proving.three_tones import house_tones
from sessions.setups.chains.actions import lock_newest
from sessions.setups.models import Chain, Revision
from sessions.storing import printable_name, stored


class ChangedMeanwhile(Exception):
    """The chain is not as whoever confirmed the cautions saw it."""

    def __init__(self):
        super().__init__("Its settings were changed meanwhile: look at the plan again.")


class NotTaken(Exception):
    """The return is not taken, or the measurement not undone; the text is a sentence for the user."""


@action
def begin(
    *, plan: Plan | ThreeTones, pad_db, fed_dbu, by, cable: Measurement | None = None, **subject
) -> Measurement:
    """A measurement whose test file may be played: `by` has confirmed every caution just now. subject: as the
    fields of Measurement have it."""
    tones = getattr(plan, "hertz", None)
    return Measurement.objects.create(
        depth=Depth.TONES if tones else Depth.FULL,
        plan=plan.as_json(),
        tones=tones and [Tone(hertz, float(fed_dbu)).as_json() for hertz in tones],
        pad_db=pad_db,
        fed_dbu=fed_dbu,
        cable=cable,
        cautions_by=by,
        cautions_at=timezone.now(),
        **subject,
    )


def ceiling_dbfs(*, fed_dbu, pad_db, full_scale_dbu) -> float:
    """Of the file, so that it comes to fed_dbu behind the pad."""
    return float(fed_dbu) + float(pad_db) - float(full_scale_dbu)


@action
def begin_through(
    feed: Feed,
    *,
    seen: str,
    rate_hz: int,
    pad_db: Decimal,
    fed_dbu: Decimal,
    by,
    tones: Callable[[int, float], ThreeTones] | None = None,
    **subject,
) -> Measurement:
    """Through a chain as it stands now. seen: the digest of the settings that the plan was drawn by. tones: the three
    by rate and ceiling; without it, the whole test file. Raises ChangedMeanwhile."""
    if feed.digest != seen:
        raise ChangedMeanwhile
    ceiling = ceiling_dbfs(fed_dbu=fed_dbu, pad_db=pad_db, full_scale_dbu=feed.full_scale_dbu)
    plan = tones(rate_hz, ceiling) if tones else plan_of(rate_hz, ceiling, feed.release_s)
    return begin(
        plan=plan,
        pad_db=pad_db,
        fed_dbu=fed_dbu,
        by=by,
        settings_digest=feed.digest,
        **subject,
    )


@action
def begin_chain(
    chain: Chain,
    *,
    seen: str,
    pad_db: Decimal,
    fed_dbu: Decimal,
    by,
    depth: Depth = Depth.FULL,
    up_to: int | None = None,
    cable: Measurement | None = None,
) -> Measurement:
    """Raises ChangedMeanwhile, see `begin_through`."""
    newest = lock_newest(chain)
    revision = Revision.objects.with_stages().get(pk=newest.pk)
    return begin_through(
        feed_of(revision, up_to=up_to),
        seen=seen,
        rate_hz=revision.recording_format.sample_rate,
        pad_db=pad_db,
        fed_dbu=fed_dbu,
        tones=None if depth == Depth.FULL else house_tones,
        cable=cable,
        by=by,
        revision=revision,
        up_to=up_to,
    )


@action
def begin_unit(
    unit: Unit,
    *,
    depth: Depth,
    channel: int | None,
    note: str,
    rate_hz: int,
    full_scale_dbu: Decimal,
    fed_dbu: Decimal,
    pad_db: Decimal,
    by,
    cable: Measurement | None = None,
) -> Measurement:
    """From jack to jack, set as the note says."""
    ceiling = ceiling_dbfs(fed_dbu=fed_dbu, pad_db=pad_db, full_scale_dbu=full_scale_dbu)
    return begin(
        plan=(plan_of if depth == Depth.FULL else house_tones)(rate_hz, ceiling),
        pad_db=pad_db,
        fed_dbu=fed_dbu,
        cable=cable,
        by=by,
        unit=unit,
        channel=channel,
        note=note,
    )


@action
def begin_cable(*, rate_hz: int, full_scale_dbu, by) -> Measurement:
    """The file goes out and comes back in by a cable, a decibel below full scale."""
    fed = Decimal(str(full_scale_dbu)) - 1
    return begin(plan=plan_of(rate_hz, -1.0), pad_db=0, fed_dbu=fed, by=by, is_cable=True)


def take_return(
    measurement: Measurement, *, upload: File, keep: bool, by, then=lambda: None
) -> None:
    """Keep the recording until the worker has read it. It is stored before the transaction, which ends
    with `then`. Raises NotTaken where it is being read already, was read, or is undone."""
    with stored(measurement.recording, upload, ending=".sound"), transaction.atomic():
        _wait_to_be_read(measurement, name=upload.name, keep=keep, by=by)
        then()


@action
def _wait_to_be_read(measurement: Measurement, *, name: str, keep: bool, by) -> None:
    current = _to_be_read(measurement)
    current.recording = measurement.recording
    current.original_name = printable_name(name)
    current.is_recording_kept = keep
    current.state, current.progress, current.refusal = MeasurementState.WAITING, 0, ""
    current.measured_by = by
    current.save()
    read_return.enqueue(current.pk)


def _locked(measurement: Measurement) -> Measurement:
    """Raises NotTaken where its rebuild is finished."""
    current = Measurement.objects.select_for_update(no_key=True).get(pk=measurement.pk)
    if current.is_closed:
        raise NotTaken("Its rebuild is finished, so that it stays as it is.")
    return current


def _to_be_read(measurement: Measurement) -> Measurement:
    current = _locked(measurement)
    if not current.takes_return:
        raise NotTaken(
            "It was undone." if current.is_undone else "A return of it was uploaded meanwhile."
        )
    return current


@action
def save_readings(measurement: Measurement, readings: Mapping[float, float], *, by) -> None:
    """What a meter reads of the tones, in dBu by frequency; of one that is left out nothing is told. Raises
    NotTaken as `take_return` does."""
    current = _to_be_read(measurement)
    current.tones = [
        replace(tone, read_dbu=readings.get(tone.hertz)).as_json() for tone in current.tones_read
    ]
    current.state, current.progress, current.refusal = MeasurementState.DONE, 100, ""
    current.measured_by, current.measured_at = by, timezone.now()
    current.save()


@action
def undo(measurement: Measurement, *, by) -> None:
    """Strike it out, for good. Raises NotTaken where that was done already, or nothing was found yet."""
    current = _locked(measurement)
    if current.is_undone:
        raise NotTaken(f"{current.undone_by} did that already.")
    if not current.is_done:
        raise NotTaken("Nothing was found yet that could be undone.")
    current.undone_by, current.undone_at = by, timezone.now()
    current.save()
