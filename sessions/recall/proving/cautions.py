"""What has to be seen to before a test file is played, each thing confirmed by whoever plays it."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from gear.equipment.models import Phantom, Unit
from gear.equipment.phantom import PASSES_ON, Place
from gear.panels.models import Meaning
from sessions.recall.proving.feeding import Feed
from sessions.setups.chains.phantom import line_of, mates_of, place_of, ruling_on_switch
from sessions.setups.models import Revision, Stage


@dataclass(frozen=True)
class Caution:
    """What is confirmed and why, and what our record says against it, or to be minded with it."""

    key: str
    title: str
    text: str
    said: tuple[str, ...] = ()


SWEEPS = "The file sweeps from 8 Hz to 20.5 kHz and can harm ears and loudspeakers."
TONES = "Steady tones can harm ears and loudspeakers, high ones most."


def cautions(
    *,
    phantom: Iterable[str] = (),
    path: Iterable[str] = (),
    into: str = "",
    harms: str = SWEEPS,
) -> list[Caution]:
    """phantom, path: what the record says at those two. into: what the file is fed into, as "the input of
    PR-01". harms: why monitors are muted."""
    at = f" at {into}" if into else " at that input"
    return [
        Caution(
            "monitors",
            "Monitors are muted",
            harms,
        ),
        Caution(
            "headphones",
            "Headphone amplifiers are unplugged",
            "From what plays the file, and from what records it.",
        ),
        Caution(
            "phantom",
            f"Phantom power (48 V) is off{at} and has died away",
            "It can damage the output that the file is played from.",
            tuple(phantom),
        ),
        Caution(
            "path",
            "No microphone and no speaker is in the path",
            "The file goes in by cable.",
            tuple(path),
        ),
        Caution(
            "loop",
            "The track that records the return is not heard where the file is played",
            "Through the output that plays the file it would go round and howl.",
        ),
    ]


def chain_cautions(
    revision: Revision, feed: Feed, beside: Iterable[Revision], *, harms: str = SWEEPS
) -> list[Caution]:
    """By today's record of all that is up in the session (`beside`, loaded `with_stages`)."""
    beside = list(beside)
    return cautions(
        phantom=dict.fromkeys(_phantom(revision, feed, beside)),
        path=high_voltage(feed),
        into=f"the input of {feed.entry.facts.unit.tag}" if feed.entry else "",
        harms=harms,
    )


def _phantom(revision: Revision, feed: Feed, beside: list[Revision]) -> Iterator[str]:
    """48 V reaches where the file is fed in if that unit has the switch, or lets through what one
    behind it, or of another line of the same splitter, gives."""
    if feed.entry is None:
        return
    yield from fed_itself(feed.entry.unit)
    entry = place_of(feed.entry)
    others = [each for each in beside if each.pk != revision.pk]
    for stage in _switches(entry, revision, others):
        yield from _logged(stage, mates_of(revision, others))
        ruling = ruling_on_switch(stage, beside)
        ours = {each.unit for each in feed.before}
        yield from shared_with(unit for unit in ruling.needed_by if unit not in ours)


def fed_itself(entry: Unit) -> Iterator[str]:
    """Of a unit that works by 48 V from the input behind it, as an active DI does."""
    if entry.model.phantom_need == Phantom.NEEDED:
        yield (
            f"{entry} itself needs 48 V from the input behind it: leave that on. None may be on the cable that "
            "the file comes in by."
        )


def shared_with(needed: Iterable[Unit]) -> Iterator[str]:
    """needed: who gets 48 V by the same switch; none: nothing is said."""
    if names := [f"{unit}" for unit in needed]:
        *first, last = names
        listed = f"{', '.join(first)} and {last}" if first else last
        yield (
            f"The same switch gives 48 V to {listed}: mute those channels and tell "
            "whoever is there before you switch it off."
        )


def _switches(entry: Place, revision: Revision, others: list[Revision]) -> Iterator[Stage]:
    passes = entry.unit.model.category in PASSES_ON
    lines = [line_of(each) for each in (revision, *others)]
    banks = line_of(revision).hangs_on(lines) if passes else entry.banks
    for each in (revision, *others) if passes else (revision,):
        for stage in each.stages.all():
            place = place_of(stage)
            if place.switches and place.banks & banks:
                yield stage


def _logged(stage: Stage, mates: list[Revision]) -> Iterator[str]:
    """As the chain has the switch, else as another has it whose input the same one serves."""
    banks = place_of(stage).banks
    alike = [
        stage,
        *(each for mate in mates for each in mate.stages.all() if place_of(each).switches),
    ]
    values = [
        (each, each.setting(switch))
        for each in alike
        if place_of(each).banks & banks
        for switch in each.controls_for(Meaning.PHANTOM)
    ]
    on = next((each for each, value in values if value), None)
    if on:
        yield (
            f"Logged as on at {on.unit}{_channel(on)} (“{on.revision.chain}”): mute it, switch it off, "
            "and wait until it has died away."
        )
    elif values and all(value is None for _, value in values):
        yield f"Whether it is on at {stage.unit}{_channel(stage)} is not logged: look there."


def _channel(stage: Stage) -> str:
    return f", channel {stage.channel}" if stage.channel else ""


def high_voltage(feed: Feed) -> Iterator[str]:
    """Of what stands before the unit that the file is fed into."""
    for stage in feed.before:
        if stage.unit.model.own_supply or stage.unit.model.is_valve_microphone:
            yield (
                f"{stage.unit} has a supply with high voltage on its cable: leave that cable as it is, "
                "and unplug what leads from the supply to the preamplifier only."
            )
