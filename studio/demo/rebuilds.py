"""Of Slow the Lantern: the trombone set up again and struck, the bass in the middle of it. Of Neap and
Spring: the bass, set as it was, which does not sound as it did."""

from decimal import Decimal

from sessions.bookings.models import RecordingSession
from sessions.recall.models import Rebuild
from sessions.recall.rebuilds.actions import (
    choose_unit,
    finish_rebuild,
    read_tone,
    set_in_place,
    start_rebuild,
    tick_control,
)
from sessions.recall.rebuilds.checklist import checklist_of
from sessions.recall.rebuilds.lines import ChainChecklist, StageLine
from sessions.recall.sheet.contents import recall_sheet
from sessions.recall.sheet.wanted import WantedChain, chains_of_revisions
from sessions.setups.patching.actions import strike
from sessions.songs.models import Song
from studio.demo.measured import measure_rebuilt_bass

# Tag and control: as it was set, where that is not as logged.
OFF = {("PR-01", "gain"): 24.8, ("CO-01", "threshold"): 0.5}


def fill_rebuilds(work, session: RecordingSession) -> None:
    """This morning, before the players of that session came in."""
    song, chains = _chains_of("Slow the Lantern")
    done = _started(song, chains, "Tbn", by=work.engineer)
    (trombone,) = checklist_of(done).chains
    for line in trombone.stages:
        _set_up(line, by=work.engineer)
        _read(trombone, line, by=work.engineer)
    note = "For the cornet to match: same bell, same blanket behind it."
    strike(finish_rebuild(done, session=session, by=work.engineer, note=note))
    under_way = _started(song, chains, "Bass DI", by=work.engineer)
    (bass,) = checklist_of(under_way).chains
    for line in bass.stages[:3]:
        _set_up(line, by=work.assistant)
    for line in bass.stages[:2]:
        _read(bass, line, by=work.assistant)
    step = bass.stages[-1].step
    hired = "Hired from Oakum Sound Stores"
    choose_unit(step, unit=None, outside_unit=hired, seen=step.version, by=work.assistant)
    rebuild_measured_bass(by=work.engineer)


def rebuild_measured_bass(*, by) -> Rebuild:
    """All of it in place and set as it was logged; then it is measured."""
    rebuild = _started(*_chains_of("Neap and Spring"), "Bass DI", by=by)
    (bass,) = checklist_of(rebuild).chains
    for line in bass.stages:
        _set_up(line, by=by, off={})
    measure_rebuilt_bass(rebuild, *checklist_of(rebuild).chains, by=by)
    return rebuild


def _chains_of(title: str) -> tuple[Song, list[WantedChain]]:
    song = Song.objects.select_related("project__client").get(title=title)
    return song, chains_of_revisions(chain.revision for chain in recall_sheet(song).chains)


def _started(song: Song, chains: list[WantedChain], track: str, *, by) -> Rebuild:
    newest = [chain for chain in chains if chain.track == track][-1:]
    return start_rebuild(song, chains=newest, by=by)


def _set_up(line: StageLine, *, by, off=OFF) -> None:
    """In place, every control set."""
    set_in_place(line.step, in_place=True, by=by)
    for control in line.controls:
        key = control.control.key
        value = off.get((line.wanted.tag.partition("/")[0], key), control.wanted)
        if value is not None:
            tick_control(line.step, key=key, value=value, seen=0, by=by)


def _read(chain: ChainChecklist, line: StageLine, *, by) -> None:
    """The tone two tenths high, where it goes through."""
    if tone := chain.tone.at(line.step.position):
        reading = round(Decimal(str(tone.expected)) + Decimal("0.2"), 1)
        read_tone(line.step, reading=reading, seen=line.step.version, by=by)
