"""Units of several channels: one on which two chains stand at a time, and what channels share."""

from collections import defaultdict
from collections.abc import Iterable, Iterator

from gear.equipment.models import Category
from gear.panels.models import Control, Meaning
from sessions.setups.models import Revision, Stage
from sessions.setups.warnings.warning import Warning


def channel_twice(revisions: Iterable[Revision]) -> Iterator[Warning]:
    """Channels in more than one place of the setup."""
    return stands_twice((f"{each.chain}", after_mult(each)) for each in revisions)


def stands_twice(chains: Iterable[tuple[str, Iterable[Stage]]]) -> Iterator[Warning]:
    """Channels in more than one place of these chains, each by its name: one warning for all that
    share the same chains.

    What comes before a mult, or up to a splitter, belongs to all chains that take their copies there.
    """
    places, one_signal = defaultdict(list), {}
    for name, stages in chains:
        for stage in stages:
            places[stage.facts.unit].append(f"“{name}”")
            one_signal[stage.facts.unit] = stage.channel or stage.unit.model.channels == 1
    shared = defaultdict(list)
    for unit, names in places.items():
        if len(names) > 1:
            shared[tuple(names), bool(one_signal[unit])].append(unit)
    for (names, is_one), units in shared.items():
        where = " and ".join(dict.fromkeys(names))
        how = "in each of" if len(set(names)) > 1 else "more than once in"
        yield Warning(
            "warning",
            f"{', '.join(map(str, units))}: stands {how} {where}.",
            "One after the other that is fine. At the same time a chain needs a channel of its own: "
            "choose another channel, or another unit.",
            no_signal=is_one,
        )


def after_mult(revision: Revision) -> list[Stage]:
    """The stages that are the chain's alone."""
    return behind_copies(list(revision.stages.all()))


def behind_copies(stages: list[Stage]) -> list[Stage]:
    copied = [
        n
        for n, stage in enumerate(stages, 1)
        if (stage.patch_out and stage.patch_out.mult)
        or stage.unit.model.category == Category.SPLITTER
    ]
    return stages[max(copied, default=0) :]


def shared_control_differs(revisions: Iterable[Revision]) -> Iterator[Warning]:
    """A control that serves the whole unit, or several of its channels, logged otherwise for one."""
    logged = defaultdict(dict)
    for revision in revisions:
        for stage in revision.stages.all():
            for control in stage.controls():
                shared_by = _shared_by(stage, control)
                if shared_by and stage.setting(control) is not None:
                    key = stage.unit, control.label, shared_by
                    logged[key][stage.setting(control)] = revision.chain
    for (unit, label, shared_by), chains in logged.items():
        if len(chains) > 1:
            where = " and ".join(f"“{chain}”" for chain in chains.values())
            yield Warning(
                "caution",
                f"{unit}: {label} serves {shared_by}, and is logged differently in {where}.",
                "It has one position: check the unit, and log that in both.",
            )


def _shared_by(stage: Stage, control: Control) -> str:
    """The channels that one such control serves, in words; empty where each has its own."""
    if control.serves_all:
        return "all its channels"
    model, channel = stage.unit.model, stage.channel
    if control.meaning != Meaning.PHANTOM or model.phantom_bank == 1 or not channel:
        return ""
    first = (channel - 1) // model.phantom_bank * model.phantom_bank + 1
    return f"its inputs {first} to {min(first + model.phantom_bank - 1, model.channels)}"
