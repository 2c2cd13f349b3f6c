"""A rebuild under way, one that is finished, and a recall that came from another studio."""

from decimal import Decimal

from sessions.bookings.models import RecordingSession
from sessions.recall.imported.actions import assign_song, import_sheet
from sessions.recall.models import Rebuild
from sessions.recall.rebuilds.actions import (
    finish_rebuild,
    read_tone,
    set_in_place,
    start_rebuild,
    tick_control,
)
from sessions.recall.rebuilds.checklist import ChainChecklist, StageLine, checklist_of
from sessions.recall.sheet.contents import recall_sheet
from sessions.recall.sheet.data import recall_data
from sessions.recall.sheet.wanted import WantedChain, chains_of_revisions
from sessions.setups.patching.actions import strike
from sessions.songs.models import Song
from studio.models import User

# Tag and control: as it was set, where that is not as logged.
OFF = {("P-01", "trim"): -1.8, ("C-01", "threshold"): -2.5, ("C-01", "make-up"): 5.5}


def fill_rebuilds(today: RecordingSession) -> None:
    """Of Slow the Lantern: the fiddle is done, the lead vocal half done."""
    song = Song.objects.select_related("project__client").get(title="Slow the Lantern")
    ulric, piran = (User.objects.get(username=name) for name in ("ulric", "piran"))
    chains = chains_of_revisions(chain.revision for chain in recall_sheet(song).chains)
    done = _started(song, chains, "Fdl 1", by=ulric)
    (fiddle,) = checklist_of(done).chains
    for line in fiddle.stages:
        _set_up(line, by=ulric)
        _read(fiddle, line, by=ulric)
    # Struck again before the group came, whose microphones need the same jacks.
    strike(finish_rebuild(done, session=today, by=ulric, note="For the mix; bow noise checked."))
    under_way = _started(song, chains, "Ld Vox", by=ulric)
    (voice,) = checklist_of(under_way).chains
    for line in voice.stages[:3]:
        _set_up(line, by=piran)
        _read(voice, line, by=piran)
    _bring(song, by=ulric)


def _started(song: Song, chains: list[WantedChain], track: str, *, by) -> Rebuild:
    newest = [chain for chain in chains if chain.track == track][-1:]
    return start_rebuild(song, chains=newest, by=by)


def _set_up(line: StageLine, *, by) -> None:
    """In place, every control set."""
    set_in_place(line.step, in_place=True, by=by)
    for control in line.controls:
        key = control.control.key
        value = OFF.get((line.wanted.tag, key), control.wanted)
        if value is not None:
            tick_control(line.step, key=key, value=value, seen=0, by=by)


def _read(chain: ChainChecklist, line: StageLine, *, by) -> None:
    """The tone a tenth low, where it goes through."""
    if tone := chain.tone.at(line.step.position):
        reading = round(Decimal(str(tone.expected)) - Decimal("0.1"), 1)
        read_tone(line.step, reading=reading, seen=line.step.version, by=by)


def _bring(song: Song, *, by) -> None:
    """The song's own recall, as if another house had written it."""
    data = recall_data(
        recall_sheet(song),
        studio="Oriel Yard",
        address=f"https://oriel-yard.example/songs/{song.pk}/recall-sheet/",
    )
    sheet = import_sheet(data, file_name="recall slow-the-lantern.pdf", by=by)
    assign_song(sheet, song=song)
