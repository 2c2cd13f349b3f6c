"""The page for the whole song: what is needed, switched on and patched."""

import json
from html import unescape

import pytest
from django.template.loader import render_to_string
from django.utils.formats import date_format
from django.utils.html import strip_tags

from gear.equipment.models import Category, Phantom, Transducer, UnitState
from sessions.recall.sheet.stored import contents
from sessions.setups.models import Chain, ChainGroup, Path
from sessions.songs.models import Song
from tests.factories import (
    TEN_O_CLOCK,
    GearModelFactory,
    MicrophoneModelFactory,
    PartFactory,
    PlacementFactory,
    StageFactory,
    TakeFactory,
    UnitFactory,
)
from tests.sessions.recall.patched import patched_vocal, sheet_of
from tests.sessions.recall.recorded import chain_of, record
from tests.sessions.setups.building import loaded, preamplifier, stage

pytestmark = pytest.mark.django_db


def chain_through(part, *units, path=Path.PRINTED):
    """A chain of these units, and the take that was recorded through it."""
    revision = chain_of(part, source="Alto voice")
    for position, unit in enumerate(units, 1):
        StageFactory(revision=revision, position=position, unit=unit, panel=None, path=path)
    return record(TakeFactory(part=part, circled=True), revision)


def unit(tag, model=None, **facts):
    return UnitFactory(asset_tag=tag, model=model or GearModelFactory(**facts))


@pytest.fixture
def valve():
    """A valve microphone and its supply, which must be on for half an hour."""
    supply = unit("S-01", category=Category.SUPPLY)
    model = MicrophoneModelFactory(
        transducer=Transducer.VALVE,
        own_supply=True,
        phantom=Phantom.HARMLESS,
        warm_up_minutes=30,
    )
    return UnitFactory(asset_tag="M-01", model=model, supply=supply)


def test_units_stand_in_the_order_of_switching_on(part, valve):
    """What warms up first, a microphone before its supply, then as the signal goes, each once."""
    converter = unit("A-01", category=Category.CONVERTER)
    chain_through(part, unit("M-02", MicrophoneModelFactory()), unit("P-02"), converter)
    take = chain_through(part, valve, valve.supply, unit("P-01", warm_up_minutes=10), converter)

    units = sheet_of(take).units

    assert [(each.unit.asset_tag, each.warm_up_minutes, each.chains) for each in units] == [
        ("M-01", 30, (2,)),
        ("S-01", 30, (2,)),
        ("P-01", 10, (2,)),
        ("M-02", 0, (1,)),
        ("P-02", 0, (1,)),
        ("A-01", 0, (1, 2)),
    ]
    assert [fed.asset_tag for fed in units[1].feeds] == ["M-01"]


def test_supply_that_is_no_stage_is_needed_too(part, valve):
    take = chain_through(part, valve)

    assert [each.unit.asset_tag for each in sheet_of(take).units] == ["M-01", "S-01"]


def test_what_is_only_monitored_is_switched_on_last(part):
    chain_through(part, unit("E-01"), path=Path.MONITOR_ONLY)
    take = chain_through(part, unit("M-02", MicrophoneModelFactory()), unit("P-02"))

    assert [each.unit.asset_tag for each in sheet_of(take).units] == ["M-02", "P-02", "E-01"]


@pytest.mark.parametrize(
    ("facts", "words"),
    [
        ({"phantom": Phantom.NEEDED}, "48 V on"),
        ({"phantom": Phantom.HARMLESS}, "48 V not needed"),
        ({"phantom": Phantom.HARMFUL}, "never 48 V"),
        ({"phantom": Phantom.HARMLESS, "transducer": Transducer.RIBBON}, "never 48 V"),
    ],
)
def test_each_input_says_what_phantom_power_is_to_it(part, facts, words):
    take = chain_through(part, unit("M-02", MicrophoneModelFactory(**facts)), unit("P-02"))

    (track,) = sheet_of(take).tracks

    assert track.phantom == words
    assert track.input.stage.facts.unit.asset_tag == "M-02"


def test_nobody_is_told_to_switch_on_what_damages_another_unit_of_the_chain(part):
    ribbon = MicrophoneModelFactory(transducer=Transducer.RIBBON)
    condenser = MicrophoneModelFactory(phantom=Phantom.NEEDED)
    take = chain_through(part, unit("M-02", condenser), unit("M-04", ribbon))

    (track,) = sheet_of(take).tracks

    assert track.phantom == "no 48 V: one needs it, the other is damaged"


def test_phantom_power_is_said_by_input(part):
    """At the input whose switch serves it; of a chain without such an input by the chain."""
    needed = unit("M-02", MicrophoneModelFactory(phantom=Phantom.NEEDED))
    revision = chain_of(part)
    stage(revision, needed)
    stage(revision, preamplifier(channels=4), channel=3)
    record(TakeFactory(part=part, circled=True), revision)
    ribbon = unit("M-04", MicrophoneModelFactory(transducer=Transducer.RIBBON))
    take = chain_through(part, ribbon)

    sheet = sheet_of(take)

    tag = revision.stages.get(channel=3).unit.asset_tag
    assert sheet.phantom_by_input == [("48 V on", [f"{tag}/3"]), ("never 48 V", ["chain 2"])]
    assert f"48 V on at {tag}/3; never 48 V at chain 2." in front(sheet)


def test_input_that_served_several_chains_names_them_where_48_v_is_not_the_same_to_each(part):
    shared = preamplifier(channels=4)
    for tag, phantom in (("M-02", Phantom.NEEDED), ("M-03", Phantom.HARMLESS)):
        revision = chain_of(part)
        stage(revision, unit(tag, MicrophoneModelFactory(phantom=phantom)))
        stage(revision, shared, channel=1)
        take = record(TakeFactory(part=part, circled=True), revision)

    at = f"{shared.asset_tag}/1"
    assert dict(sheet_of(take).phantom_by_input) == {
        "48 V on": [f"{at} (chain 1)"],
        "48 V not needed": [f"{at} (chain 2)"],
    }


def test_line_input_asks_for_no_phantom_power(part):
    (track,) = sheet_of(chain_through(part, unit("K-01"))).tracks

    assert (track.input, track.phantom) == (None, "")


def test_cords_of_microphone_lines_come_first_and_takes_stand_with_their_chain():
    take = patched_vocal()
    record(
        TakeFactory(part=take.parts.get(), session=take.session, circled=True), take.revisions.get()
    )

    sheet = sheet_of(take)

    cords = sheet.patch.cords
    assert [(line.plug.number, str(line.plug.link.source.jack)) for line in cords] == [
        (1, "Bay 1 A1 Wall 1"),
        (2, "Bay 1 A2 Pre 1 out"),
    ]
    assert sheet.patch.has_microphone_lines
    assert [len(track.takes) for track in sheet.tracks] == [2]


def test_cord_that_two_chains_share_has_one_number(part):
    take = patched_vocal()
    first = take.revisions.get()
    second = chain_of(take.parts.get(), session=take.session, destination_input="Recorder in 2")
    for each in first.stages.all()[:3]:
        StageFactory(
            revision=second,
            position=each.position,
            unit=each.unit,
            panel=None,
            patch_in=each.patch_in,
            patch_out=each.patch_out,
        )
    record(TakeFactory(part=take.parts.get(), session=take.session, number=9, circled=True), second)

    sheet = sheet_of(take)

    assert [(line.plug.number, line.chains) for line in sheet.patch.cords] == [
        (1, "chains 1, 2"),
        (2, "chains 1, 2"),
    ]
    assert [chain.spine.places[1].wire.plugs[0].number for chain in sheet.chains] == [1, 1]


def test_take_without_a_chain_is_listed_all_the_same(part):
    take = TakeFactory(part=part, circled=True)

    sheet = sheet_of(take)

    assert [chosen.part.take for chosen in sheet.undocumented] == [take]
    assert sheet.tracks == ()


def test_group_of_the_song_is_drawn_from_above(part):
    """[kick] in the middle, [overhead] 60 cm behind it: one drawing for both chains' takes"""
    group = None
    for source, along in (("Kick", 0), ("Overhead", -60)):
        revision = chain_of(part, source=source)
        setup = revision.chain.setup
        group = group or ChainGroup.objects.create(setup=setup, name="Drums")
        Chain.objects.filter(pk=revision.chain_id).update(setup=group.setup, group=group)
        PlacementFactory(revision=revision, across_cm=0, along_cm=along)
        take = record(TakeFactory(part=part, circled=True), loaded(revision))

    (drawing,) = sheet_of(take).groups

    assert [words.text for words in drawing.words] == ["Kick", "Overhead"]
    assert drawing.title.startswith("Drums from above")


def test_notes_stand_once_however_many_parts_and_tracks_were_chosen():
    cornet = PartFactory(name="Cornet")
    bass = PartFactory(name="Bass", song=cornet.song)
    take = TakeFactory(parts=[cornet, bass], number=3, circled=True, note="Slower at the end")
    bass.take_parts.update(note="Felt under the strings")
    record(
        take, *(chain_of(cornet, session=take.session, track=track) for track in ("Near", "Far"))
    )

    [line] = sheet_of(take).take_lines
    assert (f"{line.take}", line.take.note) == ("Take 3", "Slower at the end")
    assert [(f"{part.part}", part.note) for part in line.parts] == [
        ("Bass", "Felt under the strings"),
        ("Cornet", ""),
    ]


def test_parts_of_one_take_stand_in_one_line_of_a_track_that_carries_them_all():
    cornet = PartFactory(name="Cornet")
    bass = PartFactory(name="Bass", song=cornet.song)
    take = TakeFactory(parts=[cornet, bass], number=3, circled=True)
    room = chain_of(cornet, session=take.session)
    room.chain.parts.clear()
    record(take, room)

    [track] = sheet_of(take).tracks
    assert [[f"{each.part.part}" for each in chosen] for chosen in track.passes] == [
        ["Bass", "Cornet"]
    ]


def test_today_s_state_of_a_unit_is_said_with_its_day(part):
    preamplifier = unit("P-01")
    take = chain_through(part, unit("M-02", MicrophoneModelFactory()), preamplifier)
    assert [each.is_in_service for each in sheet_of(take).units] == [True, True]

    preamplifier.state = UnitState.ON_THE_BENCH
    preamplifier.save()

    sheet = sheet_of(take)
    [out] = sheet.out_of_service
    assert out.unit.asset_tag == "P-01"
    assert out.standing.startswith("on the bench since ")
    said = front(sheet, printed_at=TEN_O_CLOCK)
    assert f"As of {date_format(TEN_O_CLOCK)} P-01 is on the bench since" in said
    assert "all others are in service" in said


def test_stored_paper_is_another_once_a_unit_s_state_changed(part):
    preamplifier = unit("P-01")
    take = chain_through(part, preamplifier)
    song = Song.objects.select_related("project__client").get(pk=take.song_id)
    before = contents(song, "https://quay.example/").enclosure.content

    preamplifier.state = UnitState.ON_THE_BENCH
    preamplifier.save()

    after = contents(song, "https://quay.example/").enclosure.content
    [needed] = json.loads(after)["needed"]["units"]
    assert before != after
    assert needed["standing_today"].startswith("on the bench since ")


def test_units_are_counted_by_kind(part, valve):
    take = chain_through(part, valve, valve.supply, unit("D-01", category=Category.DI_BOX))

    assert sheet_of(take).units_by_kind == "1 × microphone, 1 × microphone supply, 1 × DI box"


def test_what_warms_up_is_said_with_what_is_plugged_in_first(part, valve):
    take = chain_through(part, valve, valve.supply, unit("P-01", warm_up_minutes=10))

    said = front(sheet_of(take))

    assert "On first: S-01, once M-01 is plugged in, 30 min before; P-01, 10 min before." in said


def front(sheet, **context):
    """The first page as it reads."""
    context = {"sheet": sheet, "medium": "paper"} | context
    said = render_to_string("sessions/recall/sheet/_front.html", context)
    return " ".join(unescape(strip_tags(said)).split())


def test_converter_is_named_by_channel(part):
    converter = unit("A-01", category=Category.CONVERTER, channels=8)
    revision = chain_of(part, destination_input="Recorder 3")
    StageFactory(revision=revision, position=1, unit=converter, panel=None, channel=3)
    take = record(TakeFactory(part=part, circled=True), revision)

    assert "Recorder 3, A-01/3" in front(sheet_of(take))


def test_converter_without_a_channel_says_so(part):
    converter = unit("A-01", category=Category.CONVERTER, channels=8)
    revision = chain_of(part, destination_input="Recorder 3")
    StageFactory(revision=revision, position=1, unit=converter, panel=None)
    take = record(TakeFactory(part=part, circled=True), revision)

    assert "Recorder 3, A-01, channel not logged" in front(sheet_of(take))
