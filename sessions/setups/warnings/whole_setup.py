"""What concerns a setup as a whole, or what stands beside it in the session."""

from collections.abc import Iterable, Iterator

from gear.audio.exposure import exposure_verdict
from gear.audio.values import format_value
from gear.audio.verdict import Verdict
from sessions.setups.headphones.delay import delay_of
from sessions.setups.models import Revision, Setup
from sessions.setups.patching.patch_list import Patching
from sessions.setups.warnings.warning import Warning, from_verdict


def patch_clashes(patching: Patching) -> Iterator[Warning]:
    """What cannot be plugged, also beside the other setups that are up."""
    for clash in patching.clashes:
        yield Warning(clash.severity, clash.reason, clash.advice, no_signal=clash.no_signal)


def buffer_verdict(setup: Setup, revisions: Iterable[Revision]) -> Verdict | None:
    """What a singer makes of the buffer, with converters and air; None where it is unknown."""
    ours = delay_of(setup, list(revisions)).ours
    return ours.verdict if ours else None


def buffer_too_large(setup: Setup, revisions: Iterable[Revision]) -> Iterator[Warning]:
    verdict = buffer_verdict(setup, revisions)
    if verdict and verdict.severity != "ok":
        yield from_verdict(verdict, f"Buffer of {setup.buffer_samples} samples")


def rate_differs(setup: Setup) -> Iterator[Warning]:
    """The converter shows another rate than the project is to be recorded at."""
    project = setup.session.project
    if setup.rate_seen_hz and setup.rate_seen_hz != project.sample_rate:
        yield Warning(
            "warning",
            f"The converter shows {format_value(setup.rate_seen_hz, 'Hz')}, and {project} is recorded "
            f"at {project.get_sample_rate_display()}: it would play at another speed and pitch.",
            "Check the clock master and the rate that the converter is set to.",
        )


def headphones_too_loud(setup: Setup) -> Iterator[Warning]:
    """Level and time in the headphones against a day's allowance (NIOSH 98-126, 1998).

    Reads setup.headphone_mixes.
    """
    for mix in setup.headphone_mixes.all():
        if mix.level_dba is None or mix.minutes_a_day is None:
            continue
        verdict = exposure_verdict(float(mix.level_dba), mix.minutes_a_day)
        if verdict.severity != "ok":
            yield from_verdict(verdict, f"Headphones, {mix} ({verdict.basis})", is_safety=True)
