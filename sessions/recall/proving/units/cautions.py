"""What the record says against a test file at a unit that is measured by itself."""

from collections.abc import Iterator

from gear.equipment.models import Category, Unit
from gear.panels.models import Meaning
from sessions.recall.proving.cautions import SWEEPS, Caution, cautions
from sessions.setups.models import Revision, Stage

#: A signal into these, or out of them into a converter, can do damage, or is no line or microphone level.
NOT_BY_ITSELF = (Category.MICROPHONE, Category.SUPPLY, Category.HEADPHONES, Category.AMPLIFIER)


def why_not_measured(unit: Unit) -> str:
    """A sentence; empty where a test file may be played into it."""
    if unit.model.category not in NOT_BY_ITSELF:
        return ""
    kind = unit.model.get_category_display().lower()
    article = "an" if kind[0] in "aeio" else "a"
    return f"It is {article} {kind}: nothing is played into it, or recorded from its output, as a test."


def unit_cautions(unit: Unit, *, harms: str = SWEEPS) -> list[Caution]:
    """By today's record of all chains that are set up with it. A few queries."""
    stages = list(_in_use(unit))
    return cautions(
        phantom=dict.fromkeys(_phantom(stages)),
        path=dict.fromkeys(_chains(stages)),
        into=f"the input of {unit.asset_tag}",
        harms=harms,
    )


def _in_use(unit: Unit):
    newest = Revision.objects.newest().filter(
        chain__struck_at=None, chain__setup__struck_at=None, stages__unit=unit
    )
    return (
        Stage.objects.filter(unit=unit, revision__in=newest)
        .select_related("panel", "revision__chain__source", "revision__chain__setup__session")
        .prefetch_related("panel__controls")
    )


def _phantom(stages: list[Stage]) -> Iterator[str]:
    for stage in stages:
        for switch in stage.controls_for(Meaning.PHANTOM):
            if (stage.setting(switch) or 0) > 0:
                yield (
                    f"Logged as on{_channel(stage)} (“{stage.revision.chain}”): mute it, switch it off, and wait "
                    "until it has died away."
                )
            elif stage.setting(switch) is None:
                yield f"Whether it is on{_channel(stage)} is not logged: look there."


def _chains(stages: list[Stage]) -> Iterator[str]:
    for stage in stages:
        yield (
            f"It is set up in “{stage.revision.chain}” of {stage.revision.chain.setup.session}{_channel(stage)}: "
            "note how it is set, and once 48 V has died away unplug what leads to it and from it."
        )


def _channel(stage: Stage) -> str:
    return f", channel {stage.channel}" if stage.channel else ""
