from datetime import timedelta

import pytest
from django.template.loader import render_to_string

from sessions.recall.sheet.contents import recall_sheet, song_facts
from sessions.recall.sheet.data import recall_data
from sessions.songs.models import Song
from sessions.takes.models import CompChoice, Mark
from tests.factories import (
    TEN_O_CLOCK,
    ControlFactory,
    LyricLineFactory,
    PartFactory,
    PlacementFactory,
    RecordingSessionFactory,
    RevisionFactory,
    RevisionInDoubtFactory,
    SongFactory,
    StageFactory,
    TakeFactory,
)
from tests.sessions.recall.recorded import chain_of, record

pytestmark = pytest.mark.django_db


@pytest.fixture
def part():
    return PartFactory(name="Lead vocal")


def sheet_of(song):
    return recall_sheet(Song.objects.select_related("project__client").get(pk=song.pk))


def chains_on(sheet):
    return [chain.revision.source_facts.name for chain in sheet.chains]


def test_only_chains_behind_chosen_takes_are_on_the_sheet(part, session):
    chosen = chain_of(part, session=session, source="Alto voice")
    rejected = chain_of(part, session=session, source="Alto voice, far")
    untaken = chain_of(part, session=session, source="Alto voice, spare")
    record(TakeFactory(part=part, session=session, mark=Mark.NO_GOOD), rejected)
    record(TakeFactory(part=part, session=session, circled=True), chosen)
    other_song = PartFactory(song__project=part.song.project)
    record(TakeFactory(part=other_song, session=session, circled=True), untaken)

    sheet = sheet_of(part.song)

    assert chains_on(sheet) == ["Alto voice"]
    assert [chosen.part.circled for chosen in sheet.takes] == [True]


def test_take_is_chosen_by_circle_master_or_comp(part, session):
    line = LyricLineFactory(section__song=part.song)
    TakeFactory(part=part, session=session, number=1)
    TakeFactory(part=part, session=session, number=2, circled=True, mark=Mark.MASTER)
    comped = TakeFactory(part=part, session=session, number=3, mark=Mark.COMPLETE)
    CompChoice.objects.create(part=part, line=line, take=comped)

    sheet = sheet_of(part.song)

    assert [(chosen.part.take.number, chosen.why) for chosen in sheet.takes] == [
        (2, "circled, marked master"),
        (3, "in the comp"),
    ]


def test_take_picked_for_many_lines_stands_once(part, session):
    take = TakeFactory(part=part, session=session)
    for _ in range(3):
        CompChoice.objects.create(
            part=part, line=LyricLineFactory(section__song=part.song), take=take
        )

    assert len(sheet_of(part.song).takes) == 1


def test_revisions_of_one_chain_are_sheets_of_their_own(part, session):
    first = chain_of(part, session=session)
    third = RevisionFactory(chain=first.chain, number=3)
    record(TakeFactory(part=part, session=session, number=1, circled=True), first)
    record(TakeFactory(part=part, session=session, number=2, circled=True), third)

    sheet = sheet_of(part.song)

    assert [(chain.revision.number, chain.other_numbers) for chain in sheet.chains] == [
        (1, (3,)),
        (3, (1,)),
    ]
    assert [[each.take.number for each in chain.takes] for chain in sheet.chains] == [[1], [2]]


def test_chain_of_many_takes_stands_once_with_all_of_them(part, session):
    chain = chain_of(part, session=session)
    for number in (1, 2):
        record(TakeFactory(part=part, session=session, number=number, circled=True), chain)

    (sheet,) = sheet_of(part.song).chains

    assert [each.take.number for each in sheet.takes] == [1, 2]


def test_chains_stand_in_the_order_of_sessions_and_takes_in_that_of_parts(part, session):
    earlier = RecordingSessionFactory(
        project=part.song.project, starts_at=TEN_O_CLOCK - timedelta(days=7)
    )
    fiddle = PartFactory(song=part.song, name="Fiddle", position=2)
    record(
        TakeFactory(part=part, session=session, circled=True),
        chain_of(part, session=session, source="Alto voice"),
    )
    record(
        TakeFactory(part=fiddle, session=earlier, circled=True),
        chain_of(fiddle, session=earlier, source="Fiddle"),
    )

    sheet = sheet_of(part.song)

    assert chains_on(sheet) == ["Fiddle", "Alto voice"]
    assert [chosen.part.part.name for chosen in sheet.takes] == ["Lead vocal", "Fiddle"]


def test_song_without_chosen_take_has_an_empty_sheet(part, session):
    record(TakeFactory(part=part, session=session), chain_of(part, session=session))

    sheet = sheet_of(part.song)

    assert (sheet.takes, sheet.chains) == ((), ())


def test_take_without_documented_chain_says_so(part, session):
    TakeFactory(part=part, session=session, circled=True)

    sheet = sheet_of(part.song)

    assert [chosen.through for chosen in sheet.takes] == [()]
    assert sheet.chains == ()


def test_stage_has_every_control_in_order_logged_or_not(part, session):
    chain = chain_of(part, session=session)
    stage = StageFactory(revision=chain, settings={"gain": 30})
    ControlFactory(panel=stage.panel, position=2, key="trim", label="Trim", group="Output")
    ControlFactory(panel=stage.panel, position=1, key="gain", label="Gain", group="Input")
    record(TakeFactory(part=part, session=session, circled=True), chain)

    (stage_sheet,) = sheet_of(part.song).chains[0].stages

    assert [
        (group.name, [control.reading.sentence for control in group.controls])
        for group in stage_sheet.groups
    ] == [("Input", ["Gain: 30 dB, 12:00"]), ("Output", ["Trim: not logged"])]


def test_facts_of_a_song_are_in_the_words_of_the_sheet():
    song = SongFactory(
        key="D minor",
        meter="6/8",
        tempo_map=[{"bar": 1, "bpm": 96}, {"bar": 33, "bpm": 104.5}],
        iswc="T9990001019",
        isrc="BVQSS2600001",
        project__full_scale_dbu="18.0",
    )

    facts = dict(song_facts(Song.objects.select_related("project__client").get(pk=song.pk)))

    assert facts["Tempo"] == "96 beats per minute; from bar 33, 104.5"
    assert facts["Sample rate"] == "48 kHz"
    assert facts["Alignment"] == "0 dBFS at +18.0 dBu"  # EBU R 68
    assert facts["ISWC"] == "T-999.000.101-9"
    assert facts["ISRC"] == "BV-QSS-26-00001"


@pytest.mark.parametrize("chains", [1, 3])
def test_sheet_costs_the_same_queries_for_any_number_of_chains(
    part, session, chains, django_assert_num_queries
):
    for number in range(1, chains + 1):
        chain = chain_of(part, session=session)
        PlacementFactory(revision=chain)
        for _ in range(number):
            stage = StageFactory(revision=chain)
            ControlFactory(panel=stage.panel)
        record(TakeFactory(part=part, session=session, circled=True), chain)
    song = Song.objects.select_related("project__client").get(pk=part.song.pk)

    with django_assert_num_queries(17):
        sheet = recall_sheet(song)

    assert len(sheet.chains) == chains


def test_chain_of_a_late_press_that_nobody_settled_is_said_with_its_take(part, session):
    """Pressed off line, and the chain changed in place before the press came: a stranger must know
    that the sheet may lack it."""
    take = TakeFactory(part=part, session=session, number=7, circled=True)
    doubt = RevisionInDoubtFactory(take=take, revision=chain_of(part, session=session))

    sheet = sheet_of(part.song)

    assert sheet.not_settled == [(f"{take}", f"{doubt.revision}")]
    front = render_to_string(
        "sessions/recall/sheet/_front.html", {"sheet": sheet, "medium": "paper"}
    )
    assert f"{take} may have gone through {doubt.revision}" in front
    told = recall_data(sheet, studio="", address="")["takes"][0]
    assert told["chains_not_settled"] == [f"{doubt.revision}"]


@pytest.mark.parametrize(
    ("second", "words"),
    [("", "count-in 2 bars"), ("none", "Brass: count-in 2 bars; Voices: none")],
)
def test_two_clicks_are_said_with_their_sessions(part, second, words):
    for title, click in (("Brass", "count-in 2 bars"), ("Voices", second)):
        chain = chain_of(part, session=RecordingSessionFactory(title=title))
        chain.chain.setup.click = click
        chain.chain.setup.save()
        record(TakeFactory(part=part, session=chain.chain.setup.session, circled=True), chain)

    assert dict(sheet_of(part.song).facts)["Click"] == words
