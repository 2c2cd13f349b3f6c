"""What concerns a setup as a whole, or what stands beside it in the session."""

from collections import defaultdict
from collections.abc import Iterable, Iterator

from gear.audio.exposure import exposure_verdict
from gear.audio.verdict import Verdict
from sessions.setups.headphones.delay import delay_of
from sessions.setups.models import Revision, Setup, Stage
from sessions.setups.patching.patch_list import Patching
from sessions.setups.warnings.warning import Warning, from_verdict


def patch_clashes(patching: Patching) -> Iterator[Warning]:
    """What cannot be plugged, also beside the other setups that are up."""
    for clash in patching.clashes:
        yield Warning(clash.severity, clash.reason, clash.advice)


def buffer_verdict(setup: Setup, revisions: Iterable[Revision]) -> Verdict | None:
    """What a singer makes of the buffer, with converters and air; None where it is unknown."""
    ours = delay_of(setup, list(revisions)).ours
    return ours.verdict if ours else None


def buffer_too_large(setup: Setup, revisions: Iterable[Revision]) -> Iterator[Warning]:
    verdict = buffer_verdict(setup, revisions)
    if verdict and verdict.severity != "ok":
        yield from_verdict(verdict, f"Buffer of {setup.buffer_samples} samples")


def unit_twice(revisions: Iterable[Revision]) -> Iterator[Warning]:
    """Units in more than one place of the setup: one warning for all that share the same chains.

    A unit of many channels may stand in several chains, each time at patch points of its own; what
    comes before a mult belongs to all chains that take their copies there.
    """
    places = defaultdict(list)
    for revision in revisions:
        for stage in _after_mult(revision):
            place = stage.unit, stage.patch_in_id, stage.patch_out_id
            places[place].append(f"“{revision.chain}”")
    shared = defaultdict(list)
    for (unit, *_points), chains in places.items():
        if len(chains) > 1:
            shared[tuple(chains)].append(f"{unit}")
    for chains, units in shared.items():
        where = " and ".join(dict.fromkeys(chains))
        how = "in each of" if len(set(chains)) > 1 else "more than once in"
        yield Warning(
            "caution",
            f"{', '.join(units)}: stands {how} {where}.",
            "One after the other that is fine. At the same time a unit needs a channel for each: "
            "say which in the stages’ notes, or choose another unit.",
        )


def _after_mult(revision: Revision) -> list[Stage]:
    stages = list(revision.stages.all())
    copied = [n for n, stage in enumerate(stages, 1) if stage.patch_out and stage.patch_out.mult]
    return stages[max(copied, default=0) :]


def input_twice(setup: Setup, session_revisions: Iterable[Revision]) -> Iterator[Warning]:
    """One recorder input named by two chains: in this setup, or in one that is up beside it."""
    chains = defaultdict(list)
    for revision in session_revisions:
        name = " ".join(revision.chain.destination_input.split()).casefold()
        if name and (revision.chain.setup_id == setup.pk or revision.chain.setup.is_up):
            chains[name].append(revision.chain)
    for found in chains.values():
        ours = [chain for chain in found if chain.setup_id == setup.pk]
        if len(found) < 2 or not ours or not (setup.is_up or len(ours) > 1):
            continue
        where = " and ".join(f"“{chain}”" for chain in found)
        across = {chain.setup_id for chain in found} != {setup.pk}
        yield Warning(
            "caution",
            f"{ours[0].destination_input} is the input of {where}"
            f"{', whose setups are up together' if across else ''}.",
            "One input records one chain: give one of them another, or strike the setup that is "
            "done with.",
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
