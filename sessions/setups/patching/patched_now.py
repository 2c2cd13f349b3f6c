"""What is plugged in a bay now: each jack with its cord, and each normal made or broken."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from gear.patchbay.grid import Grid, grid_of
from gear.patchbay.models import Bay
from gear.patchbay.patch_list import End, Link, PatchList
from gear.patchbay.wiring import Jack, Wiring, load_wiring
from sessions.bookings.models import RecordingSession, Status
from sessions.setups.models import Setup
from sessions.setups.patching.patch_list import Patching, newest_of_sessions, patching_of


@dataclass(frozen=True)
class Plug:
    """One end of a cord: its number on the patch list, and the other end."""

    number: int
    link: Link
    other: End
    leads_out: bool


@dataclass(frozen=True)
class NormalState:
    """A normal as one of its jacks sees it."""

    other: Jack
    kind: str
    leads_out: bool
    holds: bool


@dataclass(frozen=True)
class JackNow:
    jack: Jack
    plugs: tuple[Plug, ...]
    normal: NormalState | None

    @property
    def row(self) -> str:
        return self.jack.row

    @property
    def column(self) -> int:
        return self.jack.column


@dataclass(frozen=True)
class PatchedNow:
    grid: Grid
    patching: Patching


def sessions_to_show(user):
    """Sessions with setups that the user may see, the latest first."""
    with_setups = Setup.objects.values("session")
    sessions = RecordingSession.objects.visible_to(user).filter(pk__in=with_setups)
    return sessions.select_related("project").order_by("-starts_at", "-pk")


def under_way(sessions):
    return sessions.filter(status=Status.UNDER_WAY)


def patched_now(bay: Bay, sessions: Iterable[RecordingSession]) -> PatchedNow:
    """By the setups of these sessions that are up, in a constant number of queries."""
    wiring = load_wiring()
    revisions = newest_of_sessions(sessions).filter(
        chain__setup__struck_at=None, chain__struck_at=None
    )
    patching = patching_of(revisions, wiring)
    jacks = [jack for jack in wiring.jacks if jack.bay == bay.name]
    plugs = _plugs(patching.patch_list)
    normals = _normals(wiring, {jack.pk for jack in plugs})
    now = [JackNow(jack, tuple(plugs.get(jack, ())), normals.get(jack)) for jack in jacks]
    return PatchedNow(grid_of(now), patching)


def _plugs(patch_list: PatchList) -> dict[Jack, list[Plug]]:
    plugs = defaultdict(list)
    for number, cord in enumerate(patch_list.cords, 1):
        if cord.source.jack:
            plugs[cord.source.jack].append(Plug(number, cord, cord.destination, leads_out=True))
        if cord.destination.jack:
            plugs[cord.destination.jack].append(Plug(number, cord, cord.source, leads_out=False))
    return plugs


def _normals(wiring: Wiring, plugged: set[int]) -> dict[Jack, NormalState]:
    states = {}
    for normal in wiring.normals:
        upper, lower = wiring.by_key[normal.source], wiring.by_key[normal.destination]
        holds = normal.holds(plugged)
        states[upper] = NormalState(lower, normal.kind, leads_out=True, holds=holds)
        states[lower] = NormalState(upper, normal.kind, leads_out=False, holds=holds)
    return states
