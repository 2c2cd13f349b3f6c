"""A lead vocal patched through a bay, with what its singer heard, logged as a take is."""

from gear.equipment.models import Category
from gear.patchbay.models import Normal, PatchPoint, TieLine
from sessions.bookings.models import Status
from sessions.recall.sheet.contents import RecallSheet, recall_sheet
from sessions.setups.models import Path
from sessions.songs.models import Song
from sessions.takes.actions import circle_parts, log_take
from sessions.takes.models import Take
from tests.factories import (
    BayFactory,
    GearModelFactory,
    HeadphoneLineFactory,
    HeadphoneMixFactory,
    MicrophoneModelFactory,
    PartFactory,
    PatchPointFactory,
    PersonFactory,
    RecordingSessionFactory,
    StageFactory,
    UnitFactory,
)
from tests.sessions.recall.recorded import chain_of
from tests.sessions.takes.seen import seen


def patched_vocal() -> Take:
    """
    [M-01] Loft, box 1 --A1 ==cord== B1-- [P-01] --A2 ==cord== B3-- [C-01] -- Recorder in 1
                        A2's half normal goes on feeding B2; A4's full normal into B3 is broken.
                                                                 [C-01] -- [D-07], only heard
    """
    part = PartFactory(name="Lead vocal", song__title="Slow the Lantern")
    session = RecordingSessionFactory(project=part.song.project, status=Status.UNDER_WAY)
    revision = chain_of(
        part,
        session=session,
        source="Alto voice",
        track="Ld Vox",
        destination_input="Recorder in 1",
    )
    revision.source_spl_db = 94
    revision.save()
    bay = _bay()
    units = [
        _unit("M-01", MicrophoneModelFactory(sensitivity_mv_pa=20, max_spl_db=130)),
        _unit("P-01", GearModelFactory(max_input_dbu=0)),
        _unit("C-01", GearModelFactory(category=Category.COMPRESSOR)),
        _unit("D-07", GearModelFactory(category=Category.CHANNEL)),
    ]
    jacks = [(None, "A1"), ("B1", "A2"), ("B3", None), (None, None)]
    for position, (unit, (into, out)) in enumerate(zip(units, jacks, strict=True), 1):
        StageFactory(
            revision=revision,
            position=position,
            unit=unit,
            panel=None,
            path=Path.MONITOR_ONLY if unit.asset_tag == "D-07" else Path.PRINTED,
            patch_in=bay.get(into),
            patch_out=bay.get(out),
        )
    _headphones(revision.chain)
    take = log_take(part, session=session, setup=revision.chain.setup)
    circle_parts(take, seen=seen(take), circled=True)
    return take


def sheet_of(take: Take) -> RecallSheet:
    return recall_sheet(Song.objects.select_related("project__client").get(pk=take.song_id))


def _unit(tag, model):
    return UnitFactory(asset_tag=tag, model=model)


def _bay() -> dict[str, PatchPoint]:
    bay = BayFactory(name="Bay 1")
    points = {
        f"{row}{column}": PatchPointFactory(
            bay=bay, row=row, column=column, label=label, level=level, side=side
        )
        for row, column, label, level, side in (
            ("A", 1, "Wall 1", "microphone", "send"),
            ("A", 2, "Pre 1 out", "line", "send"),
            ("A", 4, "Effect out", "line", "send"),
            ("B", 1, "Pre 1 in", "microphone", "return"),
            ("B", 2, "Recorder in 2", "line", "return"),
            ("B", 3, "Comp 1 in", "line", "return"),
        )
    }
    TieLine.objects.create(room="Loft", box="box 1", line=1, point=points["A1"])
    Normal.objects.create(source=points["A2"], destination=points["B2"], kind="half")
    Normal.objects.create(source=points["A4"], destination=points["B3"], kind="full")
    return points


def _headphones(chain) -> None:
    box = UnitFactory(
        asset_tag="H-01", model=GearModelFactory(name="Cornice", category=Category.HEADPHONES)
    )
    mix = HeadphoneMixFactory(
        setup=chain.setup, name="Singer", box=box, output="2", level_dba="84.5", note="Dry, please."
    )
    mix.listeners.set([PersonFactory(name="Wren Tolland")])
    HeadphoneLineFactory(mix=mix, chain=chain, source="", level="0 dB", pan="centre")
    HeadphoneLineFactory(mix=mix, source="Click", level="just there", pan="left")
