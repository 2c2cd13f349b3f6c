from decimal import Decimal

from django.core.files.base import File
from django.db import transaction
from django.utils import timezone

from gear.acting import action
from gear.audio.proving.plan import Plan
from sessions.recall.proving.feeding import feed_of, plan_of
from sessions.recall.proving.models import Depth, Measurement, MeasurementState
from sessions.recall.proving.running import read_return
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
    *, plan: Plan, pad_db, fed_dbu, by, cable: Measurement | None = None, **subject
) -> Measurement:
    """A full measurement whose test file may be played: `by` has confirmed every caution just now.
    subject: as the fields of Measurement have it."""
    return Measurement.objects.create(
        depth=Depth.FULL,
        plan=plan.as_json(),
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
def begin_chain(
    chain: Chain,
    *,
    seen: str,
    pad_db: Decimal,
    fed_dbu: Decimal,
    by,
    up_to: int | None = None,
    cable: Measurement | None = None,
) -> Measurement:
    """Of the chain as it stands now. seen: the digest of the settings that the plan was drawn by.
    Raises ChangedMeanwhile."""
    newest = lock_newest(chain)
    revision = Revision.objects.with_stages().get(pk=newest.pk)
    feed = feed_of(revision, up_to=up_to)
    if feed.digest != seen:
        raise ChangedMeanwhile
    ceiling = ceiling_dbfs(fed_dbu=fed_dbu, pad_db=pad_db, full_scale_dbu=feed.full_scale_dbu)
    return begin(
        plan=plan_of(revision.recording_format.sample_rate, ceiling, feed.release_s),
        pad_db=pad_db,
        fed_dbu=fed_dbu,
        cable=cable,
        by=by,
        revision=revision,
        up_to=up_to,
        settings_digest=feed.digest,
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
    current = Measurement.objects.select_for_update(no_key=True).get(pk=measurement.pk)
    if not current.takes_return:
        raise NotTaken(
            "It was undone." if current.is_undone else "A return of it was uploaded meanwhile."
        )
    current.recording = measurement.recording
    current.original_name = printable_name(name)
    current.is_recording_kept = keep
    current.state, current.progress, current.refusal = MeasurementState.WAITING, 0, ""
    current.measured_by = by
    current.save()
    read_return.enqueue(current.pk)


@action
def undo(measurement: Measurement, *, by) -> None:
    """Strike it out, for good. Raises NotTaken where that was done already."""
    current = Measurement.objects.select_for_update(no_key=True).get(pk=measurement.pk)
    if current.is_undone:
        raise NotTaken(f"{current.undone_by} did that already.")
    current.undone_by, current.undone_at = by, timezone.now()
    current.save()
