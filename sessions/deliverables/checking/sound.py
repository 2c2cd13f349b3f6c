"""What was measured in one file: peaks, clipping, channels, offset, silence (rule 4 of delivery)."""

from collections.abc import Iterator

from sessions.clients.orders import MIX_KINDS, DeliverableKind
from sessions.deliverables.models import DeliverableFile

from .asked import Asked
from .checks import PRACTICE, Check, Outcome, counted, decibels

# Common practice, no source: where an engineer would look again.
MOST_OFFSET = 0.001  # of full scale, −60 dBFS
MOST_SILENT_SECONDS_BEFORE, MOST_SILENT_SECONDS_AFTER = 1, 5

SIDES = {1: "left", 2: "right"}


def peaks(file: DeliverableFile, asked: Asked) -> Iterator[Check]:
    sample, true = file.levels["sample_peak_dbfs"], file.levels["true_peak_dbtp"]
    if sample is None:
        said = "The file is silent from beginning to end."
        yield Check(Outcome.WARNING, "Peaks", said, "every sample is zero", file)
        return
    if sample > 0:
        said = (
            f"Samples are {sample:.1f} dB above full scale. Only a floating-point file can hold them: "
            f"turn it down by {sample:.1f} dB or more before it is converted to 24 bit."
        )
        yield Check(Outcome.FAIL, "Peaks", said, PRACTICE, file)
    else:
        yield Check(Outcome.PASS, "Peaks", "No sample is above full scale.", PRACTICE, file)
    if true is not None:
        yield from _true_peak(file, asked, sample, true)


def _true_peak(file: DeliverableFile, asked: Asked, sample: float, true: float) -> Iterator[Check]:
    ceiling = asked.order.true_peak_ceiling_dbtp
    if ceiling is not None and asked.deliverable.kind != DeliverableKind.MULTITRACK:
        over = round(true - ceiling, 1)
        said = f"{decibels(true)} dBTP; the ceiling is {decibels(ceiling)} dBTP."
        if over > 0:
            said += f" Turned down by {over:.1f} dB it keeps it."
        verdict = Outcome.FAIL if over > 0 else Outcome.PASS
        source = f"{asked.source}; true peak by ITU-R BS.1770, Annex 2"
        yield Check(verdict, "True peak", said, source, file)
    elif true <= 0:
        said = "Not above 0 dBTP."
        yield Check(Outcome.PASS, "True peak", said, _true_peak_source(), file)
    elif sample <= 0:
        said = (
            f"Between the samples the sound is {true:.1f} dB above full scale: a converter or an "
            f"encoder may clip there. Turned down by {true:.1f} dB it would not."
        )
        yield Check(Outcome.WARNING, "True peak", said, _true_peak_source(), file)


def _true_peak_source() -> str:
    return f"true peak by ITU-R BS.1770, Annex 2; 0 dBTP as the limit: {PRACTICE}"


def clipping(file: DeliverableFile, asked: Asked) -> Iterator[Check]:
    if not file.clipped_run_count:
        yield Check(Outcome.PASS, "Clipping", "No run of samples at full scale.", PRACTICE, file)
        return
    places = [
        f"{file.time_of(first)} ({_channel(channel, file)})"
        for channel, first, _ in file.clipped_runs[:3]
    ]
    more = file.clipped_run_count - len(places)
    said = (
        f"{counted(file.clipped_run_count, 'run')} of samples at full scale, at "
        f"{', '.join(places)}{f' and {more} more' * (more > 0)}: it was clipped. Print it again, lower."
    )
    verdict = Outcome.WARNING if asked.is_reference else Outcome.FAIL
    yield Check(verdict, "Clipping", said, PRACTICE, file)


def channels(file: DeliverableFile, asked: Asked) -> Iterator[Check]:
    if file.channels == 1 or file.sample_peak_dbfs is None:
        return
    found = False
    for dead in file.dead_channels:
        found = True
        said = f"Channel {_channel(dead, file)} is silent from beginning to end."
        yield Check(Outcome.WARNING, "Channels", said, "every sample is zero", file)
    for pair in file.identical_channels:
        if set(pair) <= set(file.dead_channels):
            continue
        found = True
        said = f"Channels {_pair(pair, file)} are the same: mono in {counted(file.channels, 'channel')}."
        yield Check(Outcome.WARNING, "Channels", said, "sample by sample", file)
    for pair in file.antiphase_channels:
        if set(pair) <= set(file.dead_channels):
            continue
        found = True
        said = (
            f"Channels {_pair(pair, file)} are each other with the polarity flipped: "
            "heard in mono there is nothing left."
        )
        yield Check(Outcome.FAIL, "Channels", said, "sample by sample", file)
    if not found:
        said = "None is silent, none the copy of another."
        yield Check(Outcome.PASS, "Channels", said, "sample by sample", file)


def offset(file: DeliverableFile, asked: Asked) -> Iterator[Check]:
    if not file.dc_offsets or file.sample_peak_dbfs is None:
        return
    most, channel = max((abs(value), place) for place, value in enumerate(file.dc_offsets, 1))
    if most <= MOST_OFFSET:
        yield Check(Outcome.PASS, "DC offset", "Under 0.1 % of full scale.", PRACTICE, file)
        return
    said = (
        f"{100 * most:.1f} % of full scale on channel {_channel(channel, file)}: it takes headroom, and "
        "edits may click. A high-pass filter before the export takes it away."
    )
    yield Check(Outcome.WARNING, "DC offset", said, PRACTICE, file)


def silence(file: DeliverableFile, asked: Asked) -> Iterator[Check]:
    """Of a mix only: stems and tracks begin together, so that most of them begin with silence."""
    if asked.deliverable.kind not in MIX_KINDS or file.sample_peak_dbfs is None:
        return
    before = file.silent_frames_at_start / file.sample_rate
    after = file.silent_frames_at_end / file.sample_rate
    found = [
        f"{seconds:.1f} s {where}"
        for seconds, most, where in (
            (before, MOST_SILENT_SECONDS_BEFORE, "before the sound"),
            (after, MOST_SILENT_SECONDS_AFTER, "after it"),
        )
        if seconds > most
    ]
    if found:
        said = f"Silent for {' and '.join(found)}: see whether the right range was exported."
        yield Check(Outcome.WARNING, "Silence at the ends", said, PRACTICE, file)
    else:
        yield Check(Outcome.PASS, "Silence at the ends", "No more than usual.", PRACTICE, file)


def _channel(channel: int, file: DeliverableFile) -> str:
    return SIDES.get(channel, str(channel)) if file.channels == 2 else str(channel)


def _pair(pair: list[int], file: DeliverableFile) -> str:
    return " and ".join(_channel(each, file) for each in pair)
