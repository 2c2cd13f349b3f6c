"""Units of several channels: one on which two chains stand at a time, and what channels share."""

from collections import defaultdict
from collections.abc import Iterable, Iterator

from gear.equipment.models import Category
from sessions.setups.models import Revision, Stage
from sessions.setups.warnings.warning import Warning


def channel_twice(revisions: Iterable[Revision]) -> Iterator[Warning]:
    """Channels in more than one place of the setup: one warning for all that share the same chains.

    What comes before a mult, or up to a splitter, belongs to all chains that take their copies there.
    """
    places = defaultdict(list)
    for revision in revisions:
        for stage in after_mult(revision):
            places[stage.facts.unit].append(f"“{revision.chain}”")
    shared = defaultdict(list)
    for unit, chains in places.items():
        if len(chains) > 1:
            shared[tuple(chains)].append(unit)
    for chains, units in shared.items():
        where = " and ".join(dict.fromkeys(chains))
        how = "in each of" if len(set(chains)) > 1 else "more than once in"
        yield Warning(
            "warning",
            f"{', '.join(map(str, units))}: stands {how} {where}.",
            "One after the other that is fine. At the same time a chain needs a channel of its own: "
            "choose another channel, or another unit.",
        )


def after_mult(revision: Revision) -> list[Stage]:
    """The stages that are the chain's alone."""
    stages = list(revision.stages.all())
    copied = [
        n
        for n, stage in enumerate(stages, 1)
        if (stage.patch_out and stage.patch_out.mult)
        or stage.unit.model.category == Category.SPLITTER
    ]
    return stages[max(copied, default=0) :]


def shared_control_differs(revisions: Iterable[Revision]) -> Iterator[Warning]:
    """A control that serves the whole unit, logged otherwise for one of its channels."""
    logged = defaultdict(dict)
    for revision in revisions:
        for stage in revision.stages.all():
            for control in stage.controls():
                if control.serves_all and stage.setting(control) is not None:
                    logged[stage.unit, control.label][stage.setting(control)] = revision.chain
    for (unit, label), chains in logged.items():
        if len(chains) > 1:
            where = " and ".join(f"“{chain}”" for chain in chains.values())
            yield Warning(
                "caution",
                f"{unit}: {label} serves all its channels, and is logged differently in {where}.",
                "It has one position: check the unit, and log that in both.",
            )
