"""The patch list of setups and chains, computed from their stages and from how the bays are wired.

All of it reads revisions loaded `with_stages`, and then costs no query.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from gear.patchbay.clashes import Clash, clashes_of
from gear.patchbay.models import Side
from gear.patchbay.patch_list import End, Link, PatchList
from gear.patchbay.patching import patch
from gear.patchbay.wiring import Jack, Wiring
from sessions.bookings.models import RecordingSession
from sessions.setups.models import Chain, Path, Revision, Setup, Stage
from sessions.setups.patching.connections import Connection, connections
from sessions.setups.patching.plugs import PlugList, plug_list


@dataclass(frozen=True)
class Patching:
    """What is patched for some revisions together, and what clashes in it."""

    patch_list: PatchList
    clashes: tuple[Clash, ...]

    @property
    def plugs(self) -> PlugList:
        return plug_list(self.patch_list)

    def of_setup(self, setup: Setup) -> "Patching":
        """The part that concerns a setup; a clash with another setup says so."""
        return self._concerning(lambda chain: chain.setup_id == setup.pk)

    def of_chain(self, chain: Chain) -> "Patching":
        return self._concerning(lambda other: other.pk == chain.pk)

    def _concerning(self, is_ours) -> "Patching":
        chains = {chain for link in self.patch_list.links for chain in link.chains}
        ours = tuple(clash for clash in self.clashes if any(map(is_ours, clash.chains)))
        return Patching(self.patch_list.concerning(filter(is_ours, chains)), ours)


NOTHING = Patching(PatchList(), ())


def patching_of(revisions: Iterable[Revision], wiring: Wiring) -> Patching:
    """What to patch for all these revisions at the same time."""
    wishes = [wish for revision in revisions for wish in wishes_of(revision, wiring)]
    patch_list = patch(wishes, wiring)
    clashes = (_across_setups(clash) for clash in clashes_of(patch_list, wiring))
    return Patching(patch_list, tuple(clashes))


def session_patching(revisions: Iterable[Revision], wiring: Wiring) -> dict[int, Patching]:
    """Of each setup by its key: with all that are up at the same time, or alone once it is struck;
    a chain that was struck apart is in none.

    `revisions` are the newest of one session's chains, in the order of the day.
    """
    revisions = list(revisions)
    setups = {revision.chain.setup_id: revision.chain.setup for revision in revisions}
    revisions = [revision for revision in revisions if revision.chain.struck_at is None]
    together = patching_of((r for r in revisions if r.chain.setup.is_up), wiring)
    return {
        key: together.of_setup(setup)
        if setup.is_up
        else patching_of((r for r in revisions if r.chain.setup_id == key), wiring)
        for key, setup in setups.items()
    }


def newest_of_sessions(sessions: Iterable[RecordingSession | int]):
    """The chains of these sessions as they stand now, in the order of the day."""
    newest = Revision.objects.newest().filter(chain__setup__session__in=sessions).with_stages()
    return newest.order_by(
        "chain__setup__session__starts_at",
        "chain__setup__session",
        "chain__setup__position",
        "chain__setup",
        "chain__position",
        "chain",
    )


def patching_then(revisions: Iterable[Revision], wiring: Wiring) -> Patching:
    """As it was: fixed revisions go by the wiring of their day, others by today's."""
    revisions = list(revisions)
    return patching_of(revisions, wiring.as_it_was(revision.wiring for revision in revisions))


def wiring_snapshot(stages: list[Stage], wiring: Wiring) -> dict:
    """What has to be known of the bays to print these stages' patch list again, for JSON."""
    points = {point for stage in stages for point in (stage.patch_in_id, stage.patch_out_id)}
    return wiring.about(filter(None, points), {stage.unit_id for stage in stages}).to_json()


def wishes_of(revision: Revision, wiring: Wiring) -> Iterator[Link]:
    """Which output is to feed which input, from source to track."""
    return wishes(connections(revision), wiring, (revision.chain,))


def wishes(made_up: Iterable[Connection], wiring: Wiring, chains: tuple) -> Iterator[Link]:
    """The same of connections that `chains` want.

    A jack that nobody named is taken from the unit's wiring if that leaves no choice, and only where
    the other end is at a bay too: else the two are plugged together directly.
    """
    for made in made_up:
        source = _end(made.source, made.out_at, Side.SEND, wiring)
        if made.destination:
            destination = _end(made.destination, made.in_at, Side.RETURN, wiring)
        else:
            destination = End(made.destination_input, path=Path.PRINTED.label.lower())
        if not (source.jack and destination.jack):
            source, destination = _as_named(source, made.out_at), _as_named(destination, made.in_at)
        yield Link(source, destination, chains, made.source.cord_cm)


def _end(stage: Stage, named: Jack | None, side: Side, wiring: Wiring) -> End:
    wired = wiring.of_unit(stage.unit_id, side, stage.channel)
    only = wired[0] if len(wired) == 1 else None
    jack = wiring.by_key[named.pk] if named else only
    choices = () if jack else wired
    path = stage.get_path_display().lower()
    unit = stage.facts.unit
    return End(f"{unit}", jack, stage.unit_id, choices, path, stage.channel, unit.tag)


def _as_named(end: End, named: Jack | None) -> End:
    return end if named else replace(end, jack=None)


def _across_setups(clash: Clash) -> Clash:
    setups = {chain.setup_id: chain.setup for chain in clash.chains}
    if len(setups) < 2:
        return clash
    names = " and ".join(f"“{setup}”" for setup in setups.values())
    return replace(
        clash,
        reason=f"{clash.reason} That is in {names}, which are set up together.",
        advice=f"Strike one before the other is patched. {clash.advice}",
    )
